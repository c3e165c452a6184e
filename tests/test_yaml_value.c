// SPDX-License-Identifier: MIT
// Values typed behind `section.name=`, read without libfyaml: the same tree and the same messages
// as with it (R, the reference library), over what people write and over thousands of broken texts.
#include "support.h"

#include "yaml/yaml_value.h"

#include <stdlib.h>

enum { SHIFT = 9 };

struct reading {
    struct arena memory;
    struct diagnostics list;
    struct yaml_node *root;
};

static struct reading read_with(struct yaml_node *(*reader)(struct arena *, const char *,
                                                            const char *, size_t, int,
                                                            struct diagnostics *),
                                const char *text) {
    struct reading out = {0};
    out.root = reader(&out.memory, "name", text, strlen(text), SHIFT, &out.list);
    return out;
}

static void reading_free(struct reading *reading) {
    diagnostics_free(&reading->list);
    arena_free(&reading->memory);
}

static bool same_place(struct place a, struct place b) {
    return a.line == b.line && a.column == b.column;
}

static bool same_tree(const struct yaml_node *a, const struct yaml_node *b) {
    if (!a || !b) {
        return a == b;
    }
    bool same = a->kind == b->kind && strcmp(a->text, b->text) == 0 && a->quoted == b->quoted &&
                a->refused == b->refused && same_place(a->place, b->place) && !a->key == !b->key;
    if (same && a->key) {
        same = strcmp(a->key, b->key) == 0 && same_place(a->key_place, b->key_place);
    }
    const struct yaml_node *x = a->first, *y = b->first;
    for (; same && x && y; x = x->next, y = y->next) {
        same = same_tree(x, y);
    }
    return same && !x && !y;
}

static bool same_messages(struct diagnostics *a, struct diagnostics *b) {
    diagnostics_sort(a);
    diagnostics_sort(b);
    bool same = a->count == b->count;
    for (size_t i = 0; same && i < a->count; i++) {
        same = strcmp(a->items[i].message, b->items[i].message) == 0 &&
               same_place(a->items[i].place, b->items[i].place);
    }
    return same;
}

static void print_reading(const char *who, const struct reading *r) {
    print_error("  %s: %s", who, r->root ? "read" : "refused");
    for (size_t i = 0; i < r->list.count; i++) {
        print_error("; %d: %s", r->list.items[i].place.column, r->list.items[i].message);
    }
    print_error("\n");
}

// What is refused as more than one value may be, not as broken.
static bool beyond(const struct diagnostics *list) {
    return list->count == 1 && strstr(list->items[0].message, "here a value is one word") != NULL;
}

// Whether both read the same tree or both refuse; with `words`, with the same messages. Without, a
// text may be refused for what YAML has beyond one value.
static bool agree(const char *text, bool words) {
    struct reading own = read_with(yaml_value_read, text);
    struct reading reference = read_with(yaml_tree_read, text);
    const bool own_fine = own.root && !own.list.errors;
    const bool reference_fine = reference.root && !reference.list.errors;
    bool same = own_fine == reference_fine || (!words && !own_fine && beyond(&own.list));
    same = same && (!own_fine || same_tree(own.root, reference.root));
    same = same && (!words || same_messages(&own.list, &reference.list));
    if (!same) {
        print_error("'%s'\n", text);
        print_reading("own", &own);
        print_reading("libfyaml", &reference);
    }
    reading_free(&own);
    reading_free(&reference);
    return same;
}

// As they stand on command lines, in the manual and in scenarios.
static const char *const good[] = {
    "0.4 MMscf/d",
    "2 7/8 in",
    "2-7/8 in",
    "1 3/4\"",
    "about 8 lbf",
    "50 psig",
    "-40 degC",
    "yes",
    "3 %",
    "  62.4 lb/ft3  ",
    "5 lbf # a guess",
    "a#b",
    "a:b",
    "http://x",
    "450 kPa(g)",
    "20 \xc2\xb5m",
    "80 \u00b0F",
    "'it''s'",
    "\"two\\twords\"",
    "\"\\u00b5\\x41\\L\"",
    "''",
    "'a' # b",
    "[]",
    "{}",
    "[a]",
    "[a, b]",
    "[a, b,]",
    "[[0 s, 50 psig], [10 s, 45 psig]]",
    "[[0, 0], [0.5, 0.3], [1, 1]]",
    "{value: 8 lbf, guess: yes, low: 2 lbf, high: 12 lbf}",
    "{steps: [[0 s, 0.1 MMscf/d], [10 s, 0.2 MMscf/d]]}",
    "{slug: {base: 0.1 MMscf/d, peak: 0.5 MMscf/d, start: 5 s, period: 30 s, duration: 8 s}}",
    "{record: 'recorded flow.csv'}",
    "{ramp: {from: 1 psig, to: 2 psig, start: 0 s, end: 1 s}}",
    "{\"value\":3 in}",
    "{a: , b: c}",
    "{a, b: c}",
    "{a: 'x', 'b': \"y\"}",
    "value: 8 lbf",
    "value:",
    "'value': [1, 2]",
    "value: {low: 1, high: 2}",
    "[a b, c d] # e",
    "?x",
    "-x",
    ":x",
    "a - b",
    "[-1, -2]",
    "[a:b]",
    "{a:b: c}",
    "a\\b",
    "%",
    "1%",
    "x, y",
    "a]b",
    "a}b",
    "~",
    "null",
};

static void test_what_people_write(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        assert_true(agree(good[i], true));
    }
}

// The slips that are most likely; the random ones below are held to reading and refusing alone.
static const char *const slips[] = {
    "{value: 8 lbf",     "[1, 2",         "\"two words", "'it's", "{a: 1, a: 2}", "{<<: b}",
    "{a: {a: 1, a: 2}}", "{value:8 lbf}", "%x",          "@x",    "`x",           "a: b: c",
    "\"\\q\"",           "\xff",          "a\x01",       "#",     "  # only",
};

static void test_slips(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof slips / sizeof slips[0]; i++) {
        assert_true(agree(slips[i], true));
    }
}

static unsigned seed = 1;

static unsigned pick(unsigned count) {
    seed = (unsigned)((unsigned long long)seed * 48271u % 2147483647u);
    return seed % count;
}

// Good texts with pieces lost, doubled, or put in: both must read or refuse.
static void test_mutated(void **state) {
    (void)state;
    static const char signs[] = "[]{},:'\"#-?&*! \\ab1|>%@`";
    unsigned wrong = 0;
    for (int round = 0; round < 8000; round++) {
        char text[256];
        snprintf(text, sizeof text, "%s", good[pick(sizeof good / sizeof good[0])]);
        for (unsigned changes = 1 + pick(3); changes > 0; changes--) {
            size_t length = strlen(text), at = pick((unsigned)length + 1);
            if (pick(2) && at < length) {
                memmove(text + at, text + at + 1, length - at);
            } else if (length + 2 < sizeof text) {
                memmove(text + at + 1, text + at, length - at + 1);
                text[at] = signs[pick(sizeof signs - 1)];
            }
        }
        wrong += !agree(text, false);
    }
    assert_int_equal(wrong, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_people_write),
        cmocka_unit_test(test_slips),
        cmocka_unit_test(test_mutated),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
