// SPDX-License-Identifier: MIT
// Root of a function of one variable inside a bracket. Never leaves the bracket, needs no scaling.
#pragma once

#include <stdbool.h>

typedef double (*root_function)(void *context, double x);

// Root of f between low and high, where f has different signs (or is zero at an end); to about
// `tolerance` in x. Source: R. P. Brent, "Algorithms for Minimization without Derivatives" (1973),
// ch. 4 (inverse quadratic steps guarded by bisection). Without a sign change the end with the
// smaller |f| is returned.
double root_bracketed(root_function f, void *context, double low, double high, double tolerance);

// What a search that is repeated for a slowly changing f remembers of the last one. All zero bytes:
// nothing yet.
struct root_memory {
    bool known;
    double x;     // last root
    double slope; // of f there; NaN: not known
};

// The same root, looked for by secant steps from the last one, which takes three or four calls of f
// instead of a dozen. Where those do not close in on a root inside the bracket, root_bracketed
// takes over. f has been called last at the root returned.
double root_near(root_function f, void *context, double low, double high, double tolerance,
                 struct root_memory *memory);
