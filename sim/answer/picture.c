// SPDX-License-Identifier: MIT
#include "answer/picture.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

void picture_begin(struct answer *answer, const char *script, const char *heading) {
    answer->picture.script = script;
    answer->picture.heading = answer_keep(answer, "%s", heading);
    answer->picture.origin = answer->origin;
}

// One more place in a list of `size` bytes an item; NULL when there is no memory.
static void *grow(struct answer *answer, void *list, size_t count, size_t *reserved, size_t size) {
    if (count < *reserved) {
        return list;
    }
    const size_t more = *reserved ? 2 * *reserved : 16;
    void *larger = realloc(list, more * size);
    if (!larger) {
        answer->failed = true;
        return NULL;
    }
    *reserved = more;
    return larger;
}

static const char *text_of(struct answer *answer, const char *format, va_list arguments) {
    char text[512];
    vsnprintf(text, sizeof text, format, arguments);
    return answer_keep(answer, "%s", text);
}

void picture_title(struct answer *answer, const char *format, ...) {
    struct picture *p = &answer->picture;
    va_list arguments;
    va_start(arguments, format);
    const char *text = text_of(answer, format, arguments);
    va_end(arguments);
    const char **list =
        grow(answer, (void *)p->title, p->titles, &p->titles_reserved, sizeof *list);
    if (list) {
        p->title = list;
        p->title[p->titles++] = text;
    }
}

void picture_label(struct answer *answer, const char *format, ...) {
    struct picture *p = &answer->picture;
    va_list arguments;
    va_start(arguments, format);
    const char *text = text_of(answer, format, arguments);
    va_end(arguments);
    const char **list =
        grow(answer, (void *)p->label, p->labels, &p->labels_reserved, sizeof *list);
    if (list) {
        p->label = list;
        p->label[p->labels++] = text;
    }
}

void picture_axis(struct answer *answer, const char *name, enum unit_kind kind) {
    picture_axis_in(answer, name, answer_unit(answer, kind));
}

void picture_axis_in(struct answer *answer, const char *name, const char *unit) {
    picture_label(answer, "%s%s%s%s", name, unit[0] ? " [" : "", unit, unit[0] ? "]" : "");
}

void picture_number(struct answer *answer, double number) {
    struct picture *p = &answer->picture;
    double *list = grow(answer, p->number, p->numbers, &p->numbers_reserved, sizeof *list);
    if (list) {
        p->number = list;
        p->number[p->numbers++] = number;
    }
}

struct picture_data *picture_data(struct answer *answer, size_t columns) {
    struct picture *p = &answer->picture;
    struct picture_data *data = arena_alloc(&answer->memory, sizeof *data);
    if (!data) {
        answer->failed = true;
        answer->spare_data = (struct picture_data){.answer = answer};
        return &answer->spare_data;
    }
    *data = (struct picture_data){.columns = columns, .answer = answer};
    *(p->last ? &p->last->next : &p->data) = data;
    p->last = data;
    p->files++;
    return data;
}

static bool reserve_row(struct picture_data *data) {
    if (data->columns == 0) {
        return false; // the spare one
    }
    if (data->rows < data->reserved) {
        return true;
    }
    const size_t more = data->reserved ? 2 * data->reserved : 64;
    double *value = realloc(data->value, more * data->columns * sizeof *value);
    data->value = value ? value : data->value;
    const char **name = value ? realloc((void *)data->name, more * sizeof *name) : NULL;
    if (!name) {
        data->answer->failed = true;
        return false;
    }
    data->name = name;
    data->reserved = more;
    return true;
}

void picture_row(struct picture_data *data, const char *name, const double *value) {
    if (!reserve_row(data)) {
        return;
    }
    for (size_t i = 0; i < data->columns; i++) {
        data->value[data->rows * data->columns + i] = isfinite(value[i]) ? value[i] : (double)NAN;
    }
    data->name[data->rows++] = name ? answer_keep(data->answer, "%s", name) : NULL;
}

static void mark(struct picture_data *data, double sign) {
    if (reserve_row(data)) {
        for (size_t i = 0; i < data->columns; i++) {
            data->value[data->rows * data->columns + i] = sign;
        }
        data->name[data->rows++] = NULL;
    }
}

void picture_break(struct picture_data *data) {
    mark(data, -HUGE_VAL);
}

void picture_next_set(struct picture_data *data) {
    mark(data, HUGE_VAL);
}

bool picture_is_break(const struct picture_data *data, size_t row) {
    return data->value[row * data->columns] == -HUGE_VAL;
}

bool picture_is_next_set(const struct picture_data *data, size_t row) {
    return data->value[row * data->columns] == HUGE_VAL;
}
