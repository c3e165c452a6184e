// SPDX-License-Identifier: MIT
// Seconds of a full stroke, by hand.
#pragma once

#include "scenario/scenario.h"

// From shut to fully open with the pilot on its stop, or back with its supply shut; the controlled
// pressure at its set point, the chamber filling isothermally, the plug at balance. [s]; infinite
// when it does not get there, NaN for what has no chamber. Our own quasi-static integration; tests
// hold it against runs of the model.
double readings_stroke(const struct scenario_case *scenario, bool opens);
