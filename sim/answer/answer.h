// SPDX-License-Identifier: MIT
// What a command has to say, as a value: lines in the order a person reads them, tables, and the
// numbers of one picture. Filled by studies in SI, written by show/ in any form. Knows neither a
// study nor a file.
//
// Nothing here fails loudly: where memory runs out, `failed` is set and what comes after is lost;
// who writes the answer looks at it first.
#pragma once

#include "base/arena.h"
#include "units/units.h"

#include <stdbool.h>
#include <stddef.h>

enum { ANSWER_UNIT_SIZE = 48 };

enum answer_form {
    ANSWER_QUANTITY, // number of a unit kind, SI
    ANSWER_WORD,     // text
    ANSWER_COUNT,    // whole number
    ANSWER_FLAG,     // yes or no: 1 or 0
};

// Where a table or a column comes out.
enum answer_place { ANSWER_TERMINAL = 1, ANSWER_CSV = 2, ANSWER_JSON = 4, ANSWER_FILES = 6 };

struct answer_column {
    const char *key;       // member in JSON, such as "pressure_swing"
    const char *name;      // on the terminal and above a CSV column, such as "pressure swing"
    enum answer_form form; // of its cells
    enum unit_kind kind;   // of a quantity; its unit is that of the scenario...
    const char *unit;      // ...or this token; of kind UNIT_NONE any text, such as "1/min"
    const char *per;       // what the unit is divided by, such as "/day"; NULL: nothing
    int digits;            // on the terminal; 0: four
    unsigned hidden;       // places where it is left out
    const char *group;     // heading above it where one subject is listed; NULL: none
};

struct answer_cell {
    double number;    // NaN: none
    const char *text; // of a word; of a number, what the terminal says instead of it (NULL: the
                      // number)
};

enum answer_layout {
    ANSWER_ROWS,         // a line each row
    ANSWER_SIDE_BY_SIDE, // a line each column, the rows beside each other, each with its unit
};

struct answer_table {
    const char *key;   // member in JSON, and ending of the file's name; "": the main table
    const char *file;  // whole name of the CSV file without ending, if not from `key`; NULL
    const char *title; // above it on the terminal; NULL: none
    enum answer_layout layout;
    unsigned hidden; // places where it is left out
    const struct answer_column *column;
    size_t columns, rows;
    // Rows are stored, or made by `fill` when they are written, each into cell[columns]; what it
    // reads must live as long as the answer (answer_hold).
    struct answer_cell *cell;
    void (*fill)(const void *context, size_t row, struct answer_cell *cell);
    const void *context;
    // Inside.
    size_t reserved, filled;
    struct answer *answer;
    struct answer_table *next;
};

enum answer_kind {
    ANSWER_HEADING, // first line of what follows
    ANSWER_LINE,    // said on the terminal only
    ANSWER_NOTE,    // how the numbers are to be read
    ANSWER_FINDING, // what it comes to
    ANSWER_WARNING,
    ANSWER_FACT, // one value with its name
    ANSWER_TABLE,
    ANSWER_GAP,   // an empty line
    ANSWER_TALK,  // a line that --quiet leaves out
    ANSWER_BRIEF, // what --quiet says instead of everything else
};

struct answer_item {
    enum answer_kind kind;
    const char *label;                  // in front of a line, whose text is then indented; or NULL
    const char *text;                   // of lines
    const struct answer_column *column; // of a fact
    struct answer_cell cell;
    const struct answer_table *table;
    struct answer_item *next;
};

// Numbers of a picture, in the units shown. A row of NaN alone parts lines; see picture.h.
struct picture_data {
    size_t columns, rows, reserved;
    size_t block; // rows after which an empty line comes, as surfaces need; 0: none
    double *value;
    const char **name; // one text a row, or NULL
    struct answer *answer;
    struct picture_data *next;
};

struct picture {
    const char *script; // of plots/, such as "map.gp"; NULL: there is no picture
    const char *sketch; // script for a terminal, if another; NULL
    const char *heading, *origin;
    size_t titles, labels, numbers, files;
    size_t titles_reserved, labels_reserved, numbers_reserved;
    const char **title, **label;
    double *number;
    struct picture_data *data, *last;
};

struct answer {
    const char *scenario; // as named by the user
    const char *title;    // of the scenario
    const char *variant;  // added to the names of files; "" if nothing
    const char *origin;   // what a picture says of where it is from, one line; NULL: nothing
    bool cautions;        // the work it is about can hurt: end with the usual words
    struct unit_context site;
    enum unit_system units;
    struct answer_item *item, *last_item;
    struct answer_table *table, *last_table;
    struct picture picture;
    struct arena memory;
    struct answer_held *held;  // what answer_hold was given
    struct answer_table spare; // takes what is put after memory ran out
    struct picture_data spare_data;
    bool failed;
};

void answer_free(struct answer *answer);

// Take over memory from malloc, given back with the answer.
void answer_hold(struct answer *answer, void *memory);

// --- Lines. `format` as of printf; a text may be longer than a line: the terminal wraps it.

void answer_say(struct answer *answer, enum answer_kind kind, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

// The same with a label in front, such as "trim full"; lines of a text then stand below its start.
void answer_label(struct answer *answer, enum answer_kind kind, const char *label,
                  const char *format, ...) __attribute__((format(printf, 4, 5)));

void answer_gap(struct answer *answer);

// One value; the column must outlive the answer. `text` NULL: the number.
void answer_fact(struct answer *answer, const struct answer_column *column, double number,
                 const char *text);

// --- Tables. The columns and the key must outlive the answer.

struct answer_table *answer_table(struct answer *answer, const char *key, const char *title,
                                  const struct answer_column *column, size_t columns);

// Cells of a row, in the order of the columns; a row is full after the last of them.
void answer_put(struct answer_table *table, double number); // NaN: none
void answer_word(struct answer_table *table, const char *text);
void answer_words(struct answer_table *table, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void answer_flag(struct answer_table *table, bool flag);

// A number for the files, and what the terminal says instead.
void answer_said(struct answer_table *table, double number, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

// Cells of one row, stored or made; `room` holds as many as there are columns.
const struct answer_cell *answer_row(const struct answer_table *table, size_t row,
                                     struct answer_cell *room);

// --- How numbers read, in the units shown

const char *answer_unit(const struct answer *answer, enum unit_kind kind);
double answer_shown(const struct answer *answer, enum unit_kind kind, double si);

// The same in a unit of the caller's, a token of the kind.
double answer_shown_in(const struct answer *answer, enum unit_kind kind, const char *unit,
                       double si);

// Number and unit, such as "3.52 psi", four digits; "-" for what is not finite. Lives as long as
// the answer.
const char *answer_text(struct answer *answer, enum unit_kind kind, double si);

// And that in a unit of the caller's.
const char *answer_text_in(struct answer *answer, enum unit_kind kind, const char *unit, double si);

// Unit of a column, "" if none; the number of a cell in it.
void answer_column_unit(const struct answer *answer, const struct answer_column *column,
                        char unit[ANSWER_UNIT_SIZE]);
double answer_cell_number(const struct answer *answer, const struct answer_column *column,
                          const struct answer_cell *cell);

// What makes numbers of a column those that are shown; for those of many cells.
struct units_scale answer_column_scale(const struct answer *answer,
                                       const struct answer_column *column);

// A cell as the terminal says it, with or without its unit; "-" for none.
void answer_cell_text(const struct answer *answer, const struct answer_column *column,
                      const struct answer_cell *cell, bool with_unit, char *text, size_t size);

// Zeroed room for columns that are made while an answer is filled; NULL when there is no memory.
struct answer_column *answer_columns(struct answer *answer, size_t count);

// A copy that lives as long as the answer; "" when there is no memory.
const char *answer_keep(struct answer *answer, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
