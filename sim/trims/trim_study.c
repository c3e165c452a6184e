// SPDX-License-Identifier: MIT
#include "trims/trim_study.h"

#include "study/study_subject.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// Flows looked at beyond the envelope: a window is told as a ratio, and margins beyond 100 below
// and 1000 above are all the same to a buyer.
#define LOWEST_SHARE 0.01
#define CEILING_SHARE 1e3
// Jobs of each trim: the scenario as it stands, and for each pressure the window and the flows.
enum { JOB_TODAY = 0, JOB_FIRST = 1, JOBS_A_PRESSURE = 1 + ENVELOPE_FLOW_COUNT };
enum { ROW = 1 + TRIM_WINDOW_NUMBERS };

struct job {
    size_t trim;
    bool today, window;
    size_t pressure;
    enum envelope_flow flow;
};

struct trim_context {
    const struct study_job *job;
    const struct trim_study *study;
};

static size_t jobs_of(const struct trim_study *s) {
    return JOB_FIRST + s->envelope.pressure_count * JOBS_A_PRESSURE;
}

// The windows come first: they take longest, and whoever is left with one at the end lets the
// other threads wait.
static struct job job_at(const struct trim_study *s, size_t index) {
    const size_t pressures = s->envelope.pressure_count, windows = s->count * pressures;
    if (index < windows) {
        return (struct job){
            .trim = index / pressures, .pressure = index % pressures, .window = true};
    }
    const size_t others = jobs_of(s) - pressures;
    struct job job = {.trim = (index - windows) / others};
    const size_t rest = (index - windows) % others;
    job.today = rest == JOB_TODAY;
    if (!job.today) {
        job.pressure = (rest - JOB_FIRST) / ENVELOPE_FLOW_COUNT;
        job.flow = (enum envelope_flow)((rest - JOB_FIRST) % ENVELOPE_FLOW_COUNT);
    }
    return job;
}

static void describe(void *context, size_t index, struct study_point *point) {
    const struct trim_context *c = context;
    const struct job job = job_at(c->study, index);
    point->trim = c->job->trim[job.trim];
    if (!job.today) {
        envelope_change(&c->study->envelope, job.pressure, point);
    }
}

// --- Work on any thread

// Where no screw holds the set pressure: a port too small for the flow, or a plug that nothing
// lifts.
static struct trim_point point_without_set(const struct steadiness *subject, double flow) {
    const struct steadiness_settled settled = steadiness_settled(subject, flow);
    struct trim_point out = {.verdict = VERDICT_WIDE_OPEN, .swing = (double)NAN};
    out.opening = settled.travel / subject->held.model.trim.rated_travel;
    out.pressure = settled.pressure;
    if (settled.rest == STEADINESS_CANNOT_OPEN || steadiness_passes(subject, flow)) {
        out.verdict = VERDICT_CANNOT_OPEN;
    }
    return out;
}

// Rows: today   verdict, swing, seat contacts a minute
//       window  flow at which the screw was turned, and the window's numbers
//       flow    opening, pressure, verdict, swing
static void evaluate(void *context, size_t index, const struct scenario_case *scenario,
                     double *result) {
    const struct trim_study *s = ((const struct trim_context *)context)->study;
    const struct job job = job_at(s, index);
    struct steadiness subject;
    if (!scenario) {
        return;
    }
    if (job.today) {
        result[0] = trim_point_run(scenario, &result[1], &result[2]);
        return;
    }
    const double adjusted = trim_window_prepare(scenario, s->search.lowest, &subject);
    const bool holds = !isnan(adjusted);
    envelope_hold(&s->envelope, job.pressure, &subject);
    if (job.window) {
        const struct trim_window window =
            holds ? trim_window_find(&subject, &s->search) : trim_window_none(&s->search);
        result[0] = adjusted;
        trim_window_pack(&window, result + 1);
        return;
    }
    const double flow = s->envelope.flow[job.flow];
    const double nothing = (double)NAN;
    struct trim_point point = {nothing, nothing, VERDICT_WIDE_OPEN, nothing};
    if (!isnan(flow)) {
        point = holds ? trim_point_at(&subject, flow, s->search.kick)
                      : point_without_set(&subject, flow);
    }
    result[0] = point.opening;
    result[1] = point.pressure;
    result[2] = point.verdict;
    result[3] = point.swing;
}

// --- Results

static enum verdict verdict_from(double number) {
    return isnan(number) ? VERDICT_UNDECIDED : (enum verdict)number;
}

static void take_row(struct trim_study *s, const struct job *job, const double *row) {
    struct trim_record *t = &s->trim[job->trim];
    if (job->today) {
        t->today = verdict_from(row[0]);
        t->today_swing = row[1];
        t->today_seat_rate = row[2];
    } else if (job->window) {
        const bool known = !isnan(row[1]);
        const struct trim_window w =
            known ? trim_window_unpack(row + 1) : trim_window_none(&s->search);
        t->adjusted = row[0];
        t->at[job->pressure] = w;
        t->window = job->pressure == 0 ? w : trim_window_common(&t->window, &w);
    } else {
        t->point[job->flow][job->pressure] =
            (struct trim_point){row[0], row[1], verdict_from(row[2]), row[3]};
    }
}

static void take_worst(struct trim_study *s, struct trim_record *t) {
    t->worst = VERDICT_STEADY;
    t->worst_swing = (double)NAN;
    for (int f = 0; f < ENVELOPE_FLOW_COUNT; f++) {
        for (size_t p = 0; p < s->envelope.pressure_count && !isnan(s->envelope.flow[f]); p++) {
            const struct trim_point *point = &t->point[f][p];
            t->worst = point->verdict > t->worst ? point->verdict : t->worst;
            t->worst_swing = fmax(t->worst_swing, point->swing);
        }
    }
}

static void rank(struct trim_study *s) {
    struct trim_candidate candidate[STUDY_TRIMS_MAX];
    for (size_t i = 0; i < s->count; i++) {
        const struct trim_record *t = &s->trim[i];
        candidate[i] = (struct trim_candidate){
            .name = t->name,
            .largest = t->window.largest,
            .limit_first = t->window.bound == STEADINESS_BOUND_LIMIT,
            .lowest_steady = t->window.kicked,
            .at_some_lower = isnan(t->window.kicked) && !isnan(t->window.again),
            .top = t->window.top,
            .below = trim_window_reason(t->window.below_kicked),
            .steady_runs = t->worst <= VERDICT_RINGING,
            .parts = t->parts,
        };
    }
    const struct trim_demand demand = {.lowest = s->envelope.flow[ENVELOPE_LOWEST],
                                       .peak = s->envelope.flow[ENVELOPE_PEAK],
                                       .limited = !isnan(s->search.limit)};
    trim_choice_make(candidate, s->count, &demand, &s->choice);
    for (size_t i = 0; i < s->choice.count; i++) {
        struct trim_record *t = &s->trim[s->choice.rank[i].candidate];
        t->rank = i + 1;
        t->judged = s->choice.rank[i];
    }
}

// --- What is asked

// The options that stand for fields, as overrides on the scenario at hand and for the study, which
// opens it anew.
static enum study_status take_envelope(struct study_job *job, const struct study_asked *asked,
                                       struct trim_study *s) {
    static const char *const field[TRIMS_FIELDS] = {
        [TRIMS_LOWEST] = "lowest",
        [TRIMS_NORMAL] = "normal",
        [TRIMS_PEAK] = "peak",
        [TRIMS_PRESSURE_LOW] = "pressure_low",
        [TRIMS_PRESSURE_HIGH] = "pressure_high",
        [TRIMS_PRESSURE_OF] = "pressure_of",
    };
    s->overrides =
        arena_alloc(&s->memory, (job->override_count + TRIMS_FIELDS) * sizeof *s->overrides);
    if (!s->overrides) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    for (size_t i = 0; i < job->override_count; i++) {
        s->overrides[s->override_count++] = job->overrides[i];
    }
    for (size_t i = 0; i < TRIMS_FIELDS; i++) {
        if (asked[i].text) {
            const char *text = arena_format(&s->memory, "envelope.%s=%s", field[i], asked[i].text);
            s->overrides[s->override_count++] = text;
            scenario_override(job->scenario, text, &job->list);
        }
    }
    if (s->override_count > job->override_count && job->list.errors == 0) {
        scenario_check(job->scenario, &job->list);
    }
    return s->memory.failed        ? study_job_fail(job, STUDY_NO_MEMORY, "out of memory")
           : job->list.errors == 0 ? STUDY_DONE
                                   : STUDY_BAD_SCENARIO;
}

static enum study_status resolve(struct study_job *job, const struct study_asked *present,
                                 struct trim_study *s) {
    const struct scenario *scenario = job->scenario;
    size_t in_place = 0;
    if (study_job_resolve(job, job->trim[0], &s->scenario) != STUDY_DONE ||
        !envelope_read(scenario, &s->scenario, &s->envelope, &job->list)) {
        return STUDY_BAD_SCENARIO;
    }
    if (present->text) {
        in_place = scenario_trim_find(scenario, present->text, &job->list);
        if (job->list.errors > 0) {
            return STUDY_BAD_SCENARIO;
        }
    }
    s->count = job->trim_count;
    for (size_t i = 0; i < s->count; i++) {
        s->trim[i].name = scenario_trim_name(scenario, job->trim[i]);
        s->trim[i].parts = !scenario_trims_alike(scenario, job->trim[i], in_place);
    }
    s->today = trim_window_own_flow(&s->scenario);
    s->search.lowest = LOWEST_SHARE * s->envelope.flow[ENVELOPE_LOWEST];
    s->search.upper = s->envelope.flow[ENVELOPE_PEAK];
    s->search.ceiling = CEILING_SHARE * s->envelope.flow[ENVELOPE_PEAK];
    s->search.limit = s->scenario.pressure_limit;
    return STUDY_DONE;
}

static enum study_status run(struct study_job *job, struct trim_study *s) {
    struct trim_context context = {job, s};
    struct study study = study_job_start(job, "trims");
    study.overrides = s->overrides;
    study.override_count = s->override_count;
    study.count = s->count * jobs_of(s);
    study.width = ROW;
    study.describe = describe;
    study.evaluate = evaluate;
    study.context = &context;
    double *result = calloc(study.count + 1, ROW * sizeof *result);
    if (!result) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    const enum study_status status = study_run(&study, result, job->message, sizeof job->message);
    for (size_t i = 0; status == STUDY_DONE && i < study.count; i++) {
        const struct job own = job_at(s, i);
        take_row(s, &own, &result[i * ROW]);
    }
    free(result);
    return status;
}

enum study_status trim_study_open(struct study_job *job, const struct study_asked *asked,
                                  struct trim_study *out) {
    memset(out, 0, sizeof *out);
    enum study_status status = take_envelope(job, asked, out);
    status = status == STUDY_DONE ? resolve(job, &asked[TRIMS_PRESENT], out) : status;
    status = status == STUDY_DONE
                 ? study_subject_kick(job, &asked[TRIMS_KICK], &out->scenario, &out->search.kick)
                 : status;
    if (asked[TRIMS_DRAWS].text) {
        return status;
    }
    status = status == STUDY_DONE ? run(job, out) : status;
    if (status != STUDY_DONE) {
        return status;
    }
    for (size_t i = 0; i < out->count; i++) {
        take_worst(out, &out->trim[i]);
    }
    rank(out);
    return STUDY_DONE;
}

void trim_study_close(struct trim_study *study) {
    scenario_case_free(&study->scenario);
    arena_free(&study->memory);
}

double trim_study_peak_pressure(const struct trim_study *study, const struct trim_record *trim) {
    double most = (double)NAN;
    for (size_t p = 0; p < study->envelope.pressure_count; p++) {
        most = fmax(most, trim->point[ENVELOPE_PEAK][p].pressure);
    }
    return most;
}

const char *trim_study_advice(const struct trim_study *s, struct answer *answer) {
    const struct trim_choice *c = &s->choice;
    const char *name = trim_advice_name(c->advice);
    return c->advice == TRIM_ADVICE_FIT
               ? answer_keep(answer, "%s %s", name, s->trim[c->rank[0].candidate].name)
               : name;
}
