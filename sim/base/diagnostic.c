// SPDX-License-Identifier: MIT
#include "base/diagnostic.h"

#include "base/clean.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

// A hostile file could hold a million wrong keys; nobody reads beyond the first few.
enum { DIAGNOSTICS_KEPT = 1000, TEXT_SIZE = 2048 };

static bool diagnostics_has(const struct diagnostics *list, const struct diagnostic *item) {
    for (size_t i = 0; i < list->count; i++) {
        const struct diagnostic *other = &list->items[i];
        if (other->place.line == item->place.line && other->place.column == item->place.column &&
            strcmp(other->place.file, item->place.file) == 0 &&
            strcmp(other->message, item->message) == 0) {
            return true;
        }
    }
    return false;
}

void diagnostics_no_memory(struct diagnostics *list) {
    if (!list->no_memory) {
        ++list->errors;
    }
    list->no_memory = true;
}

static void diagnostics_append(struct diagnostics *list, const struct diagnostic *item) {
    if (list->count == list->capacity) {
        const size_t capacity = list->capacity ? 2 * list->capacity : 16;
        struct diagnostic *items = realloc(list->items, capacity * sizeof *items);
        if (!items) {
            diagnostics_no_memory(list);
            return;
        }
        list->items = items;
        list->capacity = capacity;
    }
    list->items[list->count++] = *item;
}

static void diagnostics_add(struct diagnostics *list, enum diagnostic_severity severity,
                            struct place place, const char *format, va_list arguments) {
    if (severity == DIAGNOSTIC_ERROR) {
        list->errors++;
    }
    if (list->count >= DIAGNOSTICS_KEPT) {
        return;
    }
    char whole[TEXT_SIZE], text[TEXT_SIZE];
    vsnprintf(whole, sizeof whole, format, arguments);
    clean_text(CLEAN_TERMINAL, whole, text, sizeof text); // one line whatever the user wrote
    struct diagnostic item = {place, severity, text};
    if (!item.place.file) {
        item.place.file = "";
    }
    if (diagnostics_has(list, &item)) {
        if (severity == DIAGNOSTIC_ERROR) {
            list->errors--;
        }
        return;
    }
    item.place.file = arena_copy(&list->memory, item.place.file, strlen(item.place.file));
    item.message = arena_copy(&list->memory, text, strlen(text));
    if (list->memory.failed) {
        diagnostics_no_memory(list);
    } else {
        diagnostics_append(list, &item);
    }
}

void diagnostics_forget(struct diagnostics *list, size_t count, size_t errors) {
    list->count = count < list->count ? count : list->count;
    list->errors = errors;
}

void diagnostics_error(struct diagnostics *list, struct place place, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    diagnostics_add(list, DIAGNOSTIC_ERROR, place, format, arguments);
    va_end(arguments);
}

void diagnostics_warn(struct diagnostics *list, struct place place, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    diagnostics_add(list, DIAGNOSTIC_WARNING, place, format, arguments);
    va_end(arguments);
}

static int diagnostic_compare(const struct diagnostic *a, const struct diagnostic *b) {
    if (strcmp(a->place.file, b->place.file) != 0) {
        return 0;
    }
    if (a->place.line != b->place.line) {
        return a->place.line < b->place.line ? -1 : 1;
    }
    if (a->place.column != b->place.column) {
        return a->place.column < b->place.column ? -1 : 1;
    }
    return 0;
}

// First appearance decides the order of files: insertion among the items of the same file only.
void diagnostics_sort(struct diagnostics *list) {
    for (size_t i = 1; i < list->count; i++) {
        const struct diagnostic item = list->items[i];
        size_t at = i;
        for (size_t j = i; j-- > 0;) {
            if (diagnostic_compare(&item, &list->items[j]) < 0) {
                at = j;
            }
        }
        memmove(&list->items[at + 1], &list->items[at], (i - at) * sizeof item);
        list->items[at] = item;
    }
}

void diagnostics_print(struct diagnostics *list, FILE *out) {
    diagnostics_sort(list);
    for (size_t i = 0; i < list->count && i < DIAGNOSTICS_SHOWN; i++) {
        const struct diagnostic *item = &list->items[i];
        const char *kind = item->severity == DIAGNOSTIC_WARNING ? "warning: " : "";
        if (item->place.line > 0) {
            clean_say(out, "%s:%d:%d: %s%s", item->place.file, item->place.line, item->place.column,
                      kind, item->message);
        } else {
            clean_say(out, "%s: %s%s", item->place.file, kind, item->message);
        }
    }
    if (list->count > DIAGNOSTICS_SHOWN) {
        fprintf(out, "... and %zu more\n", list->count - DIAGNOSTICS_SHOWN);
    }
    if (list->no_memory) {
        fputs("out of memory\n", out);
    }
}

void diagnostics_free(struct diagnostics *list) {
    free(list->items);
    arena_free(&list->memory);
    *list = (struct diagnostics){0};
}
