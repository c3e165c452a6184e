// SPDX-License-Identifier: MIT
#include "base/path_stem.h"

#include "base/clean.h"

#include <stdio.h>
#include <string.h>

size_t path_stem(const char *path, char *stem, size_t size) {
    const char *slash = strrchr(path, '/');
    const char *name = slash ? slash + 1 : path;
    snprintf(stem, size, "%.*s", clean_whole(name, (int)size - 1), name);
    char *dot = strrchr(stem, '.');
    if (dot && dot != stem) {
        *dot = '\0';
    }
    return strlen(stem);
}

void path_stem_of_run(const char *path, const char *trim, char *stem, size_t size) {
    static const char *const taken[] = {
        "compare", "decline",  "jobcard", "kick",      "map",   "match",       "page", "readings",
        "record",  "remedies", "report",  "stability", "trims", "uncertainty", "waves"};
    const char *between = ".";
    for (size_t i = 0; i < sizeof taken / sizeof taken[0]; i++) {
        between = strcmp(trim, taken[i]) == 0 ? ".run." : between;
    }
    const size_t room = strlen(between) + strlen(trim) + 1;
    const size_t length = path_stem(path, stem, size > room ? size - room : 1);
    snprintf(stem + length, size - length, "%s%s", between, trim);
}
