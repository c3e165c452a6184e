// SPDX-License-Identifier: MIT
// The table itself; hardware.h reads it.
#pragma once

#include "hardware/hardware.h"

extern const struct hardware_row hardware_rows[];
extern const size_t hardware_row_count;
