// SPDX-License-Identifier: MIT
#include "study/waves.h"

#include "answer/column.h"
#include "answer/picture.h"
#include "run/start.h"
#include "solve/integrate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// Moments shown, and quarter waves of the longest line from the start when nothing is asked.
enum { MOMENTS = 400, QUARTERS = 60 };

struct waves {
    struct scenario_case resolved;
    struct start start;
    double from, to; // [s]
    size_t moments;
    double time[MOMENTS + 1];                                 // [s]
    double pressure[LINE_COUNT][MOMENTS + 1][PIPE_CELLS_MAX]; // from the regulator on [Pa]
    double low[LINE_COUNT], high[LINE_COUNT], high_place[LINE_COUNT], high_time[LINE_COUNT];
    struct integrate_result result;
};

// Distance of a node from the regulator [m].
static double place(const struct pipe *pipe, int node) {
    double distance = 0.0;
    for (int i = 0; i < node; i++) {
        distance += pipe->span[pipe->cells - 1 - i];
    }
    return distance;
}

static void take(void *context, double time, const struct regulator_mode *mode,
                 const double *state) {
    (void)mode;
    struct waves *w = context;
    const struct regulator *r = &w->start.regulator;
    if (time < w->from || w->moments > MOMENTS) {
        return;
    }
    for (int line = 0; line < LINE_COUNT; line++) {
        double *pressure = w->pressure[line][w->moments];
        const int nodes = regulator_line_pressures(r, (enum regulator_line)line, state, pressure);
        for (int i = 0; i < nodes; i++) {
            w->low[line] = fmin(w->low[line], pressure[i]);
            if (!(pressure[i] <= w->high[line])) {
                w->high[line] = pressure[i];
                w->high_place[line] = place(&r->pipe[line], i);
                w->high_time[line] = time;
            }
        }
    }
    w->time[w->moments++] = time;
}

static enum study_status ask(struct study_job *job, const struct study_asked *asked,
                             struct waves *w) {
    const struct regulator *r = &w->start.regulator;
    double quarter = 0.0;
    for (int line = 0; line < LINE_COUNT; line++) {
        const struct pipe *pipe = &r->pipe[line];
        quarter =
            r->has_line[line] ? fmax(quarter, pipe->total_length / pipe->wave_speed) : quarter;
    }
    enum study_status status = study_job_quantity(job, &asked[WAVES_FROM], UNIT_TIME,
                                                  &w->resolved.site, (double)NAN, &w->from);
    w->to = w->from + QUARTERS * quarter;
    if (status == STUDY_DONE) {
        status = study_job_quantity(job, &asked[WAVES_TO], UNIT_TIME, &w->resolved.site,
                                    (double)NAN, &w->to);
    }
    if (status == STUDY_DONE && !(w->from >= 0.0 && w->to > w->from)) {
        return study_job_fail(job, STUDY_BAD_USAGE, "%s: must be later than %s",
                              asked[WAVES_TO].name, asked[WAVES_FROM].name);
    }
    return status;
}

// From the start of the scenario to the end asked for; only what lies behind the begin is kept.
static void integrate(struct waves *w) {
    const struct run_options *run = &w->resolved.run;
    struct integrate_options o = integrate_options_default();
    o.end = w->to;
    o.sample_interval = (w->to - w->from) / MOMENTS;
    o.relative_tolerance = run->relative_tolerance;
    o.max_steps = run->max_steps;
    o.max_order = run->max_order;
    o.adams = run->method == RUN_ADAMS;
    const struct integrate_observer observer = {.context = w, .sample = take};
    for (int line = 0; line < LINE_COUNT; line++) {
        w->low[line] = (double)INFINITY;
        w->high[line] = -(double)INFINITY;
    }
    struct regulator_mode mode = w->start.mode;
    double state[REGULATOR_STATES_MAX];
    memcpy(state, w->start.state, sizeof state);
    w->result = integrate_run(&w->start.regulator, &mode, state, &o, &observer);
}

static const char *const side[LINE_COUNT] = {"before", "after", "sense", "loading", "supply"};
static const char *const end[LINE_COUNT] = {"the regulator", "the regulator", "the diaphragm",
                                            "the pilot", "the pilot"};

static void add_table(struct answer *answer, const struct waves *w) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("line", "line"), COLUMN_OF("time", "time", UNIT_TIME),
        COLUMN_OF("distance", "distance from the regulator", UNIT_LENGTH),
        COLUMN_OF("pressure", "pressure", UNIT_PRESSURE_LEVEL)};
    struct answer_table *table =
        answer_table(answer, "pressure", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_TERMINAL | ANSWER_JSON;
    for (int line = 0; line < LINE_COUNT; line++) {
        const struct regulator *r = &w->start.regulator;
        for (size_t k = 0; k < w->moments && r->has_line[line]; k++) {
            for (int i = 0; i < r->pipe[line].cells; i++) {
                answer_word(table, side[line]);
                answer_put(table, w->time[k]);
                answer_put(table, place(&r->pipe[line], i));
                answer_put(table, w->pressure[line][k][i]);
            }
        }
    }
}

// Pipes are long: in feet or metres, whatever small lengths are shown in.
static const char *far_unit(const struct answer *answer) {
    return answer->units == UNITS_US ? "ft" : "m";
}

static double far(const struct answer *answer, double length) {
    return units_from_si(&answer->site, UNIT_LENGTH, far_unit(answer), length);
}

// Columns: time, distance (before the regulator below 0), pressure; a block for each moment.
static void add_picture(struct answer *answer, const struct waves *w) {
    const struct regulator *r = &w->start.regulator;
    double low = (double)INFINITY, high = -(double)INFINITY;
    int lines = 0;
    const bool sides = r->has_line[LINE_BEFORE] || r->has_line[LINE_AFTER];
    // The axis has room for one line on either side.
    int shown = LINE_AFTER;
    while (!r->has_line[shown] && shown + 1 < LINE_COUNT) {
        shown++;
    }
    picture_begin(answer, "waves.gp", answer->title);
    for (int line = 0; line < LINE_COUNT; line++) {
        if (!r->has_line[line] || line > shown) {
            continue;
        }
        struct picture_data *data = picture_data(answer, 3);
        const int nodes = r->pipe[line].cells;
        data->block = (size_t)nodes;
        for (size_t k = 0; k < w->moments; k++) {
            for (int i = 0; i < nodes; i++) {
                const double distance = place(&r->pipe[line], i);
                const double row[] = {
                    w->time[k], far(answer, line == LINE_BEFORE ? -distance : distance),
                    answer_shown(answer, UNIT_PRESSURE_LEVEL, w->pressure[line][k][i])};
                picture_row(data, NULL, row);
            }
        }
        if (line == LINE_SUPPLY) {
            picture_title(answer, "line that feeds the pilot");
        } else if (line >= LINE_SIDES) {
            picture_title(answer, "line to %s", end[line]);
        } else {
            picture_title(answer, "line %s the regulator", side[line]);
        }
        low = fmin(low, answer_shown(answer, UNIT_PRESSURE_LEVEL, w->low[line]));
        high = fmax(high, answer_shown(answer, UNIT_PRESSURE_LEVEL, w->high[line]));
        lines++;
    }
    picture_axis(answer, "time", UNIT_TIME);
    picture_label(answer, "distance from %s [%s]", end[sides ? LINE_BEFORE : shown],
                  far_unit(answer));
    picture_axis(answer, "pressure", UNIT_PRESSURE_LEVEL);
    const double number[] = {lines, w->from, w->time[w->moments - 1], low, high};
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++) {
        picture_number(answer, number[i]);
    }
}

static void tell(struct study_job *job, const struct waves *w, struct answer *answer) {
    const struct regulator *r = &w->start.regulator;
    study_job_answer(job, &w->resolved, answer);
    answer_say(answer, ANSWER_HEADING, "%s, trim %s", answer->title[0] ? answer->title : "scenario",
               w->resolved.trim_name);
    for (int line = 0; line < LINE_COUNT; line++) {
        const struct pipe *pipe = &r->pipe[line];
        if (r->has_line[line]) {
            answer_say(
                answer, ANSWER_FINDING,
                "line %s: %d cells, waves at %.4g m/s, quarter wave %.4g Hz; from %.4g s to "
                "%.4g s the pressure in it lies between %s and %s, highest %.4g %s from %s at %.6g "
                "s",
                side[line], pipe->cells, pipe->wave_speed,
                pipe->wave_speed / (4.0 * pipe->total_length), w->from, w->time[w->moments - 1],
                answer_text(answer, UNIT_PRESSURE_LEVEL, w->low[line]),
                answer_text(answer, UNIT_PRESSURE_LEVEL, w->high[line]),
                far(answer, w->high_place[line]), far_unit(answer), end[line], w->high_time[line]);
        }
    }
    add_table(answer, w);
    add_picture(answer, w);
}

static enum study_status follow(struct study_job *job, const struct study_asked *asked,
                                struct waves *w, struct answer *answer) {
    enum study_status status = study_job_resolve(job, job->trim[0], &w->resolved);
    if (status != STUDY_DONE) {
        return status;
    }
    start_prepare(&w->resolved, &w->start);
    if (!w->start.regulator.has_lines) {
        return study_job_fail(job, STUDY_BAD_SCENARIO,
                              "%s: has no line; give line_before.length, line_after.length, "
                              "line_sense.length, line_loading.length or line_supply.length",
                              job->path);
    }
    status = ask(job, asked, w);
    if (status != STUDY_DONE) {
        return status;
    }
    integrate(w);
    if (w->result.status == INTEGRATE_NO_MEMORY) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    if (w->moments < 2) {
        return study_job_fail(job, STUDY_BAD_SCENARIO, "%s: the run stopped early: %s", job->path,
                              w->result.message);
    }
    tell(job, w, answer);
    if (w->result.status == INTEGRATE_FAILED) {
        answer_say(answer, ANSWER_WARNING, "stopped early: %s", w->result.message);
    }
    return STUDY_DONE;
}

enum study_status waves_answer(struct study_job *job, const struct study_asked *asked,
                               struct answer *answer) {
    struct waves *w = calloc(1, sizeof *w);
    if (!w) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    const enum study_status status = follow(job, asked, w, answer);
    scenario_case_free(&w->resolved);
    free(w);
    return status;
}
