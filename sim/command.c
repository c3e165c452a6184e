// SPDX-License-Identifier: MIT
#include "command.h"

#include <errno.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

const struct command *command_at(unsigned index) {
    static const struct command *const all[] = {
        &command_run,    &command_compare, &command_starter, &command_check,
        &command_expect, &command_fields,  &command_verdicts};
    return index < sizeof all / sizeof all[0] ? all[index] : NULL;
}

int command_help(const struct command *command) {
    fputs(command->help, stdout);
    return command_finish(command, EXIT_CODE_DONE);
}

int command_usage(const struct command *command, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    fprintf(stderr, "lowlift %s: ", command->name);
    vfprintf(stderr, format, arguments);
    fprintf(stderr, "; see 'lowlift %s --help'\n", command->name);
    va_end(arguments);
    return EXIT_CODE_USAGE;
}

int command_finish(const struct command *command, int code) {
    if (fflush(stdout) == 0 && !ferror(stdout)) {
        return code;
    }
    fprintf(stderr, "lowlift %s: cannot write to standard output: %s\n", command->name,
            strerror(errno));
    return EXIT_CODE_OUTPUT;
}
