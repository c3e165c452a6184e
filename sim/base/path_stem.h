// SPDX-License-Identifier: MIT
// Name of a file without folder and ending.
#pragma once

#include <stddef.h>

// Length of the text, which is cut to the size.
size_t path_stem(const char *path, char *stem, size_t size);
