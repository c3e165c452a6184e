// SPDX-License-Identifier: MIT
// Inside of the pipe only: what the rates and their slopes have in common.
#pragma once

#define PIPE_FRONT_PRESSURE 2.0
#define PIPE_GRID_DAMPING 0.003
