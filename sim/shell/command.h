// SPDX-License-Identifier: MIT
// The commands of the program. A command is a page of words, a table of options, and one call that
// answers; reading options, opening scenarios, writing answers and exit codes are the same for all.
// Results go to standard output, talk to standard error.
#pragma once

#include "shell/exit_code.h"
#include "shell/option.h"
#include "study/study_job.h"

struct request;

struct command {
    const char *name;
    const char *summary;   // one line of the overview
    const char *arguments; // after the options on the usage line, such as "SCENARIO.yaml"
    const char *question;  // that a report puts above its answer; NULL: no part of reports
    bool one_trim;         // it answers about one trim, the one in place, and not about several
    const char *about;     // paragraphs, parted by empty lines; the page wraps them
    const char *examples;  // lines as they stand: what, then two blanks and the command
    const struct command_option *option;
    size_t option_count;
    unsigned groups;  // of shared options (enum option_group)
    const char *more; // paragraphs after the options; NULL: none
    unsigned exits; // one bit a row of exit_code_meaning: those it may end with besides 0, 2, 5, 8
    // One scenario and its trims in, an answer out ...
    enum study_status (*answer)(struct study_job *job, const struct study_asked *asked,
                                struct answer *answer);
    // ... or whatever else it does with what was asked; an exit code.
    int (*run)(struct request *request);
};

#define COMMAND_OPTIONS(TABLE) .option = (TABLE), .option_count = sizeof(TABLE) / sizeof((TABLE)[0])

// All commands by index; NULL beyond the last.
const struct command *command_at(size_t index);

// Read the command line and do it. Exit code.
int command_main(const struct command *command, int argc, char **argv);

// One scenario in, its answer out and written, as command_main does with a command's `answer`.
int command_answer(struct request *request,
                   enum study_status (*answer)(struct study_job *job,
                                               const struct study_asked *asked,
                                               struct answer *answer));

// Report bad usage: "lowlift run: MESSAGE", where the page is, and EXIT_CODE_USAGE.
int command_usage(const struct command *command, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

// "lowlift run: out of memory", and its exit code.
int command_no_memory(const struct command *command);

// Flush standard output; EXIT_CODE_OUTPUT with a message when that fails, else `code`. The program
// itself is no command (NULL).
int command_finish(const struct command *command, int code);

// Exit code of a study, after its messages on standard error unless it is done.
int command_status(const struct command *command, enum study_status status, struct study_job *job);
