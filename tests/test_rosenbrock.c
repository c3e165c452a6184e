// SPDX-License-Identifier: MIT
// The one-step method against problems whose solution is known. Marks: E exact solution; S order as
// the source of the method states it.
#include "support.h"

#include "solve/rosenbrock.h"

#include <stdlib.h>

static const double allow_all[3] = {1e30, 1e30, 1e30};

// Prothero and Robinson's problem: y' = -k (y - cos t) - sin t, y = cos t whatever k; with a total
// of y that drives nothing.
static int pr_rates(void *context, double t, const double *y, double *f) {
    const double k = *(double *)context;
    f[0] = -k * (y[0] - cos(t)) - sin(t);
    f[1] = y[0];
    return 0;
}

static int pr_slopes(void *context, double t, const double *y, double *row) {
    (void)t;
    (void)y;
    row[0] = -*(double *)context;
    row[1] = 1.0;
    return 0;
}

static int pr_time(void *context, double t, const double *y, double *slope, bool *zero) {
    (void)y;
    slope[0] = -*(double *)context * sin(t) - cos(t);
    slope[1] = 0.0;
    *zero = false;
    return 0;
}

// A pendulum of large swing: y'' = -sin y, not linear and not stiff; energy holds exactly.
static int swing_rates(void *context, double t, const double *y, double *f) {
    (void)context;
    (void)t;
    f[0] = y[1];
    f[1] = -sin(y[0]);
    return 0;
}

static int swing_slopes(void *context, double t, const double *y, double *row) {
    (void)context;
    (void)t;
    row[0] = row[3] = 0.0;
    row[1] = 1.0;
    row[2] = -cos(y[0]);
    return 0;
}

// With steps of one length to 1 s: errors at the end and, of the continuous solution, in the
// middle of the last step. A tolerance that allows all keeps the length.
static void fixed(struct rosenbrock_problem *p, int steps, double *y, double *middle) {
    p->absolute = allow_all;
    p->relative = 1.0;
    p->largest = 1.0 / steps;
    struct rosenbrock *m = rosenbrock_new(p, p->largest);
    assert_non_null(m);
    double t = 0.0;
    while (t < 1.0) {
        assert_true(rosenbrock_step(m, &t, y, 1.0));
    }
    assert_int_equal(rosenbrock_counts(m).rejected, 0);
    rosenbrock_between(m, 0.5, middle);
    rosenbrock_free(m);
}

static void test_order_on_a_stiff_problem_of_known_solution(void **state) {
    (void)state; // E, S
    double k = 1.0, error[2], total[2], inside[2];
    struct rosenbrock_problem p = {&k, 2, 1, pr_rates, pr_slopes, pr_time, 0, NULL, 1e-12, 0};
    for (int i = 0; i < 2; i++) {
        double y[2] = {1.0, 0.0}, middle[2];
        const int steps = 8 << i;
        fixed(&p, steps, y, middle);
        error[i] = fabs(y[0] - cos(1.0));
        total[i] = fabs(y[1] - sin(1.0));
        inside[i] = fabs(middle[0] - cos(1.0 - 0.5 / steps));
    }
    print_message("order %.2f, of the total %.2f, inside %.2f\n", log2(error[0] / error[1]),
                  log2(total[0] / total[1]), log2(inside[0] / inside[1]));
    assert_true(log2(error[0] / error[1]) > 4.7);
    assert_true(log2(total[0] / total[1]) > 4.7);
    assert_true(log2(inside[0] / inside[1]) > 3.8);
    // Stiff beyond any explicit method: still exact to the order that stiffness leaves.
    k = 1e6;
    double y[2] = {1.0, 0.0}, middle[2];
    fixed(&p, 16, y, middle);
    assert_close(y[0], cos(1.0), 1e-9, 0.0);
}

static void test_order_on_a_pendulum(void **state) {
    (void)state; // S; the end by steps so short that only rounding is left
    double fine[2] = {1.5, 0.0}, middle[2], error[2];
    struct rosenbrock_problem p = {NULL, 2, 2, swing_rates, swing_slopes, NULL, 0, NULL, 1e-12, 0};
    fixed(&p, 1024, fine, middle);
    assert_close(0.5 * fine[1] * fine[1] - cos(fine[0]), -cos(1.5), 0.0, 1e-13); // E
    for (int i = 0; i < 2; i++) {
        double y[2] = {1.5, 0.0};
        fixed(&p, 8 << i, y, middle);
        error[i] = hypot(y[0] - fine[0], y[1] - fine[1]);
    }
    print_message("order %.2f\n", log2(error[0] / error[1]));
    assert_true(log2(error[0] / error[1]) > 4.7);
}

// The step follows the tolerance, and the error the step.
static void test_tolerance_is_kept(void **state) {
    (void)state; // E: energy
    for (double tolerance = 1e-4; tolerance > 1e-10; tolerance *= 1e-2) {
        const double absolute[2] = {tolerance, tolerance};
        struct rosenbrock_problem p = {NULL, 2,         2,        swing_rates, swing_slopes,
                                       NULL, tolerance, absolute, 1e-12,       0};
        struct rosenbrock *m = rosenbrock_new(&p, 1e-6);
        double t = 0.0, y[2] = {1.5, 0.0};
        while (t < 100.0) {
            assert_true(rosenbrock_step(m, &t, y, 100.0));
        }
        assert_close(t, 100.0, 0.0, 0.0);
        assert_close(0.5 * y[1] * y[1] - cos(y[0]), -cos(1.5), 0.0, 200.0 * tolerance);
        print_message("tolerance %g: %ld steps, %ld rejected\n", tolerance,
                      rosenbrock_counts(m).steps, rosenbrock_counts(m).rejected);
        rosenbrock_free(m);
    }
}

// A state that creeps, and one that follows it by a root, as a pressure does through a short hole;
// within `width` of it by a straight line.
static int follow_rates(void *context, double t, const double *y, double *f) {
    (void)t;
    const double width = *(double *)context, drop = y[0] - y[1];
    f[0] = -0.01 * y[0];
    f[1] = 200.0 * drop / sqrt(sqrt(drop * drop + width * width));
    return 0;
}

static int follow_slopes(void *context, double t, const double *y, double *row) {
    (void)t;
    const double width = *(double *)context, drop = y[0] - y[1];
    const double square = drop * drop + width * width;
    row[0] = -0.01;
    row[1] = 0.0;
    row[2] = 200.0 * (0.5 * drop * drop + width * width) / (square * sqrt(sqrt(square)));
    row[3] = -row[2];
    return 0;
}

// From however far the follower begins, a minute of creeping takes few steps. (Where a step too
// long for the root could end where it began it took 240,000.)
static void test_a_follower_does_not_hold_the_step(void **state) {
    (void)state; // E: y = exp(-t/100) for both, and the drop by which the second then lags
    const double tolerance = 3e-5, absolute[2] = {0.1 * tolerance, 0.1 * tolerance};
    long most = 0;
    for (double width = 1e-10; width < 2e-4; width *= 10.0) {
        for (double begun = 1e-3; begun > 5e-9; begun *= 0.1) {
            struct rosenbrock_problem p = {&width, 2,         2,        follow_rates, follow_slopes,
                                           NULL,   tolerance, absolute, 1e-13,        0};
            struct rosenbrock *m = rosenbrock_new(&p, 1e-6);
            double t = 0.0, y[2] = {1.0, 1.0 + begun};
            while (t < 60.0 && rosenbrock_counts(m).steps < 2000) {
                assert_true(rosenbrock_step(m, &t, y, 60.0));
            }
            const long steps = rosenbrock_counts(m).steps;
            most = steps > most ? steps : most;
            rosenbrock_free(m);
            assert_close(t, 60.0, 0.0, 0.0);
            assert_close(y[0], exp(-0.6), 10.0 * tolerance, 0.0);
            assert_close(y[1], y[0], 10.0 * tolerance, 0.0);
        }
    }
    print_message("%ld steps at most\n", most);
    assert_true(most < 500);
}

// A state beyond which there is none: y' = 1/(2 y) for y < 2 only.
static int wall_rates(void *context, double t, const double *y, double *f) {
    (void)context;
    (void)t;
    f[0] = 1.0;
    return y[0] > 2.0;
}

static int wall_slopes(void *context, double t, const double *y, double *row) {
    (void)context;
    (void)t;
    row[0] = 0.0;
    return y[0] > 2.0;
}

static void test_a_wall_is_a_failure(void **state) {
    (void)state; // E
    const double absolute[1] = {1e-6};
    struct rosenbrock_problem p = {NULL, 1,    1,        wall_rates, wall_slopes,
                                   NULL, 1e-6, absolute, 1e-9,       0};
    struct rosenbrock *m = rosenbrock_new(&p, 0.1);
    double t = 0.0, y[1] = {0.0};
    while (rosenbrock_step(m, &t, y, 10.0)) {
        assert_true(t < 2.1);
    }
    assert_close(t, 2.0, 1e-6, 0.0);
    rosenbrock_free(m);
}

// y' = H D H y with D of rates -1 to -1000 1/s and H a mirror, so exact at any size; and its total.
enum { MIRRORED_MAX = 17 };

static double rate_of(int i, int n) {
    return -pow(10.0, 3.0 * i / n);
}

// H x, H = I - 2 v v'/(v' v) with v = 1, 2, ... n.
static void mirror(int n, const double *x, double *out) {
    double along = 0.0, square = 0.0;
    for (int i = 0; i < n; i++) {
        along += (i + 1) * x[i];
        square += (i + 1) * (i + 1);
    }
    for (int i = 0; i < n; i++) {
        out[i] = x[i] - 2.0 * along / square * (i + 1);
    }
}

static int mirrored_rates(void *context, double t, const double *y, double *f) {
    const int n = *(int *)context;
    double x[MIRRORED_MAX];
    (void)t;
    mirror(n, y, x);
    for (int i = 0; i < n; i++) {
        x[i] *= rate_of(i, n);
    }
    mirror(n, x, f);
    f[n] = 0.0;
    for (int i = 0; i < n; i++) {
        f[n] += y[i];
    }
    return 0;
}

static int mirrored_slopes(void *context, double t, const double *y, double *row) {
    const int n = *(int *)context;
    (void)y;
    for (int c = 0; c < n; c++) {
        double unit[MIRRORED_MAX] = {0.0}, column[MIRRORED_MAX + 1];
        unit[c] = 1.0;
        mirrored_rates(context, t, unit, column);
        for (int r = 0; r <= n; r++) {
            row[r * n + c] = column[r];
        }
    }
    return 0;
}

// The work is compiled apart for the usual sizes: each is held to the exact solution.
static void test_every_size(void **state) {
    (void)state; // E
    for (int n = 1; n <= MIRRORED_MAX; n++) {
        double absolute[MIRRORED_MAX + 1], y[MIRRORED_MAX + 1] = {0.0}, x[MIRRORED_MAX] = {0.0};
        struct rosenbrock_problem p = {&n,   n + 1, n,        mirrored_rates, mirrored_slopes,
                                       NULL, 1e-8,  absolute, 1e-12,          0};
        for (int i = 0; i <= n; i++) {
            absolute[i] = 1e-10;
            y[i] = i < n ? 1.0 + 0.1 * i : 0.0;
        }
        mirror(n, y, x);
        double total[MIRRORED_MAX], exact[MIRRORED_MAX] = {0.0}, sum = 0.0;
        for (int i = 0; i < n; i++) {
            total[i] = x[i] * expm1(rate_of(i, n)) / rate_of(i, n);
            x[i] *= exp(rate_of(i, n));
        }
        mirror(n, x, exact);
        mirror(n, total, x);
        struct rosenbrock *m = rosenbrock_new(&p, 1e-4);
        assert_non_null(m);
        for (double t = 0.0; t < 1.0;) {
            assert_true(rosenbrock_step(m, &t, y, 1.0));
        }
        for (int i = 0; i < n; i++) {
            assert_close(y[i], exact[i], 1e-6, 1e-8);
            sum += x[i];
        }
        assert_close(y[n], sum, 1e-6, 1e-8);
        rosenbrock_free(m);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_order_on_a_stiff_problem_of_known_solution),
        cmocka_unit_test(test_order_on_a_pendulum),
        cmocka_unit_test(test_tolerance_is_kept),
        cmocka_unit_test(test_a_follower_does_not_hold_the_step),
        cmocka_unit_test(test_a_wall_is_a_failure),
        cmocka_unit_test(test_every_size),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
