// SPDX-License-Identifier: MIT
// `lowlift page`: the model of a scenario in one HTML file.
#include "base/path_stem.h"
#include "command/all.h"
#include "handout/live_page.h"
#include "shell/request.h"

#include <string.h>

static int write_page(struct request *r, struct study_job *job) {
    char stem[256], path[DESTINATION_PATH_SIZE];
    path_stem(job->path, stem, sizeof stem);
    if (!destination_path(&r->to, stem, "page.html", path)) {
        return EXIT_CODE_OUTPUT;
    }
    const int code = command_status(r->command, live_page_write(job, path), job);
    if (code == EXIT_CODE_DONE) {
        destination_say(&r->to, path);
    }
    return code;
}

static int page(struct request *r) {
    struct study_job job;
    int code;
    struct lowlift_scenario *opened = request_job(r, &job, &code);
    if (!opened) {
        return code;
    }
    code = request_trims(r, job.scenario, job.path, job.trim, &job.trim_count);
    if (code == EXIT_CODE_DONE) {
        code = write_page(r, &job);
    }
    diagnostics_free(&job.list);
    lowlift_close(opened);
    return code;
}

const struct command command_page = {
    .name = "page",
    .summary = "put a scenario and its model into one page for a browser",
    .arguments = "SCENARIO.yaml",
    .about =
        "Writes one HTML file that opens from a disk, on a phone too, with no network. The model "
        "itself runs in it: two trims side by side, cut open and moving, their traces, verdicts "
        "and figures, and sliders for what a technician can change. The page says the same as "
        "`lowlift run` with the same values.\n\n"
        "Where a browser cannot run the model, the page shows what the program made of the "
        "scenario, and says so.",
    .examples = "Example: the demo, to try on a phone\n"
                "  lowlift page scenarios/oversized.yaml\n",
    .groups = OPTIONS_TRIM | OPTIONS_FIELDS | OPTIONS_FOLDER | OPTIONS_QUIET,
    .exits = EXITS_STUDY,
    .run = page,
};
