// SPDX-License-Identifier: MIT
#include "command/run_set.h"

#include "show/report.h"
#include "show/run_output.h"
#include "solve/integrate.h"

#include <math.h>
#include <string.h>

bool run_set_mixed(const struct run_set *set) {
    for (size_t i = 1; i < set->count; i++) {
        if (set->request->target[i].scenario != set->request->target[0].scenario) {
            return true;
        }
    }
    return false;
}

// The trim tells runs of one scenario apart, the file those of several; both where it needs both.
static void fill_labels(struct run_set *set) {
    bool mixed = run_set_mixed(set);
    for (size_t i = 0; i < set->count; i++) {
        const struct run_target *t = &set->request->target[i];
        const char *trim = scenario_trim_name(t->scenario, t->trim);
        char stem[RUN_SET_LABEL / 2];
        run_output_stem(scenario_name(t->scenario), stem, sizeof stem);
        bool only = scenario_trim_count(t->scenario) == 1;
        snprintf(set->label[i], RUN_SET_LABEL, "%s%s%s", mixed || only ? stem : "",
                 mixed && !only ? " " : "", only ? "" : trim);
    }
}

int run_set_open(struct run_set *set) {
    struct diagnostics list = {0};
    int code = EXIT_CODE_DONE;
    set->count = set->request->target_count;
    for (size_t i = 0; i < set->count; i++) {
        const struct run_target *t = &set->request->target[i];
        if (!scenario_resolve(t->scenario, t->trim, &set->scenario[i], &list)) {
            code = EXIT_CODE_SCENARIO;
        }
    }
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    fill_labels(set);
    return code;
}

void run_set_close(struct run_set *set) {
    for (size_t i = 0; i < set->count; i++) {
        simulation_free(&set->run[i]);
        scenario_case_free(&set->scenario[i]);
    }
    set->count = 0;
}

static int outcome_code(const struct run_set *set, size_t i) {
    const struct simulation *s = &set->run[i];
    const char *where = scenario_name(set->request->target[i].scenario);
    switch (s->outcome) {
    case SIMULATION_DONE:
        return EXIT_CODE_DONE;
    case SIMULATION_INTERRUPTED:
        fprintf(stderr, "%s: trim %s: stopped by a signal at %.6g s\n", where,
                set->scenario[i].trim_name, s->statistics.end_time);
        return EXIT_CODE_SIGNAL;
    case SIMULATION_FAILED:
        fprintf(stderr, "%s: trim %s: %s\n", where, set->scenario[i].trim_name, s->message);
        return EXIT_CODE_SOLVER;
    case SIMULATION_NO_MEMORY:
        break;
    }
    fprintf(stderr, "%s: trim %s: out of memory\n", where, set->scenario[i].trim_name);
    return EXIT_CODE_SOLVER;
}

// Runs that stopped early are carried on to the length of the longest, so that a comparison shows
// all of them over the same time.
static void even_out(struct run_set *set) {
    double longest = 0.0;
    for (size_t i = 0; i < set->count; i++) {
        longest = fmax(longest, set->run[i].statistics.end_time);
    }
    for (size_t i = 0; i < set->count; i++) {
        struct simulation *s = &set->run[i];
        struct run_options *run = &set->scenario[i].run;
        if (s->outcome != SIMULATION_DONE || s->statistics.end_time >= longest ||
            run->sample_interval > longest) {
            continue;
        }
        run->duration = longest;
        run->minimum_duration = longest;
        // A verdict once decided stands; the longer record only shows more of it.
        struct verdict_result judged = s->judged;
        simulation_free(s);
        simulate(&set->scenario[i], s);
        if (judged.decided) {
            s->judged = judged;
        }
    }
}

int run_set_simulate(struct run_set *set) {
    for (size_t i = 0; i < set->count; i++) {
        simulate(&set->scenario[i], &set->run[i]);
    }
    even_out(set);
    int code = EXIT_CODE_DONE;
    for (size_t i = 0; i < set->count; i++) {
        int one = outcome_code(set, i);
        code = code == EXIT_CODE_DONE ? one : code;
    }
    return code;
}

static void tighter(const struct run_set *set, size_t i) {
    struct scenario_case again = set->scenario[i];
    again.run.relative_tolerance *= 0.1;
    // The same length of time, so that the figures are of the same motion.
    again.run.stop_early = false;
    again.run.duration = set->run[i].statistics.end_time;
    struct simulation run;
    simulate(&again, &run);
    if (run.outcome == SIMULATION_DONE) {
        report_tighter(stdout, &set->scenario[i], &set->run[i], &run);
    } else {
        printf("at a ten times tighter tolerance the run does not finish: %s\n", run.message);
    }
    simulation_free(&run);
}

void run_set_more(const struct run_set *set) {
    for (size_t i = 0; i < set->count; i++) {
        if (set->request->tighter) {
            tighter(set, i);
        }
    }
    if (set->request->shared.quiet) {
        return;
    }
    for (size_t i = 0; i < set->count; i++) {
        const struct run_target *t = &set->request->target[i];
        if (i == 0 || t->scenario != set->request->target[i - 1].scenario) {
            report_inputs(stdout, t->scenario, t->trim, set->request->inputs);
        }
    }
    report_cautions(stdout);
}

int run_set_worst(const struct run_set *set, int code) {
    if (code != EXIT_CODE_DONE || !set->request->has_worst) {
        return code;
    }
    for (size_t i = 0; i < set->count; i++) {
        if (set->run[i].judged.verdict > set->request->worst) {
            return EXIT_CODE_WORSE;
        }
    }
    return code;
}
