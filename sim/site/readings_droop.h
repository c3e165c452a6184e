// SPDX-License-Identifier: MIT
// Droop of a direct-acting regulator by the forces that balance at two travels.
#pragma once

#include "scenario/scenario.h"

// How far the held pressure moves to the droop side from just open to fully open [Pa]: up with
// back-pressure, down when reducing; negative where the flow pushes the plug so much that it goes
// the other way. NaN when some travel holds no pressure.
double readings_droop(const struct scenario_case *resolved);
