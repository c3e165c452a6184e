// SPDX-License-Identifier: MIT
// A run as JSON: verdict, figures with their units, inputs with their source, work of the solver.
#pragma once

#include "run/figure.h"

#include <stdio.h>

// Write the runs as one JSON document. Returns false when memory or the stream fails.
bool summary_write(FILE *out, size_t count, const struct scenario *const source[],
                   const size_t trim[], const struct scenario_case *const scenario[],
                   const struct simulation *const run[]);
