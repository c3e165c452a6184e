// SPDX-License-Identifier: MIT
// A logger's file: columns of text, one of them the time. Reads what loggers commonly write:
// commas, semicolons or tabs; decimal points, or commas where those do not part columns; times as
// seconds, as a clock or with dates. Every unit is that of the header or stated; a pressure says
// gauge or absolute.
#pragma once

#include "base/diagnostic.h"
#include "units/units.h"

#include <stdbool.h>
#include <stddef.h>

enum logger_channel {
    LOGGER_PRESSURE,
    LOGGER_CHAMBER,
    LOGGER_TRAVEL,
    LOGGER_FLOW,
    LOGGER_CHANNELS
};

// What a travel is written in.
enum logger_travel { LOGGER_TRAVEL_OTHER, LOGGER_TRAVEL_LENGTH, LOGGER_TRAVEL_SHARE };

// What the user says of the file; NULL: not said.
struct logger_asked {
    const char *time;                    // name or number of its column
    const char *column[LOGGER_CHANNELS]; // the same of the others
    const char *unit;                    // of the pressure
    const char *dates;                   // "month-first", "day-first": order of 3/4/2025
    struct unit_context site;            // for gauge pressures
};

struct logger {
    size_t count;
    double *time; // from the first row on [s]
    double
        *value[LOGGER_CHANNELS]; // [Pa] absolute; travel, see below; a flow as written; NULL: none
    char *name[LOGGER_CHANNELS]; // of the column
    bool us;                     // the pressure is written in US units
    const char *unit;            // its token, of the table of units; NULL: none
    bool bare;                   // times are numbers, and nothing says of what unit
    bool newest_first;           // rows stood newest first, and were turned round
    bool spread;                 // many rows had one time, and were spread evenly
    enum logger_travel travel;   // [m]; [-] of the full travel; or as written
    char *text;                  // inside
};

// False after errors, all of the file in one pass (at most a few dozen). Free whatever the outcome.
bool logger_read(const char *path, const struct logger_asked *asked, struct logger *out,
                 struct diagnostics *list);
void logger_free(struct logger *logger);
