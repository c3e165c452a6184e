// SPDX-License-Identifier: MIT
// Rows of what was seen: under which conditions a draw is looked at, and how well it fits.
#include "site/match_inside.h"

#include "run/simulate.h"
#include "steady/steadiness.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

// How far eigenvalues are trusted without a run. A regulator seen quiet may have a small motion
// that grows so slowly that friction or the next disturbance hides it [1/s]; one seen moving may
// rest steadily, if it is so little damped that a kick can keep it going [damping ratio]. Of 600
// runs of starter's 3 in regulator at 3 and 0.15 MMscf/d, 456 of the 457 above that growth moved;
// of those that moved, none had a small motion that dies out faster than 0.23/s, about a tenth of
// critical.
// The friction of a direct-acting one, which nothing but the held pressure moves, holds it against
// any growth until a disturbance is large enough: of 58 of these that were quiet when run, small
// motions grew in 31, by up to 116/s. There the run decides.
#define QUIET_GROWTH 0.02
#define MOVING_DAMPING 0.35

// Outside of the range that was said a value counts less: so much of it is one tolerance, of what
// eye, ear and gauge tell. Common practice, no source.
#define RANGE_TOLERANCE 0.2

// For a match figures to a few per cent do, and three alike cycles.
#define MATCH_TOLERANCE 1e-5
#define MATCH_REPEATS 3.0
#define MATCH_CYCLE 0.03
#define MATCH_EVENTS 20.0

// What a crew would say of each verdict: 1, it would say so; below, it might.
static const double credit[SEEN_COUNT][VERDICT_COUNT] = {
    [SEEN_QUIET] = {[VERDICT_STEADY] = 1.0,
                    [VERDICT_RINGING] = 1.0,
                    [VERDICT_FORCED] = 1.0,
                    [VERDICT_UNDECIDED] = 0.2},
    [SEEN_SETTLES] = {[VERDICT_RINGING] = 1.0, [VERDICT_STEADY] = 0.5, [VERDICT_UNDECIDED] = 0.5},
    [SEEN_MOVES] = {[VERDICT_HUNTING] = 1.0,
                    [VERDICT_IRREGULAR] = 1.0,
                    [VERDICT_SLAMMING] = 1.0,
                    [VERDICT_CHATTER] = 1.0,
                    [VERDICT_UNDECIDED] = 0.5},
    // A light touch is not heard.
    [SEEN_SWINGS] = {[VERDICT_HUNTING] = 1.0,
                     [VERDICT_IRREGULAR] = 1.0,
                     [VERDICT_SLAMMING] = 0.3,
                     [VERDICT_UNDECIDED] = 0.3},
    [SEEN_HITS] = {[VERDICT_SLAMMING] = 1.0, [VERDICT_CHATTER] = 0.5, [VERDICT_UNDECIDED] = 0.2},
    [SEEN_CHATTERS] = {[VERDICT_CHATTER] = 1.0, [VERDICT_SLAMMING] = 0.3},
    [SEEN_SHUT] = {[VERDICT_SHUT] = 1.0},
    [SEEN_WIDE_OPEN] = {[VERDICT_WIDE_OPEN] = 1.0},
};

// --- Taking the rows

static enum study_status take_row(struct match *match, struct study_job *job,
                                  const struct scenario_observed *seen) {
    const struct scenario *scenario = job->scenario;
    struct match_row *row = &match->row[match->row_count];
    const size_t trim =
        seen->trim[0] ? scenario_trim_find(scenario, seen->trim, NULL) : job->trim[0];
    *row = (struct match_row){
        .seen = seen, .trim = trim, .sticks = match->space.kind & HARDWARE_DIRECT};
    snprintf(row->name, sizeof row->name, "%s", seen->flow_text);
    row->change[row->change_count++] =
        (struct study_change){match->space.back_pressure ? "inflow.rate" : "demand.rate",
                              scenario_si(scenario, trim, &seen->flow)};
    for (size_t i = 0; i < seen->change_count; i++) {
        row->change[row->change_count++] = (struct study_change){
            seen->change[i], scenario_si(scenario, trim, &seen->change_value[i])};
    }
    for (size_t i = 0; i < row->change_count; i++) {
        if (!isfinite(row->change[i].si) || (i == 0 && !(row->change[0].si > 0.0))) {
            diagnostics_error(&job->list, seen->place,
                              "observed: found '%s'; allowed a flow above zero of this stream, and "
                              "values that this scenario knows",
                              i == 0 ? seen->flow_text : seen->change_text[i - 1]);
            return STUDY_BAD_SCENARIO;
        }
    }
    match->row_count++;
    return STUDY_DONE;
}

// The record is of today: of the row at the scenario's own flow with nothing changed, else of a row
// of its own.
static void take_record(struct match *match, const struct study_job *job,
                        const struct scenario_case *resolved) {
    const struct schedule *flow = &resolved->model.flow;
    const double own = schedule_value(flow, schedule_piece(flow, 0.0), 0.0);
    for (size_t i = 0; i < match->row_count; i++) {
        struct match_row *row = &match->row[i];
        if (row->change_count == 1 && row->trim == job->trim[0] &&
            fabs(row->change[0].si - own) <= 1e-9 * own) {
            row->recorded = true;
            return;
        }
    }
    struct match_row *row = &match->row[match->row_count++];
    *row = (struct match_row){.recorded = true, .trim = job->trim[0]};
    snprintf(row->name, sizeof row->name, "the record");
}

enum study_status match_rows_take(struct match *match, struct study_job *job,
                                  const struct scenario_case *resolved) {
    const size_t count = scenario_observed_count(job->scenario);
    match->row[MATCH_ROWS_MAX] = (struct match_row){.trim = job->trim[0]};
    if (count + 1 > MATCH_ROWS_MAX) {
        return study_job_fail(job, STUDY_BAD_USAGE, "%s: observed: more than %d rows", job->path,
                              MATCH_ROWS_MAX - 1);
    }
    for (size_t i = 0; i < count; i++) {
        const enum study_status status =
            take_row(match, job, scenario_observed_at(job->scenario, i));
        if (status != STUDY_DONE) {
            return status;
        }
    }
    if (match->record.enough) {
        take_record(match, job, resolved);
    }
    return STUDY_DONE;
}

// --- How well it fits

bool match_rows_may(const struct match_row *row, const double *screen) {
    const double rest = screen[SCREEN_REST];
    if (isnan(rest)) {
        return false;
    }
    const enum steadiness_rest kind = (enum steadiness_rest)(int)rest;
    const bool steady = kind == STEADINESS_STEADY;
    const bool open = steady || kind == STEADINESS_UNSTEADY;
    switch (row->seen ? row->seen->seen : SEEN_MOVES) {
    case SEEN_QUIET:
    case SEEN_SETTLES:
        return open && (row->sticks || screen[SCREEN_GROWTH] <= QUIET_GROWTH);
    case SEEN_SHUT:
        return kind == STEADINESS_SHUT;
    case SEEN_WIDE_OPEN:
        return kind == STEADINESS_WIDE_OPEN;
    default:
        return open && (!steady || screen[SCREEN_DAMPING] <= MOVING_DAMPING);
    }
}

// A value against a range, in tolerances beyond its ends.
static double beyond(double value, double low, double high) {
    if (isnan(low)) {
        return 0.0;
    }
    if (!(value > 0.0)) {
        return HUGE_VAL;
    }
    return fmax(fmax(log(low / value), log(value / high)), 0.0) / RANGE_TOLERANCE;
}

double match_rows_fit(const struct match *match, const struct match_row *row, const double *result,
                      double *distance) {
    *distance = HUGE_VAL;
    const double outcome = result[MATCH_OUTCOME];
    if (!(outcome >= 0.0 && outcome < VERDICT_COUNT)) {
        return -HUGE_VAL;
    }
    const struct scenario_observed *seen = row->seen;
    double fit = 0.0;
    double off = 0.0;
    if (seen) {
        const double said = credit[seen->seen][(int)outcome];
        if (said == 0.0) {
            return -HUGE_VAL;
        }
        const double f = beyond(result[MATCH_FREQUENCY], seen->frequency_low, seen->frequency_high);
        const double s = beyond(result[MATCH_SWING], seen->swing_low, seen->swing_high);
        fit = log(said) - 0.5 * (f * f + s * s);
        off = fmax(f, s);
    }
    if (row->recorded) {
        double apart;
        fit += match_record_fit(&match->record, &result[MATCH_FEATURES], &apart);
        off = fmax(off, apart);
    }
    *distance = off;
    return isnan(fit) ? -HUGE_VAL : fit;
}

// --- Looking at draws in a row's conditions

struct look {
    const struct match *match;
    const struct match_row *row;
    const double *const *score;
};

// A flow counted in standard volume stays what it is when the gas is another.
static double flow_of(const struct match *match, const struct match_row *row,
                      const struct study_change *change, size_t count) {
    struct unit_context site = match->space.site;
    for (size_t i = 0; i < count; i++) {
        if (strcmp(change[i].field, "fluid.gravity") == 0) {
            site.molar_mass = GAS_AIR_MOLAR_MASS * change[i].si;
        } else if (strcmp(change[i].field, "fluid.molar_mass") == 0) {
            site.molar_mass = change[i].si;
        } else if (strcmp(change[i].field, "fluid.density") == 0) {
            site.density = change[i].si;
        }
    }
    double si;
    return units_to_si(&site, &row->seen->flow, &si) ? row->change[0].si : si;
}

size_t match_rows_changes(const struct match *match, const struct match_row *row,
                          const double *score, struct study_change *change) {
    const size_t drawn = match_space_change(match, score, row->trim, change);
    size_t count = drawn;
    for (size_t i = 0; i < row->change_count && count < STUDY_CHANGES_MAX; i++) {
        change[count] = row->change[i];
        if (i == 0 && row->seen) {
            change[count].si = flow_of(match, row, change, drawn);
        }
        count++;
    }
    return count;
}

static void describe(void *context, size_t index, struct study_point *point) {
    const struct look *look = context;
    point->trim = look->row->trim;
    point->change_count =
        match_rows_changes(look->match, look->row, look->score[index], point->change);
}

static void screen(void *context, size_t index, const struct scenario_case *scenario,
                   double *result) {
    const struct look *look = context;
    (void)index;
    for (int i = 0; i < SCREEN_COLUMNS; i++) {
        result[i] = (double)NAN;
    }
    if (!scenario) {
        return;
    }
    if (!look->row->seen && !look->row->recorded) {
        result[SCREEN_READINGS] = readings_fit(&look->match->readings, scenario);
        return;
    }
    struct steadiness subject;
    const bool reached = steadiness_prepare(scenario, &subject);
    if (!reached && scenario->set_at_flow && look->row->seen &&
        look->row->seen->seen != SEEN_WIDE_OPEN) {
        result[SCREEN_PASSES] = steadiness_passes(&subject, subject.flow) ? 1.0 : 0.0;
        return;
    }
    const struct steadiness_settled settled = steadiness_settled(&subject, subject.flow);
    result[SCREEN_REST] = (double)settled.rest;
    result[SCREEN_GROWTH] = settled.growth;
    result[SCREEN_DAMPING] = isnan(settled.damping) ? 1.0 : settled.damping;
}

static void measure(const struct match *match, const struct simulation *run, size_t index,
                    const struct match_row *row, const struct regulator_parameters *model,
                    double *result) {
    const enum verdict verdict = run->judged.verdict;
    const struct verdict_figures *figures = &run->judged.figures;
    const bool rests = verdict <= VERDICT_FORCED || verdict >= VERDICT_SHUT;
    // A trim that was seen wide open is one that no screw makes hold its set pressure.
    const bool amiss = run->set_out_of_reach && !(row->seen && row->seen->seen == SEEN_WIDE_OPEN);
    result[MATCH_OUTCOME] = amiss ? SEVERITY_OUT_OF_REACH : (double)verdict;
    if (!rests) {
        result[MATCH_SWING] = figures->pressure_swing;
        result[MATCH_FREQUENCY] = figures->frequency;
        result[MATCH_CONTACTS] = figures->seat_rate;
    }
    result[MATCH_MEAN] = figures->pressure_mean;
    if (row->recorded && !rests) {
        match_record_measure_run(&match->record, run, model, index, &result[MATCH_FEATURES]);
    }
}

void match_rows_run(const struct match *match, const struct match_row *row, size_t index,
                    const struct scenario_case *scenario, double *result) {
    for (int i = 0; i < MATCH_COLUMNS; i++) {
        result[i] = (double)NAN;
    }
    result[MATCH_OUTCOME] = SEVERITY_IMPOSSIBLE;
    if (!scenario) {
        return;
    }
    struct scenario_case own = *scenario;
    own.run.relative_tolerance = fmax(own.run.relative_tolerance, MATCH_TOLERANCE);
    struct verdict_limits limits = simulation_limits(&own);
    limits.cycle_repeats = fmin(limits.cycle_repeats, MATCH_REPEATS);
    limits.cycle_tolerance = fmax(limits.cycle_tolerance, MATCH_CYCLE);
    limits.irregular_cycles = fmin(limits.irregular_cycles, MATCH_EVENTS);
    struct simulation run;
    simulate_so(&own, &(struct simulation_manner){.limits = &limits}, &run);
    result[MATCH_OUTCOME] = SEVERITY_FAILED;
    if (run.outcome == SIMULATION_DONE) {
        measure(match, &run, index, row, &own.model, result);
    }
    simulation_free(&run);
}

static void run_one(void *context, size_t index, const struct scenario_case *scenario,
                    double *result) {
    const struct look *look = context;
    match_rows_run(look->match, look->row, index, scenario, result);
}

enum study_status match_rows_study(struct match *match, struct study_job *job, struct study *work,
                                   double *out) {
    char path[4096];
    match->studies++;
    if (match->checkpoint) {
        snprintf(path, sizeof path, match->studies > 1 ? "%s-%zu" : "%s", match->checkpoint,
                 match->studies);
        work->checkpoint = path;
        work->fingerprint = study_fingerprint_points(match->space.fingerprint + match->studies,
                                                     work->describe, work->context, work->count);
    }
    return study_run(work, out, job->message, sizeof job->message);
}

// A study of draws in a row's conditions.
static struct study study_of(const struct study_job *job, const char *label, struct look *look,
                             size_t count) {
    struct study work = study_job_start(job, label);
    work.count = count;
    work.describe = describe;
    work.context = look;
    return work;
}

enum study_status match_rows_screen(struct match *match, struct study_job *job, size_t row,
                                    size_t count, const double *const *score, double *out) {
    struct look look = {match, &match->row[row], score};
    struct study work = study_of(job, "eigenvalues", &look, count);
    work.width = SCREEN_COLUMNS;
    work.evaluate = screen;
    return match_rows_study(match, job, &work, out);
}

enum study_status match_rows_simulate(struct match *match, struct study_job *job, size_t row,
                                      size_t count, const double *const *score, double *out) {
    struct look look = {match, &match->row[row], score};
    struct study work = study_of(job, "runs", &look, count);
    work.width = MATCH_COLUMNS;
    work.evaluate = run_one;
    return match_rows_study(match, job, &work, out);
}
