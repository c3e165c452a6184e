// SPDX-License-Identifier: MIT
// Inside of the reading of a logger's file, shared by the files that do it.
#pragma once

#include "site/logger.h"
#include "site/logger_time.h"

enum { LOGGER_COLUMNS_MAX = 64, LOGGER_NAME_SIZE = 96 };

struct logger_column {
    char name[LOGGER_NAME_SIZE]; // without the unit
    char unit[LOGGER_NAME_SIZE]; // as written in the header; "" if none
    int place;                   // in its line, from 1; 0: there is no header
};

struct logger_reading {
    const char *path;
    const struct logger_asked *asked;
    struct diagnostics *list;
    struct logger *out;
    char *cursor; // begin of the next line
    int line;
    const char *row; // begin of the line at hand
    char mark;       // that parts columns
    bool quotable;   // by its header it is a record, so what stands in it may be repeated in
                   // messages: of another file, which somebody may have named to see it, nothing is
    size_t columns;
    struct logger_column column[LOGGER_COLUMNS_MAX];
    size_t time;                     // its column
    size_t channel[LOGGER_CHANNELS]; // LOGGER_COLUMNS_MAX: none
    double factor;                   // of a time in numbers, to seconds; NaN: not known
    enum logger_dates dates;
    double before; // clock of the row before
    double days;   // that a clock has gone round
};

// A unit as a straight line from what is written to SI.
struct logger_line {
    double factor, offset;
};

// Report an error at a place in the line at hand; column 0: of the file as a whole.
void logger_complain(const struct logger_reading *r, int column, const char *what,
                     const char *found, const char *allowed);

// The same where `found` stands in the file.
void logger_complain_cell(const struct logger_reading *r, int column, const char *what,
                          const char *found, const char *allowed);

// Name and unit of a heading apart.
void logger_columns_split(const char *text, struct logger_column *column);

// Whether the header is that of a record: two columns or more, of which one is a time by its name
// or one has a unit of pressure. A file of numbers alone needs no header.
bool logger_columns_quotable(const struct logger_reading *r, bool headed);

// Which column is what; false after errors.
bool logger_columns_choose(struct logger_reading *r);

// Unit of a channel; false after an error.
bool logger_columns_line(const struct logger_reading *r, size_t channel, struct logger_line *line);

// Seconds of the unit of the times; NaN where the header says no unit of time.
double logger_columns_second(const struct logger_reading *r);

const char *logger_channel_name(size_t channel);
