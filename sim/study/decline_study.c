// SPDX-License-Identifier: MIT
#include "study/decline_study.h"

#include "base/calendar.h"
#include "command/window_request.h"
#include "scenario/shown.h"

#include <math.h>
#include <string.h>

#define HORIZON_YEARS 30.0
// Flows looked at, as shares of today's: a regulator is not asked to serve less or more.
#define LOWEST_SHARE 1e-3
#define CEILING_SHARE 1e3

// --- What is asked

static int take_until(const struct study_request *request, const char *text,
                      struct decline_study *s) {
    char message[CALENDAR_MESSAGE_SIZE];
    long day;
    s->horizon = s->decline.today + HORIZON_YEARS;
    if (!text) {
        return EXIT_CODE_DONE;
    }
    const char *error = calendar_parse(text, &day, message);
    if (error) {
        return command_usage(request->command, "--until: found '%s'; %s", text, error);
    }
    s->horizon = (double)(day - s->decline.day) / CALENDAR_YEAR;
    if (s->horizon <= s->decline.today) {
        char today[CALENDAR_TEXT_SIZE];
        decline_date(&s->decline, s->decline.today, today);
        return command_usage(request->command,
                             "--until: found '%s'; allowed a date after %s, from "
                             "when on the decline runs",
                             text, today);
    }
    return EXIT_CODE_DONE;
}

static int resolve(const struct study_request *request, struct decline_study *s) {
    struct diagnostics list = {0};
    bool fine = scenario_resolve(request->scenario, request->trim[0], &s->scenario, &list) &&
                decline_prepare(request->scenario, &s->scenario, &s->decline, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    s->flow_unit = shown_unit(&s->scenario, UNIT_FLOW);
    return fine ? EXIT_CODE_DONE : EXIT_CODE_SCENARIO;
}

// --- The windows, one point of the study a trim

struct window_context {
    const struct study_request *request;
    const struct decline_study *study;
};

static void describe(void *context, size_t index, struct study_point *point) {
    const struct window_context *c = context;
    point->trim = c->request->trim[index];
}

// A row is the flow at which the screw was turned, and the window.
static void evaluate(void *context, size_t index, const struct scenario_case *scenario,
                     double *result) {
    const struct window_context *c = context;
    struct steadiness subject;
    (void)index;
    if (!scenario) {
        return;
    }
    result[0] = trim_window_prepare(scenario, c->study->search.lowest, &subject);
    const struct trim_window window = isnan(result[0])
                                          ? trim_window_none(&c->study->search)
                                          : trim_window_find(&subject, &c->study->search);
    trim_window_pack(&window, result + 1);
}

static int find_windows(const struct study_request *request, struct decline_study *s) {
    double row[STUDY_REQUEST_TRIMS_MAX][1 + TRIM_WINDOW_NUMBERS];
    char message[256] = "";
    struct window_context context = {request, s};
    const struct study study = {
        .path = request->path,
        .overrides = request->shared.overrides,
        .override_count = request->shared.override_count,
        .count = request->trim_count,
        .width = 1 + TRIM_WINDOW_NUMBERS,
        .describe = describe,
        .evaluate = evaluate,
        .context = &context,
        .label = request->shared.quiet ? NULL : "windows",
        .threads = request->threads,
    };
    const enum study_status status = study_run(&study, &row[0][0], message, sizeof message);
    const int code = window_request_outcome(request, status, message);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    s->count = request->trim_count;
    for (size_t i = 0; i < s->count; i++) {
        struct decline_trim *t = &s->trim[i];
        t->name = scenario_trim_name(request->scenario, request->trim[i]);
        t->adjusted = row[i][0];
        // Not a number: a trim that does not resolve, though it did when the file was checked.
        t->window =
            isnan(row[i][1]) ? trim_window_none(&s->search) : trim_window_unpack(&row[i][1]);
    }
    return EXIT_CODE_DONE;
}

int decline_study_open(const struct study_request *request, const char *until, const char *kick,
                       struct decline_study *out) {
    memset(out, 0, sizeof *out);
    int code = resolve(request, out);
    code = code == EXIT_CODE_DONE ? take_until(request, until, out) : code;
    code = code == EXIT_CODE_DONE
               ? window_request_kick(request, kick, &out->scenario, &out->search.kick)
               : code;
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    const struct decline *d = &out->decline;
    const double today = arps_rate(&d->curve, d->today);
    const double last = arps_rate(&d->curve, out->horizon);
    out->search.upper = today;
    out->search.lowest = fmin(fmax(last, LOWEST_SHARE * today), 0.5 * today);
    out->search.ceiling = CEILING_SHARE * today;
    out->search.limit = out->scenario.pressure_limit;
    code = find_windows(request, out);
    for (size_t i = 0; i < out->count; i++) {
        const struct trim_window *w = &out->trim[i].window;
        const struct outlook_window window = {w->largest, w->settled, w->kicked, w->looked_at};
        out->trim[i].outlook = outlook_of(d, &window, out->horizon);
    }
    return code;
}

void decline_study_close(struct decline_study *study) {
    decline_free(&study->decline);
    scenario_case_free(&study->scenario);
}

double decline_study_flow(const struct decline_study *study, double flow) {
    return shown_number(&study->scenario, UNIT_FLOW, flow);
}

void decline_study_rate(const struct decline_study *study, double years, double rate[3]) {
    const struct decline *d = &study->decline;
    rate[0] = arps_rate(&d->curve, years);
    rate[1] = (double)NAN;
    rate[2] = (double)NAN;
    if (d->fitted) {
        arps_fit_band(&d->fit[d->model], years, &rate[1], &rate[2]);
    }
}
