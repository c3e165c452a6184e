// SPDX-License-Identifier: MIT
// Numbers of a picture as a data file for gnuplot. A value that is not finite is written as NaN,
// which a script skips; a break as one empty line, a further set as two.
#pragma once

#include "answer/picture.h"

#include <stdio.h>

// False when writing failed.
bool plot_table_write(FILE *stream, const struct picture_data *data);
