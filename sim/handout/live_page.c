// SPDX-License-Identifier: MIT
#include "handout/live_page.h"

#include "handout/run_data.h"
#include "show/html_page.h"

#include <stdlib.h>

static enum study_status write_page(struct study_job *job, const struct comparison *c,
                                    const char *path) {
    json_t *data = run_data_frame();
    json_t *scenario = run_data_scenario(c, job);
    if (!data || !scenario) {
        json_decref(data);
        json_decref(scenario);
        return job->message[0] ? STUDY_NO_MEMORY
                               : study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    json_object_set_new(data, "scenarios", json_pack("[o]", scenario));
    char *text = json_dumps(data, JSON_COMPACT | JSON_ENSURE_ASCII | JSON_REAL_PRECISION(10));
    json_decref(data);
    if (!text) {
        return study_job_fail(job, STUDY_BAD_SCENARIO, "%s: its texts are not UTF-8", job->path);
    }
    const char *title = scenario_title(job->scenario);
    const struct html_page_part part[] = {{"title", title[0] ? title : job->path},
                                          {"teaches", scenario_teaches(job->scenario)},
                                          {"lowlift", text}};
    const struct html_page page = {"live.html", part, sizeof part / sizeof part[0]};
    const bool fine = html_page_write(&page, path, job->message, sizeof job->message);
    free(text);
    return fine ? STUDY_DONE : STUDY_OUTPUT_FAILED;
}

enum study_status live_page_write(struct study_job *job, const char *path) {
    struct comparison *c = calloc(1, sizeof *c);
    if (!c) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    for (size_t i = 0; i < job->trim_count && i < COMPARISON_MAX; i++) {
        c->target[c->count++] = (struct comparison_target){job->scenario, job->trim[i]};
    }
    enum study_status status = comparison_run(c, job);
    if (status == STUDY_DONE) {
        status = write_page(job, c, path);
    }
    comparison_free(c);
    free(c);
    return status;
}
