// SPDX-License-Identifier: MIT
// Copies of a scenario for studies: only what may change is copied, texts stay the original's.
#include "scenario/scenario_data.h"

#include <stdlib.h>
#include <string.h>

static struct field_value *copy_values(struct arena *memory, const struct field_value *values,
                                       size_t count) {
    struct field_value *own = arena_alloc(memory, count * sizeof *own);
    if (own) {
        memcpy(own, values, count * sizeof *own);
    }
    return own;
}

struct scenario *scenario_copy(const struct scenario *original) {
    struct scenario *copy = malloc(sizeof *copy);
    if (!copy) {
        return NULL;
    }
    *copy = *original;
    copy->memory = (struct arena){0};
    copy->values = copy_values(&copy->memory, original->values, field_count());
    struct scenario_trim **end = &copy->trims;
    for (const struct scenario_trim *trim = original->trims; trim; trim = trim->next) {
        struct scenario_trim *own = arena_alloc(&copy->memory, sizeof *own);
        if (!own) {
            break;
        }
        *own = *trim;
        own->values = copy_values(&copy->memory, trim->values, original->trim_rows);
        *end = own;
        end = &own->next;
    }
    if (!copy->memory.failed) {
        return copy;
    }
    scenario_free(copy);
    return NULL;
}
