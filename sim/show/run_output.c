// SPDX-License-Identifier: MIT
#include "show/run_output.h"

#include "show/plot.h"
#include "show/summary.h"
#include "show/trace.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define PATH_SIZE 1024
// Cycles shown in the enlarged part of a picture.
#define CLOSE_CYCLES 6.0

void run_output_stem(const char *path, char *stem, size_t size) {
    const char *slash = strrchr(path, '/');
    snprintf(stem, size, "%s", slash ? slash + 1 : path);
    char *dot = strrchr(stem, '.');
    if (dot && dot != stem) {
        *dot = '\0';
    }
}

static int report_failure(const struct run_set *set, const char *path, const char *cause) {
    fprintf(stderr, "lowlift %s: %s: %s\n", set->command->name, path, cause);
    return EXIT_CODE_OUTPUT;
}

static const char *unit_of(const struct scenario_case *c, enum channel channel) {
    return units_preferred(channel_row(channel)->kind, c->units, c->model.phase == FLUID_LIQUID);
}

// Every unit is a straight line of the SI value: factor and offset from two of its points.
static void straight_line(const struct scenario_case *c, enum channel channel, double *factor,
                          double *offset) {
    enum unit_kind kind = channel_row(channel)->kind;
    const char *unit = unit_of(c, channel);
    double scale = kind == UNIT_PRESSURE_LEVEL ? 1e5 : kind == UNIT_TEMPERATURE ? 1e2 : 1.0;
    double one = units_from_si(&c->site, kind, unit, scale);
    double two = units_from_si(&c->site, kind, unit, 2.0 * scale);
    *factor = (two - one) / scale;
    *offset = 2.0 * one - two;
    if (fabs(*offset) < 1e-9 * fabs(one)) {
        *offset = 0.0; // rounding of a unit without offset
    }
}

// Rows of a trace: samples in order, each event's two sides before the first later sample.
static void trace_rows(struct trace *trace, const struct simulation *s) {
    double value[CHANNEL_COUNT + 1];
    const bool stopped = s->outcome != SIMULATION_DONE;
    bool last_is_event = false;
    size_t event = 0;
    for (size_t i = 0; i <= s->count; i++) {
        double time = i < s->count ? (double)i * s->step : (double)INFINITY;
        while (event < s->event_count && s->event[event].time < time) {
            const struct simulation_event *e = &s->event[event++];
            value[0] = e->time;
            memcpy(value + 1, e->before, sizeof e->before);
            trace_row(trace, value, NULL);
            memcpy(value + 1, e->after, sizeof e->after);
            trace_row(trace, value, e->name);
        }
        if (i == s->count) {
            break;
        }
        last_is_event = event < s->event_count;
        value[0] = time;
        for (int c = 0; c < CHANNEL_COUNT; c++) {
            value[c + 1] = s->channel[c][i];
        }
        bool cut = stopped && i + 1 == s->count && !last_is_event;
        trace_row(trace, value, cut ? TRACE_STOPPED : NULL);
    }
    if (stopped && last_is_event) {
        trace_row(trace, value, TRACE_STOPPED);
    }
}

static int write_trace(const struct run_set *set, size_t i, const char *path) {
    const struct scenario_case *c = &set->scenario[i];
    struct trace_column column[CHANNEL_COUNT + 1] = {{"time", "s", 1.0, 0.0, 0}};
    size_t count = 1;
    for (int k = 0; k < CHANNEL_COUNT; k++) {
        if (!channel_applies(&set->run[i].start.regulator, (enum channel)k)) {
            continue;
        }
        struct trace_column *t = &column[count++];
        *t = (struct trace_column){.name = channel_row((enum channel)k)->name,
                                   .unit = unit_of(c, (enum channel)k),
                                   .index = (size_t)k + 1};
        straight_line(c, (enum channel)k, &t->factor, &t->offset);
    }
    struct trace trace;
    int error = trace_open(&trace, path, column, count);
    if (error == 0) {
        trace_rows(&trace, &set->run[i]);
        error = trace_close(&trace);
    }
    return error == 0 ? EXIT_CODE_DONE : report_failure(set, path, strerror(error));
}

static int write_summary(const struct run_set *set, const char *path) {
    const struct scenario *source[RUN_REQUEST_MAX];
    const struct scenario_case *scenario[RUN_REQUEST_MAX];
    const struct simulation *run[RUN_REQUEST_MAX];
    size_t trim[RUN_REQUEST_MAX];
    for (size_t i = 0; i < set->count; i++) {
        source[i] = set->request->target[i].scenario;
        trim[i] = set->request->target[i].trim;
        scenario[i] = &set->scenario[i];
        run[i] = &set->run[i];
    }
    struct atomic_file file;
    int error = atomic_file_open(&file, path);
    if (error == 0 && !summary_write(file.stream, set->count, source, trim, scenario, run)) {
        error = errno ? errno : EIO;
        atomic_file_abort(&file);
    } else if (error == 0) {
        error = atomic_file_commit(&file);
    }
    return error == 0 ? EXIT_CODE_DONE : report_failure(set, path, strerror(error));
}

// One series of a picture, converted to the units shown by the first run.
static bool fill_series(const struct run_set *set, size_t i, struct plot_series *out,
                        double *storage, const char *title) {
    static const enum channel shown[] = {CHANNEL_CONTROLLED_PRESSURE, CHANNEL_TRAVEL,
                                         CHANNEL_CHAMBER_PRESSURE, CHANNEL_TRIM_FLOW};
    const struct simulation *s = &set->run[i];
    const double *columns[4];
    for (size_t k = 0; k < 4; k++) {
        double factor, offset;
        straight_line(&set->scenario[0], shown[k], &factor, &offset);
        double *column = storage + (k + 1) * s->count;
        for (size_t j = 0; j < s->count; j++) {
            column[j] = factor * s->channel[shown[k]][j] + offset;
        }
        columns[k] = column;
    }
    for (size_t j = 0; j < s->count; j++) {
        storage[j] = (double)j * s->step;
    }
    double *contacts = storage + 5 * s->count;
    for (size_t j = 0; j < s->seat_count; j++) {
        contacts[j] = s->seat[j].time;
    }
    bool chamber = channel_applies(&s->start.regulator, CHANNEL_CHAMBER_PRESSURE);
    *out = (struct plot_series){.title = title,
                                .count = s->count,
                                .time = storage,
                                .pressure = columns[0],
                                .travel = columns[1],
                                .chamber = chamber ? columns[2] : NULL,
                                .flow = columns[3],
                                .contact_count = s->seat_count,
                                .contact = contacts};
    return true;
}

// Start of the part shown enlarged: the last cycles of the fastest run that keeps moving.
static double close_from(const struct run_set *set) {
    double end = 0.0, from = 0.0;
    for (size_t i = 0; i < set->count; i++) {
        end = fmax(end, set->run[i].statistics.end_time);
    }
    from = 0.8 * end;
    for (size_t i = 0; i < set->count; i++) {
        const struct simulation *s = &set->run[i];
        double frequency = s->judged.figures.frequency;
        if (s->judged.verdict > VERDICT_RINGING && isfinite(frequency) && frequency > 0.0) {
            from = fmin(from, fmax(0.0, s->statistics.end_time - CLOSE_CYCLES / frequency));
        }
    }
    return from;
}

static bool draw(const struct run_set *set, const struct plot_series *series, const char *path,
                 enum plot_format format, char *message, size_t size) {
    const struct scenario_case *c = &set->scenario[0];
    char title[512];
    snprintf(title, sizeof title, "%s%s%s",
             run_set_mixed(set) ? "comparison of scenarios" : c->title,
             set->count == 1 ? " - " : "", set->count == 1 ? series[0].title : "");
    struct plot_page page = {
        .title = title,
        .pressure_unit = unit_of(c, CHANNEL_CONTROLLED_PRESSURE),
        .travel_unit = unit_of(c, CHANNEL_TRAVEL),
        .flow_unit = unit_of(c, CHANNEL_TRIM_FLOW),
        .close_from = close_from(set),
        .count = set->count,
        .series = series,
    };
    page.set_pressure =
        units_from_si(&c->site, UNIT_PRESSURE_LEVEL, page.pressure_unit, c->set_pressure);
    return plot_draw(&page, path, format, message, size);
}

static int write_picture(const struct run_set *set, const char *path) {
    struct plot_series series[RUN_REQUEST_MAX];
    double *storage[RUN_REQUEST_MAX] = {NULL};
    char title[RUN_REQUEST_MAX][RUN_SET_LABEL + 32];
    bool fine = true;
    for (size_t i = 0; i < set->count && fine; i++) {
        snprintf(title[i], sizeof title[i], "%s: %s", set->label[i],
                 verdict_name(set->run[i].judged.verdict));
        storage[i] = malloc((5 * set->run[i].count + set->run[i].seat_count + 1) * sizeof(double));
        fine = storage[i] != NULL && fill_series(set, i, &series[i], storage[i], title[i]);
    }
    char message[512] = "out of memory";
    if (fine && path) {
        enum plot_format format =
            strcmp(set->request->shared.picture_type, "png") == 0 ? PLOT_PNG : PLOT_SVG;
        fine = draw(set, series, path, format, message, sizeof message);
    }
    if (fine && set->request->shared.sketch) {
        fflush(stdout);
        fine = draw(set, series, NULL, PLOT_TEXT, message, sizeof message);
    }
    for (size_t i = 0; i < set->count; i++) {
        free(storage[i]);
    }
    return fine ? EXIT_CODE_DONE : report_failure(set, path ? path : "terminal", message);
}

static int make_folder(const struct run_set *set) {
    const char *folder = set->request->shared.folder;
    if (mkdir(folder, 0777) == 0 || errno == EEXIST) {
        return EXIT_CODE_DONE;
    }
    return report_failure(set, folder, strerror(errno));
}

static void say(const struct run_set *set, const char *path) {
    if (!set->request->shared.quiet) {
        printf("wrote %s\n", path);
    }
}

// Scenarios of one name from several folders get a number each, so that no trace overwrites
// another.
static void trace_path(const struct run_set *set, size_t run, char *path, size_t size) {
    const char *trim = set->scenario[run].trim_name;
    char own[256], other[256], number[32] = "";
    size_t same = 1;
    run_output_stem(scenario_name(set->request->target[run].scenario), own, sizeof own);
    for (size_t i = 0; i < run; i++) {
        run_output_stem(scenario_name(set->request->target[i].scenario), other, sizeof other);
        same += strcmp(own, other) == 0 && strcmp(set->scenario[i].trim_name, trim) == 0;
    }
    if (same > 1) {
        snprintf(number, sizeof number, ".%zu", same);
    }
    snprintf(path, size, "%s/%s.%s%s.csv", set->request->shared.folder, own, trim, number);
}

static int write_files(const struct run_set *set, const char *stem) {
    char path[PATH_SIZE];
    for (size_t i = 0; i < set->count; i++) {
        trace_path(set, i, path, sizeof path);
        if (write_trace(set, i, path) != EXIT_CODE_DONE) {
            return EXIT_CODE_OUTPUT;
        }
        say(set, path);
    }
    snprintf(path, sizeof path, "%s/%s.json", set->request->shared.folder, stem);
    if (write_summary(set, path) != EXIT_CODE_DONE) {
        return EXIT_CODE_OUTPUT;
    }
    say(set, path);
    return EXIT_CODE_DONE;
}

static bool worth_a_picture(const struct run_set *set) {
    for (size_t i = 0; i < set->count; i++) {
        if (set->run[i].count < 2) {
            return false;
        }
    }
    return true;
}

int run_output_write(const struct run_set *set, const char *stem) {
    const struct run_request *q = set->request;
    char path[PATH_SIZE];
    if ((q->shared.files || q->shared.picture) && make_folder(set) != EXIT_CODE_DONE) {
        return EXIT_CODE_OUTPUT;
    }
    if (q->shared.files && write_files(set, stem) != EXIT_CODE_DONE) {
        return EXIT_CODE_OUTPUT;
    }
    if (!q->shared.picture && !q->shared.sketch) {
        return EXIT_CODE_DONE;
    }
    if (!worth_a_picture(set)) {
        fprintf(stderr, "lowlift %s: no picture: a run was stopped before its second sample\n",
                set->command->name);
        return EXIT_CODE_DONE;
    }
    snprintf(path, sizeof path, "%s/%s.%s", q->shared.folder, stem, q->shared.picture_type);
    int code = write_picture(set, q->shared.picture ? path : NULL);
    if (code == EXIT_CODE_DONE && q->shared.picture) {
        say(set, path);
    }
    return code;
}
