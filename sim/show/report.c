// SPDX-License-Identifier: MIT
#include "show/report.h"

#include <math.h>
#include <string.h>

#define TEXT_SIZE 64

static const char *heading(enum figure_group group) {
    static const char *const text[] = {"at rest", "motion", "seat and stop", "the run itself"};
    return text[group];
}

static void title(FILE *out, const struct scenario_case *c) {
    fprintf(out, "%s", c->title[0] ? c->title : "scenario");
    fprintf(out, ", trim %s\n", c->trim_name);
}

// The flow at time zero, such as "150 Mscf/d".
static void flow_text(const struct scenario_case *c, char text[TEXT_SIZE]) {
    const struct schedule *flow = &c->model.flow;
    const char *unit = units_preferred(UNIT_FLOW, c->units, c->model.phase == FLUID_LIQUID);
    double first = schedule_value(flow, schedule_piece(flow, 0.0), 0.0);
    snprintf(text, TEXT_SIZE, "%.4g %s", units_from_si(&c->site, UNIT_FLOW, unit, first), unit);
}

// Notes that change how the figures are to be read.
static void notes(FILE *out, const struct scenario_case *c, const struct simulation *s) {
    if (s->start.rest.count > 1) {
        fprintf(out,
                "  note: %zu points of rest exist; the run starts at the first that restores\n",
                s->start.rest.count);
    }
    if (s->start.rest.count == 0) {
        fprintf(out, "  note: no point of rest exists under the first flow; the run starts shut\n");
    }
    const struct linear_mode *leading = linearise_leading(&s->modes);
    if (leading && leading->growth > 0.0 && s->judged.verdict <= VERDICT_RINGING) {
        fprintf(out,
                "  note: it rests where a small motion would grow (%.3g Hz): friction holds it, "
                "or nothing has\n        pushed it; try a larger start.kick_pressure\n",
                leading->frequency);
    }
    if (c->set_at_flow && !s->set_out_of_reach) {
        char first[TEXT_SIZE];
        flow_text(c, first);
        fprintf(out, "  note: the set screw of this trim was turned at the first flow, %s\n",
                first);
    }
    if (s->set_out_of_reach) {
        fprintf(out, "  note: no travel of this trim holds the set pressure at the first flow; the "
                     "set screw is left\n        where it begins to open at the set pressure\n");
    }
    if (s->start.regulator.liquid && s->choked_share >= 1.0) {
        fprintf(out, "  note: the liquid chokes in the trim: expect cavitation or flashing\n");
    }
    if (s->peak_not_passed) {
        fprintf(out, "  note: fully open, this trim does not hold the set pressure at the largest "
                     "flow\n");
    }
    if (s->outcome == SIMULATION_FAILED || s->outcome == SIMULATION_INTERRUPTED) {
        fprintf(out, "  note: stopped at %.6g s: %s\n", s->statistics.end_time,
                s->message[0] ? s->message : "by a signal");
    }
    if (s->events_cut) {
        fprintf(out, "  note: too many events to keep; the trace leaves later ones out\n");
    }
}

void report_run(FILE *out, const struct scenario_case *scenario, const struct simulation *run) {
    title(out, scenario);
    fprintf(out, "  verdict: %s - %s\n", verdict_name(run->judged.verdict),
            verdict_meaning(run->judged.verdict));
    fprintf(out, "  because: %s\n", run->judged.reason);
    notes(out, scenario, run);
    enum figure_group last = FIGURE_RUN;
    bool first = true;
    for (size_t i = 0; figure_at(i); i++) {
        const struct figure *f = figure_at(i);
        char text[TEXT_SIZE];
        figure_text(f, f->value(run, scenario), scenario, text, sizeof text);
        if (strcmp(text, "-") == 0) {
            continue;
        }
        if (first || f->group != last) {
            fprintf(out, "  %s\n", heading(f->group));
            last = f->group;
            first = false;
        }
        fprintf(out, "    %-46s %s\n", f->help, text);
    }
    fprintf(out, "    %-46s %ld steps, %ld calls, %ld restarts, %ld events\n", "work of the solver",
            run->statistics.steps, run->statistics.rate_calls, run->statistics.restarts,
            run->statistics.events);
}

static void comparison_row(FILE *out, size_t count, const struct scenario_case *const scenario[],
                           const struct simulation *const run[], const struct figure *figure) {
    char text[REPORT_COLUMNS_MAX][TEXT_SIZE];
    bool any = false;
    for (size_t i = 0; i < count; i++) {
        figure_text(figure, figure->value(run[i], scenario[i]), scenario[i], text[i], TEXT_SIZE);
        any = any || strcmp(text[i], "-") != 0;
    }
    if (!any) {
        return;
    }
    fprintf(out, "  %-44s", figure->help);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, " %18s", text[i]);
    }
    fputc('\n', out);
}

static void comparison_words(FILE *out, const char *label, size_t count, const char *const word[]) {
    fprintf(out, "  %-44s", label);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, " %18.18s", word[i]);
    }
    fputc('\n', out);
}

void report_comparison(FILE *out, size_t count, const char *const label[],
                       const struct scenario_case *const scenario[],
                       const struct simulation *const run[]) {
    const char *word[REPORT_COLUMNS_MAX] = {NULL};
    bool one_title = true;
    for (size_t i = 1; i < count; i++) {
        one_title = one_title && strcmp(scenario[i]->title, scenario[0]->title) == 0;
    }
    fprintf(out, "%s\n", one_title ? scenario[0]->title : "comparison of scenarios");
    comparison_words(out, "", count, label);
    for (size_t i = 0; i < count; i++) {
        word[i] = verdict_name(run[i]->judged.verdict);
    }
    comparison_words(out, "verdict", count, word);
    for (size_t i = 0; figure_at(i); i++) {
        comparison_row(out, count, scenario, run, figure_at(i));
    }
    for (size_t i = 0; i < count; i++) {
        fprintf(out, "  %s: %s\n", label[i], run[i]->judged.reason);
        notes(out, scenario[i], run[i]);
    }
}

void report_tighter(FILE *out, const struct scenario_case *scenario, const struct simulation *run,
                    const struct simulation *tighter) {
    fprintf(out, "at a ten times tighter tolerance (%.1e): verdict %s\n",
            0.1 * scenario->run.relative_tolerance, verdict_name(tighter->judged.verdict));
    for (size_t i = 0; figure_at(i); i++) {
        const struct figure *f = figure_at(i);
        double a = f->value(run, scenario), b = f->value(tighter, scenario);
        if (f->group == FIGURE_RUN || (!isfinite(a) && !isfinite(b))) {
            continue;
        }
        char text[TEXT_SIZE];
        figure_text(f, b, scenario, text, sizeof text);
        double size = fmax(fabs(a), fabs(b));
        if (isfinite(a) && isfinite(b)) {
            fprintf(out, "    %-46s %-18s moved %.2g %%\n", f->help, text,
                    size > 0.0 ? 100.0 * fabs(a - b) / size : 0.0);
        } else {
            fprintf(out, "    %-46s %-18s appears in one run only\n", f->help, text);
        }
    }
}

void report_cautions(FILE *out) {
    fputs("A model, not a test on site. Pressure stays trapped in chambers and lines, springs are\n"
          "under load, plugs pinch, and gas may carry H2S: isolate, vent and prove zero before\n"
          "opening anything. The maker's manual, local codes and licensed practice come first.\n"
          "lowlift sizes no relief device.\n",
          out);
}
