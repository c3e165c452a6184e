// SPDX-License-Identifier: MIT
// Whether the judge still says what it said: of a battery of records the verdict with its reason
// and figures, and of every limit the value, found to the last digit, at which that changes. So a
// comparison that lets its limit in where it kept it out is noticed, too. Figures of our own
// (fixture_pinned.h): they show a change, and no more.
//
// Records are of multiples of 2^-10 and times of sums and products, so that all that asks for no
// logarithm is the same everywhere to the last bit.
#include "fixture_pinned_records.h"

#include <stddef.h>

enum { LIMITS = sizeof(struct verdict_limits) / sizeof(double) };

// At rest, near it, decaying, growing, repeating, irregular, under a schedule, touching.
static const struct recipe recipes[] = {
    {SINE, 0.0004, 0.1e-3, 0.0, 2.0, 0.02, 12.0, .limit = 100.0},
    {SINE, 0.02, 0.1, 0.0, 2.0, 0.02, 14.0, .limit = 100.0},
    {SINE, 0.02, 0.1, 0.0, 2.0, 0.02, 2.6, .limit = 2.6},
    {SINE, 0.02, 0.1, 0.0, 5.5, 0.02, 14.0, .limit = 100.0},
    {SINE, 0.02, 0.1, 0.0, 7.0, 0.02, 14.0, .limit = 14.0},
    {SINE, 1e-4, 0.1, 0.0, 2.0, 0.02, 14.0, .limit = 100.0},
    {SINE, 0.02, 0.5, 0.0, 2.0, 0.02, 14.0, .limit = 100.0, .contacts = 2.0},
    {SINE, 0.02, 0.5, 0.0, 6.0, 0.01, 14.0, .limit = 100.0, .contacts = 6.0},
    {SINE, 0.02, 0.5, 0.0, 2.0, 0.02, 14.0, .limit = 100.0, .contacts = 0.4},
    {SINE, 0.02, 0.1, 0.0, 2.0, 0.02, 14.0, .from = 3.0, .limit = 100.0, .hint = 0.6},
    {SINE, 0.02, 0.1, 0.0, 0.5, 0.02, 12.0, .limit = 100.0, .period = 2.0},
    {SINE, 0.02, 0.1, 0.0, 0.5, 0.02, 14.0, .limit = 100.0, .changing = true},
    {SINE, 4e-4, 0.1e-3, 0.0, 2.0, 0.02, 12.0, .limit = 100.0, .hint = 1.5},
    {SINE, 4e-4, 0.1e-3, 0.0, 2.0, 0.02, 12.0, .limit = 100.0, .contacts = 0.09},
    {SINE, 4e-4, 0.1e-3, 0.0, 2.0, 0.02, 3.0, .from = 1.2, .limit = 3.0},
    {DAMPED, 0.02, 0.05, 0.25, 3.0, 0.0125, 5.0, .limit = 100.0},
    {DAMPED, 0.02, 0.05, 0.25, 3.0, 0.0125, 5.0, .limit = 5.0},
    {DAMPED, 0.02, 0.05, 0.25, 3.0, 0.0125, 20.0, .limit = 100.0},
    {DAMPED, 0.02, 0.05, 0.8, 3.0, 0.0125, 2.5, .limit = 100.0},
    {DAMPED, 0.02, 0.05, 0.8, 3.0, 0.0125, 2.5, .limit = 2.5},
    {DAMPED, 0.02, 0.05, 0.8, 3.0, 0.0125, 9.0, .limit = 100.0},
    {DAMPED, 0.01, 0.05, 0.4, 3.0, 0.0125, 20.0, .limit = 100.0},
    {DAMPED, 0.2, 0.5, 0.6, 3.0, 0.0125, 3.0, .limit = 100.0},
    {DAMPED, 0.2, 0.5, 0.6, 3.0, 0.0125, 3.0, .limit = 100.0, .contacts = 1.0},
    {DAMPED, 0.02, 0.05, 0.05, 3.0, 0.0125, 9.0, .limit = 100.0},
    {DAMPED, 0.02, 0.05, 2.5, 1.0, 0.02, 8.0, .limit = 100.0},
    {DAMPED, 0.02, 0.05, 0.02, 3.0, 0.0125, 9.0, .limit = 9.0},
    {GROWN, 0.03, 0.1, 0.8, 1.5, 0.02, 5.0, .limit = 100.0},
    {GROWN, 0.03, 0.1, 0.8, 1.5, 0.02, 5.0, .limit = 5.0},
    {GROWN, 0.03, 0.1, 0.8, 1.5, 0.02, 12.0, .limit = 100.0},
    {GROWN, 0.03, 0.1, 0.4, 1.5, 0.02, 20.0, .limit = 100.0},
    {GROWN, 3e-4, 1e-4, 0.4, 1.5, 0.02, 10.0, .limit = 100.0},
    {TWO_SIZES, 0.02, 0.1, 0.2, 2.0, 0.02, 14.0, .limit = 100.0},
    {TWO_SIZES, 0.02, 0.1, 0.009, 2.0, 0.02, 14.0, .limit = 100.0},
    {TWO_SIZES, 0.02, 0.1, 0.0105, 2.0, 0.02, 14.0, .limit = 14.0, .contacts = 2.0},
    {TWO_SIZES, 0.02, 0.1, 0.2, 1.0, 0.02, 12.0, .limit = 100.0, .period = 1.0},
    {DRIFT, 2e-4, 1e-4, 0.02, 2.0, 0.02, 12.0, .limit = 100.0},
    {DRIFT, 0.02, 0.05, 0.1, 2.0, 0.02, 12.0, .limit = 100.0},
    {DRIFT, 0.02, 0.05, 0.5, 2.0, 0.02, 12.0, .limit = 12.0},
    {RAMP, 1e-5, 1e-5, 1.0, 2.0, 0.02, 12.0, .limit = 100.0},
    {RAMP, 1e-3, 1e-3, 0.3, 2.0, 0.02, 12.0, .limit = 12.0},
    {RAMP, 3e-4, 1e-6, 0.05, 2.0, 0.02, 3.0, .limit = 3.0},
    {NOISE, 0.02, 0.2, 0.0, 3.0, 0.02, 50.0, .limit = 100.0},
    {NOISE, 0.02, 0.2, 0.0, 3.0, 0.02, 12.0, .limit = 12.0},
    {NOISE, 0.02, 0.2, 0.0, 3.0, 0.02, 24.0, .limit = 100.0, .contacts = 3.0},
    {NOISE, 0.02, 0.2, 0.0, 3.0, 0.02, 24.0, .limit = 24.0, .contacts = 0.5},
    {NOISE, 0.02, 0.2, 0.0, 3.0, 0.02, 24.0, .limit = 24.0, .contacts = 1.0, .unevenly = 0.7},
    {NOISE, 0.02, 0.2, 0.0, 3.0, 0.02, 6.0, .limit = 6.0, .contacts = 0.4, .unevenly = 0.8},
    {NOISE, 0.02, 0.2, 0.0, 1.0, 0.02, 16.0, .limit = 100.0, .period = 1.0},
    {PULSES, 0.02, 0.1, 8.0, 0.5, 0.02, 16.0, .limit = 100.0, .period = 2.0},
    {PULSES, 0.02, 0.1, 0.05, 0.25, 0.02, 20.0, .limit = 100.0, .period = 4.0},
    {PULSES, 0.02, 0.1, 0.05, 0.25, 0.02, 20.0, .limit = 100.0, .period = 4.0, .contacts = 0.5},
    {PULSES, 0.0, 0.1, 0.05, 0.25, 0.02, 20.0, .limit = 100.0, .period = 4.0},
    {STEPS, 0.01, 0.1, 0.5, 1.0, 0.02, 12.0, .limit = 100.0},
    {STEPS, 0.01, 0.1, 0.5, 1.0, 0.02, 9.0, .limit = 100.0, .period = 1.0, .contacts = 1.0},
    {STEPS, 0.01, 0.1, 0.5, 40.0, 0.01, 9.0, .limit = 9.0},
    {NOISE, 0.02, 8e-4, 0.0, 3.0, 0.02, 50.0, .limit = 100.0},
    {NOISE, 8e-4, 0.2, 0.0, 3.0, 0.02, 12.0, .limit = 12.0},
    {BEAT, 0.02, 0.1, 0.3, 3.0, 0.02, 24.0, .limit = 100.0},
    {BEAT, 0.02, 0.1, 0.004, 3.0, 0.02, 50.0, .limit = 100.0},
    {BEAT, 0.02, 0.1, 0.3, 3.0, 0.02, 24.0, .limit = 24.0, .contacts = 3.0},
};

enum { RECIPES = sizeof recipes / sizeof recipes[0] };

// What is said; the figures of a window move with its ends.
static uint64_t judged(const struct verdict_limits *limits) {
    struct bits b = {0};
    verdict_judge(&record.input, limits, &record.result);
    add_result(&b, &record.result);
    return b.hash;
}

// A number that decides: a limit, or one of the input.
struct knob {
    struct verdict_limits limits;
    double *number;
};

// The value of a number, between the usual and another, at which what is said changes: the first
// double that changes it. NaN: none does.
static double edge(struct knob *k, double to) {
    const double usual = *k->number;
    const uint64_t said = judged(&k->limits);
    *k->number = to;
    double same = usual, other = judged(&k->limits) == said ? (double)NAN : to;
    for (int i = 0; i < 80 && !isnan(other); i++) {
        const double middle = 0.5 * (same + other);
        if (middle == same || middle == other) {
            break;
        }
        *k->number = middle;
        *(judged(&k->limits) == said ? &same : &other) = middle;
    }
    *k->number = usual;
    return other;
}

// `exact`: no logarithm stands behind it, which rounds by the machine.
static void pin_edges(const char *name, struct knob *k, bool exact) {
    const double usual = *k->number, end[] = {usual / 3.0, 3.0 * usual};
    for (int side = 0; side < 2; side++) {
        const double at = usual > 0.0 ? edge(k, end[side]) : edge(k, side ? 2.0 : -2.0);
        char whole[PINNED_NAME];
        snprintf(whole, sizeof whole, "%s %s", name, side ? "up" : "down");
        if (!isnan(at) && exact) {
            pin_last_place(whole, at);
        } else if (!isnan(at)) {
            pin(whole, at, 1e-10);
        }
    }
}

static bool of_logarithms(size_t limit) {
#define FROM(field) (offsetof(struct verdict_limits, field) / sizeof(double))
    return limit == FROM(ringing_damping) || limit == FROM(sustained_damping) ||
           (limit >= FROM(trend_scatter) && limit <= FROM(trend_reach)) ||
           (limit >= FROM(change_least) && limit <= FROM(change_persists));
}

static void test_verdicts(void **state) {
    (void)state;
    const struct verdict_limits limits = verdict_limits_default();
    for (int i = 0; i < RECIPES; i++) {
        struct digest d = {0};
        struct bits said = {0};
        double value[offsetof(struct verdict_figures, seat_contacts) / sizeof(double)];
        cook(&recipes[i]);
        verdict_judge(&record.input, &limits, &record.result);
        add_result(&said, &record.result);
        memcpy(value, &record.result.figures, sizeof value);
        digest_add_all(&d, value, sizeof value / sizeof value[0], 1e-9);
        char name[PINNED_NAME];
        snprintf(name, sizeof name, "record %d, %s", i, verdict_name(record.result.verdict));
        pin_bits(name, &said);
        snprintf(name, sizeof name, "record %d, figures", i);
        pin_digest(name, &d, 1e-7);
    }
}

// Up to a third and three times each, beyond the next whole number of what is counted. A double
// differs by one in its last place where `<` has become `<=`.
static void test_limits(void **state) {
    (void)state;
    for (int i = 0; i < RECIPES; i++) {
        cook(&recipes[i]);
        for (size_t l = 0; l < LIMITS; l++) {
            struct knob k = {.limits = verdict_limits_default()};
            k.number = (double *)(void *)&k.limits + l;
            char name[PINNED_NAME / 2];
            snprintf(name, sizeof name, "record %d, limit %zu", i, l);
            pin_edges(name, &k, !of_logarithms(l));
        }
    }
}

// Two windows that agree just so: by their mean, their scatter or their swing.
static void test_windows(void **state) {
    (void)state;
    for (int i = 0; i < 60; i++) {
        const enum shape shape = i % 3 == 0 ? BEAT : NOISE;
        const struct recipe r = {.shape = shape,
                                 .size = i % 4 ? 0.02 : 5e-4,
                                 .travel = i % 5 ? 0.1 : 5e-4,
                                 .rate = 0.1 * (i % 7),
                                 .frequency = 3.0 + 0.125 * (i % 6),
                                 .step = 0.02,
                                 .end = 7.0 + 0.375 * i,
                                 .limit = i % 2 ? 7.0 + 0.375 * i : 100.0,
                                 .contacts = i % 6 == 1 ? 1.0 : 0.0};
        cook(&r);
        for (int l = 0; l < 3; l++) {
            struct knob k = {.limits = verdict_limits_default()};
            k.number = l == 0   ? &k.limits.irregular_tolerance
                       : l == 1 ? &k.limits.steady_pressure
                                : &k.limits.steady_travel;
            char name[PINNED_NAME / 2];
            snprintf(name, sizeof name, "windows %d, limit %d", i, l);
            pin_edges(name, &k, true);
        }
    }
}

// What is refused: no scale, no travel, no time, and what is no number.
static void test_refusals(void **state) {
    (void)state;
    const struct verdict_limits limits = verdict_limits_default();
    struct verdict_input *in = &record.input;
    double *const number[] = {&in->pressure_scale,
                              &in->rated_travel,
                              &in->from,
                              &in->limit,
                              &in->schedule_period,
                              &in->period_hint,
                              &in->motion.pressure.step,
                              &in->motion.travel.step,
                              &in->motion.travel.start,
                              &record.pressure[3],
                              &record.travel[5]};
    const double value[] = {0.0, -1e-300, 1e-300, -1.0, (double)NAN, (double)INFINITY};
    struct bits b = {0};
    for (int n = 0; n < 11; n++) {
        for (int k = 0; k < 6; k++) {
            cook(&recipes[1]);
            *number[n] = value[k];
            if (n == 7) { // both as long, or as short
                in->motion.pressure.step = value[k];
            }
            bits_add(&b, verdict_judge(in, &limits, &record.result));
            add_result(&b, &record.result);
        }
    }
    pin_bits("refusals", &b);
}

static void test_input(void **state) {
    (void)state;
    struct verdict_input *in = &record.input;
    double *const number[] = {&in->pressure_scale, &in->rated_travel,    &in->from,
                              &in->limit,          &in->schedule_period, &in->period_hint};
    for (int i = 0; i < RECIPES; i++) {
        cook(&recipes[i]);
        for (int n = 0; n < 6; n++) {
            struct knob k = {verdict_limits_default(), number[n]};
            char name[PINNED_NAME / 2];
            snprintf(name, sizeof name, "record %d, input %d", i, n);
            pin_edges(name, &k, false);
        }
    }
}

// Whole and torn records, of every length that is too short, of one sample more and less at either
// end of what is judged.
static void test_lengths(void **state) {
    (void)state;
    const struct verdict_limits limits = verdict_limits_default();
    for (int i = 0; i < RECIPES; i += 3) {
        struct bits b = {0};
        cook(&recipes[i]);
        const size_t count = record.input.motion.pressure.count;
        for (size_t k = 0; k < 12; k++) {
            const size_t now = k < 6 ? k : count * k / 12;
            record.input.motion.pressure.count = record.input.motion.travel.count = now;
            record.input.limit = k % 2 ? recipes[i].limit : recipes[i].step * (double)now;
            verdict_judge(&record.input, &limits, &record.result);
            add_result(&b, &record.result);
        }
        char name[PINNED_NAME];
        snprintf(name, sizeof name, "record %d, cut short", i);
        pin_bits(name, &b);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_verdicts), cmocka_unit_test(test_limits),
        cmocka_unit_test(test_windows),  cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_input),    cmocka_unit_test(test_lengths),
        cmocka_unit_test(pinned_close),
    };
    pinned_name = "verdict";
    return cmocka_run_group_tests(tests, pinned_open, NULL);
}
