// SPDX-License-Identifier: MIT
// Name of a file without folder and ending.
#pragma once

#include <stddef.h>

// Length of the text, which is cut to the size.
size_t path_stem(const char *path, char *stem, size_t size);

// Name of the files of a run of one trim: "decline.full"; "decline.run.map" for a trim that is
// called like an answer with files of its own, which it would otherwise write over.
void path_stem_of_run(const char *path, const char *trim, char *stem, size_t size);
