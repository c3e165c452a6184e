// SPDX-License-Identifier: MIT
#include "site/logger_reading.h"
#include "site/logger_stamps.h"

#include "base/clean.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { PATH_SHOWN = 300 }; // bytes of a name of a file

#define BYTES_MAX ((size_t)256 << 20)
#define DAY 86400.0

// --- Lines and cells

static char *next_line(struct logger_reading *r) {
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
static size_t cut_line(const struct logger_reading *r, char *line, char *cell[LOGGER_COLUMNS_MAX]) {
    size_t count = 0;
    char *at = line;
    while (count < LOGGER_COLUMNS_MAX) {
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
static void put_points(const struct logger_reading *r, char *text) {
    for (; r->mark != ',' && *text; text++) {
        *text = *text == ',' ? '.' : *text;
    }
}

static bool read_number(const struct logger_reading *r, char *text, double *number) {
    char *end;
    put_points(r, text);
    *number = strtod(text, &end);
    return end != text && *end == '\0' && isfinite(*number);
}

// --- Rows

static bool read_time(struct logger_reading *r, size_t cells, char *const cell[], double *time) {
    const char *text = r->time < cells ? cell[r->time] : "";
    const int place = r->time < cells ? (int)(text - r->row) + 1 : 1;
    char both[2 * LOGGER_NAME_SIZE];
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
        logger_complain_cell(
            r, place, "time", text,
            "seconds, a clock such as 12:30:05, or a date such as 2025-03-04 12:30:05");
        return false;
    }
    if (kind == TIME_AMBIGUOUS) {
        logger_complain_cell(r, place, "time", text,
                             "a date whose order is known: say --dates month-first or day-first");
        return false;
    }
    if (kind == TIME_NUMBER && isnan(r->factor)) {
        logger_complain_cell(r, place, "time", text,
                             "a clock, or a number whose unit the header says, such as [s], [min] "
                             "or [d]");
        return false;
    }
    if (kind == TIME_NUMBER) {
        *time *= r->factor;
        r->out->bare = r->column[r->time].unit[0] == '\0';
    } else if (kind == TIME_CLOCK) {
        if (*time + r->days * DAY < r->before - 0.5 * DAY) {
            r->days += 1.0; // past midnight
        }
        *time += r->days * DAY;
        r->before = *time;
    }
    return true;
}

static void read_row(struct logger_reading *r, char *line,
                     const struct logger_line lines[LOGGER_CHANNELS]) {
    struct logger *out = r->out;
    char *cell[LOGGER_COLUMNS_MAX];
    double time;
    r->row = line;
    const size_t cells = cut_line(r, line, cell);
    if (!read_time(r, cells, cell, &time)) {
        return;
    }
    if (!isfinite(time)) { // too large a number of its unit
        logger_complain_cell(r, (int)(cell[r->time] - r->row) + 1, "time", cell[r->time],
                             "a number");
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
        const bool taken = at < cells && cell[at][0] != '\0';
        const bool read = !taken || read_number(r, cell[at], &number);
        const double value = lines[k].factor * number + lines[k].offset;
        if (!read || isinf(value)) {
            logger_complain_cell(r, (int)(cell[at] - r->row) + 1,
                                 r->quotable ? r->out->name[k] : logger_channel_name(k), cell[at],
                                 "a number");
        }
        out->value[k][out->count] = value;
    }
    out->count++;
}

static bool reserve(struct logger_reading *r) {
    struct logger *out = r->out;
    size_t rows = 2; // a first one that is no heading, and a last one that no line feed ends
    for (const char *c = r->cursor; *c; c++) {
        rows += *c == '\n';
    }
    out->time = malloc(rows * sizeof *out->time);
    bool fine = out->time != NULL;
    for (size_t k = 0; k < LOGGER_CHANNELS; k++) {
        if (r->channel[k] < LOGGER_COLUMNS_MAX) {
            out->value[k] = malloc(rows * sizeof *out->value[k]);
            out->name[k] = r->column[r->channel[k]].name[0] ? strdup(r->column[r->channel[k]].name)
                                                            : strdup(logger_channel_name(k));
            fine = fine && out->value[k] && out->name[k];
        }
    }
    if (!fine) {
        diagnostics_error(r->list, (struct place){r->path, 0, 0}, "out of memory");
    }
    return fine;
}

static bool is_heading(const struct logger_reading *r, size_t cells, char *const cell[]) {
    double number;
    size_t texts = 0;
    for (size_t i = 0; i < cells; i++) {
        char copy[LOGGER_NAME_SIZE];
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

static void read_all(struct logger_reading *r) {
    struct logger_line lines[LOGGER_CHANNELS];
    char *cell[LOGGER_COLUMNS_MAX] = {NULL};
    char *line = next_line(r);
    r->mark = line ? find_mark(line) : ',';
    char *heading = line ? strdup(line) : NULL;
    if (!heading) {
        logger_complain(r, 0, "file", "nothing", "rows of a time and a pressure");
        return;
    }
    r->columns = cut_line(r, heading, cell);
    const bool headed = is_heading(r, r->columns, cell);
    for (size_t i = 0; i < r->columns; i++) {
        logger_columns_split(headed ? cell[i] : "", &r->column[i]);
        r->column[i].place = (int)(cell[i] - heading) + 1;
    }
    free(heading);
    r->quotable = logger_columns_quotable(r, headed);
    if (!logger_columns_choose(r) || !reserve(r)) {
        return;
    }
    for (size_t k = 0; k < LOGGER_CHANNELS; k++) {
        if (r->out->value[k] && !logger_columns_line(r, k, &lines[k])) {
            return;
        }
    }
    r->factor = logger_columns_second(r);
    r->dates = r->dates == DATES_UNKNOWN ? logger_stamps_order(r) : r->dates;
    if (!headed) {
        read_row(r, line, lines);
    }
    while ((line = next_line(r)) != NULL) {
        read_row(r, line, lines);
    }
    logger_stamps_mend(r->out);
    const double first = r->out->count > 0 ? r->out->time[0] : 0.0;
    for (size_t i = 0; i < r->out->count; i++) {
        r->out->time[i] -= first;
    }
}

static char *read_text(const char *path, struct diagnostics *list) {
    struct stat status;
    const struct place place = {path, 0, 0};
    if (stat(path, &status) != 0) {
        diagnostics_error(list, place, "cannot open '%.*s'", clean_whole(path, PATH_SHOWN), path);
        return NULL;
    }
    if (!S_ISREG(status.st_mode)) {
        diagnostics_error(list, place, "'%.*s' is not a plain file", clean_whole(path, PATH_SHOWN),
                          path);
        return NULL;
    }
    if ((size_t)status.st_size > BYTES_MAX) {
        diagnostics_error(list, place, "'%.*s' is larger than %zu bytes",
                          clean_whole(path, PATH_SHOWN), path, BYTES_MAX);
        return NULL;
    }
    FILE *stream = fopen(path, "rb");
    char *text = stream ? malloc((size_t)status.st_size + 1) : NULL;
    size_t length = text ? fread(text, 1, (size_t)status.st_size, stream) : 0;
    if (text) {
        text[length] = '\0';
    } else {
        diagnostics_error(list, place, stream ? "cannot read '%.*s'" : "cannot open '%.*s'",
                          clean_whole(path, PATH_SHOWN), path);
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
    struct logger_reading *r = calloc(1, sizeof *r);
    if (!r) {
        diagnostics_error(list, (struct place){path, 0, 0}, "out of memory");
        return false;
    }
    *r = (struct logger_reading){.path = path, .asked = asked, .list = list, .out = out};
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
