// SPDX-License-Identifier: MIT
// One row of a command's table of options. Reading, the help page, the manual page and the
// completion are all made from such rows.
#pragma once

#include <stddef.h>

enum option_kind {
    OPTION_FLAG,   // takes no value
    OPTION_TEXT,   // a text, which the command reads with its scenario at hand
    OPTION_COUNT,  // a whole number from low to high
    OPTION_CHOICE, // one of the words
    OPTION_MANY,   // a text; may be given several times
};

struct command_option {
    const char *name;  // without its two dashes
    const char *value; // what the page calls its value, such as "FLOW"; NULL: takes none
    const char *help;
    enum option_kind kind;
    long low, high;    // of a count
    const char *words; // of a choice, with ", " between; also what completion offers for a text
};

// Options that several commands share, by group.
enum option_group {
    OPTIONS_TRIM = 1,     // --trim
    OPTIONS_FIELDS = 2,   // --set, --units
    OPTIONS_FILES = 4,    // --out, --no-files
    OPTIONS_PICTURE = 8,  // --no-plot, --plot, --sketch
    OPTIONS_THREADS = 16, // --threads
    OPTIONS_QUIET = 32,   // --quiet
    OPTIONS_STUDY = 63,   // all of these
    OPTIONS_FOLDER = 64,  // --out alone
};

// Places of the shared options in their table.
enum option_shared {
    SHARED_TRIM,
    SHARED_SET,
    SHARED_UNITS,
    SHARED_OUT,
    SHARED_NO_FILES,
    SHARED_NO_PLOT,
    SHARED_PLOT,
    SHARED_SKETCH,
    SHARED_THREADS,
    SHARED_QUIET,
    SHARED_HELP,
    SHARED_COUNT
};

// What help page and manual say of an option: its help, and the range of a count.
enum { OPTION_SAID_SIZE = 512 };
void option_said(const struct command_option *option, char text[OPTION_SAID_SIZE]);

// A shared option, and the group it belongs to (0: every command has it).
const struct command_option *option_shared_at(enum option_shared shared, unsigned *group);

// Options of a command by index: its own, then the shared ones it takes; NULL beyond the last.
struct command;
const struct command_option *option_at(const struct command *command, size_t index);
