// SPDX-License-Identifier: MIT
// Dispatch to the commands, and nothing else.
#include "base/clean.h"
#include "base/nearest.h"
#include "base/ranks.h"
#include "command/allocate.h"
#include "lowlift.h"
#include "shell/command.h"
#include "shell/help_page.h"
#include "shell/interruption.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void overview(FILE *out) {
    fputs("lowlift: why a pressure regulator hunts at low flow, and which trim cures it.\n"
          "\n"
          "Usage: lowlift COMMAND [options] [files]\n"
          "\n",
          out);
    for (size_t i = 0; command_at(i); i++) {
        fprintf(out, "  %-12s %s\n", command_at(i)->name, command_at(i)->summary);
    }
    fputs("\n"
          "lowlift COMMAND --help explains a command, with an example that works.\n"
          "lowlift --version prints the version; --manual the manual page, --completion what bash\n"
          "needs to complete commands.\n"
          "\n"
          "lowlift sizes no relief device. The maker's manual, local codes and licensed practice\n"
          "come first.\n",
          out);
}

static int unknown_command(const char *name) {
    struct nearest near = nearest_start(name);
    for (size_t i = 0; command_at(i); i++) {
        nearest_offer(&near, command_at(i)->name);
    }
    clean_say(stderr, "lowlift: found '%s'; allowed a command%s%s%s; see 'lowlift --help'", name,
              near.best ? "; did you mean '" : "", near.best ? near.best : "",
              near.best ? "'?" : "");
    return EXIT_CODE_USAGE;
}

static int dispatch(int argc, char **argv) {
    if (argc < 2) {
        overview(stderr);
        return EXIT_CODE_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        overview(stdout);
        return command_finish(NULL, EXIT_CODE_DONE);
    }
    if (strcmp(argv[1], "--version") == 0) {
        printf("lowlift %s (" LOWLIFT_SOLVER ")\n", lowlift_version());
        return command_finish(NULL, EXIT_CODE_DONE);
    }
    if (strcmp(argv[1], "--manual") == 0 || strcmp(argv[1], "--completion") == 0) {
        (argv[1][2] == 'm' ? help_page_manual : help_page_completion)(stdout);
        return command_finish(NULL, EXIT_CODE_DONE);
    }
    for (size_t i = 0; command_at(i); i++) {
        if (strcmp(argv[1], command_at(i)->name) == 0) {
            return command_main(command_at(i), argc - 1, argv + 1);
        }
    }
    return unknown_command(argv[1]);
}

// A stream that the caller has closed must stay so: the next file opened would take its place, and
// what is said would go into it. Opened the wrong way round, it fails as a closed one does.
static void keep_places(void) {
    int null;
    do {
        null = open("/dev/null", O_RDONLY);
    } while (null >= STDIN_FILENO && null <= STDERR_FILENO);
    if (null >= 0) {
        close(null);
    }
}

// A thread that has done its part of a study sleeps until the others have done theirs, where OpenMP
// would let it count in circles: a fifth of the work of a match. It is asked before main begins,
// and a caller's own wish stands.
__attribute__((constructor(101))) static void wait_asleep(void) {
    setenv("OMP_WAIT_POLICY", "passive", 0);
}

int main(int argc, char **argv) {
    keep_places();
    ranks_begin(&argc, &argv, EXIT_CODE_OUTPUT);
    interruption_begin();
    allocate_begin();
    int code = dispatch(argc, argv);
    allocate_end();
    ranks_end(code);
    return code;
}
