// SPDX-License-Identifier: MIT
#include "solve/bordered_solver.h"

#include <nvector/nvector_serial.h>

#include <stdlib.h>
#include <string.h>

struct content {
    int length, count;
    double gamma;
    struct bordered *factors;
};

static SUNLinearSolver_Type solver_type(SUNLinearSolver solver) {
    (void)solver;
    return SUNLINEARSOLVER_DIRECT;
}

static int solver_setup(SUNLinearSolver solver, SUNMatrix matrix) {
    (void)matrix;
    struct content *c = solver->content;
    return bordered_factor(c->factors, 1.0, -c->gamma) ? 0 : 1; // 1: a shorter step
}

// With the totals' own u over gamma, theirs is gamma (u/gamma + row x solution).
static int solver_solve(SUNLinearSolver solver, SUNMatrix matrix, N_Vector x, N_Vector b,
                        sunrealtype tolerance) {
    (void)matrix;
    (void)tolerance;
    const struct content *c = solver->content;
    double *u = NV_DATA_S(x);
    memcpy(u, NV_DATA_S(b), (size_t)c->length * sizeof *u);
    for (int i = c->count; i < c->length; i++) {
        u[i] /= c->gamma;
    }
    bordered_solve(c->factors, c->gamma, u);
    return 0;
}

static int solver_free(SUNLinearSolver solver) {
    struct content *c = solver->content;
    if (c) {
        bordered_free(c->factors);
        free(c);
    }
    SUNLinSolFreeEmpty(solver);
    return 0;
}

SUNLinearSolver bordered_solver_new(const struct bordered_shape *shape, SUNContext context) {
    SUNLinearSolver solver = SUNLinSolNewEmpty(context);
    struct content *c = calloc(1, sizeof *c);
    if (!solver || !c) {
        free(c);
        SUNLinSolFreeEmpty(solver);
        return NULL;
    }
    solver->content = c;
    solver->ops->gettype = solver_type;
    solver->ops->setup = solver_setup;
    solver->ops->solve = solver_solve;
    solver->ops->free = solver_free;
    *c = (struct content){.length = shape->count + shape->more, .count = shape->count};
    c->factors = bordered_new(shape);
    if (!c->factors) {
        solver_free(solver);
        return NULL;
    }
    return solver;
}

void bordered_solver_set(SUNLinearSolver solver, const double *row, double gamma) {
    struct content *c = solver->content;
    if (row) {
        bordered_load(c->factors, row);
    }
    c->gamma = gamma;
}
