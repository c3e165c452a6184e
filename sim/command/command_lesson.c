// SPDX-License-Identifier: MIT
// `lowlift lesson`: twenty minutes for technicians, in one HTML file.
#include "command/all.h"
#include "command/request.h"
#include "handout/lesson.h"
#include "library/inside.h"
#include "show/plot_place.h"

#include <stdio.h>

// The scenario that the lesson tells of lies beside the sources of pages.
static int find_scenario(const struct request *r, char *path, size_t size) {
    char message[600];
    if (plot_place_find("../scenarios/decline.yaml", path, size, message, sizeof message)) {
        return EXIT_CODE_DONE;
    }
    fprintf(stderr, "lowlift %s: %s\n", r->command->name, message);
    return EXIT_CODE_OUTPUT;
}

static int lesson(struct request *r) {
    char scenario[DESTINATION_PATH_SIZE], path[DESTINATION_PATH_SIZE];
    if (r->files > 0) {
        return command_usage(r->command, "found '%s'; allowed options only", r->file[0]);
    }
    int code = find_scenario(r, scenario, sizeof scenario);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    struct study_job job = {.path = scenario, .quiet = r->to.quiet};
    struct lowlift_scenario *opened = request_open(r, scenario);
    if (!opened) {
        return EXIT_CODE_SCENARIO;
    }
    job.scenario = inside_scenario(opened);
    if (destination_path(&r->to, "lesson", "html", path)) {
        code = command_status(r->command, lesson_write(&job, path), &job);
    } else {
        code = EXIT_CODE_OUTPUT;
    }
    if (code == EXIT_CODE_DONE) {
        destination_say(&r->to, path);
    }
    diagnostics_free(&job.list);
    lowlift_close(opened);
    return code;
}

const struct command command_lesson = {
    .name = "lesson",
    .summary = "write a lesson for technicians: why an oversized port slams",
    .arguments = "",
    .about =
        "Writes one HTML file: twenty minutes for technicians who have never seen a differential "
        "equation. Six steps, each with one thing to try, a prediction to make and what happened; "
        "six questions; a sheet for the instructor. The model runs in it as in a live page "
        "(`lowlift page`), on the invented well of the demo. Every number in it comes from runs "
        "made when it is written.",
    .examples = "Example: into the folder of a course\n"
                "  lowlift lesson --out course\n",
    .groups = OPTIONS_FOLDER | OPTIONS_QUIET,
    .exits = EXITS_STUDY,
    .run = lesson,
};
