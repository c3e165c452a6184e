// SPDX-License-Identifier: MIT
// Severity of a motion in numbers: everything of struct verdict_figures that can be measured in a
// stretch of the record without knowing the verdict.
#pragma once

#include "judge/verdict.h"

// All figures unknown, counts zero.
struct verdict_figures verdict_figures_none(void);

// Fill the figures of motion and contact from the stretch [from, to], and those of the whole
// record. Frequency, growth, settling time and pattern are left as they are.
void verdict_figures_measure(const struct verdict_input *input, double from, double to,
                             struct verdict_figures *figures);
