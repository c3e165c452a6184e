// SPDX-License-Identifier: MIT
// What `lowlift run` and `lowlift compare` answer: verdicts and figures side by side, notes, where
// the values come from, traces and the picture.
#include "answer/column.h"
#include "base/path_stem.h"
#include "study/comparison.h"
#include "study/inputs.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT_SIZE = 64 };

// --- Figures, one row a run

enum { BEFORE_FIGURES = 6, AFTER_FIGURES = 7, FIGURES_MAX = 64 };

static const struct answer_column before[BEFORE_FIGURES] = {
    COLUMN_WORD("label", "trim"),
    COLUMN_VERDICT,
    {.key = "scenario_title", .name = "title", .form = ANSWER_WORD, .hidden = ANSWER_TERMINAL},
    {.key = "outcome", .name = "outcome", .form = ANSWER_WORD, .hidden = ANSWER_TERMINAL},
    {.key = "reason", .name = "reason", .form = ANSWER_WORD, .hidden = ANSWER_TERMINAL},
    {.key = "message", .name = "message", .form = ANSWER_WORD, .hidden = ANSWER_TERMINAL},
};

// The work of the solver.
#define WORK(KEY, NAME)                                                                            \
    { .key = (KEY), .name = (NAME), .form = ANSWER_COUNT, .group = "work of the solver" }
static const struct answer_column after[AFTER_FIGURES] = {
    WORK("steps", "steps"),
    WORK("rate_calls", "calls of the derivative"),
    WORK("jacobians", "Jacobians"),
    WORK("error_failures", "steps repeated for their error"),
    WORK("convergence_failures", "steps repeated for convergence"),
    WORK("restarts", "restarts"),
    WORK("events", "events"),
};

static const char *group_name(enum figure_group group) {
    static const char *const text[] = {"at rest", "motion", "seat and stop", "lines",
                                       "the run itself"};
    return text[group];
}

static struct answer_column *make_columns(struct answer *answer, const struct comparison *c,
                                          size_t *count) {
    struct answer_column *all =
        answer_columns(answer, BEFORE_FIGURES + FIGURES_MAX + AFTER_FIGURES);
    if (!all) {
        return NULL;
    }
    memcpy(all, before, sizeof before);
    if (c->count == 1) { // said above the table
        all[0].hidden |= ANSWER_TERMINAL;
        all[1].hidden |= ANSWER_TERMINAL;
    }
    size_t n = BEFORE_FIGURES;
    for (size_t i = 0; figure_at(i) && i < FIGURES_MAX; i++) {
        const struct figure *f = figure_at(i);
        all[n++] = (struct answer_column){.key = f->name,
                                          .name = f->help,
                                          .kind = f->kind,
                                          .unit = f->kind == UNIT_NONE ? f->per : NULL,
                                          .per = f->kind == UNIT_NONE ? NULL : f->per,
                                          .group = group_name(f->group)};
    }
    memcpy(all + n, after, sizeof after);
    for (size_t i = 0; i < AFTER_FIGURES && c->count > 1; i++) {
        all[n + i].hidden |= ANSWER_TERMINAL;
    }
    *count = n + AFTER_FIGURES;
    return all;
}

static const char *outcome_name(const struct simulation *s) {
    return s->outcome == SIMULATION_DONE          ? "done"
           : s->outcome == SIMULATION_INTERRUPTED ? "interrupted"
                                                  : "failed";
}

static void add_run(struct answer_table *table, const struct comparison *c, size_t i) {
    const struct simulation *s = &c->run[i];
    const struct integrate_statistics *t = &s->statistics;
    answer_word(table, c->label[i]);
    answer_word(table, verdict_name(s->judged.verdict));
    answer_word(table, c->scenario[i].title);
    answer_word(table, outcome_name(s));
    answer_word(table, s->judged.reason);
    answer_word(table, s->message);
    for (size_t k = 0; figure_at(k) && k < FIGURES_MAX; k++) {
        const struct figure *f = figure_at(k);
        answer_put(table, f->value(s, &c->scenario[i]));
    }
    const long work[AFTER_FIGURES] = {t->steps,          t->rate_calls,           t->jacobians,
                                      t->error_failures, t->convergence_failures, t->restarts,
                                      t->events};
    for (size_t k = 0; k < AFTER_FIGURES; k++) {
        answer_put(table, (double)work[k]);
    }
}

static void add_figures(struct answer *answer, const struct comparison *c) {
    size_t count = 0;
    const struct answer_column *columns = make_columns(answer, c, &count);
    if (!columns) {
        return;
    }
    struct answer_table *table = answer_table(answer, "runs", NULL, columns, count);
    table->layout = ANSWER_SIDE_BY_SIDE;
    table->hidden = ANSWER_CSV;
    for (size_t i = 0; i < c->count; i++) {
        add_run(table, c, i);
    }
}

static void add_modes(struct answer *answer, const struct comparison *c) {
    static const struct answer_column columns[] = {COLUMN_WORD("label", "trim"), COLUMN_GROWTH,
                                                   COLUMN_FREQUENCY, COLUMN_DAMPING_RATIO};
    struct answer_table *table =
        answer_table(answer, "modes", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_TERMINAL | ANSWER_CSV;
    for (size_t i = 0; i < c->count; i++) {
        for (size_t k = 0; k < c->run[i].modes.count; k++) {
            const struct linear_mode *m = &c->run[i].modes.at[k];
            answer_word(table, c->label[i]);
            answer_put(table, m->growth);
            answer_put(table, m->frequency);
            answer_put(table, m->damping_ratio);
        }
    }
}

// --- Traces

enum { NUMBER_SIZE = 24 };

// Scenarios of one name from several folders get a number each, so that no trace overwrites
// another.
static void add_trace(struct answer *answer, struct comparison *c, size_t run) {
    const char *trim = c->scenario[run].trim_name;
    char own[200];
    char other[200];
    char file[400 + NUMBER_SIZE];
    size_t same = 1;
    path_stem(scenario_name(c->target[run].scenario), own, sizeof own);
    for (size_t i = 0; i < run; i++) {
        path_stem(scenario_name(c->target[i].scenario), other, sizeof other);
        same += strcmp(own, other) == 0 && strcmp(c->scenario[i].trim_name, trim) == 0;
    }
    path_stem_of_run(scenario_name(c->target[run].scenario), trim, file, sizeof file - NUMBER_SIZE);
    if (same > 1) {
        const size_t length = strlen(file);
        snprintf(file + length, sizeof file - length, ".%zu", same);
    }
    trace_table_add(answer, &c->run[run], file, &c->trace[run]);
}

// --- At a tighter tolerance

static void add_moved(struct answer_table *table, const struct comparison *c, size_t i,
                      const struct simulation *tighter) {
    for (size_t k = 0; figure_at(k); k++) {
        const struct figure *f = figure_at(k);
        const double a = f->value(&c->run[i], &c->scenario[i]);
        const double b = f->value(tighter, &c->scenario[i]);
        const double size = fmax(fabs(a), fabs(b));
        if (f->group == FIGURE_RUN || (!isfinite(a) && !isfinite(b))) {
            continue;
        }
        char text[TEXT_SIZE];
        figure_text(f, b, &c->scenario[i], text, sizeof text);
        answer_word(table, c->label[i]);
        answer_word(table, f->help);
        answer_word(table, text);
        if (!isfinite(a) || !isfinite(b)) {
            answer_said(table, (double)NAN, "appears in one run only");
        } else {
            answer_put(table, size > 0.0 ? 100.0 * fabs(a - b) / size : 0.0);
        }
    }
}

static void run_tighter(const struct comparison *c, size_t i, struct simulation *run) {
    struct scenario_case again = c->scenario[i];
    again.run.relative_tolerance *= 0.1;
    // The same length of time, so that the figures are of the same motion.
    again.run.stop_early = false;
    again.run.duration = c->run[i].statistics.end_time;
    simulate(&again, run);
}

static void add_tighter(struct answer *answer, const struct comparison *c) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("label", "trim"),
        COLUMN_WORD("figure", "at a ten times tighter tolerance"),
        COLUMN_WORD("value", "value"),
        {.key = "moved", .name = "moved", .unit = "%", .digits = 2}};
    struct simulation *tighter = calloc(c->count + 1, sizeof *tighter);
    if (!tighter) {
        answer->failed = true;
        return;
    }
    for (size_t i = 0; i < c->count; i++) {
        run_tighter(c, i, &tighter[i]);
        const bool done = tighter[i].outcome == SIMULATION_DONE;
        answer_say(answer, ANSWER_LINE, "%s: at a ten times tighter tolerance (%.1e): %s%s",
                   c->label[i], 0.1 * c->scenario[i].run.relative_tolerance,
                   done ? "verdict " : "the run does not finish: ",
                   done ? verdict_name(tighter[i].judged.verdict) : tighter[i].message);
    }
    struct answer_table *table =
        answer_table(answer, "tighter", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_CSV;
    for (size_t i = 0; i < c->count; i++) {
        if (tighter[i].outcome == SIMULATION_DONE) {
            add_moved(table, c, i, &tighter[i]);
        }
        simulation_free(&tighter[i]);
    }
    free(tighter);
}

// --- All of it

static void begin(const struct comparison *c, struct answer *answer) {
    const struct scenario_case *first = &c->scenario[0];
    bool one_title = true;
    for (size_t i = 1; i < c->count; i++) {
        one_title = one_title && strcmp(c->scenario[i].title, first->title) == 0;
    }
    memset(answer, 0, sizeof *answer);
    answer->scenario = scenario_name(c->target[0].scenario);
    answer->title = one_title ? first->title : "comparison of scenarios";
    answer->site = first->site;
    answer->units = first->units;
    study_job_origin(c->target[0].scenario, answer);
    for (size_t i = 1; i < c->count; i++) {
        const char *path = scenario_name(c->target[i].scenario), *slash = strrchr(path, '/');
        if (c->target[i].scenario != c->target[i - 1].scenario) {
            answer->origin =
                answer_keep(answer, "%s  |  %s", answer->origin, slash ? slash + 1 : path);
        }
    }
    answer->cautions = true;
}

static void tell_one(const struct comparison *c, struct answer *answer) {
    const struct verdict_result *judged = &c->run[0].judged;
    answer_say(answer, ANSWER_HEADING, "%s, trim %s", answer->title[0] ? answer->title : "scenario",
               c->scenario[0].trim_name);
    answer_label(answer, ANSWER_FINDING, "verdict: ", "%s - %s", verdict_name(judged->verdict),
                 verdict_meaning(judged->verdict));
    answer_label(answer, ANSWER_FINDING, "because: ", "%s", judged->reason);
}

static void tell_inputs(const struct comparison *c, struct answer *answer) {
    for (size_t i = 0; i < c->count; i++) {
        const struct comparison_target *t = &c->target[i];
        if (i == 0 || t->scenario != t[-1].scenario) {
            inputs_say(answer, t->scenario, t->trim, c->everything);
        }
    }
    struct answer_table *table = inputs_table(answer);
    for (size_t i = 0; i < c->count; i++) {
        inputs_rows(table, c->target[i].scenario, c->target[i].trim, c->label[i]);
    }
}

void comparison_answer(struct comparison *c, struct answer *answer) {
    begin(c, answer);
    for (size_t i = 0; i < c->count; i++) {
        answer_say(answer, ANSWER_BRIEF, "%s%s%s", c->count > 1 ? c->label[i] : "",
                   c->count > 1 ? ": " : "", verdict_name(c->run[i].judged.verdict));
    }
    if (c->count == 1) {
        tell_one(c, answer);
        comparison_notes(c, answer);
        add_figures(answer, c);
    } else {
        answer_say(answer, ANSWER_HEADING, "%s", answer->title);
        add_figures(answer, c);
        comparison_notes(c, answer);
    }
    add_modes(answer, c);
    for (size_t i = 0; i < c->count; i++) {
        add_trace(answer, c, i);
    }
    if (c->tighter) {
        add_tighter(answer, c);
    }
    tell_inputs(c, answer);
    comparison_picture(c, answer);
}
