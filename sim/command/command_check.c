// SPDX-License-Identifier: MIT
// `lowlift check`: read scenarios and report everything wrong with them, without running.
#include "command/command.h"
#include "run/start.h"
#include "show/report.h"

#include <stdlib.h>
#include <string.h>

// What stands out before any run: can it shut, where does it rest.
static void preview(const struct scenario *scenario, size_t trim) {
    struct scenario_case c;
    struct diagnostics list = {0};
    struct start *start = malloc(sizeof *start);
    if (start && scenario_resolve(scenario, trim, &c, &list)) {
        if (start_prepare(&c, start) == START_SET_OUT_OF_REACH) {
            printf("  trim %s: cannot hold the set pressure at the first flow\n", c.trim_name);
        } else {
            const char *unit = units_preferred(UNIT_PRESSURE_LEVEL, c.units, false);
            printf("  trim %s: %zu point%s of rest", c.trim_name, start->rest.count,
                   start->rest.count == 1 ? "" : "s");
            for (size_t i = 0; i < start->rest.count; i++) {
                const struct equilibrium *e = &start->rest.at[i];
                printf(
                    "; %s, %.4g %% of travel at %.5g %s", equilibrium_kind_name(e->kind),
                    100.0 * e->travel / c.model.trim.rated_travel,
                    units_from_si(&c.site, UNIT_PRESSURE_LEVEL, unit, e->pressure[NODE_CONTROLLED]),
                    unit);
            }
            printf("; %s\n", start->rest.can_shut ? "can shut"
                                                  : "CANNOT SHUT: its closing force "
                                                    "does not hold it on the seat");
        }
    }
    scenario_case_free(&c);
    diagnostics_free(&list);
    free(start);
}

static int check_one(const char *path, bool inputs) {
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_open(path, NULL, 0, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    if (!scenario) {
        return EXIT_CODE_SCENARIO;
    }
    printf("%s: well formed, %zu trim%s\n", path, scenario_trim_count(scenario),
           scenario_trim_count(scenario) == 1 ? "" : "s");
    for (size_t i = 0; i < scenario_trim_count(scenario); i++) {
        preview(scenario, i);
        if (inputs) {
            report_inputs(stdout, scenario, i, true);
        }
    }
    scenario_free(scenario);
    return EXIT_CODE_DONE;
}

static int check(const struct command *command, int argc, char **argv) {
    bool inputs = false;
    int code = EXIT_CODE_DONE, files = 0;
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--help") == 0 || strcmp(argv[i], "-h") == 0) {
            return command_help(command);
        }
        if (strcmp(argv[i], "--inputs") == 0) {
            inputs = true;
        } else if (argv[i][0] == '-') {
            return command_usage(command, "found '%s'; allowed --inputs, --help", argv[i]);
        }
    }
    for (int i = 1; i < argc; i++) {
        if (argv[i][0] != '-') {
            int one = check_one(argv[i], inputs);
            code = code == EXIT_CODE_DONE ? one : code;
            files++;
        }
    }
    if (files == 0) {
        return command_usage(command, "no scenario file named");
    }
    return command_finish(command, code);
}

const struct command command_check = {
    .name = "check",
    .summary = "read scenarios and report everything wrong with them, without running",
    .run = check,
    .help = "Usage: lowlift check [--inputs] SCENARIO.yaml [SCENARIO.yaml ...]\n"
            "\n"
            "Reads each scenario and prints every error as one line,\n"
            "  file:line:column: field: found ...; allowed ...\n"
            "or, when there is none, where each trim comes to rest and whether it can shut.\n"
            "Nothing is simulated. A warning, of what is possible but odd, is printed the same\n"
            "way and changes nothing.\n"
            "\n"
            "Example:\n"
            "  lowlift check scenarios/decline.yaml\n"
            "\n"
            "Options:\n"
            "  --inputs   list every value with its source: given, guessed, default\n"
            "  --help     this page\n"
            "\n"
            "Exit codes: 0 all well, 2 bad usage, 3 a scenario has errors, 5 output failed.\n",
};
