// SPDX-License-Identifier: MIT
#include "base/path_stem.h"

#include <stdio.h>
#include <string.h>

size_t path_stem(const char *path, char *stem, size_t size) {
    const char *slash = strrchr(path, '/');
    snprintf(stem, size, "%s", slash ? slash + 1 : path);
    char *dot = strrchr(stem, '.');
    if (dot && dot != stem) {
        *dot = '\0';
    }
    return strlen(stem);
}
