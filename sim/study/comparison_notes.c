// SPDX-License-Identifier: MIT
// What is to be said of runs besides their figures: warnings, and where a figure or a verdict needs
// a word.
#include "run/passage.h"

#include "base/clean.h"
#include "run/pipe_figure.h"
#include "scenario/shown.h"
#include "study/comparison.h"
#include "study/inputs.h"
#include "study/observed_check.h"

#include <math.h>
#include <stdio.h>

enum { TEXT_SIZE = 64 };

// A wave of less than ten times the swing of rest is not told: 1 % of the set pressure. Our choice.
#define HAMMER 10.0

static void note(struct answer *answer, const struct comparison *c, size_t i, const char *text) {
    if (c->count == 1) {
        answer_say(answer, ANSWER_NOTE, "%s", text);
    } else {
        answer_say(answer, ANSWER_NOTE, "%s: %s", c->label[i], text);
    }
}

static void note_start(struct answer *answer, const struct comparison *c, size_t i) {
    const struct simulation *s = &c->run[i];
    char text[300];
    if (s->start.rest.count > 1) {
        snprintf(text, sizeof text,
                 "%zu points of rest exist; the run starts at the first that restores",
                 s->start.rest.count);
        note(answer, c, i, text);
    }
    if (s->start.rest.count == 0) {
        note(answer, c, i, "no point of rest exists under the first flow; the run starts shut");
    }
    const struct linear_mode *leading = linearise_leading(&s->modes);
    if (leading && leading->growth > 0.0 && s->judged.verdict <= VERDICT_RINGING) {
        snprintf(text, sizeof text,
                 "it rests where a small motion would grow (%.3g Hz): friction holds it, or "
                 "nothing has pushed it; try a larger start.kick_pressure",
                 leading->frequency);
        note(answer, c, i, text);
    }
}

// A pressure above what the vessel stands is the first thing to know of a run.
static void warn_limit(struct answer *answer, const struct comparison *c, size_t i) {
    const double peak = c->run[i].judged.figures.pressure_peak;
    const double limit = c->scenario[i].pressure_limit;
    if (peak > limit) { // false without either
        answer_say(answer, ANSWER_WARNING,
                   "%s%sthe pressure reaches %s, above the vessel limit of %s",
                   c->count > 1 ? c->label[i] : "", c->count > 1 ? ": " : "",
                   answer_text(answer, UNIT_PRESSURE_LEVEL, peak),
                   answer_text(answer, UNIT_PRESSURE_LEVEL, limit));
    }
}

// What it did before the last step of its schedules, of which the verdict says nothing.
static void warn_passage(struct answer *answer, const struct comparison *c, size_t i) {
    struct passage p;
    if (passage_worst(&c->run[i], &p)) {
        const struct verdict_figures *f = &p.judged.figures;
        answer_say(answer, ANSWER_WARNING,
                   "%s%son the way, from %.4g s to %.4g s: %s, swing %s%s; the verdict is of what "
                   "follows",
                   c->count > 1 ? c->label[i] : "", c->count > 1 ? ": " : "", p.from, p.to,
                   verdict_name(p.judged.verdict),
                   answer_text(answer, UNIT_PRESSURE_DROP, f->pressure_swing),
                   f->seat_rate > 0.0
                       ? answer_keep(answer, ", %.4g seat contacts a minute", f->seat_rate)
                       : "");
    }
}

// The set screw: where it was turned, or that no turning helps.
static void note_screw(struct answer *answer, const struct comparison *c, size_t i) {
    const struct scenario_case *scenario = &c->scenario[i];
    if (c->run[i].set_out_of_reach) {
        note(answer, c, i,
             c->run[i].passes_at_set
                 ? "no turn of the set screw lifts the plug far enough to hold the set pressure at "
                   "the first flow; it is left where the plug begins to open at the set pressure"
                 : "no travel of this trim holds the set pressure at the first flow; the set screw "
                   "is left where it begins to open at the set pressure");
    } else if (scenario->set_at_flow) {
        const struct schedule *flow = &scenario->model.flow;
        char first[TEXT_SIZE];
        char text[160];
        shown_text(scenario, UNIT_FLOW, schedule_value(flow, schedule_piece(flow, 0.0), 0.0), first,
                   sizeof first);
        snprintf(text, sizeof text, "the set screw of this trim was turned at the first flow, %s",
                 first);
        note(answer, c, i, text);
    }
}

// A liquid that is pulled apart makes room for vapour, and strikes when it falls together again.
static void note_parting(struct answer *answer, const struct comparison *c, size_t i) {
    const struct simulation *s = &c->run[i];
    const struct regulator *r = &s->start.regulator;
    for (int line = 0; line < LINE_SIDES && r->liquid; line++) {
        const enum channel at =
            line == LINE_BEFORE ? CHANNEL_INLET_PRESSURE : CHANNEL_OUTLET_PRESSURE;
        double low = (double)INFINITY;
        for (size_t k = 0; k < s->count && r->has_line[line]; k++) {
            low = fmin(low, s->channel[at][k]);
        }
        if (low < r->parameters.liquid.vapour_pressure) {
            note(answer, c, i,
                 line == LINE_BEFORE
                     ? "the pressure in the line before the regulator falls below that of vapour: "
                       "real liquid would part there, and strike when it falls together"
                     : "the pressure in the line after the regulator falls below that of vapour: "
                       "real liquid would part there, and strike when it falls together");
        }
    }
}

// A verdict is of the plug and of the pressure that is held. Where these lie nearly still and a
// pipe does not, the pipe is what matters.
static void note_hammer(struct answer *answer, const struct comparison *c, size_t i) {
    static const char *const side[LINE_SIDES] = {"before", "after"};
    const struct simulation *s = &c->run[i];
    const double held = s->judged.figures.pressure_swing;
    const double rest = s->limits.steady_pressure * s->input.pressure_scale;
    const bool still = held <= rest && s->judged.figures.travel_swing <=
                                           s->limits.steady_travel * s->input.rated_travel;
    for (int line = 0; line < LINE_SIDES && still; line++) {
        const double swing = pipe_figure_swing(s, (enum regulator_line)line);
        if (swing > HAMMER * rest) { // false without the line
            char of[TEXT_SIZE], than[TEXT_SIZE], text[320];
            shown_text(&c->scenario[i], UNIT_PRESSURE_DROP, swing, of, sizeof of);
            shown_text(&c->scenario[i], UNIT_PRESSURE_DROP, held, than, sizeof than);
            snprintf(text, sizeof text,
                     "the pressure in the line %s the regulator swings by %s, that in the vessel "
                     "by %s: the verdict is about plug and vessel, not about the pipe",
                     side[line], of, than);
            note(answer, c, i, text);
        }
    }
}

// A line is short while its quarter wave is well above what the plug can follow: the critical
// length of a relief-type valve's inlet pipe (models/README.md), with a quarter to spare.
static void note_lines(struct answer *answer, const struct comparison *c, size_t i) {
    static const char *const side[LINE_COUNT] = {"before the regulator", "after the regulator",
                                                 "to the diaphragm", "to the pilot",
                                                 "that feeds the pilot"};
    const double margin = 1.25;
    const double plug = regulator_plug_frequency(&c->scenario[i].model);
    for (int line = 0; line < LINE_COUNT; line++) {
        const double quarter = pipe_figure_quarter(&c->run[i], (enum regulator_line)line);
        // What a pilot feels is not the plug's.
        const bool other = line >= LINE_SIDES && c->run[i].start.regulator.has_pilot;
        if (!other && quarter < margin * plug) { // false without the line
            char text[200];
            snprintf(text, sizeof text,
                     "the quarter wave of the line %s, %.3g Hz, is not above the "
                     "plug's own %.3g Hz: its waves can feed the plug",
                     side[line], quarter, plug);
            note(answer, c, i, text);
        }
    }
}

static void note_end(struct answer *answer, const struct comparison *c, size_t i) {
    const struct simulation *s = &c->run[i];
    char text[400];
    if (s->start.regulator.liquid && s->choked_share >= 1.0) {
        note(answer, c, i, "the liquid chokes in the trim: expect cavitation or flashing");
    }
    if (s->peak_not_passed) {
        note(answer, c, i,
             "fully open, this trim does not hold the set pressure at the largest flow");
    }
    if (s->outcome == SIMULATION_FAILED || s->outcome == SIMULATION_INTERRUPTED) {
        const char *why = s->message[0] ? s->message : "by a signal";
        snprintf(text, sizeof text, "stopped at %.6g s: %.*s", s->statistics.end_time,
                 clean_whole(why, 300), why);
        note(answer, c, i, text);
    }
    if (s->events_cut) {
        note(answer, c, i, "too many events to keep; the trace leaves later ones out");
    }
}

void comparison_notes(const struct comparison *c, struct answer *answer) {
    for (size_t i = 1; i < c->count; i++) {
        const struct comparison_target *t = &c->target[i];
        if (t->scenario == t[-1].scenario) {
            inputs_alike(answer, t->scenario, t[-1].trim, t->trim);
        }
    }
    for (size_t i = 0; i < c->count; i++) {
        if (c->count > 1) {
            answer_say(answer, ANSWER_FINDING, "%s: %s", c->label[i], c->run[i].judged.reason);
        }
        warn_limit(answer, c, i);
        warn_passage(answer, c, i);
        observed_check_run(c->target[i].scenario, c->target[i].trim, &c->run[i], &c->scenario[i],
                           answer);
        note_start(answer, c, i);
        note_screw(answer, c, i);
        note_lines(answer, c, i);
        note_hammer(answer, c, i);
        note_parting(answer, c, i);
        note_end(answer, c, i);
    }
}
