// SPDX-License-Identifier: MIT
// For tests/wasm.sh: the dump of each scenario named, and what the native program makes of it, to
// hold the module against. Writes FOLDER/STEM.dump and FOLDER/STEM.tsv, the latter with a line for
// each trim: its name, its verdict, every figure in SI.
#include "base/diagnostic.h"
#include "run/figure.h"
#include "scenario/scenario_dump.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static FILE *open_output(const char *folder, const char *path, const char *kind) {
    const char *name = strrchr(path, '/') ? strrchr(path, '/') + 1 : path;
    char output[1024];
    snprintf(output, sizeof output, "%s/%.*s.%s", folder, (int)strcspn(name, "."), name, kind);
    return fopen(output, "w");
}

static bool close_output(FILE *out) {
    bool good = !ferror(out);
    return fclose(out) == 0 && good;
}

static void write_trim(FILE *out, const struct scenario *scenario, size_t trim) {
    struct diagnostics list = {0};
    struct scenario_case resolved;
    struct simulation run;
    if (scenario_resolve(scenario, trim, &resolved, &list)) {
        simulate(&resolved, &run);
        fprintf(out, "%s\t%s", resolved.trim_name, verdict_name(run.judged.verdict));
        for (size_t i = 0; figure_at(i); i++) {
            fprintf(out, "\t%.17g", figure_at(i)->value(&run, &resolved));
        }
        fputc('\n', out);
        simulation_free(&run);
    }
    scenario_case_free(&resolved);
    diagnostics_free(&list);
}

static bool write_figures(FILE *out, const char *path) {
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_open(path, NULL, 0, &list);
    for (size_t i = 0; scenario && i < scenario_trim_count(scenario); i++) {
        write_trim(out, scenario, i);
    }
    scenario_free(scenario); // none when it is refused: no trims, no lines
    diagnostics_free(&list);
    return close_output(out);
}

static bool write_dump(FILE *out, const char *path) {
    struct diagnostics list = {0};
    bool good = scenario_dump(path, out, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    return close_output(out) && good;
}

int main(int argc, char **argv) {
    bool good = argc > 2;
    for (int i = 2; i < argc && good; i++) {
        FILE *dump = open_output(argv[1], argv[i], "dump");
        FILE *figures = open_output(argv[1], argv[i], "tsv");
        good = dump && figures && write_dump(dump, argv[i]) && write_figures(figures, argv[i]);
    }
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
