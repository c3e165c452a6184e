// SPDX-License-Identifier: MIT
// Memory that is given back all at once. Running out of memory ends the program with a message:
// nothing that reads a scenario of at most a megabyte can do better.
#pragma once

#include <stddef.h>

struct arena {
    struct arena_block *newest; // NULL while empty
};

// Zeroed bytes aligned for any object; never NULL.
void *arena_alloc(struct arena *arena, size_t size);

// Copy of the first length bytes of text, ended with a NUL byte.
char *arena_copy(struct arena *arena, const char *text, size_t length);

// Formatted text of any length.
char *arena_format(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

// Gives everything back and leaves the arena empty.
void arena_free(struct arena *arena);
