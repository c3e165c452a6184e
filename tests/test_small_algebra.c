// SPDX-License-Identifier: MIT
// The small vector and solver against the stock ones of SUNDIALS and against exact answers.
#include "fixtures.h"
#include "support.h"

#include "solve/short_solver.h"
#include "solve/small_vector.h"

#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

enum { LENGTH_MAX = 24 };

static SUNContext context;

static int open_context(void **state) {
    (void)state;
    return SUNContext_Create(NULL, &context);
}

static int close_context(void **state) {
    (void)state;
    return SUNContext_Free(&context);
}

static double draw(unsigned long long *seed) {
    return 2.0 * fixture_random(seed) - 1.0;
}

static void test_vector_operations(void **state) {
    (void)state;
    unsigned long long seed = 3;
    for (int n = 1; n <= LENGTH_MAX; n++) {
        N_Vector x = small_vector_new(n, context), y = N_VClone(x), z = N_VClone(x);
        N_Vector stock_x = N_VNew_Serial(n, context), stock_y = N_VClone(stock_x);
        N_Vector stock_z = N_VClone(stock_x);
        assert_ptr_equal(y->ops->nvwrmsnorm, x->ops->nvwrmsnorm); // clones keep them
        for (int i = 0; i < n; i++) {
            NV_Ith_S(x, i) = NV_Ith_S(stock_x, i) = draw(&seed);
            NV_Ith_S(y, i) = NV_Ith_S(stock_y, i) = draw(&seed);
        }
        const double a[] = {1.0, -1.0, 0.7, 0.0}, b[] = {1.0, 1.0, -2.5, 3.0};
        for (int k = 0; k < 4; k++) {
            N_VLinearSum(a[k], x, b[k], y, z);
            N_VLinearSum(a[k], stock_x, b[k], stock_y, stock_z);
            for (int i = 0; i < n; i++) {
                assert_close(NV_Ith_S(z, i), NV_Ith_S(stock_z, i), 1e-15, 1e-16);
            }
        }
        N_VScale(-0.3, x, z);
        for (int i = 0; i < n; i++) {
            assert_close(NV_Ith_S(z, i), -0.3 * NV_Ith_S(x, i), 0.0, 0.0);
        }
        assert_close(N_VWrmsNorm(x, y), N_VWrmsNorm(stock_x, stock_y), 1e-14, 0.0);
        N_VLinearSum(2.0, x, 1.0, y, x); // the result may be one of the two
        assert_close(NV_Ith_S(x, 0), 2.0 * NV_Ith_S(stock_x, 0) + NV_Ith_S(stock_y, 0), 1e-15,
                     1e-16);
        double factor[] = {0.4, 1.0};
        N_VScaleAddMulti(2, factor, stock_y, (N_Vector[]){x, y}, (N_Vector[]){z, y});
        for (int i = 0; i < n; i++) {
            const double q = NV_Ith_S(stock_y, i);
            assert_close(NV_Ith_S(z, i), 0.4 * q + NV_Ith_S(x, i), 0.0, 0.0);
            assert_close(NV_Ith_S(y, i), q + q, 0.0, 0.0);
        }
        N_VConst(0.3, y);
        small_vector_weights(stock_x, 0.1, y, z);
        for (int i = 0; i < n; i++) {
            assert_close(NV_Ith_S(z, i), 1.0 / (0.1 * fabs(NV_Ith_S(stock_x, i)) + 0.3), 0.0, 0.0);
        }
        N_VDestroy(x);
        N_VDestroy(y);
        N_VDestroy(z);
        N_VDestroy(stock_x);
        N_VDestroy(stock_y);
        N_VDestroy(stock_z);
    }
}

// Random slopes J in rows of random scales; I - gamma J, whose last columns are those of the
// identity.
static void fill(SUNMatrix m, double *column, double gamma, int driving, unsigned long long *seed) {
    const int n = (int)SM_ROWS_D(m);
    SUNMatZero(m);
    for (int r = 0; r < n; r++) {
        const double scale = pow(10.0, 6.0 * draw(seed));
        for (int c = 0; c < n; c++) {
            double *slope = &column[c * LENGTH_MAX + r];
            *slope = fixture_random(seed) < 0.4 ? 0.0 : scale * draw(seed);
            SM_ELEMENT_D(m, r, c) = c < driving ? -gamma * *slope : 0.0;
        }
        SM_ELEMENT_D(m, r, r) += 1.0;
    }
}

static void check_solve(int n, int driving, unsigned long long *seed) {
    SUNMatrix m = SUNDenseMatrix(n, n, context), copy = SUNDenseMatrix(n, n, context);
    N_Vector b = small_vector_new(n, context), x = N_VClone(b), y = N_VClone(b);
    SUNLinearSolver solver = short_solver_new(n, driving, context);
    SUNLinearSolver stock = SUNLinSol_Dense(b, copy, context);
    double column[LENGTH_MAX * LENGTH_MAX];
    const double gamma = 0.1;
    assert_int_equal(SUNLinSolGetType(solver), SUNLINEARSOLVER_DIRECT);
    fill(m, column, gamma, driving, seed);
    SUNMatCopy(m, copy);
    for (int i = 0; i < n; i++) {
        NV_Ith_S(b, i) = draw(seed);
    }
    short_solver_fill(solver, gamma, column, LENGTH_MAX);
    assert_int_equal(SUNLinSolSetup(solver, NULL), 0);
    assert_int_equal(SUNLinSolSolve(solver, NULL, x, b, 0.0), 0);
    assert_int_equal(SUNLinSolSetup(stock, copy), 0);
    assert_int_equal(SUNLinSolSolve(stock, copy, y, b, 0.0), 0);
    double largest = N_VMaxNorm(y);
    for (int r = 0; r < n; r++) { // backward error, row by row
        double sum = -NV_Ith_S(b, r), size = fabs(NV_Ith_S(b, r));
        for (int c = 0; c < n; c++) {
            sum += SM_ELEMENT_D(m, r, c) * NV_Ith_S(x, c);
            size += fabs(SM_ELEMENT_D(m, r, c)) * largest;
        }
        assert_close(sum / size, 0.0, 0.0, 1e-12);
    }
    SUNLinSolSolve(solver, NULL, b, b, 0.0); // in place
    for (int r = 0; r < n; r++) {
        assert_close(NV_Ith_S(b, r), NV_Ith_S(x, r), 0.0, 0.0);
    }
    SUNLinSolFree(solver);
    SUNLinSolFree(stock);
    SUNMatDestroy(m);
    SUNMatDestroy(copy);
    N_VDestroy(b);
    N_VDestroy(x);
    N_VDestroy(y);
}

static void test_solver(void **state) {
    (void)state;
    unsigned long long seed = 8;
    for (int n = 1; n <= LENGTH_MAX; n++) {
        for (int driving = 1; driving <= n; driving++) {
            check_solve(n, driving, &seed);
        }
    }
}

static void test_rows_are_exchanged(void **state) {
    (void)state; // E: I - J with a zero in the corner: 3 x1 = 6, x0 + 2 x1 = 5
    N_Vector b = small_vector_new(2, context), x = N_VClone(b);
    SUNLinearSolver solver = short_solver_new(2, 2, context);
    const double zero_corner[] = {1.0, -1.0, -3.0, -1.0}; // J by columns
    NV_Ith_S(b, 0) = 6.0;
    NV_Ith_S(b, 1) = 5.0;
    short_solver_fill(solver, 1.0, zero_corner, 2);
    assert_int_equal(SUNLinSolSetup(solver, NULL), 0);
    assert_int_equal(SUNLinSolSolve(solver, NULL, x, b, 0.0), 0);
    assert_close(NV_Ith_S(x, 0), 1.0, 1e-15, 0.0);
    assert_close(NV_Ith_S(x, 1), 2.0, 1e-15, 0.0);
    const double singular[] = {1.0, 0.0, 3.0, 1.0}; // I - J has an empty column
    short_solver_fill(solver, 1.0, singular, 2);
    assert_true(SUNLinSolSetup(solver, NULL) > 0); // a failure that the caller may recover from
    SUNLinSolFree(solver);
    N_VDestroy(b);
    N_VDestroy(x);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_vector_operations, open_context, close_context),
        cmocka_unit_test_setup_teardown(test_solver, open_context, close_context),
        cmocka_unit_test_setup_teardown(test_rows_are_exchanged, open_context, close_context),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
