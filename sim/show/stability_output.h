// SPDX-License-Identifier: MIT
// What `lowlift stability` prints, its tables, summary and picture.
#pragma once

#include "study/stability.h"

#include <stdio.h>

void stability_output_print(FILE *out, const struct stability *stability);

// The picture, as the request asks. Exit code.
int stability_output_draw(const struct stability *stability);

// Tables (.flows.csv, .modes.csv, .drivers.csv), summary and picture as the request asks. Exit
// code.
int stability_output_write(const struct stability *stability);
