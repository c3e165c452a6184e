// SPDX-License-Identifier: MIT
// The only place that reads files of a scenario: the scenario itself and its records.
#include "scenario/scenario_data.h"

#include "base/clean.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

enum { PATH_SHOWN = 300 }; // bytes of a name of a file

char *scenario_read_file(const char *path, size_t limit, size_t *length, struct place place,
                         struct diagnostics *out) {
    struct stat status;
    if (stat(path, &status) != 0) {
        diagnostics_error(out, place, "cannot open '%.*s'", clean_whole(path, PATH_SHOWN), path);
        return NULL;
    }
    // Only a plain file has an end that can be relied on.
    if (!S_ISREG(status.st_mode)) {
        diagnostics_error(out, place, "'%.*s' is not a plain file", clean_whole(path, PATH_SHOWN),
                          path);
        return NULL;
    }
    if ((unsigned long long)status.st_size > limit) {
        diagnostics_error(out, place, "'%.*s' is larger than %zu bytes",
                          clean_whole(path, PATH_SHOWN), path, limit);
        return NULL;
    }
    FILE *file = fopen(path, "rb");
    if (!file) {
        diagnostics_error(out, place, "cannot open '%.*s'", clean_whole(path, PATH_SHOWN), path);
        return NULL;
    }
    const size_t size = (size_t)status.st_size;
    char *text = malloc(size + 1);
    if (!text) {
        diagnostics_no_memory(out);
        fclose(file);
        return NULL;
    }
    *length = fread(text, 1, size, file);
    text[*length] = '\0';
    const bool failed = ferror(file) != 0;
    fclose(file);
    if (failed) {
        diagnostics_error(out, place, "cannot read '%.*s'", clean_whole(path, PATH_SHOWN), path);
        free(text);
        return NULL;
    }
    return text;
}
