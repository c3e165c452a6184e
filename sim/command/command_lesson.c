// SPDX-License-Identifier: MIT
// `lowlift lesson`: twenty minutes for technicians, in one HTML file.
#include "base/clean.h"
#include "command/all.h"
#include "handout/lesson.h"
#include "library/inside.h"
#include "shell/request.h"
#include "show/plot_place.h"

#include <stdio.h>

// The scenario that the lesson tells of lies beside the sources of pages.
static int find_scenario(const struct request *r, char *path, size_t size) {
    char message[600];
    if (plot_place_find("../scenarios/oversized.yaml", path, size, message, sizeof message)) {
        return EXIT_CODE_DONE;
    }
    clean_say(stderr, "lowlift %s: %s", r->command->name, message);
    return EXIT_CODE_OUTPUT;
}

enum { ASKED_NO_PLOT, ASKED_COUNT };

static const struct command_option options[ASKED_COUNT] = {
    [ASKED_NO_PLOT] = {"no-plot", NULL, "draw no moving picture", OPTION_FLAG, 0, 0, NULL},
};

static int write_lesson(struct request *r, struct study_job *job) {
    char path[DESTINATION_PATH_SIZE], picture[DESTINATION_PATH_SIZE];
    const bool drawn = !r->own[ASKED_NO_PLOT].text;
    if (!destination_path(&r->to, "lesson", "html", path) ||
        !destination_path(&r->to, "lesson", "gif", picture)) {
        return EXIT_CODE_OUTPUT;
    }
    const int code =
        command_status(r->command, lesson_write(job, path, drawn ? picture : NULL), job);
    if (code == EXIT_CODE_DONE) {
        destination_say(&r->to, path);
    }
    if (code == EXIT_CODE_DONE && drawn) {
        destination_say(&r->to, picture);
    }
    return code;
}

static int lesson(struct request *r) {
    char scenario[DESTINATION_PATH_SIZE];
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
    code = write_lesson(r, &job);
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
        "made when it is written. Beside it, for slides, a moving picture of the demo (gif).",
    .examples = "Example: lesson and moving picture, into lowlift-out\n"
                "  lowlift lesson\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_FOLDER | OPTIONS_QUIET,
    .exits = EXITS_STUDY,
    .run = lesson,
};
