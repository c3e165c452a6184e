// SPDX-License-Identifier: MIT
#include "trims/trim_choice.h"

#include "steady/trim_window.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static struct trim_rank judge(const struct trim_candidate *c, size_t index,
                              const struct trim_demand *d) {
    // Comparisons with NaN are false: what is not known to serve does not serve.
    return (struct trim_rank){
        .candidate = index,
        .passes = c->largest >= d->peak,
        // What a trim does not pass need not be steady: that is rule 1.
        .steady =
            c->steady_runs && c->lowest_steady <= d->lowest && c->top >= fmin(d->peak, c->largest),
        .margin = isnan(c->lowest_steady) ? 0.0 : d->lowest / c->lowest_steady,
    };
}

// Rules met in a row: 2 both, 1 the first, 0 not even that. Below, rule 2 still orders.
static int grade(const struct trim_rank *r) {
    return 2 * r->passes + r->steady;
}

// Whether a margin stands behind another by more than counts.
static bool falls_short(double margin, double of) {
    return fmin(margin, TRIM_CHOICE_ENOUGH) * TRIM_CHOICE_TIE < fmin(of, TRIM_CHOICE_ENOUGH);
}

// Position of the best among those from `first` on: the highest grade, in it a margin that does not
// fall short of the largest, among those the fewest parts, then the clearly larger margin, then
// the order given.
static size_t best_from(const struct trim_choice *choice, const struct trim_candidate *candidate,
                        size_t first) {
    int top = 0;
    double margin = 0.0;
    for (size_t i = first; i < choice->count; i++) {
        const struct trim_rank *r = &choice->rank[i];
        if (grade(r) > top) {
            top = grade(r);
            margin = 0.0;
        }
        margin = grade(r) == top ? fmax(margin, r->margin) : margin;
    }
    size_t best = choice->count;
    for (size_t i = first; i < choice->count; i++) {
        const struct trim_rank *r = &choice->rank[i];
        if (grade(r) != top || falls_short(r->margin, margin)) {
            continue;
        }
        const struct trim_rank *b = &choice->rank[best == choice->count ? i : best];
        const int fewer = candidate[b->candidate].parts - candidate[r->candidate].parts;
        if (best == choice->count || fewer > 0 ||
            (fewer == 0 && r->margin > b->margin * TRIM_CHOICE_TIE)) {
            best = i;
        }
    }
    return best;
}

static void say(struct trim_choice *out, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void say(struct trim_choice *out, const char *format, ...) {
    const size_t used = strlen(out->reason);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(out->reason + used, sizeof out->reason - used, format, arguments);
    va_end(arguments);
}

static void say_failure(struct trim_choice *out, const struct trim_candidate *c,
                        const struct trim_rank *r, const struct trim_demand *d) {
    if (!r->passes && isnan(c->largest)) {
        say(out, "passes nothing %s", trim_window_bounds(d->limited));
    } else if (!r->passes) {
        say(out, "passes only %.3g %% of the peak before %s", 100.0 * c->largest / d->peak,
            c->limit_first ? "the pressure reaches the vessel limit"
                           : "it stands at 90 % of its travel");
    }
    if (r->steady) {
        return;
    }
    say(out, "%s", r->passes ? "" : " and ");
    if (isnan(c->lowest_steady)) {
        say(out,
            c->at_some_lower
                ? "does not stand a kick at the largest flow it passes, though at some lower one"
                : "stands a kick at none of the flows it passes");
    } else if (c->lowest_steady > d->lowest) {
        say(out, "stands a kick only from %.4g times the lowest flow upward%s%s%s",
            c->lowest_steady / d->lowest, c->below ? " (below that: " : "",
            c->below ? c->below : "", c->below ? ")" : "");
    } else if (c->top < fmin(d->peak, c->largest)) {
        say(out, "is unsteady from %.3g %% of the peak upward", 100.0 * c->top / d->peak);
    } else {
        say(out, "does not come to rest at some flow of the envelope");
    }
}

static const struct trim_rank *rank_in_place(const struct trim_choice *out,
                                             const struct trim_candidate *candidate) {
    for (size_t i = 0; i < out->count; i++) {
        if (candidate[out->rank[i].candidate].parts == 0) {
            return &out->rank[i];
        }
    }
    return NULL;
}

// Why the others stand behind the first.
static void say_rivals(struct trim_choice *out, const struct trim_candidate *candidate) {
    const struct trim_rank *first = &out->rank[0];
    for (size_t i = 1; i < out->count; i++) {
        const struct trim_rank *r = &out->rank[i];
        const struct trim_candidate *c = &candidate[r->candidate];
        if (grade(r) < grade(first)) {
            break; // the rest fail a rule
        }
        if (r->margin > first->margin) {
            say(out, " %s has %s margin (%.3g) and takes parts.", c->name,
                r->margin > first->margin * TRIM_CHOICE_TIE ? "more" : "hardly more", r->margin);
        } else {
            say(out, " %s would do too, with a margin of %.3g%s.", c->name, r->margin,
                c->parts == 0 ? " and no parts" : "");
        }
    }
}

static void say_advice(struct trim_choice *out, const struct trim_candidate *candidate,
                       const struct trim_demand *d) {
    const struct trim_rank *first = &out->rank[0];
    const struct trim_candidate *c = &candidate[first->candidate];
    if (out->advice == TRIM_ADVICE_NONE) {
        say(out,
            "No trim both passes the peak and is steady over the envelope. %s comes nearest: "
            "it ",
            c->name);
        say_failure(out, c, first, d);
        say(out, ".");
        return;
    }
    say(out,
        "%s passes the peak %s, stands a kick over the whole envelope, and its lowest steady flow "
        "lies %.3g times below the lowest flow%s.",
        c->name, trim_window_bounds(d->limited), first->margin,
        first->margin >= TRIM_CHOICE_ENOUGH ? ", which is enough" : "");
    const struct trim_rank *present = rank_in_place(out, candidate);
    if (out->advice == TRIM_ADVICE_FIT && present && grade(present) < grade(first)) {
        say(out, " What is in place, %s, ", candidate[present->candidate].name);
        say_failure(out, &candidate[present->candidate], present, d);
        say(out, ".");
    }
    say_rivals(out, candidate);
}

void trim_choice_make(const struct trim_candidate *candidate, size_t count,
                      const struct trim_demand *demand, struct trim_choice *out) {
    *out = (struct trim_choice){.count = count < TRIM_CHOICE_MAX ? count : TRIM_CHOICE_MAX};
    for (size_t i = 0; i < out->count; i++) {
        out->rank[i] = judge(&candidate[i], i, demand);
    }
    for (size_t i = 0; i < out->count; i++) {
        const size_t best = best_from(out, candidate, i);
        const struct trim_rank moved = out->rank[best];
        memmove(&out->rank[i + 1], &out->rank[i], (best - i) * sizeof moved);
        out->rank[i] = moved;
    }
    const struct trim_rank *first = &out->rank[0];
    out->advice = !(first->passes && first->steady)        ? TRIM_ADVICE_NONE
                  : candidate[first->candidate].parts == 0 ? TRIM_ADVICE_LEAVE
                                                           : TRIM_ADVICE_FIT;
    say_advice(out, candidate, demand);
}

const char *trim_advice_name(enum trim_advice advice) {
    static const char *const names[] = {"leave it as it is", "fit", "none of these"};
    return names[advice];
}
