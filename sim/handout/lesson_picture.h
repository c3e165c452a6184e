// SPDX-License-Identifier: MIT
// A moving picture of two runs, for slides.
#pragma once

#include "study/comparison.h"

// Draws the first two runs of a comparison to a path. False with a message of one line.
bool lesson_picture_draw(const struct comparison *comparison, struct study_job *job,
                         const char *path);
