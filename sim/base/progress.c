// SPDX-License-Identifier: MIT
#include "base/progress.h"

#include "base/clean.h"

#include <math.h>
#include <stdio.h>
#include <time.h>
#include <unistd.h>

#define REDRAW_INTERVAL 0.2 // [s]
#define FIRST_GUESS 1.0     // no time left is told before so much of it has passed [s]

static double clock_now(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

void progress_duration(double seconds, char *text, size_t size) {
    long whole = lround(fmin(fmax(seconds, 0.0), 1e9));
    if (whole < 60) {
        snprintf(text, size, "%ld s", whole);
    } else if (whole < 3570) {
        snprintf(text, size, "%ld min", (whole + 30) / 60);
    } else {
        long minutes = (whole + 30) / 60;
        snprintf(text, size, "%ld h %ld min", minutes / 60, minutes % 60);
    }
}

struct progress progress_start(const char *label, size_t count, size_t done) {
    struct progress p = {.label = label, .count = count, .done = done, .at_start = done};
    p.shown = label && count > 0 && isatty(STDERR_FILENO);
    p.started = p.last = clock_now();
    return p;
}

static void draw(struct progress *p, double now) {
    char left[64] = "", line[200], duration[40], label[61];
    double spent = now - p->started;
    if (spent >= FIRST_GUESS && p->done > p->at_start) {
        double each = spent / (double)(p->done - p->at_start);
        progress_duration(each * (double)(p->count - p->done), duration, sizeof duration);
        snprintf(left, sizeof left, ", about %s left", duration);
    }
    clean_text(CLEAN_TERMINAL, p->label, label, sizeof label);
    int length = snprintf(line, sizeof line, "%s: %zu of %zu, %d %%%s", label, p->done, p->count,
                          (int)(100.0 * (double)p->done / (double)p->count), left);
    // Spaces wipe what a longer line left behind.
    int spare = p->width > length ? p->width - length : 0;
    fprintf(stderr, "\r%s%*s", line, spare, "");
    fflush(stderr);
    p->width = length;
    p->last = now;
}

void progress_step(struct progress *p) {
    p->done++;
    if (!p->shown) {
        return;
    }
    double now = clock_now();
    if (now - p->last >= REDRAW_INTERVAL) {
        draw(p, now);
    }
}

void progress_end(struct progress *p) {
    if (p->shown && p->width > 0) {
        fprintf(stderr, "\r%*s\r", p->width, "");
        fflush(stderr);
    }
    p->shown = false;
}
