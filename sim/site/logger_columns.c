// SPDX-License-Identifier: MIT
// The header of a logger's file: which column is what, and in which unit.
#include "base/clean.h"
#include "base/nearest.h"
#include "site/logger_reading.h"
#include "units/units_refuse.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define DAY 86400.0
enum { ERRORS_MAX = 20 };

void logger_complain(const struct logger_reading *r, int column, const char *what,
                     const char *found, const char *allowed) {
    const struct place place = {r->path, column > 0 ? r->line : 0, column};
    if (r->list->errors < ERRORS_MAX) {
        diagnostics_error(r->list, place, "%s: found '%.*s'; allowed %s", what,
                          clean_whole(found, 60), found, allowed);
    }
}

void logger_complain_cell(const struct logger_reading *r, int column, const char *what,
                          const char *found, const char *allowed) {
    const struct place place = {r->path, r->line, column > 0 ? column : 1};
    if (r->quotable) {
        logger_complain(r, column, what, found, allowed);
    } else if (r->list->errors < ERRORS_MAX) {
        diagnostics_error(r->list, place, "%s: found something else; allowed %s", what, allowed);
    }
}

const char *logger_channel_name(size_t channel) {
    static const char *const names[LOGGER_CHANNELS] = {"pressure", "chamber", "travel", "flow"};
    return names[channel];
}

// --- The header

// The first bytes of a text, as many letters as there is room for.
static void logger_copy(char out[LOGGER_NAME_SIZE], const char *text, size_t length) {
    const int most = length < LOGGER_NAME_SIZE ? (int)length : LOGGER_NAME_SIZE - 1;
    snprintf(out, LOGGER_NAME_SIZE, "%.*s", most > 0 ? clean_whole(text, most) : 0, text);
}

// "Pressure [psig]", "Pressure (psig)" or "Pressure psig": name and unit apart.
void logger_columns_split(const char *text, struct logger_column *column) {
    const char *open = strpbrk(text, "[(");
    logger_copy(column->name, text, strlen(text));
    column->unit[0] = '\0';
    if (open && open > text) {
        // "kPa(g)" is a unit of its own: what counts is the first bracket after a blank.
        while (open && open > text && open[-1] != ' ' && *open == '(') {
            open = strpbrk(open + 1, "[(");
        }
    }
    if (open) {
        const size_t length = strlen(open);
        logger_copy(column->name, text, (size_t)(open - text));
        logger_copy(column->unit, open + 1, length > 2 ? length - 2 : 0);
    } else if (strrchr(text, ' ')) {
        const char *word = strrchr(text, ' ');
        logger_copy(column->name, text, (size_t)(word - text));
        logger_copy(column->unit, word + 1, strlen(word + 1));
    }
    for (size_t k = strlen(column->name); k > 0 && column->name[k - 1] == ' '; k--) {
        column->name[k - 1] = '\0';
    }
}

static bool parse_unit(const char *unit, enum unit_kind kind, struct quantity *one,
                       char message[UNIT_MESSAGE_SIZE]) {
    char text[LOGGER_NAME_SIZE + 4];
    snprintf(text, sizeof text, "1 %s", unit);
    const char *wrong = units_parse(text, kind, one, message);
    if (wrong && wrong != message) {
        snprintf(message, UNIT_MESSAGE_SIZE, "%s", wrong);
    }
    return !wrong;
}

// A column by its name or its number from 1; LOGGER_COLUMNS_MAX after an error.
static size_t find_column(const struct logger_reading *r, const char *what, const char *wanted) {
    char *end;
    const long number = strtol(wanted, &end, 10);
    struct nearest near = nearest_start(wanted);
    char allowed[2 * LOGGER_NAME_SIZE];
    if (end != wanted && *end == '\0' && number >= 1 && (size_t)number <= r->columns) {
        return (size_t)number - 1;
    }
    for (size_t i = 0; i < r->columns; i++) {
        if (strcasecmp(r->column[i].name, wanted) == 0) {
            return i;
        }
        nearest_offer(&near, r->column[i].name);
    }
    const bool named = near.best && r->quotable;
    snprintf(allowed, sizeof allowed, "the name of a column, or its number from 1 to %zu%s%.*s%s",
             r->columns, named ? "; did you mean '" : "", named ? clean_whole(near.best, 60) : 0,
             named ? near.best : "", named ? "'?" : "");
    logger_complain(r, 0, what, wanted, allowed);
    return LOGGER_COLUMNS_MAX;
}

static bool has_word(const char *name, const char *word) {
    const size_t length = strlen(word);
    for (const char *at = name; *at; at++) {
        if (strncasecmp(at, word, length) == 0) {
            return true;
        }
    }
    return false;
}

// The pressure that nobody named: the first column whose unit is a level, else the only other one.
static size_t guess_pressure(const struct logger_reading *r) {
    struct quantity one;
    char message[UNIT_MESSAGE_SIZE];
    for (size_t i = 0; i < r->columns; i++) {
        if (i != r->time && parse_unit(r->column[i].unit, UNIT_PRESSURE_LEVEL, &one, message)) {
            return i;
        }
    }
    for (size_t i = 0; i < r->columns; i++) {
        if (i != r->time && (r->columns == 2 || has_word(r->column[i].name, "pressure"))) {
            return i;
        }
    }
    return LOGGER_COLUMNS_MAX;
}

bool logger_columns_quotable(const struct logger_reading *r, bool headed) {
    struct quantity one;
    char message[UNIT_MESSAGE_SIZE];
    bool known = !headed;
    for (size_t i = 0; i < r->columns; i++) {
        const struct logger_column *column = &r->column[i];
        known = known || has_word(column->name, "time") || has_word(column->name, "date") ||
                (column->unit[0] && parse_unit(column->unit, UNIT_PRESSURE_LEVEL, &one, message));
    }
    return known && r->columns >= 2;
}

bool logger_columns_choose(struct logger_reading *r) {
    const struct logger_asked *asked = r->asked;
    r->time = 0;
    for (size_t i = r->columns; i-- > 0;) {
        if (has_word(r->column[i].name, "time")) {
            r->time = i;
        }
    }
    if (asked->time) {
        r->time = find_column(r, "--time", asked->time);
    }
    for (size_t k = 0; k < LOGGER_CHANNELS; k++) {
        char option[32];
        snprintf(option, sizeof option, "--%s", logger_channel_name(k));
        r->channel[k] =
            asked->column[k] ? find_column(r, option, asked->column[k]) : LOGGER_COLUMNS_MAX;
    }
    if (!asked->column[LOGGER_PRESSURE]) {
        r->channel[LOGGER_PRESSURE] = guess_pressure(r);
        if (r->channel[LOGGER_PRESSURE] == LOGGER_COLUMNS_MAX) {
            logger_complain(r, 1, "header", "no column that is clearly a pressure",
                            "one with a unit such as [psig], or name it with --pressure");
        }
    }
    return r->list->errors == 0;
}

// Seconds of a unit of time in the header: s unless it says otherwise; NaN where it says no unit of
// time, such as [UTC] over a clock.
double logger_columns_second(const struct logger_reading *r) {
    const struct logger_column *column = &r->column[r->time];
    static const struct {
        const char *unit;
        double seconds;
    } known[] = {{"ms", 1e-3},   {"msec", 1e-3},   {"s", 1.0},        {"sec", 1.0},
                 {"secs", 1.0},  {"second", 1.0},  {"seconds", 1.0},  {"min", 60.0},
                 {"mins", 60.0}, {"minute", 60.0}, {"minutes", 60.0}, {"h", 3600.0},
                 {"hr", 3600.0}, {"hrs", 3600.0},  {"hour", 3600.0},  {"hours", 3600.0},
                 {"d", DAY},     {"day", DAY},     {"days", DAY}};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (strcasecmp(column->unit, known[i].unit) == 0) {
            return known[i].seconds;
        }
    }
    return column->unit[0] ? (double)NAN : 1.0;
}

// --- Units of the channels: each is a straight line from what is written to SI

bool logger_columns_line(const struct logger_reading *r, size_t channel, struct logger_line *line) {
    static const enum unit_kind kinds[LOGGER_CHANNELS] = {UNIT_PRESSURE_LEVEL, UNIT_PRESSURE_LEVEL,
                                                          UNIT_LENGTH, UNIT_FLOW};
    const struct logger_column *column = &r->column[r->channel[channel]];
    const char *unit = channel == LOGGER_PRESSURE && r->asked->unit ? r->asked->unit : column->unit;
    struct quantity quantity;
    char message[UNIT_MESSAGE_SIZE];
    char allowed[UNIT_MESSAGE_SIZE + 96];
    double si[2];
    *line = (struct logger_line){1.0, 0.0};
    // A flow is looked at for its shape only, and a travel of no known unit.
    if (channel >= LOGGER_TRAVEL) {
        const bool length = parse_unit(unit, UNIT_LENGTH, &quantity, message);
        const bool share = !length && parse_unit(unit, UNIT_FRACTION, &quantity, message);
        if (channel == LOGGER_TRAVEL && unit[0] && (length || share)) {
            r->out->travel = length ? LOGGER_TRAVEL_LENGTH : LOGGER_TRAVEL_SHARE;
            line->factor = quantity.value;
        }
        return true;
    }
    for (int k = 0; k < 2; k++) {
        char text[LOGGER_NAME_SIZE + 8];
        snprintf(text, sizeof text, "%d %s", k + 1, unit);
        const char *wrong = units_parse(text, kinds[channel], &quantity, message);
        if (!wrong) {
            wrong = units_to_si(&r->asked->site, &quantity, &si[k]);
        }
        if (wrong) {
            // One that does not say from where it is counted has its own words.
            const bool counted = units_find(UNIT_PRESSURE_DROP, unit) == NULL;
            snprintf(allowed, sizeof allowed, "%s%s; say it in the header%s",
                     counted ? "a unit of pressure: " : "",
                     counted ? units_refuse_instead(unit, kinds[channel], message) : wrong,
                     channel == LOGGER_PRESSURE ? ", or with --unit" : "");
            logger_complain_cell(r, column->place,
                                 column->name[0] && r->quotable ? column->name
                                                                : logger_channel_name(channel),
                                 unit[0] ? unit : "no unit", allowed);
            return false;
        }
        r->out->unit = channel == LOGGER_PRESSURE ? quantity.token : r->out->unit;
        r->out->us = r->out->us || (channel == LOGGER_PRESSURE && quantity.system == UNITS_US);
    }
    *line = (struct logger_line){si[1] - si[0], 2.0 * si[0] - si[1]};
    return true;
}
