// SPDX-License-Identifier: MIT
#include "handout/job_card_expect.h"

#include "answer/column.h"
#include "run/blow.h"
#include "run/simulate.h"
#include "study/study_subject.h"

#include <math.h>

// Above this many contacts a minute they are no longer heard one by one; common practice, no
// source.
#define RATTLE 240.0

enum study_status job_card_flows(struct study_job *job, const struct study_asked *lowest,
                                 const struct study_asked *peak, struct job_card_flows *out) {
    struct study_subject own = {0};
    enum study_status status = study_subject_open(job, 0, &own);
    if (status == STUDY_DONE) {
        const double today = own.steadiness.flow;
        const struct envelope_options *e = &own.resolved.envelope;
        const struct unit_context *site = &own.resolved.site;
        const bool stated = isfinite(e->peak) && isfinite(e->lowest);
        *out = (struct job_card_flows){
            .name = {stated ? "lowest flow" : "half of today's", "today's flow",
                     stated ? "peak" : "twice today's"},
            .flow = {stated ? e->lowest : 0.5 * today, today, stated ? e->peak : 2.0 * today},
            .envelope = stated};
        status = study_job_quantity(job, lowest, UNIT_FLOW, site, today, &out->flow[0]);
        if (status == STUDY_DONE) {
            status = study_job_quantity(job, peak, UNIT_FLOW, site, today, &out->flow[2]);
        }
        out->name[0] = lowest->text ? "lowest flow" : out->name[0];
        out->name[2] = peak->text ? "peak" : out->name[2];
        if (status == STUDY_DONE && !(out->flow[0] > 0.0 && today > 0.0 && out->flow[2] > 0.0)) {
            status = study_job_fail(job, STUDY_BAD_USAGE,
                                    "%s: found a flow of 0; allowed flows above 0 (today's is that "
                                    "at the start of the scenario)",
                                    job->path);
        }
    }
    study_subject_free(&own);
    return status;
}

// --- One run in words

static const char *sound_words(struct answer *answer, const struct simulation *s) {
    const double rate = s->judged.figures.seat_rate;
    if (!(rate > 0.0)) {
        return "nothing but the flow";
    }
    const char *often = rate > RATTLE ? answer_keep(answer, "%.2g times a second", rate / 60.0)
                                      : answer_keep(answer, "%.2g times a minute", rate);
    switch (blow_grade(s)) {
    case BLOW_HAMMER:
        return answer_keep(answer, "hammer blows on the seat, %s", often);
    case BLOW_BLOW:
        return answer_keep(answer, "a knock on the seat, %s", often);
    default:
        return answer_keep(answer, "touches its seat, %s, hardly heard", often);
    }
}

static const char *between(struct answer *answer, enum unit_kind kind, double low, double high) {
    // What is left of a length by rounding is none.
    low = fabs(low) < 1e-9 * fabs(high) ? 0.0 : low;
    const char *from = answer_text(answer, kind, low);
    const char *to = answer_text(answer, kind, high);
    const double size = fabs(answer_shown(answer, kind, high));
    const double apart = fabs(answer_shown(answer, kind, high) - answer_shown(answer, kind, low));
    return apart <= 0.01 * size ? to : answer_keep(answer, "%s to %s", from, to);
}

// What comes to rest is told as it stands then: how it got there from the kick is not what a gauge
// shows from day to day.
static bool rests(const struct simulation *s) {
    return s->judged.verdict <= VERDICT_RINGING && s->count > 0;
}

// Lowest and highest of a channel in the part of the record that is judged.
static const char *channel_text(struct answer *answer, const struct simulation *s,
                                enum channel channel) {
    double low = (double)INFINITY;
    double high = -(double)INFINITY;
    if (rests(s)) {
        return answer_text(answer, channel_row(channel)->kind, s->channel[channel][s->count - 1]);
    }
    for (size_t i = 0; i < s->count; i++) {
        const double time = (double)i * s->step;
        if (time >= s->judged.figures.window_start && time <= s->judged.figures.window_end) {
            low = fmin(low, s->channel[channel][i]);
            high = fmax(high, s->channel[channel][i]);
        }
    }
    return low <= high ? between(answer, channel_row(channel)->kind, low, high) : "-";
}

static const char *travel_words(struct answer *answer, const struct simulation *s,
                                double rated_travel) {
    const char *text = channel_text(answer, s, CHANNEL_TRAVEL);
    const double travel =
        rests(s) ? s->channel[CHANNEL_TRAVEL][s->count - 1] : s->judged.figures.travel_mean;
    const double share = fmax(100.0 * travel / rated_travel, 0.0);
    return answer_keep(answer, share < 99.5 ? "%s; %s%.2g %% of full" : "%s; %s%.0f %% of full",
                       text, rests(s) ? "" : "mean ", share);
}

static void add_run(struct answer *answer, struct answer_table *table, const char *name,
                    double flow, const struct scenario_case *c, const struct simulation *s) {
    const struct verdict_figures *f = &s->judged.figures;
    const bool swings = f->frequency > 0.0 && s->judged.verdict > VERDICT_RINGING;
    answer_word(table, name);
    answer_put(table, flow);
    answer_word(table, verdict_name(s->judged.verdict));
    answer_word(table, channel_text(answer, s, CHANNEL_CONTROLLED_PRESSURE));
    answer_put(table, rests(s) ? (double)NAN : f->pressure_swing);
    answer_put(table, swings ? 1.0 / f->frequency : (double)NAN);
    answer_word(table, travel_words(answer, s, c->model.trim.rated_travel));
    answer_word(table, channel_applies(&s->start.regulator, CHANNEL_CHAMBER_PRESSURE)
                           ? channel_text(answer, s, CHANNEL_CHAMBER_PRESSURE)
                           : "-");
    if (f->seat_rate > 0.0) {
        answer_put(table, f->seat_rate);
    } else {
        answer_said(table, f->seat_rate, "none");
    }
    answer_word(table, sound_words(answer, s));
}

static void warn(struct answer *answer, const char *name, double flow,
                 const struct scenario_case *c, const struct simulation *s) {
    const char *at = answer_keep(answer, "trim %s at %s (%s)", c->trim_name,
                                 answer_text(answer, UNIT_FLOW, flow), name);
    if (s->judged.verdict > VERDICT_RINGING) {
        answer_say(answer, ANSWER_WARNING, "%s: %s. %s", at, verdict_name(s->judged.verdict),
                   verdict_meaning(s->judged.verdict));
    }
    if (s->judged.figures.pressure_peak > c->pressure_limit) {
        answer_say(answer, ANSWER_WARNING,
                   "%s: the pressure reaches %s, above the vessel limit of "
                   "%s",
                   at, answer_text(answer, UNIT_PRESSURE_LEVEL, s->judged.figures.pressure_peak),
                   answer_text(answer, UNIT_PRESSURE_LEVEL, c->pressure_limit));
    }
}

// --- Three of them

static struct answer_table *begin_table(struct answer *answer, const char *key) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("name", "at"),
        COLUMN_FLOW,
        COLUMN_VERDICT,
        COLUMN_WORD("pressure", "controlled pressure"),
        {.key = "pressure_swing", .name = "its swing", .kind = UNIT_PRESSURE_DROP, .digits = 3},
        {.key = "period", .name = "one swing takes", .kind = UNIT_TIME, .digits = 3},
        COLUMN_WORD("travel", "travel of the stem"),
        COLUMN_WORD("chamber", "chamber pressure"),
        {.key = "seat_rate", .name = "seat contacts", .unit = "1/min", .digits = 3},
        COLUMN_WORD("sound", "to be heard"),
    };
    struct answer_table *table =
        answer_table(answer, key, NULL, columns, sizeof columns / sizeof columns[0]);
    table->layout = ANSWER_SIDE_BY_SIDE;
    return table;
}

enum study_status job_card_expect(struct study_job *job, size_t index,
                                  const struct job_card_flows *flows, const char *key,
                                  struct answer *answer) {
    static const struct study_asked none;
    struct study_subject own = {0};
    double kick = 0.0;
    enum study_status status = study_subject_open(job, index, &own);
    if (status == STUDY_DONE) {
        status = study_subject_kick(job, &none, &own.resolved, &kick);
    }
    struct answer_table *table = begin_table(answer, key);
    for (size_t i = 0; i < JOB_CARD_FLOWS && status == STUDY_DONE; i++) {
        struct scenario_case c = own.steadiness.held;
        struct simulation s;
        c.model.flow = schedule_constant(flows->flow[i]);
        c.start = (struct start_options){.from = START_EQUILIBRIUM, .kick_pressure = kick};
        c.run.stop_early = true;
        c.run.duration *= SIMULATION_PATIENCE;
        simulate(&c, &s);
        if (s.outcome == SIMULATION_DONE) {
            add_run(answer, table, flows->name[i], flows->flow[i], &c, &s);
            warn(answer, flows->name[i], flows->flow[i], &c, &s);
        } else {
            status =
                s.outcome == SIMULATION_INTERRUPTED
                    ? study_job_fail(job, STUDY_INTERRUPTED, "%s: stopped by a signal", job->path)
                    : study_job_fail(job, STUDY_SOLVER_FAILED, "%s: trim %s: %s", job->path,
                                     c.trim_name, s.message);
        }
        simulation_free(&s);
    }
    study_subject_note(answer, &own);
    study_subject_free(&own);
    return status;
}
