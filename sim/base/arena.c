// SPDX-License-Identifier: MIT
#include "base/arena.h"

#include <stdalign.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ARENA_BLOCK_SIZE = 16384 };

struct arena_block {
    struct arena_block *older;
    size_t used;
    size_t size;
    alignas(max_align_t) unsigned char bytes[];
};

static struct arena_block *arena_block_create(size_t size, struct arena_block *older) {
    struct arena_block *block = calloc(1, sizeof *block + size);
    if (!block) {
        return NULL;
    }
    block->older = older;
    block->size = size;
    return block;
}

void *arena_alloc(struct arena *arena, size_t size) {
    const size_t unit = alignof(max_align_t);
    const size_t rounded = (size + unit - 1) / unit * unit;
    struct arena_block *block = arena->newest;
    if (!block || block->size - block->used < rounded) {
        const size_t wanted = rounded > ARENA_BLOCK_SIZE ? rounded : ARENA_BLOCK_SIZE;
        block = arena_block_create(wanted, block);
        if (!block) {
            arena->failed = true;
            return NULL;
        }
        arena->newest = block;
    }
    void *memory = block->bytes + block->used;
    block->used += rounded;
    return memory;
}

const char *arena_copy(struct arena *arena, const char *text, size_t length) {
    char *copy = arena_alloc(arena, length + 1);
    if (!copy) {
        return "";
    }
    if (length > 0) {
        memcpy(copy, text, length);
    }
    return copy;
}

const char *arena_format(struct arena *arena, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    const int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    if (length < 0) {
        return "";
    }
    char *text = arena_alloc(arena, (size_t)length + 1);
    if (!text) {
        return "";
    }
    va_start(arguments, format);
    vsnprintf(text, (size_t)length + 1, format, arguments);
    va_end(arguments);
    return text;
}

void arena_free(struct arena *arena) {
    struct arena_block *block = arena->newest;
    while (block) {
        struct arena_block *older = block->older;
        free(block);
        block = older;
    }
    *arena = (struct arena){0};
}
