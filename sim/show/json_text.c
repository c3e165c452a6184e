// SPDX-License-Identifier: MIT
#include "show/json_text.h"

#include "base/clean.h"

#include <stdlib.h>
#include <string.h>

json_t *json_text(const char *text) {
    const size_t size = (text ? strlen(text) : 0) + 1; // nothing here grows
    char *clean = malloc(size);
    json_t *value = NULL;
    if (clean) {
        clean_text(CLEAN_JSON, text ? text : "", clean, size);
        value = json_string(clean);
    }
    free(clean);
    return value;
}
