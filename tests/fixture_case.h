// SPDX-License-Identifier: MIT
// One trim of a scenario file, changed and simulated. Tests run from the source root.
#pragma once

#include "support.h"

#include "run/simulate.h"

static const char decline[] = "tests/scenarios/decline.yaml";

struct fixture_case {
    struct scenario *scenario;
    struct scenario_case resolved;
    struct simulation run;
};

// Load, override ("a.b=c" texts, ended by NULL), resolve the trim (NULL: the first).
static inline void fixture_case_open(struct fixture_case *c, const char *path, const char *trim,
                                     const char *const *overrides) {
    struct diagnostics list = {0};
    size_t count = 0;
    while (overrides && overrides[count]) {
        count++;
    }
    memset(c, 0, sizeof *c);
    c->scenario = scenario_open(path, overrides, count, &list);
    diagnostics_print(&list, stderr);
    assert_non_null(c->scenario);
    size_t index = trim ? scenario_trim_find(c->scenario, trim, &list) : 0;
    assert_true(scenario_resolve(c->scenario, index, &c->resolved, &list));
    diagnostics_free(&list);
}

static inline void fixture_case_simulate(struct fixture_case *c, const char *path, const char *trim,
                                         const char *const *overrides) {
    fixture_case_open(c, path, trim, overrides);
    simulate(&c->resolved, &c->run);
}

static inline void fixture_case_close(struct fixture_case *c) {
    simulation_free(&c->run);
    scenario_case_free(&c->resolved);
    scenario_free(c->scenario);
}
