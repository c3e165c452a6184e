// SPDX-License-Identifier: MIT
#include "study/study_subject.h"

#include "scenario/shown.h"
#include "steady/trim_window.h"

#include <math.h>

enum { TEXT_SIZE = 64 };

enum study_status study_subject_open(struct study_job *job, size_t index,
                                     struct study_subject *out) {
    const enum study_status status = study_job_resolve(job, job->trim[index], &out->resolved);
    out->set_reached = status == STUDY_DONE && steadiness_prepare(&out->resolved, &out->steadiness);
    return status;
}

void study_subject_free(struct study_subject *subject) {
    scenario_case_free(&subject->resolved);
}

double study_subject_percent(const struct study_subject *subject, double travel) {
    return 100.0 * travel / subject->resolved.model.trim.rated_travel;
}

void study_subject_note(struct answer *answer, const struct study_subject *subject) {
    if (!subject->set_reached) {
        answer_say(answer, ANSWER_NOTE,
                   "trim %s: no travel holds the set pressure at the scenario's flow; the set "
                   "screw is left where it begins to open at the set pressure",
                   subject->resolved.trim_name);
    }
}

enum study_status study_subject_range(struct study_job *job, const struct study_subject *subject,
                                      const struct study_asked end[2], double *low, double *high) {
    const struct scenario_case *c = &subject->resolved;
    const double whole = subject->steadiness.flow;
    enum study_status status = study_job_quantity(job, &end[0], UNIT_FLOW, &c->site, whole, low);
    if (status == STUDY_DONE) {
        status = study_job_quantity(job, &end[1], UNIT_FLOW, &c->site, whole, high);
    }
    if (status == STUDY_DONE && !(*low > 0.0 && *low < *high)) {
        char from[TEXT_SIZE];
        char to[TEXT_SIZE];
        shown_text(c, UNIT_FLOW, *low, from, sizeof from);
        shown_text(c, UNIT_FLOW, *high, to, sizeof to);
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "flows from %s to %s: the range is empty or upside down; allowed "
                              "0 < --from < --to",
                              from, to);
    }
    return status;
}

double study_subject_flow(double low, double high, size_t i, size_t count) {
    return i == 0           ? low
           : i + 1 == count ? high
                            : low * pow(high / low, (double)i / (double)(count - 1));
}

enum study_status study_subject_kick(struct study_job *job, const struct study_asked *asked,
                                     const struct scenario_case *scenario, double *kick) {
    *kick = trim_window_kick(scenario);
    const enum study_status status =
        study_job_quantity(job, asked, UNIT_PRESSURE_DROP, &scenario->site, (double)NAN, kick);
    // A kick goes both ways, and down not further than to nothing.
    if (asked->text && status == STUDY_DONE && !(*kick > 0.0 && *kick < scenario->set_pressure)) {
        char most[TEXT_SIZE];
        shown_text(scenario, UNIT_PRESSURE_DROP, scenario->set_pressure, most, sizeof most);
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "%s: found '%s'; allowed more than nothing and less than the "
                              "vessel holds, %s",
                              asked->name, asked->text, most);
    }
    return status;
}
