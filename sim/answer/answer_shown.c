// SPDX-License-Identifier: MIT
// How a number of an answer reads, in the units its scenario is shown in.
#include "answer/answer.h"

#include <math.h>
#include <stdio.h>

enum { DIGITS = 4, TEXT_SIZE = 96 };

const char *answer_unit(const struct answer *answer, enum unit_kind kind) {
    return units_shown(&answer->site, kind, answer->units);
}

double answer_shown_in(const struct answer *answer, enum unit_kind kind, const char *unit,
                       double si) {
    if (kind == UNIT_NONE || !isfinite(si)) {
        return isfinite(si) ? si : (double)NAN;
    }
    return units_from_si(&answer->site, kind, unit, si);
}

double answer_shown(const struct answer *answer, enum unit_kind kind, double si) {
    return answer_shown_in(answer, kind, answer_unit(answer, kind), si);
}

// Significant digits, but none of the powers of ten that a field hand does not read.
static void write_number(double number, int digits, const char *unit, char *text, size_t size) {
    const bool large = fabs(number) >= pow(10.0, digits) && fabs(number) < 1e7;
    snprintf(text, size, "%.*f%s%s", 0, number, unit[0] ? " " : "", unit);
    if (!large) {
        snprintf(text, size, "%.*g%s%s", digits, number, unit[0] ? " " : "", unit);
    }
}

const char *answer_text_in(struct answer *answer, enum unit_kind kind, const char *unit,
                           double si) {
    char text[TEXT_SIZE] = "-";
    const double number = kind == UNIT_NONE ? si : units_from_si(&answer->site, kind, unit, si);
    if (isfinite(number)) {
        write_number(number, DIGITS, unit, text, sizeof text);
    }
    return answer_keep(answer, "%s", text);
}

const char *answer_text(struct answer *answer, enum unit_kind kind, double si) {
    return answer_text_in(answer, kind, answer_unit(answer, kind), si);
}

void answer_column_unit(const struct answer *answer, const struct answer_column *column,
                        char unit[ANSWER_UNIT_SIZE]) {
    const char *own = column->form != ANSWER_QUANTITY ? ""
                      : column->unit                  ? column->unit
                      : column->kind != UNIT_NONE     ? answer_unit(answer, column->kind)
                                                      : "";
    snprintf(unit, ANSWER_UNIT_SIZE, "%s%s", own, column->per ? column->per : "");
}

struct units_scale answer_column_scale(const struct answer *answer,
                                       const struct answer_column *column) {
    const bool plain = column->form != ANSWER_QUANTITY || column->kind == UNIT_NONE;
    const char *unit = plain ? "" : column->unit ? column->unit : answer_unit(answer, column->kind);
    return units_scale_of(&answer->site, column->kind, unit);
}

double answer_cell_number(const struct answer *answer, const struct answer_column *column,
                          const struct answer_cell *cell) {
    if (column->form != ANSWER_QUANTITY) {
        return cell->number;
    }
    const struct units_scale scale = answer_column_scale(answer, column);
    double number;
    units_scale_numbers(&scale, &cell->number, 1, &number);
    return number;
}

void answer_cell_text(const struct answer *answer, const struct answer_column *column,
                      const struct answer_cell *cell, bool with_unit, char *text, size_t size) {
    const double number = answer_cell_number(answer, column, cell);
    if (cell->text) {
        snprintf(text, size, "%s", cell->text);
    } else if (column->form == ANSWER_WORD || !isfinite(number)) {
        snprintf(text, size, "-");
    } else if (column->form == ANSWER_FLAG) {
        snprintf(text, size, "%s", number != 0.0 ? "yes" : "no");
    } else if (column->form == ANSWER_COUNT) {
        snprintf(text, size, "%.0f", number);
    } else {
        char unit[ANSWER_UNIT_SIZE];
        answer_column_unit(answer, column, unit);
        write_number(number, column->digits ? column->digits : DIGITS, with_unit ? unit : "", text,
                     size);
    }
}
