// SPDX-License-Identifier: MIT
#include "answer/answer.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct answer_held {
    void *memory;
    struct answer_held *next;
};

void answer_free(struct answer *answer) {
    for (struct answer_held *h = answer->held; h; h = h->next) {
        free(h->memory);
    }
    for (struct answer_table *t = answer->table; t; t = t->next) {
        free(t->cell);
    }
    for (struct picture_data *d = answer->picture.data; d; d = d->next) {
        free(d->value);
        free((void *)d->name);
    }
    free((void *)answer->picture.title);
    free((void *)answer->picture.label);
    free(answer->picture.number);
    arena_free(&answer->memory);
    memset(answer, 0, sizeof *answer);
}

// Zeroed bytes, or NULL with the answer marked as failed.
static void *reserve(struct answer *answer, size_t size) {
    void *bytes = arena_alloc(&answer->memory, size);
    answer->failed = answer->failed || !bytes;
    return bytes;
}

void answer_hold(struct answer *answer, void *memory) {
    struct answer_held *held = reserve(answer, sizeof *held);
    if (!held) {
        free(memory); // a failed answer is not written, so nothing reads it
        return;
    }
    *held = (struct answer_held){memory, answer->held};
    answer->held = held;
}

static const char *keep_arguments(struct answer *answer, const char *format, va_list arguments) {
    va_list again;
    va_copy(again, arguments);
    const int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    char *text = length < 0 ? NULL : reserve(answer, (size_t)length + 1);
    if (!text) {
        answer->failed = true;
        return "";
    }
    vsnprintf(text, (size_t)length + 1, format, arguments);
    return text;
}

const char *answer_keep(struct answer *answer, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    const char *text = keep_arguments(answer, format, arguments);
    va_end(arguments);
    return text;
}

struct answer_column *answer_columns(struct answer *answer, size_t count) {
    return reserve(answer, count * sizeof(struct answer_column));
}

static struct answer_item *add_item(struct answer *answer, enum answer_kind kind) {
    struct answer_item *item = reserve(answer, sizeof *item);
    if (!item) {
        return NULL;
    }
    item->kind = kind;
    *(answer->last_item ? &answer->last_item->next : &answer->item) = item;
    answer->last_item = item;
    return item;
}

static void say(struct answer *answer, enum answer_kind kind, const char *label, const char *text) {
    struct answer_item *item = add_item(answer, kind);
    if (item) {
        item->label = label;
        item->text = text;
    }
}

void answer_say(struct answer *answer, enum answer_kind kind, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    say(answer, kind, NULL, keep_arguments(answer, format, arguments));
    va_end(arguments);
}

void answer_label(struct answer *answer, enum answer_kind kind, const char *label,
                  const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    say(answer, kind, answer_keep(answer, "%s", label), keep_arguments(answer, format, arguments));
    va_end(arguments);
}

void answer_gap(struct answer *answer) {
    add_item(answer, ANSWER_GAP);
}

void answer_fact(struct answer *answer, const struct answer_column *column, double number,
                 const char *text) {
    struct answer_item *item = add_item(answer, ANSWER_FACT);
    if (item) {
        item->column = column;
        item->cell.number = number;
        item->cell.text = text ? answer_keep(answer, "%s", text) : NULL;
    }
}

// --- Tables

struct answer_table *answer_table(struct answer *answer, const char *key, const char *title,
                                  const struct answer_column *column, size_t columns) {
    struct answer_table *table = reserve(answer, sizeof *table);
    struct answer_item *item = add_item(answer, ANSWER_TABLE);
    if (!table || !item) {
        answer->spare = (struct answer_table){.answer = answer, .column = column};
        return &answer->spare;
    }
    *table =
        (struct answer_table){.key = key, .column = column, .columns = columns, .answer = answer};
    table->title = title ? answer_keep(answer, "%s", title) : NULL;
    item->table = table;
    *(answer->last_table ? &answer->last_table->next : &answer->table) = table;
    answer->last_table = table;
    return table;
}

static void put(struct answer_table *table, double number, const char *text) {
    if (table->columns == 0) {
        return; // the spare one
    }
    if (table->filled == table->reserved) {
        const size_t more = table->reserved ? 2 * table->reserved : 8 * table->columns;
        struct answer_cell *cell = realloc(table->cell, more * sizeof *cell);
        if (!cell) {
            table->answer->failed = true;
            return;
        }
        table->cell = cell;
        table->reserved = more;
    }
    table->cell[table->filled++] = (struct answer_cell){number, text};
    table->rows = table->filled / table->columns;
}

void answer_put(struct answer_table *table, double number) {
    put(table, number, NULL);
}

void answer_word(struct answer_table *table, const char *text) {
    put(table, (double)NAN, answer_keep(table->answer, "%s", text));
}

void answer_words(struct answer_table *table, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    put(table, (double)NAN, keep_arguments(table->answer, format, arguments));
    va_end(arguments);
}

void answer_flag(struct answer_table *table, bool flag) {
    put(table, flag ? 1.0 : 0.0, NULL);
}

void answer_said(struct answer_table *table, double number, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    put(table, number, keep_arguments(table->answer, format, arguments));
    va_end(arguments);
}

const struct answer_cell *answer_row(const struct answer_table *table, size_t row,
                                     struct answer_cell *room) {
    if (!table->fill) {
        return &table->cell[row * table->columns];
    }
    table->fill(table->context, row, room);
    return room;
}
