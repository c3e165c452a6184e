// SPDX-License-Identifier: MIT
#include "remedy/remedies_rank.h"

#include <math.h>
#include <stdlib.h>

// Changes below these are no clear effect: our judgement of what is worth an effort, and well
// above the 1 % to which a flow is found. A range narrower than the margin is none.
#define FLOW_MARGIN 0.10
#define SWING_MARGIN 0.20

const char *remedies_effect_name(enum remedies_effect effect) {
    static const char *const names[REMEDIES_EFFECTS] = {
        "cures", "helps", "mixed", "no clear effect", "makes it worse", "not possible"};
    return names[effect];
}

bool remedies_is_narrow(const struct remedies_try *attempt) {
    return attempt->row[REMEDIES_TOP] < attempt->row[REMEDIES_LOWEST] * (1.0 + FLOW_MARGIN);
}

double remedies_lowest(const struct remedies_try *attempt) {
    const double lowest = attempt->row[REMEDIES_LOWEST];
    return isfinite(lowest) && !remedies_is_narrow(attempt) ? lowest : (double)INFINITY;
}

static bool is_possible(const struct remedies_try *attempt) {
    return attempt->row[SEVERITY_OUTCOME] < SEVERITY_COUNTED;
}

// At rest, or moved by its schedule only.
static bool is_calm(const struct remedies_try *attempt) {
    return attempt->row[SEVERITY_OUTCOME] <= VERDICT_FORCED;
}

static bool is_cured(const struct remedies *r, const struct remedies_try *attempt) {
    return is_calm(attempt) && remedies_lowest(attempt) <= r->flow &&
           !(attempt->row[REMEDIES_TOP] < r->flow);
}

// -1: the flow after is better (lower), 1: worse.
static int compare_flow(const struct remedies_try *before, const struct remedies_try *after) {
    double a = remedies_lowest(before), b = remedies_lowest(after);
    if (isinf(a) || isinf(b)) {
        return isinf(a) && isinf(b) ? 0 : isinf(a) ? -1 : 1;
    }
    return b < a * (1.0 - FLOW_MARGIN) ? -1 : b > a * (1.0 + FLOW_MARGIN) ? 1 : 0;
}

// The same of today's verdict and swing.
static int compare_day(const struct remedies_try *before, const struct remedies_try *after) {
    double a = before->row[SEVERITY_OUTCOME], b = after->row[SEVERITY_OUTCOME];
    if (a == SEVERITY_FAILED || b == SEVERITY_FAILED || a == VERDICT_UNDECIDED ||
        b == VERDICT_UNDECIDED) {
        return 0; // not known
    }
    if (a != b) {
        return b < a ? -1 : 1;
    }
    a = before->row[SEVERITY_SWING];
    b = after->row[SEVERITY_SWING];
    return b < a * (1.0 - SWING_MARGIN) ? -1 : b > a * (1.0 + SWING_MARGIN) ? 1 : 0;
}

enum remedies_effect remedies_compare(const struct remedies *r, const struct remedies_try *before,
                                      const struct remedies_try *after) {
    if (!is_possible(after)) {
        return REMEDIES_IMPOSSIBLE;
    }
    if (is_cured(r, after) && !is_cured(r, before)) {
        return REMEDIES_CURES;
    }
    int flow = compare_flow(before, after), day = compare_day(before, after);
    if (flow * day < 0) {
        return REMEDIES_MIXED;
    }
    return flow + day < 0 ? REMEDIES_HELPS : flow + day > 0 ? REMEDIES_WORSE : REMEDIES_NOTHING;
}

static int compare_numbers(double a, double b) {
    return a < b ? -1 : a > b;
}

// Order of two tries of which neither effect is known to be better: lowest flow, then the day; what
// is not known comes last.
static int compare_tries(const struct remedies_try *a, const struct remedies_try *b) {
    int flow = compare_numbers(remedies_lowest(a), remedies_lowest(b));
    double x = a->row[SEVERITY_ORDER], y = b->row[SEVERITY_ORDER];
    return flow ? flow
                : compare_numbers(isnan(x) ? (double)INFINITY : x, isnan(y) ? (double)INFINITY : y);
}

static void rank_entry(struct remedies *r, struct remedies_entry *e) {
    const struct remedies_try *today = &r->tries[0];
    e->best = e->first;
    e->effect = remedies_compare(r, today, &r->tries[e->first]);
    for (size_t i = e->first + 1; i < e->first + e->tries; i++) {
        enum remedies_effect effect = remedies_compare(r, today, &r->tries[i]);
        if (effect < e->effect ||
            (effect == e->effect && compare_tries(&r->tries[i], &r->tries[e->best]) < 0)) {
            e->best = i;
            e->effect = effect;
        }
    }
    e->slightest = e->best;
    for (size_t i = e->best; i-- > e->first;) {
        if (remedies_compare(r, today, &r->tries[i]) == REMEDIES_CURES) {
            e->slightest = i;
        }
    }
    size_t last = e->first + e->tries - 1;
    enum remedies_effect change = remedies_compare(r, &r->tries[e->best], &r->tries[last]);
    e->too_much = last != e->best && change >= REMEDIES_WORSE;
}

// qsort takes no context.
struct ranked {
    struct remedies_entry entry;
    const struct remedies_try *best;
    size_t place;
};

static int compare_entries(const void *left, const void *right) {
    const struct ranked *a = left, *b = right;
    if (a->entry.parts != b->entry.parts) {
        return a->entry.parts ? 1 : -1;
    }
    if (a->entry.effect != b->entry.effect) {
        return a->entry.effect < b->entry.effect ? -1 : 1;
    }
    int order = compare_tries(a->best, b->best);
    return order ? order : a->place < b->place ? -1 : 1;
}

static void sort_entries(struct remedies *r, size_t first, size_t end) {
    struct ranked item[REMEDIES_ENTRIES_MAX];
    for (size_t i = first; i < end; i++) {
        item[i] = (struct ranked){r->entry[i], &r->tries[r->entry[i].best], i};
    }
    qsort(&item[first], end - first, sizeof item[0], compare_entries);
    for (size_t i = first; i < end; i++) {
        r->entry[i] = item[i].entry;
    }
}

void remedies_rank(struct remedies *r) {
    for (size_t i = 0; i < r->entry_count; i++) {
        rank_entry(r, &r->entry[i]);
    }
    sort_entries(r, 0, r->single_count);
    sort_entries(r, r->single_count, r->entry_count);
}
