// SPDX-License-Identifier: MIT
#include "study/study_job.h"

#include "base/threads.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum study_status study_job_fail(struct study_job *job, enum study_status status,
                                 const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(job->message, sizeof job->message, format, arguments);
    va_end(arguments);
    return status;
}

struct study study_job_start(const struct study_job *job, const char *label) {
    return (struct study){.path = job->path,
                          .overrides = job->overrides,
                          .override_count = job->override_count,
                          .label = job->quiet ? NULL : label,
                          .threads = job->threads,
                          .screening = job->screening};
}

int study_job_threads(const struct study_job *job) {
    return threads_to_be_had(job->threads);
}

enum study_status study_job_resolve(struct study_job *job, size_t trim, struct scenario_case *out) {
    const bool fine = scenario_resolve(job->scenario, trim, out, &job->list);
    out->run.screening = job->screening;
    return fine ? STUDY_DONE : STUDY_BAD_SCENARIO;
}

enum study_status study_job_quantity(struct study_job *job, const struct study_asked *asked,
                                     enum unit_kind kind, const struct unit_context *site,
                                     double whole, double *si) {
    struct quantity quantity;
    char message[UNIT_MESSAGE_SIZE];
    if (!asked->text) {
        return STUDY_DONE;
    }
    if (!isnan(whole) && strchr(asked->text, '%') &&
        !units_parse(asked->text, UNIT_FRACTION, &quantity, message)) {
        *si = quantity.value * whole;
        return STUDY_DONE;
    }
    const char *wrong = units_parse(asked->text, kind, &quantity, message);
    wrong = wrong ? wrong : units_to_si(site, &quantity, si);
    return wrong
               ? study_job_fail(job, STUDY_BAD_USAGE, "%s: found '%.80s'; %s%s", asked->name,
                                asked->text, wrong, isnan(whole) ? "" : ", or a share such as 20 %")
               : STUDY_DONE;
}

void study_job_answer(const struct study_job *job, const struct scenario_case *scenario,
                      struct answer *answer) {
    memset(answer, 0, sizeof *answer);
    answer->scenario = scenario_name(job->scenario);
    answer->title = scenario_title(job->scenario);
    answer->site = scenario->site;
    answer->units = scenario->units;
}
