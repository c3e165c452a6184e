// SPDX-License-Identifier: MIT
#include "show/plot_data.h"
#include "show/plot_script.h"

#include <math.h>
#include <stdio.h>

static bool write_run(const void *context, size_t file, FILE *stream) {
    const struct plot_page *page = context;
    return plot_data_write(stream, &page->series[file], page->close_from);
}

// First and last time of all runs, and whether any has a chamber.
static bool extent(const struct plot_page *page, double *start, double *end) {
    bool chamber = false;
    *start = HUGE_VAL;
    *end = -HUGE_VAL;
    for (size_t i = 0; i < page->count; ++i) {
        const struct plot_series *series = &page->series[i];
        chamber = chamber || series->chamber != NULL;
        *start = fmin(*start, series->time[0]);
        *end = fmax(*end, series->time[series->count - 1]);
    }
    return chamber;
}

static bool draw(const struct plot_page *page, const char *path, enum plot_format format,
                 char *message, size_t message_size) {
    enum { QUANTITIES = 4 };
    const char *quantity[QUANTITIES] = {"controlled pressure", "plug travel", "chamber pressure",
                                        "flow"};
    const char *unit[QUANTITIES] = {page->pressure_unit, page->travel_unit, page->pressure_unit,
                                    page->flow_unit};
    char text[QUANTITIES][200];
    const char *label[QUANTITIES], *title[PLOT_SERIES_MAX];
    for (size_t i = 0; i < QUANTITIES; ++i) {
        snprintf(text[i], sizeof text[i], "%s [%s]", quantity[i], unit[i]);
        label[i] = text[i];
    }
    for (size_t i = 0; i < page->count; ++i) {
        title[i] = page->series[i].title;
    }
    double start, end;
    bool chamber = extent(page, &start, &end);
    const double number[] = {(double)page->count, start, end, page->close_from, page->set_pressure,
                             chamber ? 1.0 : 0.0};
    struct plot_script script = {
        .name = format == PLOT_TEXT ? "text.gp"
                : page->count == 1  ? "run.gp"
                                    : "compare.gp",
        .heading = page->title,
        .title_count = page->count,
        .label_count = QUANTITIES,
        .number_count = sizeof number / sizeof number[0],
        .title = title,
        .label = label,
        .number = number,
        .file_count = page->count,
        .write = write_run,
        .context = page,
    };
    return plot_script_draw(&script, path, format, message, message_size);
}

bool plot_draw(const struct plot_page *page, const char *path, enum plot_format format,
               char *message, size_t message_size) {
    if (page->count < 1 || page->count > PLOT_SERIES_MAX) {
        snprintf(message, message_size, "a picture holds 1 to %d runs, not %zu", PLOT_SERIES_MAX,
                 page->count);
        return false;
    }
    for (size_t i = 0; i < page->count; ++i) {
        if (page->series[i].count < 2) {
            snprintf(message, message_size, "nothing to draw: run %zu has no record", i + 1);
            return false;
        }
    }
    return draw(page, path, format, message, message_size);
}
