// SPDX-License-Identifier: MIT
// Memory that is given back all at once. An arena that could not give memory once says so from then
// on: a long task asks at its end instead of at every text.
#pragma once

#include <stdbool.h>
#include <stddef.h>

struct arena {
    struct arena_block *newest; // NULL while empty
    bool failed;                // some memory asked for was not to be had
};

// Zeroed bytes aligned for any object; NULL without memory.
void *arena_alloc(struct arena *arena, size_t size);

// Copy of the first length bytes of text, ended with a NUL byte. Without memory this and the next
// return "", so that a message may be made of it; never NULL.
const char *arena_copy(struct arena *arena, const char *text, size_t length);

// Formatted text of any length.
const char *arena_format(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

// Gives everything back and leaves the arena empty, with nothing failed.
void arena_free(struct arena *arena);
