// SPDX-License-Identifier: MIT
#include "answer/column.h"
#include "answer/picture.h"
#include "site/record.h"
#include "site/site_record.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// Swing that counts as rest, share of the mean gauge pressure, unless it is stated. Common
// practice, no source: what a dial gauge of class 1 can tell.
#define REST_SHARE 0.01
// A plug is shut when its travel is within this share of its range from the least.
#define SHUT_SHARE 0.03
// Periods shown enlarged.
#define CLOSE_CYCLES 6.0
enum { PICTURE_ROWS = 6000 };

struct told {
    struct logger logger;
    struct record_judgement judged;
    double rest;
    struct answer *answer;
    double *time, *value, *work;
};

// --- Words

static void say_verdict(const struct told *t) {
    struct answer *a = t->answer;
    const struct record_motion *m = &t->judged.motion;
    answer_label(a, ANSWER_FINDING, "what it shows: ", "%s - %s",
                 record_verdict_name(t->judged.verdict), record_verdict_meaning(t->judged.verdict));
    answer_label(a, ANSWER_FINDING, "how sure: ", "%.0f %% (%s)", 100.0 * t->judged.confidence,
                 t->judged.doubts ? "see the warnings" : "nothing speaks against the record");
    if (t->judged.verdict == RECORD_REPEATING || t->judged.verdict == RECORD_RESTLESS) {
        answer_say(a, ANSWER_NOTE,
                   "what lowlift calls it, if the plug is free: %s; if it hits its seat: slamming, "
                   "or chatter at a high rate. A pressure alone cannot tell whether the seat is "
                   "hit%s",
                   t->judged.verdict == RECORD_REPEATING ? "hunting" : "irregular",
                   isfinite(m->rising) ? "; long straight rises, as here, speak for a plug that "
                                         "stays shut between its openings"
                                       : "");
    }
}

static void say_doubts(const struct told *t) {
    struct answer *a = t->answer;
    const struct record_sampling *s = &t->judged.sampling;
    const struct record_motion *m = &t->judged.motion;
    const unsigned doubts = t->judged.doubts;
    if (doubts & DOUBT_SLOW_SAMPLING) {
        answer_say(
            a, ANSWER_WARNING,
            "sampled too slowly: one sample every %.3g s gives %.2g samples a swing. The "
            "true motion may be faster, and the frequency and swing shown here false. Take a "
            "record with at least 20 samples a second",
            s->interval, 1.0 / (m->frequency * s->interval));
    }
    if (doubts & DOUBT_COARSE_GAUGE) {
        answer_say(a, ANSWER_WARNING,
                   "the gauge is too coarse: the swing is %.2g of its smallest steps of %s",
                   m->swing / s->quantum, answer_text(a, UNIT_PRESSURE_DROP, s->quantum));
    }
    if (doubts & DOUBT_FEW_CYCLES && m->cycles == 0) {
        answer_say(a, ANSWER_WARNING, "not one whole cycle: take a longer record");
    } else if (doubts & DOUBT_FEW_CYCLES) {
        answer_say(a, ANSWER_WARNING, "only %zu whole cycle%s: take a longer record", m->cycles,
                   m->cycles == 1 ? "" : "s");
    }
    if (doubts & DOUBT_GAPS && s->gaps == 1) {
        answer_say(a, ANSWER_WARNING,
                   "a gap of %.3g s; only the longer stretch beside it is judged, %.4g s",
                   s->longest_gap, s->span);
    } else if (doubts & DOUBT_GAPS) {
        answer_say(a, ANSWER_WARNING,
                   "%zu gaps, the longest of %.3g s; only the longest stretch between gaps is "
                   "judged, %.4g s",
                   s->gaps, s->longest_gap, s->span);
    }
    if (doubts & DOUBT_FAST) {
        answer_say(a, ANSWER_WARNING,
                   "one sample every %.2g s is faster than any logger of a pressure%s", s->interval,
                   t->logger.bare ? ": are the times days, as a spreadsheet counts them? Write "
                                    "their unit into the header, such as time [d]"
                                  : ": is the unit of the times right?");
    }
    if (doubts & DOUBT_UNEVEN) {
        answer_say(a, ANSWER_WARNING,
                   "the samples are unevenly spaced; they were put on an even "
                   "grid of their median interval");
    }
}

// What was done to the file before it was looked at.
static void say_mended(const struct told *t) {
    struct answer *a = t->answer;
    const struct record_sampling *s = &t->judged.sampling;
    if (s->spikes > 0) {
        answer_say(a, ANSWER_NOTE, "%zu single sample%s far from %s neighbours %s left out",
                   s->spikes, s->spikes == 1 ? "" : "s", s->spikes == 1 ? "its" : "their",
                   s->spikes == 1 ? "was" : "were");
    }
    if (s->dropped > 0) {
        answer_say(a, ANSWER_NOTE, "%zu sample%s no number, or not later than the one before",
                   s->dropped, s->dropped == 1 ? " was" : "s were");
    }
    if (t->logger.newest_first) {
        answer_say(a, ANSWER_NOTE, "the newest row stands first: read from the end");
    }
    if (t->logger.spread) {
        answer_say(a, ANSWER_NOTE,
                   "many rows have one time: they were spread evenly up to the next one");
    }
}

static void say_shape(const struct told *t) {
    const struct record_motion *m = &t->judged.motion;
    struct answer *a = t->answer;
    if (isfinite(m->shape)) {
        answer_say(a, ANSWER_NOTE, "shape %.2f: %s", m->shape,
                   m->shape > 0.6 ? "triangular, as of something that sticks, or of a vessel that "
                                    "fills and empties"
                   : m->shape < 0.4 ? "sinusoidal, as of a loop at its limit of stability"
                                    : "between a sine and a triangle");
    }
    if (isfinite(m->rise)) {
        answer_say(a, ANSWER_NOTE,
                   "straight rises of %s/s in %.0f %% of the time: if the plug is shut then, the "
                   "gas volume follows from the flow that comes in meanwhile",
                   answer_text(a, UNIT_PRESSURE_DROP, m->rise), 100.0 * m->rising);
    }
}

// --- Tables

static void add_figures(const struct told *t) {
    static const struct answer_column columns[] = {
        {.key = "channel", .name = "channel", .form = ANSWER_WORD, .hidden = ANSWER_TERMINAL},
        COLUMN_OF("mean", "mean pressure", UNIT_PRESSURE_LEVEL),
        {.key = "pressure_swing",
         .name = "swing, of half the cycles more",
         .kind = UNIT_PRESSURE_DROP},
        COLUMN_OF("swing_10", "swing that 10 % of the cycles stay below", UNIT_PRESSURE_DROP),
        COLUMN_OF("swing_90", "swing that 90 % of the cycles stay below", UNIT_PRESSURE_DROP),
        COLUMN_FREQUENCY,
        COLUMN_COUNT("cycles", "whole cycles"),
        {.key = "regularity", .name = "regularity (1 and more: regular)", .digits = 3},
        {.key = "shape", .name = "shape (0 sine, 1 triangle)", .digits = 2},
        COLUMN_OF("drift", "slow drift", UNIT_PRESSURE_DROP),
        {.key = "rise", .name = "straight rise", .kind = UNIT_PRESSURE_DROP, .per = "/s"},
        {.key = "rising", .name = "share of the time in straight rises", .unit = "%", .digits = 2},
        COLUMN_IN("interval", "median interval of the samples", "s"),
        COLUMN_OF("quantum", "smallest step of the gauge", UNIT_PRESSURE_DROP),
        COLUMN_COUNT("samples", "samples"),
        COLUMN_IN("span", "stretch judged", "s"),
    };
    const struct record_motion *m = &t->judged.motion;
    const struct record_sampling *s = &t->judged.sampling;
    struct answer_table *table =
        answer_table(t->answer, "record", NULL, columns, sizeof columns / sizeof columns[0]);
    table->layout = ANSWER_SIDE_BY_SIDE;
    table->hidden = ANSWER_CSV;
    answer_word(table, t->logger.name[LOGGER_PRESSURE]);
    answer_put(table, m->mean);
    answer_put(table, m->swing);
    answer_put(table, m->swing_low);
    answer_put(table, m->swing_high);
    answer_put(table, m->frequency);
    answer_put(table, (double)m->cycles);
    answer_put(table, m->regularity);
    answer_put(table, m->shape);
    answer_put(table, m->drift);
    answer_put(table, m->rise);
    answer_put(table, 100.0 * m->rising);
    answer_put(table, s->interval);
    answer_put(table, s->quantum);
    answer_put(table, (double)s->count);
    answer_put(table, s->span);
}

// What another channel adds: whether the plug rests on its seat, whether the flow swings too.
static void say_travel(const struct told *t) {
    const double *travel = t->logger.value[LOGGER_TRAVEL];
    double low = HUGE_VAL;
    double high = -HUGE_VAL;
    size_t shut = 0;
    size_t contacts = 0;
    size_t good = 0;
    bool was_shut = true;
    for (size_t i = 0; travel && i < t->logger.count; i++) {
        low = isfinite(travel[i]) ? fmin(low, travel[i]) : low;
        high = isfinite(travel[i]) ? fmax(high, travel[i]) : high;
    }
    if (!travel || !(high > low)) {
        return;
    }
    for (size_t i = 0; i < t->logger.count; i++) {
        if (isfinite(travel[i])) {
            const bool now = travel[i] < low + SHUT_SHARE * (high - low);
            shut += now;
            contacts += now && !was_shut;
            was_shut = now;
            good++;
        }
    }
    answer_say(t->answer, ANSWER_FINDING,
               "travel: at its least in %.0f %% of the samples, reached %zu times%s",
               100.0 * (double)shut / (double)good, contacts,
               contacts > 2 ? ": if that is the seat, it slams" : "");
}

// --- Picture: the whole record, and its last cycles enlarged

static void add_rows(const struct told *t, double from, double to) {
    struct picture_data *data = picture_data(t->answer, 2);
    const size_t stride = t->judged.sampling.count / PICTURE_ROWS + 1;
    double before = (double)NAN;
    for (size_t i = 0; i < t->judged.sampling.count; i += stride) {
        if (t->time[i] < from || t->time[i] > to) {
            continue;
        }
        if (t->time[i] - before > 5.0 * (double)stride * t->judged.sampling.interval) {
            picture_break(data); // no line joins what a gap parts
        }
        before = t->time[i];
        picture_row(data, NULL,
                    (const double[]){t->time[i],
                                     answer_shown(t->answer, UNIT_PRESSURE_LEVEL, t->value[i])});
    }
}

static void add_picture(const struct told *t) {
    const struct record_sampling *s = &t->judged.sampling;
    const double end = t->time[s->end - 1];
    const double cycle = t->judged.motion.cycles > 0 ? 1.0 / t->judged.motion.frequency : s->span;
    const double from = fmax(t->time[s->first], end - CLOSE_CYCLES * cycle);
    picture_begin(t->answer, "record.gp", t->answer->title);
    picture_title(t->answer, "%s: %s", t->logger.name[LOGGER_PRESSURE],
                  record_verdict_name(t->judged.verdict));
    picture_axis(t->answer, "pressure", UNIT_PRESSURE_LEVEL);
    picture_number(t->answer, t->time[0]);
    picture_number(t->answer, t->time[s->count - 1]);
    picture_number(t->answer, from);
    picture_number(t->answer, end);
    add_rows(t, t->time[0], t->time[s->count - 1]);
    add_rows(t, from, end);
}

// --- All of it

static enum study_status read_options(struct study_job *job, const struct study_asked *asked,
                                      struct logger_asked *out, double *rest) {
    double altitude = 0.0;
    const struct unit_context none = {.atmosphere = units_standard_atmosphere(0.0)};
    enum study_status status = study_job_quantity(job, &asked[RECORD_ALTITUDE], UNIT_LENGTH, &none,
                                                  (double)NAN, &altitude);
    if (status == STUDY_DONE && !(altitude >= -500.0 && altitude <= 11000.0)) {
        return study_job_fail(job, STUDY_BAD_USAGE, "%s: found '%s'; allowed -500 m to 11000 m",
                              asked[RECORD_ALTITUDE].name, asked[RECORD_ALTITUDE].text);
    }
    *out = (struct logger_asked){.time = asked[RECORD_TIME].text,
                                 .column = {[LOGGER_PRESSURE] = asked[RECORD_PRESSURE].text,
                                            [LOGGER_CHAMBER] = asked[RECORD_CHAMBER].text,
                                            [LOGGER_TRAVEL] = asked[RECORD_TRAVEL].text,
                                            [LOGGER_FLOW] = asked[RECORD_FLOW].text},
                                 .unit = asked[RECORD_UNIT].text,
                                 .dates = asked[RECORD_DATES].text,
                                 .site = {.atmosphere = units_standard_atmosphere(altitude)}};
    *rest = (double)NAN;
    return status == STUDY_DONE ? study_job_quantity(job, &asked[RECORD_REST], UNIT_PRESSURE_DROP,
                                                     &none, (double)NAN, rest)
                                : status;
}

static double usual_rest(const struct told *t, double atmosphere) {
    double sum = 0.0;
    size_t good = 0;
    for (size_t i = 0; i < t->logger.count; i++) {
        const double value = t->logger.value[LOGGER_PRESSURE][i];
        sum += isfinite(value) ? value : 0.0;
        good += isfinite(value) ? 1 : 0;
    }
    return good > 0 ? REST_SHARE * fabs(sum / (double)good - atmosphere) : 0.0;
}

static void tell(struct told *t, const char *path, double atmosphere) {
    struct answer *a = t->answer;
    a->scenario = answer_keep(a, "%s", path);
    a->title = answer_keep(a, "record %s", path);
    a->origin = a->scenario;
    a->site.atmosphere = atmosphere;
    a->cautions = true;
    a->units = t->logger.us ? UNITS_US : UNITS_METRIC;
    const struct unit *drop = units_drop_of(t->logger.unit);
    a->site.own[UNIT_PRESSURE_LEVEL] = drop ? t->logger.unit : NULL;
    a->site.own[UNIT_PRESSURE_DROP] = drop ? drop->token : NULL;
    if (t->judged.verdict == RECORD_QUIET) { // what is left is noise of the gauge
        struct record_motion *m = &t->judged.motion;
        m->frequency = m->regularity = m->shape = m->rise = m->rising = (double)NAN;
        m->cycles = 0;
    }
    answer_say(a, ANSWER_HEADING, "%s", a->title);
    if (!t->judged.enough) {
        answer_say(a, ANSWER_FINDING, "fewer than 8 samples in a row: nothing can be said");
        return;
    }
    say_verdict(t);
    say_travel(t);
    say_doubts(t);
    say_mended(t);
    say_shape(t);
    add_figures(t);
    answer_say(a, ANSWER_LINE, "a swing below %s counts as rest",
               answer_text(a, UNIT_PRESSURE_DROP, t->rest));
    add_picture(t);
}

enum study_status record_answer(struct study_job *job, const char *path,
                                const struct study_asked *asked, struct answer *answer) {
    struct logger_asked options = {0};
    struct told t = {.answer = answer};
    enum study_status status = read_options(job, asked, &options, &t.rest);
    if (status != STUDY_DONE) {
        return status;
    }
    if (!logger_read(path, &options, &t.logger, &job->list)) {
        logger_free(&t.logger);
        return STUDY_BAD_SCENARIO;
    }
    const size_t count = t.logger.count;
    t.rest = isnan(t.rest) ? usual_rest(&t, options.site.atmosphere) : t.rest;
    t.time = malloc((count + 1) * sizeof *t.time);
    t.value = malloc((count + 1) * sizeof *t.value);
    t.work = malloc(3 * (count + 1) * sizeof *t.work);
    if (!t.time || !t.value || !t.work) {
        status = study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    } else {
        memcpy(t.time, t.logger.time, count * sizeof *t.time);
        memcpy(t.value, t.logger.value[LOGGER_PRESSURE], count * sizeof *t.value);
        record_judge(t.time, t.value, count, t.rest, t.work, &t.judged);
        tell(&t, path, options.site.atmosphere);
    }
    free(t.time);
    free(t.value);
    free(t.work);
    logger_free(&t.logger);
    return status;
}
