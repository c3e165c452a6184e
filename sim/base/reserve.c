// SPDX-License-Identifier: MIT
#include "base/reserve.h"

#include <stdlib.h>

bool reserve_is_there(size_t bytes) {
    void *volatile memory = malloc(bytes); // volatile: else a compiler may leave both calls out
    const bool there = memory != NULL;
    free(memory);
    return there;
}
