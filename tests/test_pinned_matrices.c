// SPDX-License-Identifier: MIT
// Whether factors of bands and of dense matrices, and vectors, still give the same digits, to the
// last bit: matrices are of sums and products alone, the same everywhere. Figures of our own
// (fixture_pinned.h): they show a change, and no more.
#include "fixture_pinned_bits.h"

#include "solve/bordered.h"
#include "solve/dense_lu.h"
#include "solve/short_solver.h"
#include "solve/small_vector.h"

#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>

enum { MOST = 48, ROOM = MOST + 4 };

// The pattern of a usual line: how far a row reaches back and on; `over`: one entry farther.
static bool within(const struct bordered_shape *s, int i, int k, bool over) {
    static const int back8[] = {6, 1, 8}, on7[] = {6, 5, 7}, back4[] = {4, 1}, on4[] = {4, 3};
    const bool thermal = s->below == 8 && s->above == 7, cold = s->below == 4 && s->above == 4;
    if (k < i - s->below || k > i + s->above) {
        return false;
    }
    const int back = thermal ? back8[i % 3] : cold ? back4[i % 2] : s->below;
    const int on = thermal ? on7[i % 3] : cold ? on4[i % 2] : s->above;
    const bool beyond = over && i == s->banded / 2 && (k == i - back - 1 || k == i + on + 1);
    return (k >= i - back && k <= i + on) || beyond;
}

static void fill(const struct bordered_shape *s, bool over, double *row) {
    for (int i = 0; i < s->count + s->more; i++) {
        for (int k = 0; k < s->count; k++) {
            const bool banded = i < s->banded && k < s->banded;
            const int at = i < s->count ? s->order[i] : i;
            row[at * s->count + s->order[k]] =
                banded && !within(s, i, k, over) ? 0.0 : draw() + (i == k ? 3.0 : 0.0);
        }
    }
}

static void add_solution(struct bits *b, const struct bordered_shape *s, const struct bordered *f) {
    double u[ROOM];
    for (int i = 0; i < s->count + s->more; i++) {
        u[i] = draw();
    }
    bordered_solve(f, 0.375, u);
    for (int i = 0; i < s->count + s->more; i++) {
        bits_add(b, u[i]);
    }
}

static void test_bands(void **state) {
    (void)state;
    static const int shape[][5] = {
        {20, 15, 8, 7, 3},  {24, 24, 8, 7, 0}, {18, 12, 4, 4, 1}, {17, 13, 4, 4, 2},
        {9, 6, 2, 1, 0},    {12, 7, 1, 3, 2},  {30, 27, 8, 7, 2}, {8, 0, 0, 0, 1},
        {40, 30, 16, 2, 4}, {16, 15, 8, 7, 4}, {20, 15, 8, 5, 1}, {20, 15, 6, 7, 1},
        {20, 15, 4, 3, 1},  {20, 15, 3, 4, 1}, {11, 10, 4, 4, 0}, {6, 1, 3, 3, 0}};
    for (size_t i = 0; i < sizeof shape / sizeof shape[0]; i++) {
        int order[MOST];
        double row[ROOM * MOST] = {0.0};
        const int n = shape[i][0];
        for (int k = 0; k < n; k++) {
            order[k] = (k * 7 + 3) % n == k ? k : n - 1 - k;
        }
        const struct bordered_shape s = {n,           shape[i][1], shape[i][2],
                                         shape[i][3], shape[i][4], order};
        struct bordered *f = bordered_new(&s);
        assert_non_null(f);
        struct bits b = {0};
        seed = 3 + (unsigned)i;
        for (int pass = 0; pass < 4; pass++) { // loaded again, and factored again
            if (pass % 2 == 0) {
                fill(&s, pass == 2, row);
                bordered_load(f, row);
            }
            bits_add(&b, bordered_factor(f, 1.0, -0.25 * (1 + pass)));
            add_solution(&b, &s, f);
        }
        memset(row, 0, sizeof row);
        bordered_load(f, row);
        bits_add(&b, bordered_factor(f, 0.0, 1.0)); // singular
        bits_add(&b, bordered_factor(f, 2.0, 1.0));
        add_solution(&b, &s, f);
        bordered_free(f);
        close_bits("band", (int)i, &b);
    }
    const struct bordered_shape wide = {20, 18, 17, 2, 0, NULL};
    assert_null(bordered_new(&wide));
}

static void test_dense(void **state) {
    (void)state;
    struct bits b = {0};
    for (int m = 1; m <= 9; m++) {
        double a[81], inverse[9], s[9];
        int pivot[9];
        seed = (unsigned)m;
        for (int i = 0; i < m * m; i++) {
            a[i] = i % 4 == 0 ? 1.0 : draw(); // of several as large the first
        }
        bits_add(&b, dense_lu_factor(m, a, inverse, pivot));
        for (int i = 0; i < m; i++) {
            s[i] = draw();
            bits_add(&b, pivot[i]);
        }
        dense_lu_solve(m, a, inverse, pivot, s);
        for (int i = 0; i < m; i++) {
            bits_add(&b, s[i]);
        }
        for (int i = 0; i < m * m; i++) {
            bits_add(&b, a[i]);
            a[i] = 1.0;
        }
        bits_add(&b, dense_lu_factor(m, a, inverse, pivot)); // singular beyond one
    }
    close_bits("dense", 0, &b);
}

static void test_short_solver(void **state) {
    (void)state;
    SUNContext context;
    assert_int_equal(SUNContext_Create(NULL, &context), 0);
    for (int n = 1; n <= 17; n++) {
        const int length = n + n % 5;
        SUNLinearSolver solver = short_solver_new(length, n, context);
        N_Vector x = small_vector_new(length, context), y = N_VClone(x), z = N_VClone(x);
        double column[17 * 24];
        struct bits b = {0};
        seed = (unsigned)n;
        for (int pass = 0; pass < 4; pass++) {
            for (int i = 0; i < 17 * 24; i++) {
                column[i] = pass == 3 ? 0.0 : i % 5 == 0 ? 2.0 : draw();
            }
            for (int i = 0; pass == 3 && i < n; i++) {
                column[i * 24 + i] = 4.0; // I - J/4 is nothing
            }
            short_solver_fill(solver, 0.25, column, 24);
            const int singular = SUNLinSolSetup(solver, NULL);
            bits_add(&b, singular);
            for (int i = 0; i < length; i++) {
                NV_Ith_S(y, i) = draw();
            }
            bits_add(&b, singular ? 0.0 : SUNLinSolSolve(solver, NULL, x, y, 0.0));
            for (int i = 0; !singular && i < length; i++) {
                bits_add(&b, NV_Ith_S(x, i));
            }
        }
        N_Vector many[14];
        double factor[14];
        for (int k = 0; k < 14; k++) { // one more than there is room for
            many[k] = k == 0 ? x : y;
            factor[k] = 0.5 * (k % 3) - 0.25;
        }
        N_VConst(0.75, z);
        for (int k = 1; k <= 14; k++) {
            bits_add(&b, N_VLinearCombination(k, factor, many, z));
            N_VLinearSum(k == 2 ? 1.0 : 0.5, x, k == 3 ? 1.0 : -0.5, z, x);
            bits_add(&b, N_VWrmsNorm(x, z));
            small_vector_weights(x, 1e-3, y, z);
            for (int i = 0; i < length; i++) {
                bits_add(&b, NV_Ith_S(x, i) + NV_Ith_S(z, i));
            }
        }
        SUNLinSolFree(solver);
        N_VDestroy(x);
        N_VDestroy(y);
        N_VDestroy(z);
        close_bits("short", n, &b);
    }
    SUNContext_Free(&context);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_bands),
        cmocka_unit_test(test_dense),
        cmocka_unit_test(test_short_solver),
        cmocka_unit_test(pinned_close),
    };
    pinned_name = "matrices";
    return cmocka_run_group_tests(tests, pinned_open, NULL);
}
