// SPDX-License-Identifier: MIT
// What `lowlift kick` prints, its tables, summary and picture.
#pragma once

#include "study/kick.h"

#include <stdio.h>

void kick_output_print(FILE *out, const struct kick *kick);

// Tables (.kicks.csv, .sweep.csv), summary and picture as the request asks. Exit code.
int kick_output_write(const struct kick *kick);

// The picture alone. Exit code.
int kick_output_draw(const struct kick *kick);

// One word or two for what a point does if left alone: as steadiness_rest_name, but "held" where
// small motions would grow if friction did not hold the plug.
const char *kick_output_settled(const struct kick_point *point);
