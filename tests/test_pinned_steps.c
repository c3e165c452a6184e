// SPDX-License-Identifier: MIT
// Whether steps of the one-step method still go where they went, and end where they ended; modes of
// small matrices; what is asked for when nobody asks. Problems are of sums and products alone.
// Figures of our own (fixture_pinned.h): they show a change, and no more.
#include "fixture_pinned_bits.h"

#include "solve/linearise.h"
#include "solve/rosenbrock.h"
#include "solve/rosenbrock_table.h"

// --- The one-step method

// y' = A y - y^3 componentwise, with totals of the first ones; no state above `wall`.
struct problem {
    int count, driving, calls;
    double a[20][20], wall, moving;
};

static int rates(void *context, double time, const double *y, double *f) {
    struct problem *p = context;
    p->calls++;
    for (int i = 0; i < p->count; i++) {
        f[i] = i < p->driving ? p->moving * time - y[i] * y[i] * y[i] : 0.0;
        for (int k = 0; k < p->driving; k++) {
            f[i] += p->a[i][k] * y[k];
        }
        if (i < p->driving && y[i] > p->wall) {
            return 1;
        }
    }
    return 0;
}

static int slopes(void *context, double time, const double *y, double *row) {
    const struct problem *p = context;
    (void)time;
    for (int i = 0; i < p->count; i++) {
        for (int k = 0; k < p->driving; k++) {
            row[i * p->driving + k] = p->a[i][k] - (i == k ? 3.0 * y[i] * y[i] : 0.0);
        }
    }
    return 0;
}

static int time_slopes(void *context, double time, const double *y, double *slope, bool *zero) {
    const struct problem *p = context;
    (void)time;
    (void)y;
    for (int i = 0; i < p->count; i++) {
        slope[i] = i < p->driving ? p->moving : 0.0;
    }
    *zero = p->moving == 0.0;
    return 0;
}

static struct rosenbrock_problem pose(struct problem *p, int driving, int totals) {
    static double absolute[20];
    *p = (struct problem){.count = driving + totals,
                          .driving = driving,
                          .wall = 1e30,
                          .moving = driving % 3 ? 0.5 : 0.0};
    seed = (unsigned)driving;
    for (int i = 0; i < p->count; i++) {
        for (int k = 0; k < driving; k++) {
            p->a[i][k] = draw() - (i == k ? 2.0 : 0.0);
        }
        absolute[i] = 1e-9 * (1 + i);
    }
    return (struct rosenbrock_problem){.context = p,
                                       .count = p->count,
                                       .driving = driving,
                                       .rates = rates,
                                       .slopes = slopes,
                                       .time_slopes = driving % 2 ? time_slopes : NULL,
                                       .relative = 1e-7,
                                       .absolute = absolute,
                                       .smallest = 1e-12};
}

static void add_counts(struct bits *b, const struct rosenbrock *m) {
    const struct rosenbrock_counts c = rosenbrock_counts(m);
    const double count[] = {(double)c.steps, (double)c.rate_calls, (double)c.slope_calls,
                            (double)c.rejected, (double)c.impossible};
    for (int i = 0; i < 5; i++) {
        bits_add(b, count[i]);
    }
}

// A tolerance that allows all keeps the length of the steps: digits to the last.
static void test_steps_of_one_length(void **state) {
    (void)state;
    for (int n = 1; n <= 17; n++) {
        struct problem p;
        struct rosenbrock_problem problem = pose(&p, n, n % 4 ? 3 - n % 3 : 0);
        problem.relative = 1e6;
        problem.largest = 0.0625;
        struct rosenbrock *m = rosenbrock_new(&problem, 1.0);
        struct bits b = {0};
        double y[20], between[20], time = 0.0;
        for (int i = 0; i < 20; i++) {
            y[i] = 0.125 * (i % 5);
        }
        for (int k = 0; k < 5; k++) {
            assert_true(rosenbrock_step(m, &time, y, 0.25));
            bits_add(&b, time + rosenbrock_begun(m) + 4.0 * rosenbrock_taken(m));
            rosenbrock_between(m, 0.375, between);
            for (int i = 0; i < p.count; i++) {
                bits_add(&b, y[i]);
                bits_add(&b, between[i]);
            }
            time = time >= 0.25 ? 0.0 : time;
        }
        add_counts(&b, m);
        rosenbrock_free(m);
        close_bits("steps", n, &b);
    }
}

// What is tried, refused and cut short: first steps on either side of what is left to the stop and
// of half of it; a wall; a matrix that is singular; steps that would be too short.
static void test_lengths_of_steps(void **state) {
    (void)state;
    static const double first[] = {1.0 * (1.0 - 1e-6), 1.0, 0.5, 0.50001, 0.75, 2.0, 1e-3, 100.0};
    for (int i = 0; i < 24; i++) {
        struct problem p;
        struct rosenbrock_problem problem = pose(&p, 3, 1);
        problem.relative = i < 8 ? 1e9 : 1e-7;
        problem.largest = i % 3 == 2 ? 0.5 : 0.0;
        problem.smallest = i >= 20 ? 1e-3 : 1e-12;
        p.wall = i >= 16 ? 0.6 : 1e30;
        if (i == 15) { // as its first matrix is singular
            memset(p.a, 0, sizeof p.a);
            p.a[0][0] = p.a[1][1] = p.a[2][2] = 1.0 / (100.0 * gamma_);
        }
        struct rosenbrock *m = rosenbrock_new(&problem, first[i % 8]);
        struct digest d = {0};
        double y[20] = {i == 15 ? 0.0 : 0.5, i == 15 ? 0.0 : 0.25}, time = 0.0;
        const double stop = i == 15 ? 1e9 : 1.0;
        for (int k = 0; k < 12; k++) {
            digest_add(&d, rosenbrock_step(m, &time, y, stop), 1.0);
            digest_add_all(&d, (const double[]){time, rosenbrock_taken(m)}, 2, 1e-9);
            digest_add_all(&d, y, 4, 1e-9);
            time = time >= stop ? 0.0 : time;
        }
        const struct rosenbrock_counts c = rosenbrock_counts(m);
        const double count[] = {(double)c.steps, (double)c.rate_calls, (double)c.slope_calls,
                                (double)c.rejected, (double)c.impossible};
        digest_add_all(&d, count, 5, 1e-3);
        rosenbrock_free(m);
        char name[PINNED_NAME];
        snprintf(name, sizeof name, "lengths %d", i);
        pin_digest(name, &d, 1e-6);
    }
    struct problem p;
    struct rosenbrock_problem problem = pose(&p, 3, 1);
    const int orders[] = {0, 255, 256, 257};
    for (int i = 0; i < 4; i++) {
        problem.count = problem.driving = orders[i];
        struct rosenbrock *m = rosenbrock_new(&problem, 1.0);
        pin_count(i == 0   ? "order 0"
                  : i == 1 ? "order 255"
                  : i == 2 ? "order 256"
                           : "order 257",
                  m != NULL);
        rosenbrock_free(m);
    }
}

// Against a wall from the first: the step shrinks to a fifth until the time no longer feels it, and
// of the lengths on the way one lies between what a time of 1 feels upward and what downward.
static void test_steps_that_vanish(void **state) {
    (void)state;
    struct problem p;
    struct rosenbrock_problem problem = pose(&p, 3, 0);
    problem.smallest = 1e-300;
    p.wall = 0.0;
    struct rosenbrock *m = rosenbrock_new(&problem, 0.8e-16 * 95367431640625.0);
    double y[3] = {-1e-3, -1.0, -1.0}, time = 1.0;
    p.a[0][0] = 0.0;
    p.moving = 1e30; // but where it begins every state lies behind the wall
    pin_count("a step that vanishes", rosenbrock_step(m, &time, y, 2.0));
    pin_count("steps that vanish", rosenbrock_counts(m).rejected);
    rosenbrock_free(m);
}

// --- What is asked for when nobody asks

static void test_defaults(void **state) {
    (void)state;
    const struct integrate_options o = integrate_options_default();
    pin("end", o.end, 0.0);
    pin("sample interval", o.sample_interval, 0.0);
    pin("relative tolerance", o.relative_tolerance, 0.0);
    pin("initial step", o.initial_step, 0.0);
    pin_count("flags", o.adams + 2 * o.rosenbrock + 4 * (o.max_step != 0.0));
    pin_count("most steps", o.max_steps);
    pin_count("order", o.max_order);
    // A run for which there was no memory.
    assert_false(integrate_continue(NULL, 1.0));
    assert_true(integrate_time(NULL) == 0.0);
    assert_int_equal(integrate_close(NULL).status, INTEGRATE_NO_MEMORY);
}

static void test_modes_of_matrices(void **state) {
    (void)state;
    for (int n = 1; n <= 6; n++) {
        double a[36];
        struct linear_modes modes;
        struct digest d = {0};
        seed = 40 + (unsigned)n;
        for (int i = 0; i < n * n; i++) {
            a[i] = 10.0 * draw() + (i % (n + 1) == 0 ? 2.0 - 2.0 * i : 0.0);
        }
        digest_add(&d, linearise_eigenvalues(n, a, &modes), 1.0);
        digest_add(&d, (double)modes.count, 1.0);
        for (size_t i = 0; i < modes.count; i++) {
            digest_add_all(&d,
                           (const double[]){modes.at[i].growth, modes.at[i].frequency,
                                            modes.at[i].damping_ratio},
                           3, 1e-3);
        }
        const struct linear_mode *one[] = {linearise_leading(&modes), linearise_ringing(&modes)};
        for (int i = 0; i < 2; i++) {
            digest_add(&d, one[i] ? one[i]->growth + 7.0 * one[i]->frequency : 0.0, 1e-3);
        }
        digest_add(&d, linearise_zero(&modes), 1e-12);
        a[n * n - 1] = (double)NAN;
        digest_add(&d, linearise_eigenvalues(n, a, &modes), 1.0);
        char name[PINNED_NAME];
        snprintf(name, sizeof name, "modes %d", n);
        pin_digest(name, &d, 1e-7);
    }
    struct linear_modes hand = {.count = 3,
                                .at = {{1e-8, 0.0, -1.0}, {1e-9, 0.0, -1.0}, {-1.0, 0.0, 1.0}}};
    assert_null(linearise_leading(&hand)); // as large as what counts as zero, and no larger
    assert_null(linearise_ringing(&hand));
    hand.at[0].growth = 1.1e-8;
    assert_ptr_equal(linearise_leading(&hand), &hand.at[0]);
    assert_ptr_equal(linearise_ringing(&hand), &hand.at[0]);
    hand.at[0] = (struct linear_mode){1.0, 2.0, -0.1};
    hand.at[1] = (struct linear_mode){1.0, 3.0, -0.1};
    assert_ptr_equal(linearise_leading(&hand), &hand.at[0]); // of two as large the first
    assert_ptr_equal(linearise_ringing(&hand), &hand.at[0]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_steps_of_one_length), cmocka_unit_test(test_lengths_of_steps),
        cmocka_unit_test(test_steps_that_vanish),   cmocka_unit_test(test_defaults),
        cmocka_unit_test(test_modes_of_matrices),   cmocka_unit_test(pinned_close),
    };
    pinned_name = "steps";
    return cmocka_run_group_tests(tests, pinned_open, NULL);
}
