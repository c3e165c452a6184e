// SPDX-License-Identifier: MIT
// Root of a function of one variable inside a bracket. Never leaves the bracket, needs no scaling.
#pragma once

typedef double (*root_function)(void *context, double x);

// Root of f between low and high, where f has different signs (or is zero at an end); to about
// `tolerance` in x. Source: R. P. Brent, "Algorithms for Minimization without Derivatives" (1973),
// ch. 4 (inverse quadratic steps guarded by bisection). Without a sign change the end with the
// smaller |f| is returned.
double root_bracketed(root_function f, void *context, double low, double high, double tolerance);
