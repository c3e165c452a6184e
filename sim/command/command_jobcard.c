// SPDX-License-Identifier: MIT
// `lowlift jobcard`: for the crew that changes a trim.
#include "base/path_stem.h"
#include "command/all.h"
#include "handout/job_card.h"
#include "run/screening.h"
#include "shell/request.h"

#include <stdio.h>
#include <string.h>

enum { ASKED_FROM, ASKED_TO, ASKED_LOWEST, ASKED_PEAK, ASKED_KICK, ASKED_BRIEF, ASKED_COUNT };

static const struct command_option options[ASKED_COUNT] = {
    [ASKED_FROM] = {"from", "NAME", "the trim in place; default: the first", OPTION_TEXT, 0, 0,
                    NULL},
    [ASKED_TO] = {"to", "NAME", "the trim that goes in; default: the second of two", OPTION_TEXT, 0,
                  0, NULL},
    [ASKED_LOWEST] = {"lowest", "FLOW",
                      "lowest flow to be told of; default: envelope.lowest, else half of today's",
                      OPTION_TEXT, 0, 0, NULL},
    [ASKED_PEAK] = {"peak", "FLOW", "largest; default: envelope.peak, else twice today's",
                    OPTION_TEXT, 0, 0, NULL},
    [ASKED_KICK] = {"kick", "PRESSURE",
                    "what to try if it still hunts must also stand this kick; default: 0, small "
                    "motions must die out, which takes a tenth of the time",
                    OPTION_TEXT, 0, 0, NULL},
    [ASKED_BRIEF] = {"brief", NULL, "leave out what to try if it still hunts", OPTION_FLAG, 0, 0,
                     NULL},
};

// By which it is made again; the path without its folders, which say nothing to its reader.
static void command_line(const struct request *r, char *text, size_t size) {
    const char *slash = strrchr(r->file[0], '/');
    size_t used = (size_t)snprintf(text, size, "lowlift jobcard");
    for (size_t i = 0; i < ASKED_COUNT && used < size; i++) {
        if (r->own[i].text) {
            const bool flag = !options[i].value;
            used += (size_t)snprintf(text + used, size - used, flag ? " --%s" : " --%s '%s'",
                                     options[i].name, r->own[i].text);
        }
    }
    for (size_t i = 0; i < r->overrides.count && used < size; i++) {
        used += (size_t)snprintf(text + used, size - used, " --set '%s'", r->overrides.text[i]);
    }
    if (used < size) {
        snprintf(text + used, size - used, " %s", slash ? slash + 1 : r->file[0]);
    }
}

// The two trims. Exit code.
static int take_trims(struct request *r, struct study_job *job) {
    const size_t count = scenario_trim_count(job->scenario);
    struct diagnostics list = {0};
    job->trim_count = 2;
    job->trim[0] = 0;
    job->trim[1] = 1;
    if (!r->own[ASKED_TO].text && count != 2) {
        return command_usage(r->command,
                             "%s: found %zu trim%s; name the one that goes in with --to", job->path,
                             count, count == 1 ? "" : "s");
    }
    for (size_t i = 0; i < 2; i++) {
        const char *name = r->own[i == 0 ? ASKED_FROM : ASKED_TO].text;
        if (name) {
            job->trim[i] = scenario_trim_find(job->scenario, name, &list);
        }
    }
    diagnostics_print(&list, stderr);
    const bool wrong = list.errors > 0;
    diagnostics_free(&list);
    if (wrong) {
        return EXIT_CODE_SCENARIO;
    }
    return job->trim[0] == job->trim[1]
               ? command_usage(r->command,
                               "found the same trim twice; allowed --from one trim --to "
                               "another")
               : EXIT_CODE_DONE;
}

static int write_card(struct request *r, struct study_job *job) {
    char stem[256], path[DESTINATION_PATH_SIZE], line[2048];
    command_line(r, line, sizeof line);
    const struct job_card_asked asked = {.command_line = line,
                                         .lowest = r->own[ASKED_LOWEST],
                                         .peak = r->own[ASKED_PEAK],
                                         .kick = r->own[ASKED_KICK],
                                         .brief = r->own[ASKED_BRIEF].text != NULL};
    path_stem(job->path, stem, sizeof stem);
    if (!destination_path(&r->to, stem, "jobcard.html", path)) {
        return EXIT_CODE_OUTPUT;
    }
    const int code = command_status(r->command, job_card_write(job, &asked, path), job);
    if (code == EXIT_CODE_DONE) {
        destination_say(&r->to, path);
    }
    return code;
}

static int jobcard(struct request *r) {
    struct screening screening = {0};
    struct study_job job;
    int code;
    struct lowlift_scenario *opened = request_job(r, &job, &code);
    if (!opened) {
        return code;
    }
    job.screening = &screening;
    code = take_trims(r, &job);
    if (code == EXIT_CODE_DONE) {
        code = write_card(r, &job);
    }
    diagnostics_free(&job.list);
    lowlift_close(opened);
    return code;
}

const struct command command_jobcard = {
    .name = "jobcard",
    .summary = "a card for the crew that changes a trim: what to expect, read and mind",
    .arguments = "SCENARIO.yaml",
    .about =
        "Writes one HTML file that opens from a disk with no network, on a phone too, and prints "
        "to A4 or Letter: what is changed and what is not; what was seen before; pressure, swing, "
        "travel, chamber pressure and sound to expect at three flows; what to isolate, vent and "
        "release first; the readings to take, with blanks; and what to try if it still hunts.\n\n"
        "Part numbers and torques are blanks to be filled from the maker's manual, which comes "
        "first, as do local codes and licensed practice.",
    .examples = "Example: the reduced port goes in\n"
                "  lowlift jobcard --from full --to reduced scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_FIELDS | OPTIONS_FOLDER | OPTIONS_THREADS | OPTIONS_QUIET,
    .more = "For whom, site, date and author: lowlift fields document",
    .exits = EXITS_STUDY,
    .run = jobcard,
};
