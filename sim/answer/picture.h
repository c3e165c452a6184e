// SPDX-License-Identifier: MIT
// The numbers and texts of an answer's picture. How it looks is plots/' business alone; this says
// which script draws it and what it is given. Numbers are in the units shown (answer_shown).
#pragma once

#include "answer/answer.h"

void picture_begin(struct answer *answer, const char *script, const char *heading);

// What the script finds in its three lists.
void picture_title(struct answer *answer, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void picture_label(struct answer *answer, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void picture_number(struct answer *answer, double number);

// "name [unit]" as a label.
void picture_axis(struct answer *answer, const char *name, enum unit_kind kind);
void picture_axis_in(struct answer *answer, const char *name, const char *unit);

// The next data file.
struct picture_data *picture_data(struct answer *answer, size_t columns);

// A row of it; `name` is its first column in quotes, NULL: it has none (then no row has).
void picture_row(struct picture_data *data, const char *name, const double *value);

// Lines break here; a further data set begins here.
void picture_break(struct picture_data *data);
void picture_next_set(struct picture_data *data);

// Whether a row stands for the one or the other.
bool picture_is_break(const struct picture_data *data, size_t row);
bool picture_is_next_set(const struct picture_data *data, size_t row);
