// SPDX-License-Identifier: MIT
// `lowlift record`: what a logger's file shows.
#include "base/path_stem.h"
#include "command/all.h"
#include "shell/request.h"
#include "show/show.h"
#include "site/record.h"

#include <stdio.h>

#define TEXT_OPTION(NAME, VALUE, HELP)                                                             \
    { NAME, VALUE, HELP, OPTION_TEXT, 0, 0, NULL }

static const struct command_option options[RECORD_ASKED_COUNT] = {
    [RECORD_TIME] = TEXT_OPTION("time", "COLUMN",
                                "the column of times, by its name or number; "
                                "default: the one whose name has the word, else "
                                "the first"),
    [RECORD_PRESSURE] = TEXT_OPTION("pressure", "COLUMN",
                                    "the column of the controlled pressure; default: the "
                                    "first whose unit is of a pressure"),
    [RECORD_UNIT] = TEXT_OPTION("unit", "UNIT",
                                "of that pressure, gauge or absolute, such as psig "
                                "or kPa(a); default: as the header says"),
    [RECORD_CHAMBER] = TEXT_OPTION("chamber", "COLUMN", "the chamber pressure, if it was recorded"),
    [RECORD_TRAVEL] = TEXT_OPTION("travel", "COLUMN", "the travel, in any unit"),
    [RECORD_FLOW] = TEXT_OPTION("flow", "COLUMN", "the flow, in any unit"),
    [RECORD_DATES] = {"dates", "ORDER", "which comes first in 3/4/2025", OPTION_CHOICE, 0, 0,
                      "month-first, day-first"},
    [RECORD_REST] = TEXT_OPTION("rest", "PRESSURE",
                                "swing that counts as rest; default: 1 % of "
                                "the mean gauge pressure"),
    [RECORD_ALTITUDE] =
        TEXT_OPTION("altitude", "H", "of the site: gauge pressures count from there"),
};

static int record(struct request *request) {
    const struct command *command = request->command;
    if (request->files != 1) {
        return request->files == 0
                   ? command_usage(command, "no file named")
                   : command_usage(command, "found '%s'; allowed one file at a time",
                                   request->file[1]);
    }
    struct study_job job = {.path = request->file[0]};
    struct answer answer = {0};
    char stem[256];
    const size_t length = path_stem(job.path, stem, sizeof stem - 16);
    snprintf(stem + length, sizeof stem - length, ".record");
    request->to.stem = stem;
    int code = command_status(command, record_answer(&job, job.path, request->own, &answer), &job);
    if (code == EXIT_CODE_DONE && !show_answer(&answer, &request->to)) {
        code = EXIT_CODE_OUTPUT;
    }
    answer_free(&answer);
    diagnostics_free(&job.list);
    return code;
}

const struct command command_record = {
    .name = "record",
    .summary = "what a logger's record shows: swing, frequency, and how far to trust it",
    .arguments = "FILE.csv",
    .about =
        "Reads pressure against time from a logger and says what it shows: whether it moves, by "
        "how much, how often, how regularly and in what shape, whether there are the straight "
        "rises of a vessel that fills while the regulator is shut, and how sure that is. Warns "
        "of sampling that is too slow and of a gauge that is too coarse. Times may be seconds, "
        "a clock or dates; columns may be parted by commas, semicolons or tabs; gaps, uneven "
        "times and spikes are told. Needs no scenario.",
    .examples = "Example: an invented record of a slamming regulator\n"
                "  lowlift record scenarios/logged-pressure.csv\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_FILES | OPTIONS_PICTURE | OPTIONS_QUIET,
    .exits = EXITS_SCENARIO,
    .run = record,
};
