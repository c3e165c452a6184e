// SPDX-License-Identifier: MIT
#include "shell/option.h"

#include "base/threads.h"
#include "shell/command.h"

#include <stdio.h>

static const struct {
    struct command_option option;
    unsigned group;
} shared[SHARED_COUNT] = {
    [SHARED_TRIM] = {{"trim", "NAME",
                      "only this trim of the scenario (repeatable); default: "
                      "all, or the first where one is asked for",
                      OPTION_MANY, 0, 0, NULL},
                     OPTIONS_TRIM},
    [SHARED_SET] = {{"set", "FIELD=VALUE",
                     "change a field, such as --set 'friction.kinetic=8 lbf' (repeatable)",
                     OPTION_MANY, 0, 0, NULL},
                    OPTIONS_FIELDS},
    [SHARED_UNITS] = {{"units", "SYSTEM",
                       "show results in us, metric or si; default: as the scenario is written",
                       OPTION_CHOICE, 0, 0, "us, metric, si"},
                      OPTIONS_FIELDS},
    [SHARED_OUT] = {{"out", "FOLDER", "where files go (made if missing); default: lowlift-out",
                     OPTION_TEXT, 0, 0, NULL},
                    OPTIONS_FILES | OPTIONS_FOLDER},
    [SHARED_NO_FILES] = {{"no-files", NULL, "write no table and no summary", OPTION_FLAG, 0, 0,
                          NULL},
                         OPTIONS_FILES},
    [SHARED_NO_PLOT] = {{"no-plot", NULL, "draw no picture", OPTION_FLAG, 0, 0, NULL},
                        OPTIONS_PICTURE},
    [SHARED_PLOT] = {{"plot", "TYPE", "picture as svg (default) or png", OPTION_CHOICE, 0, 0,
                      "svg, png"},
                     OPTIONS_PICTURE},
    [SHARED_SKETCH] = {{"sketch", NULL, "also draw in the terminal", OPTION_FLAG, 0, 0, NULL},
                       OPTIONS_PICTURE},
    [SHARED_THREADS] = {{"threads", "N", "work on N cores; default: all. The results are the same",
                         OPTION_COUNT, 1, THREADS_MAX, NULL},
                        OPTIONS_THREADS},
    [SHARED_QUIET] = {{"quiet", NULL, "say neither what was written nor how far it is", OPTION_FLAG,
                       0, 0, NULL},
                      OPTIONS_QUIET},
    [SHARED_HELP] = {{"help", NULL, "this page", OPTION_FLAG, 0, 0, NULL}, 0},
};

void option_said(const struct command_option *option, char text[OPTION_SAID_SIZE]) {
    if (option->kind == OPTION_COUNT) {
        snprintf(text, OPTION_SAID_SIZE, "%s; %ld to %ld", option->help, option->low, option->high);
    } else {
        snprintf(text, OPTION_SAID_SIZE, "%s", option->help);
    }
}

const struct command_option *option_shared_at(enum option_shared index, unsigned *group) {
    *group = shared[index].group;
    return &shared[index].option;
}

const struct command_option *option_at(const struct command *command, size_t index) {
    if (index < command->option_count) {
        return &command->option[index];
    }
    size_t at = command->option_count;
    for (size_t i = 0; i < SHARED_COUNT; i++) {
        const unsigned group = shared[i].group;
        if ((group == 0 || command->groups & group) && at++ == index) {
            return &shared[i].option;
        }
    }
    return NULL;
}
