// SPDX-License-Identifier: MIT
#include "study/trim_study.h"

#include "command/window_request.h"
#include "show/window_text.h"

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
    const struct study_request *request;
    const struct trim_study *study;
};

static size_t jobs_of(const struct trim_study *s) {
    return JOB_FIRST + s->envelope.pressure_count * JOBS_A_PRESSURE;
}

static struct job job_at(const struct trim_study *s, size_t index) {
    struct job job = {.trim = index / jobs_of(s)};
    const size_t rest = index % jobs_of(s);
    job.today = rest == JOB_TODAY;
    if (!job.today) {
        const size_t k = (rest - JOB_FIRST) % JOBS_A_PRESSURE;
        job.pressure = (rest - JOB_FIRST) / JOBS_A_PRESSURE;
        job.window = k == 0;
        job.flow = job.window ? ENVELOPE_LOWEST : (enum envelope_flow)(k - 1);
    }
    return job;
}

static void describe(void *context, size_t index, struct study_point *point) {
    const struct trim_context *c = context;
    const struct job job = job_at(c->study, index);
    point->trim = c->request->trim[job.trim];
    if (!job.today) {
        envelope_change(&c->study->envelope, job.pressure, point);
    }
}

// --- Work on any thread

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
    if (holds && !isnan(flow)) {
        point = trim_point_at(&subject, flow, s->search.kick);
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

// Whether the trim says the same as another in every row of the table.
static bool same_trim(const struct scenario *scenario, size_t a, size_t b) {
    const struct field_section *section = field_section_find("trim");
    const size_t first = field_section_first(section);
    for (size_t i = first; i < first + section->count; i++) {
        struct scenario_entry x;
        struct scenario_entry y;
        char path[96];
        scenario_provenance(scenario, a, i, &x);
        scenario_provenance(scenario, b, i, &y);
        snprintf(path, sizeof path, "trim.%s", x.name);
        const bool text = x.text && y.text ? strcmp(x.text, y.text) == 0 : x.text == y.text;
        // The same size may be written in two ways.
        if (!text && scenario_get_si(scenario, a, path) != scenario_get_si(scenario, b, path)) {
            return false;
        }
    }
    return true;
}

static void rank(struct trim_study *s) {
    struct trim_candidate candidate[STUDY_REQUEST_TRIMS_MAX];
    for (size_t i = 0; i < s->count; i++) {
        const struct trim_record *t = &s->trim[i];
        candidate[i] = (struct trim_candidate){
            .name = t->name,
            .largest = t->window.largest,
            .limit_first = t->window.bound == STEADINESS_BOUND_LIMIT,
            .lowest_steady = t->window.kicked,
            .top = t->window.top,
            .below = window_text_reason(t->window.below_kicked),
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

static int resolve(const struct study_request *request, const char *present, struct trim_study *s) {
    struct diagnostics list = {0};
    size_t in_place = 0;
    bool fine = scenario_resolve(request->scenario, request->trim[0], &s->scenario, &list) &&
                envelope_read(request->scenario, &s->scenario, &s->envelope, &list);
    if (fine && present) {
        in_place = scenario_trim_find(request->scenario, present, &list);
        fine = list.errors == 0;
    }
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    if (!fine) {
        return EXIT_CODE_SCENARIO;
    }
    s->count = request->trim_count;
    for (size_t i = 0; i < s->count; i++) {
        s->trim[i].name = scenario_trim_name(request->scenario, request->trim[i]);
        s->trim[i].parts = !same_trim(request->scenario, request->trim[i], in_place);
    }
    s->today =
        schedule_value(&s->scenario.model.flow, schedule_piece(&s->scenario.model.flow, 0.0), 0.0);
    s->search.lowest = LOWEST_SHARE * s->envelope.flow[ENVELOPE_LOWEST];
    s->search.upper = s->envelope.flow[ENVELOPE_PEAK];
    s->search.ceiling = CEILING_SHARE * s->envelope.flow[ENVELOPE_PEAK];
    s->search.limit = s->scenario.pressure_limit;
    return EXIT_CODE_DONE;
}

static int run(const struct study_request *request, struct trim_study *s) {
    char message[256] = "";
    struct trim_context context = {request, s};
    const struct study study = {
        .path = request->path,
        .overrides = request->shared.overrides,
        .override_count = request->shared.override_count,
        .count = s->count * jobs_of(s),
        .width = ROW,
        .describe = describe,
        .evaluate = evaluate,
        .context = &context,
        .label = request->shared.quiet ? NULL : "trims",
        .threads = request->threads,
    };
    double *result = calloc(study.count + 1, ROW * sizeof *result);
    if (!result) {
        fprintf(stderr, "lowlift %s: out of memory\n", request->command->name);
        return EXIT_CODE_SOLVER;
    }
    const enum study_status status = study_run(&study, result, message, sizeof message);
    const int code = window_request_outcome(request, status, message);
    for (size_t i = 0; code == EXIT_CODE_DONE && i < study.count; i++) {
        const struct job job = job_at(s, i);
        take_row(s, &job, &result[i * ROW]);
    }
    free(result);
    return code;
}

int trim_study_open(const struct study_request *request, const char *present, const char *kick,
                    struct trim_study *out) {
    memset(out, 0, sizeof *out);
    int code = resolve(request, present, out);
    code = code == EXIT_CODE_DONE
               ? window_request_kick(request, kick, &out->scenario, &out->search.kick)
               : code;
    code = code == EXIT_CODE_DONE ? run(request, out) : code;
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    for (size_t i = 0; i < out->count; i++) {
        take_worst(out, &out->trim[i]);
    }
    rank(out);
    return EXIT_CODE_DONE;
}

void trim_study_close(struct trim_study *study) {
    scenario_case_free(&study->scenario);
}

double trim_study_peak_pressure(const struct trim_study *study, const struct trim_record *trim) {
    double most = (double)NAN;
    for (size_t p = 0; p < study->envelope.pressure_count; p++) {
        most = fmax(most, trim->point[ENVELOPE_PEAK][p].pressure);
    }
    return most;
}
