// SPDX-License-Identifier: MIT
// Factors of a band with a border against plain elimination of the whole. Marks: C the same thing
// computed another way.
#include "support.h"

#include "solve/bordered.h"

#include <math.h>
#include <string.h>

enum { MOST = 40, LENGTH = MOST + 2 };

static double noise(unsigned *seed) {
    *seed = *seed * 1664525u + 1013904223u;
    return (double)(*seed >> 8) / 8388608.0 - 1.0;
}

// x of a x = b by elimination with exchange of rows; a is used up.
static void plain(int n, double a[MOST][MOST], double *x) {
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int r = k + 1; r < n; r++) {
            best = fabs(a[r][k]) > fabs(a[best][k]) ? r : best;
        }
        for (int c = 0; c < n; c++) {
            double kept = a[k][c];
            a[k][c] = a[best][c];
            a[best][c] = kept;
        }
        double kept = x[k];
        x[k] = x[best];
        x[best] = kept;
        for (int r = k + 1; r < n; r++) {
            double factor = a[r][k] / a[k][k];
            for (int c = k; c < n; c++) {
                a[r][c] -= factor * a[k][c];
            }
            x[r] -= factor * x[k];
        }
    }
    for (int r = n - 1; r >= 0; r--) {
        for (int c = r + 1; c < n; c++) {
            x[r] -= a[r][c] * x[c];
        }
        x[r] /= a[r][r];
    }
}

static void try_shape(int count, int banded, int below, int above) {
    int order[MOST];
    double row[LENGTH * MOST] = {0.0}, u[LENGTH], exact[LENGTH], a[MOST][MOST];
    unsigned seed = (unsigned)(count + 100 * banded);
    for (int i = 0; i < count; i++) { // the border comes first, the band backward behind it
        order[i] = i < banded ? count - 1 - i : i - banded;
    }
    for (int i = 0; i < count; i++) {
        for (int k = 0; k < count; k++) {
            bool beside = i < banded && k < banded && (k < i - below || k > i + above);
            row[order[i] * count + order[k]] = beside ? 0.0 : noise(&seed);
        }
    }
    for (int i = count * count; i < (count + 2) * count; i++) {
        row[i] = noise(&seed);
    }
    const struct bordered_shape shape = {count, banded, below, above, 2, order};
    struct bordered *b = bordered_new(&shape);
    assert_non_null(b);
    const double factor[] = {-0.05, -0.2};
    bordered_load(b, row);
    for (int round = 0; round < 2; round++) { // the second time over what the first has left
        assert_true(bordered_factor(b, 1.0, factor[round]));
        for (int i = 0; i < count; i++) {
            for (int k = 0; k < count; k++) {
                a[i][k] = factor[round] * row[i * count + k] + (i == k ? 1.0 : 0.0);
            }
        }
        for (int i = 0; i < count + 2; i++) {
            u[i] = exact[i] = noise(&seed);
        }
        plain(count, a, exact);
        for (int i = count; i < count + 2; i++) {
            for (int k = 0; k < count; k++) {
                exact[i] += row[i * count + k] * exact[k];
            }
            exact[i] *= 0.3;
        }
        bordered_solve(b, 0.3, u);
        for (int i = 0; i < count + 2; i++) {
            assert_close(u[i], exact[i], 1e-10, 1e-10);
        }
    }
    bordered_free(b);
}

static void test_against_the_whole(void **state) {
    (void)state; // C
    try_shape(40, 27, 8, 7);
    try_shape(30, 20, 4, 4);
    try_shape(20, 12, 3, 5);
    try_shape(12, 3, 8, 7); // a band wider than itself
    try_shape(9, 9, 4, 4);  // no border
    try_shape(6, 0, 4, 4);  // nothing else
}

static void test_singular(void **state) {
    (void)state;
    const int order[] = {0, 1, 2};
    const double row[9] = {0.0, 1.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, (double)NAN};
    const struct bordered_shape banded = {3, 3, 1, 1, 0, order}, border = {3, 0, 1, 1, 0, order};
    struct bordered *a = bordered_new(&banded), *b = bordered_new(&border);
    assert_true(a && b);
    bordered_load(a, row);
    bordered_load(b, row);
    assert_false(bordered_factor(a, 0.0, 1.0)); // a pivot of nothing is not exchanged
    assert_false(bordered_factor(b, 0.0, 1.0)); // not a number
    bordered_free(a);
    bordered_free(b);
    bordered_free(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_against_the_whole),
        cmocka_unit_test(test_singular),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
