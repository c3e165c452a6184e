// SPDX-License-Identifier: MIT
#include "command/command.h"

#include "base/nearest.h"

#include <errno.h>
#include <getopt.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

const struct command *command_at(unsigned index) {
    static const struct command *const all[] = {
        &command_run,    &command_compare, &command_starter,  &command_stability,
        &command_map,    &command_kick,    &command_remedies, &command_uncertainty,
        &command_trims,  &command_decline, &command_check,    &command_expect,
        &command_fields, &command_verdicts};
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

int command_bad_option(const struct command *command, const struct option *options, int code,
                       char **argv) {
    const char *given = argv[optind - 1];
    const char letter[] = {'-', (char)optopt, '\0'};
    if (code == ':') {
        return command_usage(command, "%s needs a value", given);
    }
    if (optopt > 0 && optopt < 256) { // a short option; codes of long ones lie above
        return command_usage(command, "found '%s'; allowed -h and the long options", letter);
    }
    char name[64];
    snprintf(name, sizeof name, "%s", given + strspn(given, "-"));
    name[strcspn(name, "=")] = '\0';
    struct nearest near = nearest_start(name);
    for (const struct option *o = options; o->name; o++) {
        nearest_offer(&near, o->name);
    }
    return near.best ? command_usage(command, "found '%s'; did you mean '--%s'?", given, near.best)
                     : command_usage(command, "found '%s'", given);
}

int command_finish(const struct command *command, int code) {
    if (fflush(stdout) == 0 && !ferror(stdout)) {
        return code;
    }
    fprintf(stderr, "lowlift %s: cannot write to standard output: %s\n", command->name,
            strerror(errno));
    return EXIT_CODE_OUTPUT;
}
