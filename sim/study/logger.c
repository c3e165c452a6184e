// SPDX-License-Identifier: MIT
#include "study/logger.h"

#include "base/nearest.h"
#include "study/logger_time.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

enum { COLUMNS_MAX = 64, NAME_SIZE = 96, ERRORS_MAX = 20 };
#define BYTES_MAX ((size_t)256 << 20)
#define DAY 86400.0

struct column {
    char name[NAME_SIZE]; // without the unit
    char unit[NAME_SIZE]; // as written in the header; "" if none
    int place;            // in its line, from 1; 0: there is no header
};

struct reading {
    const char *path;
    const struct logger_asked *asked;
    struct diagnostics *list;
    struct logger *out;
    char *cursor; // begin of the next line
    int line;
    const char *row; // begin of the line at hand
    char mark;       // that parts columns
    size_t columns;
    struct column column[COLUMNS_MAX];
    size_t time;                     // its column
    size_t channel[LOGGER_CHANNELS]; // COLUMNS_MAX: none
    double factor;                   // of a time in numbers, to seconds
    enum logger_dates dates;
    double before; // clock of the row before
    double days;   // that a clock has gone round
};

static const char *const channel_names[LOGGER_CHANNELS] = {"pressure", "chamber", "travel", "flow"};

static void complain(const struct reading *r, int column, const char *what, const char *found,
                     const char *allowed) {
    const struct place place = {r->path, column > 0 ? r->line : 0, column};
    if (r->list->errors < ERRORS_MAX) {
        diagnostics_error(r->list, place, "%s: found '%.60s'; allowed %s", what, found, allowed);
    }
}

// --- Lines and cells

static char *next_line(struct reading *r) {
    while (*r->cursor) {
        char *line = r->cursor;
        char *end = line + strcspn(line, "\n");
        r->cursor = *end ? end + 1 : end;
        *end = '\0';
        line[strcspn(line, "\r")] = '\0';
        r->line++;
        if (line[strspn(line, " \t;,")] != '\0' && line[0] != '#') {
            return line;
        }
    }
    return NULL;
}

// Cuts a line in place; quotes around a cell are taken off. The number of cells.
static size_t cut_line(const struct reading *r, char *line, char *cell[COLUMNS_MAX]) {
    size_t count = 0;
    char *at = line;
    while (count < COLUMNS_MAX) {
        at += strspn(at, " ");
        const bool quoted = *at == '"';
        char *start = quoted ? at + 1 : at;
        char *end = quoted ? strchr(start, '"') : NULL;
        char *mark = strchr(end ? end : start, r->mark);
        if (end) {
            *end = '\0';
        }
        if (mark) {
            *mark = '\0';
        }
        for (size_t k = strlen(start); k > 0 && start[k - 1] == ' '; k--) {
            start[k - 1] = '\0';
        }
        cell[count++] = start;
        if (!mark) {
            break;
        }
        at = mark + 1;
    }
    return count;
}

// A comma that parts no columns is a decimal one.
static void put_points(const struct reading *r, char *text) {
    for (; r->mark != ',' && *text; text++) {
        *text = *text == ',' ? '.' : *text;
    }
}

static bool read_number(const struct reading *r, char *text, double *number) {
    char *end;
    put_points(r, text);
    *number = strtod(text, &end);
    return end != text && *end == '\0' && isfinite(*number);
}

// --- The header

// "Pressure [psig]", "Pressure (psig)" or "Pressure psig": name and unit apart.
static void split_heading(const char *text, struct column *column) {
    const char *open = strpbrk(text, "[(");
    snprintf(column->name, NAME_SIZE, "%s", text);
    column->unit[0] = '\0';
    if (open && open > text) {
        // "kPa(g)" is a unit of its own: what counts is the first bracket after a blank.
        while (open && open > text && open[-1] != ' ' && *open == '(') {
            open = strpbrk(open + 1, "[(");
        }
    }
    if (open) {
        const size_t length = strlen(open);
        snprintf(column->name, NAME_SIZE, "%.*s", (int)(open - text), text);
        snprintf(column->unit, NAME_SIZE, "%.*s", (int)(length > 2 ? length - 2 : 0), open + 1);
    } else if (strrchr(text, ' ')) {
        const char *word = strrchr(text, ' ');
        snprintf(column->name, NAME_SIZE, "%.*s", (int)(word - text), text);
        snprintf(column->unit, NAME_SIZE, "%s", word + 1);
    }
    for (size_t k = strlen(column->name); k > 0 && column->name[k - 1] == ' '; k--) {
        column->name[k - 1] = '\0';
    }
}

static bool parse_unit(const char *unit, enum unit_kind kind, struct quantity *one,
                       char message[UNIT_MESSAGE_SIZE]) {
    char text[NAME_SIZE + 4];
    snprintf(text, sizeof text, "1 %s", unit);
    const char *wrong = units_parse(text, kind, one, message);
    if (wrong && wrong != message) {
        snprintf(message, UNIT_MESSAGE_SIZE, "%s", wrong);
    }
    return !wrong;
}

// A column by its name or its number from 1; COLUMNS_MAX after an error.
static size_t find_column(const struct reading *r, const char *what, const char *wanted) {
    char *end;
    const long number = strtol(wanted, &end, 10);
    struct nearest near = nearest_start(wanted);
    char allowed[2 * NAME_SIZE];
    if (end != wanted && *end == '\0' && number >= 1 && (size_t)number <= r->columns) {
        return (size_t)number - 1;
    }
    for (size_t i = 0; i < r->columns; i++) {
        if (strcasecmp(r->column[i].name, wanted) == 0) {
            return i;
        }
        nearest_offer(&near, r->column[i].name);
    }
    snprintf(allowed, sizeof allowed, "the name of a column, or its number from 1 to %zu%s%.60s%s",
             r->columns, near.best ? "; did you mean '" : "", near.best ? near.best : "",
             near.best ? "'?" : "");
    complain(r, 0, what, wanted, allowed);
    return COLUMNS_MAX;
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
static size_t guess_pressure(const struct reading *r) {
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
    return COLUMNS_MAX;
}

static bool choose_columns(struct reading *r) {
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
        snprintf(option, sizeof option, "--%s", channel_names[k]);
        r->channel[k] = asked->column[k] ? find_column(r, option, asked->column[k]) : COLUMNS_MAX;
    }
    if (!asked->column[LOGGER_PRESSURE]) {
        r->channel[LOGGER_PRESSURE] = guess_pressure(r);
        if (r->channel[LOGGER_PRESSURE] == COLUMNS_MAX) {
            complain(r, 1, "header", "no column that is clearly a pressure",
                     "one with a unit such as [psig], or name it with --pressure");
        }
    }
    return r->list->errors == 0;
}

// Seconds of a unit of time in the header: s unless it says otherwise.
static double time_factor(const struct column *column) {
    static const struct {
        const char *unit;
        double seconds;
    } known[] = {{"ms", 1e-3},  {"s", 1.0},        {"sec", 1.0},  {"seconds", 1.0},
                 {"min", 60.0}, {"minutes", 60.0}, {"h", 3600.0}, {"hours", 3600.0},
                 {"d", DAY},    {"days", DAY}};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (strcasecmp(column->unit, known[i].unit) == 0) {
            return known[i].seconds;
        }
    }
    return 1.0;
}

// --- Units of the channels: each is a straight line from what is written to SI

struct line {
    double factor, offset;
};

static bool find_line(const struct reading *r, size_t channel, struct line *line) {
    static const enum unit_kind kinds[LOGGER_CHANNELS] = {UNIT_PRESSURE_LEVEL, UNIT_PRESSURE_LEVEL,
                                                          UNIT_LENGTH, UNIT_FLOW};
    const struct column *column = &r->column[r->channel[channel]];
    const char *unit = channel == LOGGER_PRESSURE && r->asked->unit ? r->asked->unit : column->unit;
    struct quantity quantity;
    char message[UNIT_MESSAGE_SIZE];
    char allowed[UNIT_MESSAGE_SIZE + 96];
    double si[2];
    *line = (struct line){1.0, 0.0};
    // Travel, and flow, are looked at for their shape only: a share of the largest will do.
    if (channel >= LOGGER_TRAVEL) {
        return true;
    }
    for (int k = 0; k < 2; k++) {
        char text[NAME_SIZE + 8];
        snprintf(text, sizeof text, "%d %s", k + 1, unit);
        const char *wrong = units_parse(text, kinds[channel], &quantity, message);
        if (!wrong) {
            wrong = units_to_si(&r->asked->site, &quantity, &si[k]);
        }
        if (wrong) {
            snprintf(allowed, sizeof allowed, "%s; say it in the header, or with --unit", wrong);
            complain(r, column->place, column->name[0] ? column->name : channel_names[channel],
                     unit[0] ? unit : "no unit", allowed);
            return false;
        }
        r->out->us = r->out->us || (channel == LOGGER_PRESSURE && quantity.system == UNITS_US);
    }
    *line = (struct line){si[1] - si[0], 2.0 * si[0] - si[1]};
    return true;
}

// --- Rows

static bool read_time(struct reading *r, size_t cells, char *const cell[], double *time) {
    const char *text = r->time < cells ? cell[r->time] : "";
    const int place = r->time < cells ? (int)(text - r->row) + 1 : 1;
    char both[2 * NAME_SIZE];
    if (r->time < cells) {
        put_points(r, cell[r->time]);
    }
    enum logger_time_kind kind = logger_time_read(text, r->dates, time);
    // Some write the date in one column and the clock in the next.
    if (kind == TIME_DATED && r->time + 1 < cells && !strchr(text, ':') &&
        strchr(cell[r->time + 1], ':')) {
        snprintf(both, sizeof both, "%s %s", text, cell[r->time + 1]);
        kind = logger_time_read(both, r->dates, time);
    }
    if (kind == TIME_BAD) {
        complain(r, place, "time", text,
                 "seconds, a clock such as 12:30:05, or a date such as 2025-03-04 12:30:05");
        return false;
    }
    if (kind == TIME_AMBIGUOUS) {
        complain(r, place, "time", text,
                 "a date whose order is known: say --dates month-first or day-first");
        return false;
    }
    if (kind == TIME_NUMBER) {
        *time *= r->factor;
    } else if (kind == TIME_CLOCK) {
        if (*time + r->days * DAY < r->before - 0.5 * DAY) {
            r->days += 1.0; // past midnight
        }
        *time += r->days * DAY;
        r->before = *time;
    }
    return true;
}

static void read_row(struct reading *r, char *line, const struct line lines[LOGGER_CHANNELS]) {
    struct logger *out = r->out;
    char *cell[COLUMNS_MAX];
    double time;
    r->row = line;
    const size_t cells = cut_line(r, line, cell);
    if (!read_time(r, cells, cell, &time)) {
        return;
    }
    out->time[out->count] = time;
    for (size_t k = 0; k < LOGGER_CHANNELS; k++) {
        double number = (double)NAN;
        if (!out->value[k]) {
            continue;
        }
        const size_t at = r->channel[k];
        // An empty cell is a sample that was not taken.
        if (at < cells && cell[at][0] != '\0' && !read_number(r, cell[at], &number)) {
            complain(r, (int)(cell[at] - r->row) + 1, r->out->name[k], cell[at], "a number");
        }
        out->value[k][out->count] = lines[k].factor * number + lines[k].offset;
    }
    out->count++;
}

static bool reserve(struct reading *r) {
    struct logger *out = r->out;
    size_t rows = 1;
    for (const char *c = r->cursor; *c; c++) {
        rows += *c == '\n';
    }
    out->time = malloc(rows * sizeof *out->time);
    bool fine = out->time != NULL;
    for (size_t k = 0; k < LOGGER_CHANNELS; k++) {
        if (r->channel[k] < COLUMNS_MAX) {
            out->value[k] = malloc(rows * sizeof *out->value[k]);
            out->name[k] = r->column[r->channel[k]].name[0] ? strdup(r->column[r->channel[k]].name)
                                                            : strdup(channel_names[k]);
            fine = fine && out->value[k] && out->name[k];
        }
    }
    if (!fine) {
        diagnostics_error(r->list, (struct place){r->path, 0, 0}, "out of memory");
    }
    return fine;
}

static bool is_heading(const struct reading *r, size_t cells, char *const cell[]) {
    double number;
    size_t texts = 0;
    for (size_t i = 0; i < cells; i++) {
        char copy[NAME_SIZE];
        snprintf(copy, sizeof copy, "%s", cell[i]);
        texts += !read_number(r, copy, &number) &&
                 logger_time_read(cell[i], DATES_DAY_FIRST, &number) == TIME_BAD;
    }
    return texts > 0;
}

// The mark that the first line has most of; a semicolon or a tab before a comma, which may be a
// decimal one.
static char find_mark(const char *text) {
    const size_t length = strcspn(text, "\n");
    size_t count[3] = {0};
    static const char marks[] = {'\t', ';', ','};
    for (size_t i = 0; i < length; i++) {
        for (int k = 0; k < 3; k++) {
            count[k] += text[i] == marks[k];
        }
    }
    return count[0] ? '\t' : count[1] ? ';' : ',';
}

static void read_all(struct reading *r) {
    struct line lines[LOGGER_CHANNELS];
    char *cell[COLUMNS_MAX];
    char *line = next_line(r);
    r->mark = line ? find_mark(line) : ',';
    char *heading = line ? strdup(line) : NULL;
    if (!heading) {
        complain(r, 0, "file", "nothing", "rows of a time and a pressure");
        return;
    }
    r->columns = cut_line(r, heading, cell);
    const bool headed = is_heading(r, r->columns, cell);
    for (size_t i = 0; i < r->columns; i++) {
        split_heading(headed ? cell[i] : "", &r->column[i]);
        r->column[i].place = (int)(cell[i] - heading) + 1;
    }
    free(heading);
    if (!choose_columns(r) || !reserve(r)) {
        return;
    }
    for (size_t k = 0; k < LOGGER_CHANNELS; k++) {
        if (r->out->value[k] && !find_line(r, k, &lines[k])) {
            return;
        }
    }
    r->factor = time_factor(&r->column[r->time]);
    if (!headed) {
        read_row(r, line, lines);
    }
    while ((line = next_line(r)) != NULL) {
        read_row(r, line, lines);
    }
    const double first = r->out->count > 0 ? r->out->time[0] : 0.0;
    for (size_t i = 0; i < r->out->count; i++) {
        r->out->time[i] -= first;
    }
}

static char *read_text(const char *path, struct diagnostics *list) {
    struct stat status;
    const struct place place = {path, 0, 0};
    if (stat(path, &status) != 0) {
        diagnostics_error(list, place, "cannot open: %s", strerror(errno));
        return NULL;
    }
    if (!S_ISREG(status.st_mode) || (size_t)status.st_size > BYTES_MAX) {
        diagnostics_error(list, place, "not a plain file of at most %zu MB", BYTES_MAX >> 20);
        return NULL;
    }
    FILE *stream = fopen(path, "rb");
    char *text = stream ? malloc((size_t)status.st_size + 1) : NULL;
    size_t length = text ? fread(text, 1, (size_t)status.st_size, stream) : 0;
    if (text) {
        text[length] = '\0';
    } else {
        diagnostics_error(list, place, "cannot read: %s", strerror(errno));
    }
    if (stream) {
        fclose(stream);
    }
    return text;
}

bool logger_read(const char *path, const struct logger_asked *asked, struct logger *out,
                 struct diagnostics *list) {
    memset(out, 0, sizeof *out);
    out->text = read_text(path, list);
    if (!out->text) {
        return false;
    }
    struct reading *r = calloc(1, sizeof *r);
    if (!r) {
        diagnostics_error(list, (struct place){path, 0, 0}, "out of memory");
        return false;
    }
    *r = (struct reading){.path = path, .asked = asked, .list = list, .out = out};
    // A mark of byte order is no text.
    r->cursor = out->text + (strncmp(out->text, "\xef\xbb\xbf", 3) == 0 ? 3 : 0);
    r->dates = !asked->dates                            ? DATES_UNKNOWN
               : strcmp(asked->dates, "day-first") == 0 ? DATES_DAY_FIRST
                                                        : DATES_MONTH_FIRST;
    read_all(r);
    free(r);
    return list->errors == 0;
}

void logger_free(struct logger *logger) {
    free(logger->time);
    for (size_t k = 0; k < LOGGER_CHANNELS; k++) {
        free(logger->value[k]);
        free(logger->name[k]);
    }
    free(logger->text);
    memset(logger, 0, sizeof *logger);
}
