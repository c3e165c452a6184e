// SPDX-License-Identifier: MIT
// Figures of our own, kept in tests/pinned/NAME.txt, and whether they are still the same. This says
// nothing about what is right, which other tests hold against sources: it says that something
// changed, whatever it was. Whoever changes it on purpose records again (tests/run.sh pinned) and
// declares it in CHANGELOG.md under *Numbers*.
#pragma once

#include "support.h"

#include <inttypes.h>
#include <stdbool.h>
#include <stdlib.h>

enum { PINNED_MAX = 4000, PINNED_NAME = 80 };

struct pinned_row {
    char name[PINNED_NAME], value[PINNED_NAME];
    bool seen;
};

struct pinned_table {
    char path[128];
    FILE *record; // NULL unless the table is made anew
    int count, off;
    struct pinned_row row[PINNED_MAX];
};

static struct pinned_table pinned;

static const char *pinned_name; // of the table; `main` says it

// Before the tests of a program, which run from the source root.
static inline int pinned_open(void **state) {
    (void)state;
    const char *wish = getenv("LOWLIFT_PINNED");
    snprintf(pinned.path, sizeof pinned.path, "tests/pinned/%s.txt", pinned_name);
    if (wish && strcmp(wish, "record") == 0) {
        pinned.record = fopen(pinned.path, "w");
        assert_non_null(pinned.record);
        return 0;
    }
    FILE *file = fopen(pinned.path, "r");
    assert_non_null(file);
    char line[PINNED_NAME];
    while (fgets(line, sizeof line, file)) {
        struct pinned_row *row = &pinned.row[pinned.count];
        char *tab = strchr(line, '\t');
        assert_true(tab && pinned.count < PINNED_MAX);
        *tab = '\0';
        tab[strcspn(tab + 1, "\n") + 1] = '\0';
        snprintf(row->name, sizeof row->name, "%s", line);
        snprintf(row->value, sizeof row->value, "%s", tab + 1);
        pinned.count++;
    }
    fclose(file);
    return 0;
}

// The recorded figure of a name, NULL where there is none (or it is being recorded). A name is
// asked for once: the order of a run is that of its table, so the search begins behind the last.
static inline const char *pinned_find(const char *name) {
    static int next;
    for (int i = 0; i < pinned.count; i++) {
        struct pinned_row *row = &pinned.row[(next + i) % pinned.count];
        if (strcmp(row->name, name) == 0) {
            assert_false(row->seen);
            row->seen = true;
            next = (int)(row - pinned.row) + 1;
            return row->value;
        }
    }
    return NULL;
}

static inline void pinned_look(const char *name, const char *now, const double *value,
                               double allowed) {
    if (pinned.record) {
        fprintf(pinned.record, "%s\t%s\n", name, now);
        return;
    }
    const char *then = pinned_find(name);
    const bool same =
        then && (strcmp(then, now) == 0 || (value && fabs(strtod(then, NULL) - *value) <= allowed));
    if (!same) {
        print_error("%s: %s is %s, recorded %s\n", pinned.path, name, now, then ? then : "nothing");
        pinned.off++;
    }
}

// A number, to `share` of itself.
static inline void pin(const char *name, double value, double share) {
    char now[32];
    snprintf(now, sizeof now, "%.15g", value);
    pinned_look(name, now, &value, share * fabs(value));
}

static inline void pin_count(const char *name, long count) {
    char now[32];
    snprintf(now, sizeof now, "%ld", count);
    pinned_look(name, now, NULL, 0.0);
}

// Many numbers as one. Each counts by its logarithm beyond `unit`, so that a small one that
// changes by a share weighs as much as a large one; weights of changing sign keep the sum small.
struct digest {
    double sum;
    unsigned long count;
};

static inline void digest_add(struct digest *d, double value, double unit) {
    const double turn = (double)(++d->count) * 0.6180339887498949;
    const double weight =
        (d->count % 2 ? 1.0 : -1.0) * (0.5 + (turn - (double)(unsigned long)turn));
    const double size = isnan(value)   ? 1234.5
                        : isinf(value) ? copysign(4321.5, value)
                                       : asinh(value / unit);
    d->sum += weight * size;
}

static inline void digest_add_all(struct digest *d, const double *value, size_t count,
                                  double unit) {
    for (size_t i = 0; i < count; i++) {
        digest_add(d, value[i], unit);
    }
}

// To a relative change of any one number by `share`.
static inline void pin_digest(const char *name, const struct digest *d, double share) {
    const double sum = d->sum + (double)d->count;
    char now[32];
    snprintf(now, sizeof now, "%.15g", sum);
    pinned_look(name, now, &sum, share);
}

// Numbers to the last bit: of sums, products and roots alone, which are the same everywhere.
struct bits {
    uint64_t hash;
};

static inline void bits_add(struct bits *b, double value) {
    const double plain = isnan(value) ? 1.7e308 : value == 0.0 ? 0.0 : value;
    unsigned char byte[sizeof plain];
    memcpy(byte, &plain, sizeof plain);
    for (size_t i = 0; i < sizeof plain; i++) { // FNV-1a
        b->hash = ((b->hash ? b->hash : 14695981039346656037ULL) ^ byte[i]) * 1099511628211ULL;
    }
}

static inline void pin_bits(const char *name, const struct bits *b) {
    char now[32];
    snprintf(now, sizeof now, "%016" PRIx64, b->hash);
    pinned_look(name, now, NULL, 0.0);
}

// A number to its last place.
static inline void pin_last_place(const char *name, double value) {
    char now[32];
    snprintf(now, sizeof now, "%.17g", value);
    pinned_look(name, now, NULL, 0.0);
}

// The last test of a program: all is as recorded, and all that is recorded has been asked for.
static inline void pinned_close(void **state) {
    (void)state;
    if (pinned.record) {
        assert_int_equal(fclose(pinned.record), 0);
        return;
    }
    for (int i = 0; i < pinned.count; i++) {
        if (!pinned.row[i].seen) {
            print_error("%s: %s is no longer asked for\n", pinned.path, pinned.row[i].name);
            pinned.off++;
        }
    }
    assert_int_equal(pinned.off, 0);
}
