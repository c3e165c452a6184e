// SPDX-License-Identifier: MIT
// Slopes of a vector function of one variable that nobody has differentiated by hand.
#pragma once

#include <stddef.h>

#define DERIVATIVE_MAX 160 // components of a function

// Values of the components at x; non-zero when there are none there.
typedef int (*derivative_function)(void *context, double x, double *value);

struct derivative_of {
    derivative_function function;
    void *context;
    size_t count; // components, DERIVATIVE_MAX at most
};

// Slope of each component at x and an estimate of its error (NULL: not wanted), both NaN where no
// step gives a number. `step` is the largest step tried; the smallest is 2 million times
// shorter, and each component takes from the steps between what is good for it alone. So one column
// of a Jacobian may hold a component that bends within a pascal beside one that needs a kilopascal
// to rise above its rounding. Source: C. J. F. Ridders, Adv. Eng. Software 4 (1982), central
// differences extrapolated to a step of nothing (L. F. Richardson, 1911); the choice for each
// component is our own.
void derivative_find(const struct derivative_of *of, double x, double step, double *slope,
                     double *error);
