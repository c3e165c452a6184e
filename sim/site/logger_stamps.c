// SPDX-License-Identifier: MIT
#include "site/logger_stamps.h"

#include <stdio.h>
#include <string.h>

// So many of the steps go back in a file that stands newest first.
#define BACKWARD 0.9
// So many rows share the time of the one before them where a clock is coarser than the sampling.
#define SHARED 0.5
enum { ROWS_LEAST = 8 };

enum logger_dates logger_stamps_order(const struct logger_reading *r) {
    for (const char *line = r->cursor; *line;) {
        const char *end = line + strcspn(line, "\n");
        const char *cell = line;
        for (size_t i = 0; i < r->time; i++) {
            const char *mark = memchr(cell, r->mark, (size_t)(end - cell));
            cell = mark ? mark + 1 : end;
        }
        // A copy: what reads a date would look for the end of the whole file.
        char text[LOGGER_NAME_SIZE];
        double time;
        cell += strspn(cell, " \"");
        const size_t length = cell < end ? (size_t)(end - cell) : 0;
        snprintf(text, sizeof text, "%.*s", (int)(length < sizeof text ? length : sizeof text - 1),
                 cell);
        const enum logger_time_kind kind = logger_time_read(text, DATES_UNKNOWN, &time);
        const enum logger_dates order = logger_time_order(text);
        if (order != DATES_UNKNOWN || kind == TIME_NUMBER || kind == TIME_CLOCK) {
            return order;
        }
        line = *end ? end + 1 : end;
    }
    return DATES_UNKNOWN;
}

static void turn(double *value, size_t count) {
    for (size_t i = 0; value && i < count / 2; i++) {
        const double kept = value[i];
        value[i] = value[count - 1 - i];
        value[count - 1 - i] = kept;
    }
}

// Rows first .. end - 1 share a time; those of a whole run are `whole`. The first run may have lost
// its begin, the last one its end.
static void spread_run(double *time, size_t count, size_t first, size_t end, double step,
                       size_t whole) {
    const size_t rows = end - first;
    const size_t lost = first == 0 && rows < whole ? whole - rows : 0;
    const size_t of = end == count && rows < whole ? whole : rows + lost;
    for (size_t i = first; i < end; i++) {
        time[i] += step * (double)(i - first + lost) / (double)of;
    }
}

static void spread(double *time, size_t count) {
    double step = 0.0; // of the run before
    size_t whole = 0;  // rows of the run before
    size_t second = 0; // begin of the second run
    for (size_t first = 0; first < count;) {
        size_t end = first + 1;
        while (end < count && !(time[end] > time[first])) {
            end++;
        }
        step = end < count ? time[end] - time[first] : step;
        if (first == 0) {
            second = end; // spread last, when it is known how many rows a whole run has
        } else {
            whole = end < count || whole == 0 ? end - first : whole;
            spread_run(time, count, first, end, step, whole);
        }
        first = end;
    }
    if (second < count) {
        // The second run begins at its own stamp still.
        spread_run(time, second + 1, 0, second, time[second] - time[0], whole);
    }
}

void logger_stamps_mend(struct logger *logger) {
    size_t back = 0;
    size_t shared = 0;
    for (size_t i = 1; i < logger->count; i++) {
        back += logger->time[i] < logger->time[i - 1];
        shared += logger->time[i] == logger->time[i - 1];
    }
    if (logger->count < ROWS_LEAST) {
        return;
    }
    const double steps = (double)(logger->count - 1);
    if ((double)back > BACKWARD * (steps - (double)shared) && back > 0) {
        turn(logger->time, logger->count);
        for (size_t k = 0; k < LOGGER_CHANNELS; k++) {
            turn(logger->value[k], logger->count);
        }
        logger->newest_first = true;
        back = 0;
    }
    if (back == 0 && (double)shared > SHARED * steps && (double)shared < steps) {
        spread(logger->time, logger->count);
        logger->spread = true;
    }
}
