// SPDX-License-Identifier: MIT
// What a command says when something is wrong, and with which exit code it ends.
#include "base/clean.h"
#include "shell/command.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { TEXT_SIZE = 4096 };

int command_usage(const struct command *command, const char *format, ...) {
    char text[TEXT_SIZE];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    clean_say(stderr, "lowlift %s: %s; see 'lowlift %s --help'", command->name, text,
              command->name);
    return EXIT_CODE_USAGE;
}

int command_no_memory(const struct command *command) {
    clean_say(stderr, "lowlift %s: out of memory", command->name);
    return EXIT_CODE_MEMORY;
}

int command_finish(const struct command *command, int code) {
    if (fflush(stdout) == 0 && !ferror(stdout)) {
        return code;
    }
    clean_say(stderr, "lowlift%s%s: cannot write to standard output: %s", command ? " " : "",
              command ? command->name : "", strerror(errno));
    return EXIT_CODE_OUTPUT;
}

int command_status(const struct command *command, enum study_status status, struct study_job *job) {
    static const int codes[] = {[STUDY_DONE] = EXIT_CODE_DONE,
                                [STUDY_INTERRUPTED] = EXIT_CODE_SIGNAL,
                                [STUDY_BAD_USAGE] = EXIT_CODE_USAGE,
                                [STUDY_BAD_SCENARIO] = EXIT_CODE_SCENARIO,
                                [STUDY_BAD_CHECKPOINT] = EXIT_CODE_USAGE,
                                [STUDY_SOLVER_FAILED] = EXIT_CODE_SOLVER,
                                [STUDY_OUTPUT_FAILED] = EXIT_CODE_OUTPUT,
                                [STUDY_NO_MEMORY] = EXIT_CODE_MEMORY};
    diagnostics_print(&job->list, stderr);
    if (status == STUDY_BAD_USAGE && job->message[0]) {
        return command_usage(command, "%s", job->message);
    }
    if (status != STUDY_DONE && (job->message[0] || job->list.errors == 0)) {
        clean_say(stderr, "lowlift %s: %s", command->name,
                  job->message[0] ? job->message : "out of memory");
    }
    return codes[status];
}
