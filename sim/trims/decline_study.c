// SPDX-License-Identifier: MIT
#include "trims/decline_study.h"

#include "base/calendar.h"
#include "study/study_subject.h"

#include <math.h>
#include <string.h>

#define HORIZON_YEARS 30.0
// Nothing that was fitted or stated today says anything of a well beyond.
#define HORIZON_YEARS_MAX 100.0
// Flows looked at, as shares of today's: a regulator is not asked to serve less or more.
#define LOWEST_SHARE 1e-3
#define CEILING_SHARE 1e3

// --- What is asked

static enum study_status take_until(struct study_job *job, const struct study_asked *asked,
                                    struct decline_study *s) {
    char message[CALENDAR_MESSAGE_SIZE];
    long day;
    s->horizon = s->decline.today + HORIZON_YEARS;
    if (!asked->text) {
        return STUDY_DONE;
    }
    const char *error = calendar_parse(asked->text, &day, message);
    if (error) {
        return study_job_fail(job, STUDY_BAD_USAGE, "%s: found '%s'; %s", asked->name, asked->text,
                              error);
    }
    s->horizon = (double)(day - s->decline.day) / CALENDAR_YEAR;
    if (s->horizon <= s->decline.today || s->horizon > s->decline.today + HORIZON_YEARS_MAX) {
        char today[CALENDAR_TEXT_SIZE];
        decline_date(&s->decline, s->decline.today, today);
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "%s: found '%s'; allowed a date after %s, from when on the decline "
                              "runs, and at most %g years on",
                              asked->name, asked->text, today, HORIZON_YEARS_MAX);
    }
    return STUDY_DONE;
}

static enum study_status resolve(struct study_job *job, struct decline_study *s) {
    enum study_status status = study_job_resolve(job, job->trim[0], &s->scenario);
    if (status == STUDY_DONE &&
        !decline_prepare(job->scenario, &s->scenario, &s->decline, &job->list)) {
        status = STUDY_BAD_SCENARIO;
    }
    return status;
}

// --- The windows, one point of the study a trim

struct window_context {
    const struct study_job *job;
    const struct decline_study *study;
};

static void describe(void *context, size_t index, struct study_point *point) {
    const struct window_context *c = context;
    point->trim = c->job->trim[index];
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

static enum study_status find_windows(struct study_job *job, struct decline_study *s) {
    double row[STUDY_TRIMS_MAX][1 + TRIM_WINDOW_NUMBERS];
    struct window_context context = {job, s};
    struct study study = study_job_start(job, "windows");
    study.count = job->trim_count;
    study.width = 1 + TRIM_WINDOW_NUMBERS;
    study.describe = describe;
    study.evaluate = evaluate;
    study.context = &context;
    const enum study_status status =
        study_run(&study, &row[0][0], job->message, sizeof job->message);
    if (status != STUDY_DONE) {
        return status;
    }
    s->count = job->trim_count;
    for (size_t i = 0; i < s->count; i++) {
        struct decline_trim *t = &s->trim[i];
        t->name = scenario_trim_name(job->scenario, job->trim[i]);
        t->adjusted = row[i][0];
        // Not a number: a trim that does not resolve, though it did when the file was checked.
        t->window =
            isnan(row[i][1]) ? trim_window_none(&s->search) : trim_window_unpack(&row[i][1]);
        const struct trim_window *w = &t->window;
        const struct outlook_window window = {w->largest, w->settled, w->kicked, w->looked_at};
        t->outlook = outlook_of(&s->decline, &window, s->horizon);
    }
    return STUDY_DONE;
}

enum study_status decline_study_open(struct study_job *job, const struct study_asked *asked,
                                     struct decline_study *out) {
    memset(out, 0, sizeof *out);
    enum study_status status = resolve(job, out);
    status = status == STUDY_DONE ? take_until(job, &asked[DECLINE_UNTIL], out) : status;
    status = status == STUDY_DONE
                 ? study_subject_kick(job, &asked[DECLINE_KICK], &out->scenario, &out->search.kick)
                 : status;
    if (status != STUDY_DONE) {
        return status;
    }
    const struct decline *d = &out->decline;
    const double today = arps_rate(&d->curve, d->today);
    const double last = arps_rate(&d->curve, out->horizon);
    out->search.upper = today;
    out->search.lowest = fmin(fmax(last, LOWEST_SHARE * today), 0.5 * today);
    out->search.ceiling = CEILING_SHARE * today;
    out->search.limit = out->scenario.pressure_limit;
    return asked[DECLINE_DRAWS].text ? STUDY_DONE : find_windows(job, out);
}

void decline_study_close(struct decline_study *study) {
    decline_free(&study->decline);
    scenario_case_free(&study->scenario);
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
