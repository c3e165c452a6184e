// SPDX-License-Identifier: MIT
// Eigenvalues by our own method against LAPACKE (R, the reference library), closed forms, and
// matrices known to be hard. Errors are allowed in proportion to the norm, as for any method that
// is backward stable (Golub and Van Loan, Matrix Computations, 7.2): the norm times some roundings
// for well separated eigenvalues, the k-th root of that for a defective one of order k.
#include "fixtures.h"
#include "support.h"

#include "scenario/scenario.h"
#include "solve/eigenvalues.h"
#include "solve/linearise.h"

#include <float.h>
#include <stdlib.h>

enum { ROWS_MAX = 32 };

struct spectrum {
    int n;
    double real[ROWS_MAX], imaginary[ROWS_MAX];
};

// Uniform in -1 to 1, the same on every machine (Park and Miller, 1988).
static double uniform(unsigned *seed) {
    *seed = (unsigned)((unsigned long long)*seed * 48271u % 2147483647u);
    return 2.0 * (double)*seed / 2147483647.0 - 1.0;
}

static double norm(int n, const double *a) {
    double sum = 0.0;
    for (int i = 0; i < n * n; i++) {
        sum += a[i] * a[i];
    }
    return sqrt(sum);
}

static struct spectrum ours(int n, const double *a) {
    double copy[ROWS_MAX * ROWS_MAX];
    struct spectrum out = {.n = n};
    memcpy(copy, a, (size_t)(n * n) * sizeof *a);
    assert_true(eigenvalues_qr(n, copy, out.real, out.imaginary));
    return out;
}

static struct spectrum reference(int n, const double *a) {
    double copy[ROWS_MAX * ROWS_MAX];
    struct spectrum out = {.n = n};
    memcpy(copy, a, (size_t)(n * n) * sizeof *a);
    assert_true(eigenvalues_find(n, copy, out.real, out.imaginary));
    return out;
}

// Each eigenvalue expected has one of its own that lies near.
static void assert_spectrum(struct spectrum found, const struct spectrum *expected, double near) {
    for (int i = 0; i < expected->n; i++) {
        int best = -1;
        double distance = (double)INFINITY;
        for (int k = 0; k < found.n; k++) {
            double far = hypot(found.real[k] - expected->real[i],
                               found.imaginary[k] - expected->imaginary[i]);
            if (far < distance) {
                distance = far;
                best = k;
            }
        }
        assert_close(distance, 0.0, 0.0, near);
        found.n--;
        found.real[best] = found.real[found.n];
        found.imaginary[best] = found.imaginary[found.n];
    }
    assert_int_equal(found.n, 0);
}

static void test_random_matrices(void **state) {
    (void)state;
    unsigned seed = 1;
    double a[ROWS_MAX * ROWS_MAX];
    for (int round = 0; round < 400; round++) {
        int n = 1 + round % ROWS_MAX;
        for (int i = 0; i < n * n; i++) {
            a[i] = uniform(&seed);
        }
        struct spectrum expected = reference(n, a);
        assert_spectrum(ours(n, a), &expected, 1e-12 * norm(n, a));
    }
}

// Metres beside joules: D A / D with D from 1e-8 to 1e8 has the eigenvalues of A, which balancing
// brings back.
static void test_badly_scaled(void **state) {
    (void)state;
    unsigned seed = 2;
    double a[ROWS_MAX * ROWS_MAX], b[ROWS_MAX * ROWS_MAX], scale[ROWS_MAX];
    for (int round = 0; round < 200; round++) {
        int n = 2 + round % 15;
        for (int i = 0; i < n; i++) {
            scale[i] = pow(10.0, 8.0 * uniform(&seed));
        }
        for (int i = 0; i < n * n; i++) {
            a[i] = uniform(&seed);
            b[i] = a[i] * scale[i / n] / scale[i % n];
        }
        struct spectrum expected = reference(n, a);
        assert_spectrum(ours(n, b), &expected, 1e-11 * norm(n, a));
    }
}

// Jordan block of order k in an integer change of basis: the eigenvalue 2 k times, and a rounding
// e moves it by the k-th root of e.
static void test_defective(void **state) {
    (void)state;
    for (int k = 2; k <= 6; k++) {
        double a[36] = {0.0}, b[36];
        struct spectrum expected = {.n = k};
        for (int i = 0; i < k; i++) {
            a[i * k + i] = expected.real[i] = 2.0;
            if (i + 1 < k) {
                a[i * k + i + 1] = 1.0;
            }
        }
        // Add row i to row i + 1 and take column i + 1 from column i: the same eigenvalues.
        for (int i = 0; i + 1 < k; i++) {
            for (int c = 0; c < k; c++) {
                a[(i + 1) * k + c] += a[i * k + c];
            }
            for (int r = 0; r < k; r++) {
                a[r * k + i] -= a[r * k + i + 1];
            }
        }
        memcpy(b, a, sizeof b);
        double root = pow(100.0 * DBL_EPSILON * norm(k, b), 1.0 / k);
        assert_spectrum(ours(k, b), &expected, root);
        struct spectrum lapack = reference(k, b);
        assert_spectrum(ours(k, b), &lapack, 2.0 * root);
    }
}

// A cyclic shift has the n-th roots of one, and plain double steps leave it as it is for ever
// (Wilkinson and Reinsch 1971, II/14).
static void test_cyclic_shift(void **state) {
    (void)state;
    for (int n = 3; n <= ROWS_MAX; n++) {
        double a[ROWS_MAX * ROWS_MAX] = {0.0};
        struct spectrum expected = {.n = n};
        for (int i = 0; i < n; i++) {
            a[i * n + (i + 1) % n] = 1.0;
            expected.real[i] = cos(2.0 * 3.14159265358979323846 * i / n);
            expected.imaginary[i] = sin(2.0 * 3.14159265358979323846 * i / n);
        }
        assert_spectrum(ours(n, a), &expected, 1e-13 * n);
    }
}

// Frank's matrix (Golub and Van Loan 7.6): eigenvalues in pairs whose product is 1, the small ones
// ill-conditioned by 1e5 at order 9.
static void test_frank(void **state) {
    (void)state;
    enum { N = 9 };
    double a[N * N];
    for (int i = 0; i < N; i++) {
        for (int c = 0; c < N; c++) {
            a[i * N + c] = c < i - 1 ? 0.0 : c == i - 1 ? N - i : N - c;
        }
    }
    struct spectrum found = ours(N, a), inverse = found;
    for (int i = 0; i < N; i++) {
        assert_close(found.imaginary[i], 0.0, 0.0, 0.0);
        inverse.real[i] = 1.0 / found.real[i];
    }
    assert_spectrum(inverse, &found, 1e-7);
    struct spectrum expected = reference(N, a);
    assert_spectrum(found, &expected, 1e-9);
}

// What stands alone keeps its value to the last bit: a zero is no slow growth.
static void test_exact_zeros(void **state) {
    (void)state;
    const double a[16] = {0.0, 3.0, 1.0,  7.0, 0.0, -1.0, 2.0, 5.0,
                          0.0, 1.0, -1.5, 0.1, 0.0, 0.0,  0.0, 0.0};
    struct spectrum found = ours(4, a);
    int zeros = 0;
    for (int i = 0; i < 4; i++) {
        zeros += found.real[i] == 0.0 && found.imaginary[i] == 0.0;
    }
    assert_int_equal(zeros, 2);
    const double nothing[9] = {0.0};
    struct spectrum none = ours(3, nothing);
    for (int i = 0; i < 3; i++) {
        assert_true(none.real[i] == 0.0 && none.imaginary[i] == 0.0);
    }
}

static void test_refuses_what_is_not_finite(void **state) {
    (void)state;
    double a[4] = {1.0, (double)NAN, 0.0, 1.0}, real[2], imaginary[2];
    assert_false(eigenvalues_qr(2, a, real, imaginary));
    a[1] = (double)INFINITY;
    assert_false(eigenvalues_qr(2, a, real, imaginary));
}

// The systems that it is for, about the points of rest of a regulator.
static void test_regulators(void **state) {
    (void)state;
    static const char *const paths[] = {"tests/scenarios/decline.yaml", "scenarios/fuel-gas.yaml",
                                        "scenarios/oil-good.yaml", "scenarios/six-inch.yaml",
                                        "scenarios/relief-hunting.yaml"};
    int checked = 0;
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        struct diagnostics list = {0};
        struct scenario *scenario = scenario_open(paths[i], NULL, 0, &list);
        assert_non_null(scenario);
        struct scenario_case c;
        struct regulator r;
        assert_true(scenario_resolve(scenario, 0, &c, &list));
        linearise_prepare(&r, &c.model);
        struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        struct equilibria rest = equilibrium_find(&r, &mode, 0.0);
        const struct equilibrium *at = equilibrium_choose(&rest);
        if (at && at->kind == EQUILIBRIUM_OPEN) {
            double j[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX];
            int n = linearise_jacobian(&r, &mode, 0.0, at->state, j);
            struct spectrum expected = reference(n, j), found = ours(n, j);
            double largest = 0.0;
            for (int k = 0; k < n; k++) {
                largest = fmax(largest, hypot(expected.real[k], expected.imaginary[k]));
            }
            assert_spectrum(found, &expected, 1e-12 * largest);
            checked++;
        }
        scenario_case_free(&c);
        scenario_free(scenario);
        diagnostics_free(&list);
    }
    assert_true(checked >= 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_random_matrices),
        cmocka_unit_test(test_badly_scaled),
        cmocka_unit_test(test_defective),
        cmocka_unit_test(test_cyclic_shift),
        cmocka_unit_test(test_frank),
        cmocka_unit_test(test_exact_zeros),
        cmocka_unit_test(test_refuses_what_is_not_finite),
        cmocka_unit_test(test_regulators),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
