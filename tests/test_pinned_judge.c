// SPDX-License-Identifier: MIT
// Whether the judge still says what it said of a crowd of records, and its parts of made-up cycles,
// turning points and pieces of a series, on the samples and between them. Figures of our own
// (fixture_pinned.h): they show a change, and no more.
#include "fixture_pinned_records.h"

#include "judge/turning.h"
#include "judge/verdict_schedule.h"

static unsigned long long seed;

static double between(double low, double high) {
    return low + (high - low) * fixture_random(&seed);
}

// By its logarithm, and without the last digits of that.
static double over(double low, double high) {
    return coarse(low * exp(log(high / low) * fixture_random(&seed)), 0x1p-30);
}

static void close_bits(const char *name, int i, struct bits *b) {
    char whole[PINNED_NAME];
    snprintf(whole, sizeof whole, "%s %d", name, i);
    pin_bits(whole, b);
    *b = (struct bits){0};
}

static struct recipe draw_recipe(void) {
    struct recipe r = {.shape = (enum shape)(SHAPES * fixture_random(&seed)),
                       .size = over(3e-4, 0.1),
                       .rate = over(0.02, 1.5),
                       .frequency = over(0.4, 5.0),
                       .step = 0.02,
                       .end = over(1.5, 16.0)};
    r.travel = r.size * over(0.3, 6.0);
    r.limit = fixture_random(&seed) < 0.4 ? r.end : 100.0;
    r.from = fixture_random(&seed) < 0.3 ? between(0.0, 0.3 * r.end) : 0.0;
    if (fixture_random(&seed) < 0.2) {
        r.period = floor(between(1.0, 5.0)) / r.frequency;
    }
    if (fixture_random(&seed) < 0.25) {
        r.contacts = over(0.1, 8.0);
        r.unevenly = fixture_random(&seed) < 0.5 ? 0.0 : between(0.0, 0.9);
    }
    r.level = over(1e-3, 0.5);
    r.hint = fixture_random(&seed) < 0.2 ? between(0.1, 1.0) : 0.0;
    return r;
}

static void test_crowd(void **state) {
    (void)state;
    const struct verdict_limits limits = verdict_limits_default();
    struct bits b = {0};
    int kinds[VERDICT_COUNT] = {0};
    seed = 17;
    for (int i = 0; i < 4000; i++) {
        const struct recipe r = draw_recipe();
        cook(&r);
        verdict_judge(&record.input, &limits, &record.result);
        add_result(&b, &record.result);
        kinds[record.result.verdict]++;
        if (i % 40 == 39) {
            close_bits("crowd", i / 40, &b);
        }
    }
    for (int i = 0; i <= VERDICT_UNDECIDED; i++) { // all that a record can show
        assert_true(kinds[i] > 5);
    }
}

// Decays to rest, toward a cycle, and down to one: whether their end is foretold.
static void test_decays(void **state) {
    (void)state;
    const struct verdict_limits limits = verdict_limits_default();
    static const enum shape shape[] = {DAMPED, TOWARD, WEARS};
    struct bits b = {0};
    seed = 19;
    for (int i = 0; i < 3000; i++) {
        struct recipe r = draw_recipe();
        r.shape = shape[i % 3];
        r.level = over(3e-4, 0.05);
        r.rate = over(0.2, 1.2);
        r.size = over(5e-3, 0.05);
        r.end = over(1.5, 9.0);
        r.frequency = between(2.0, 5.0);
        r.contacts = r.period = r.from = 0.0;
        cook(&r);
        verdict_judge(&record.input, &limits, &record.result);
        add_result(&b, &record.result);
        if (i % 50 == 49) {
            close_bits("decays", i / 50, &b);
        }
    }
}

// The table as it is told.
static void test_table(void **state) {
    (void)state;
    const struct verdict_limits limits = verdict_limits_default();
    struct bits b = {0};
    FILE *file = tmpfile();
    assert_non_null(file);
    assert_int_equal(verdict_limits_print(file, &limits), 0);
    rewind(file);
    for (int c = fgetc(file); c != EOF; c = fgetc(file)) {
        bits_add(&b, c);
    }
    fclose(file);
    close_bits("table", 0, &b);
}

// Cycles that grow, shrink, level out, alternate and scatter.
static void test_cycles(void **state) {
    (void)state;
    static struct cycles c;
    const struct verdict_limits limits = verdict_limits_default();
    struct bits b = {0};
    seed = 23;
    for (int i = 0; i < 1500; i++) {
        c.count = (size_t)between(1.0, i % 10 ? 40.0 : CYCLES_MAX + 0.9);
        c.total = c.count + (size_t)(i % 3 ? 0.0 : between(0.0, 300.0));
        const double drift = over(1e-5, 0.3), bent = between(0.0, 2.0) / (double)c.count;
        const double noisy = over(1e-7, 1e-2);
        const size_t kinds = 1 + (size_t)between(0.0, 4.9);
        for (size_t k = 0; k < c.count; k++) {
            const double n = (double)k,
                         size = 1.0 + drift * (bent > 0.0 ? 1.0 - exp(-bent * n) : n) +
                                noisy * between(-1.0, 1.0) + 0.1 * (double)(k % kinds);
            const bool seat = i % 5 == 0 && k % 2 == 0, stop = i % 7 == 0;
            c.cycle[k] = (struct cycle){n,
                                        1.0 + noisy * between(-1.0, 1.0),
                                        coarse(1e3 * size, 0x1p-10),
                                        coarse(-1e3 * size, 0x1p-10),
                                        0.01 + 1e-3 * size,
                                        0.01 - 1e-3 * size,
                                        seat,
                                        stop,
                                        seat ? 0.2 * size : 0.0};
        }
        const struct cycles_tolerance t = {0.01, 0.5, i % 2 ? 1.0 : 30.0, 1e-6, 1e-3};
        const size_t pattern = cycles_pattern(&c, &limits, &t);
        bits_add(&b, (double)pattern);
        for (size_t p = 1; p <= 2 && p <= c.count; p++) {
            bits_add(&b, cycles_still_changing(&c, p, &limits, i % 2));
        }
        if (i % 50 == 49) {
            close_bits("cycles", i / 50, &b);
        }
    }
}

static void add_trend(struct digest *d, const struct trend *t) {
    digest_add_all(d,
                   (const double[]){(double)t->swings, t->rate, t->early_rate, t->late_rate,
                                    t->scatter, t->change, t->frequency, t->spacing,
                                    t->damping_ratio, t->swing, t->time, t->start,
                                    t->centre_change},
                   13, 1e-6);
}

static void test_turning_points(void **state) {
    (void)state;
    static struct turning_points points;
    const struct verdict_limits limits = verdict_limits_default();
    struct digest d = {0};
    seed = 29;
    for (int i = 0; i < 120; i++) {
        struct recipe r = draw_recipe();
        r.frequency = i % 6 ? r.frequency : 6.0; // more than are kept
        cook(&r);
        const struct series *s = &record.input.motion.pressure;
        turning_points_find(s, i % 4 ? over(0.5, 300.0) : 0.0, &limits, &points);
        digest_add(&d, (double)points.count, 1.0);
        digest_add_all(&d, points.time, points.count, 1e-3);
        digest_add_all(&d, points.value, points.count, 1.0);
        for (size_t n = 0; n < 9; n++) {
            const struct trend t = trend_find(&points, n * n);
            add_trend(&d, &t);
        }
        static struct cycles c;
        cycles_find(&record.input.motion, s, &limits, &c);
        digest_add(&d, (double)(c.total + 1000 * c.count), 1.0);
        for (size_t k = 0; k < c.count; k++) {
            const struct cycle *n = &c.cycle[k];
            digest_add_all(&d,
                           (const double[]){n->start, n->period, n->pressure_high, n->pressure_low,
                                            n->travel_high, n->travel_low, n->seat_speed,
                                            (double)(n->seat_contacts + 100 * n->stop_contacts)},
                           8, 1e-3);
        }
        if (i % 10 == 9) {
            char name[PINNED_NAME];
            snprintf(name, sizeof name, "turning points %d", i / 10);
            pin_digest(name, &d, 1e-6);
            d = (struct digest){0};
        }
    }
}

static void add_series(struct bits *b, struct series s) {
    bits_add(b, (double)s.count);
    bits_add(b, s.start);
    bits_add(b, series_span(&s));
    bits_add(b, series_high(&s));
    bits_add(b, series_low(&s));
    bits_add(b, series_mean(&s));
    bits_add(b, series_deviation(&s));
    bits_add(b, series_path(&s));
    bits_add(b, series_slope(&s));
    bits_add(b, (double)series_first_bad(&s));
}

// On a sample, a hair before and behind it, halfway, at the ends and beyond; of few samples and
// none.
static void test_pieces(void **state) {
    (void)state;
    double value[12] = {1.0, 4.0, 2.0, 2.0, 8.0, -5.0, 0.5, 3.0, 3.0, 7.0, 1.0, 2.0};
    struct contact_event event[6];
    for (int i = 0; i < 6; i++) {
        event[i] = (struct contact_event){0.25 * (i - i % 2), 0.5 + i % 3, 2.0};
    }
    for (int count = 0; count <= 12; count++) {
        struct bits b = {0};
        const struct series s = {value, (size_t)count, 0.5, 0.125};
        const struct contact_list list = {event, (size_t)(count / 2)};
        value[11] = count == 12 ? (double)NAN : 2.0;
        add_series(&b, s);
        for (int k = -8; k < 90; k++) {
            const double hair = k % 3 == 0 ? 0.0 : k % 3 == 1 ? 1e-9 : -1e-5;
            const double time = 0.03125 * k + hair;
            add_series(&b, series_after(&s, time));
            add_series(&b, series_last(&s, time));
            add_series(&b, series_between(&s, time, time + 0.25));
            add_series(&b, series_between(&s, 0.75, time));
            const struct contact_list part = contact_list_between(&list, 0.03125 * k, 1.0);
            const struct contact_list first = contact_list_between(&list, 0.25, 0.03125 * k);
            bits_add(&b, (double)(part.count + 10 * first.count));
            bits_add(&b, contact_list_speed(&part) + contact_list_mean_speed(&first));
        }
        close_bits("pieces", count, &b);
    }
}

// Under a schedule that repeats after one period, after two, and not.
static void test_schedules(void **state) {
    (void)state;
    const struct verdict_limits limits = verdict_limits_default();
    struct bits b = {0};
    seed = 31;
    for (int i = 0; i < 160; i++) {
        struct recipe r = draw_recipe();
        r.period = (1 + i % 3) / r.frequency;
        r.end = between(3.0, 11.0) * r.period;
        r.step = r.period / (i % 2 ? 64.0 : 50.0);
        cook(&r);
        const struct verdict_schedule_view view = {record.input.motion,
                                                   r.step * floor(r.end / r.step), 345.0, 2e-5};
        double window = 0.0;
        bits_add(&b, verdict_schedule_repeats(&view, r.period, &limits, &window));
        bits_add(&b, window);
        bits_add(&b, verdict_schedule_sustained(&view, r.period, &limits) > 0.0);
        if (i % 20 == 19) {
            close_bits("schedules", i / 20, &b);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_crowd),          cmocka_unit_test(test_decays),
        cmocka_unit_test(test_table),          cmocka_unit_test(test_cycles),
        cmocka_unit_test(test_turning_points), cmocka_unit_test(test_pieces),
        cmocka_unit_test(test_schedules),      cmocka_unit_test(pinned_close),
    };
    pinned_name = "judge";
    return cmocka_run_group_tests(tests, pinned_open, NULL);
}
