// SPDX-License-Identifier: MIT
// The contrast of two ports must not hang on guesses. In the stiff build of tests/scenarios, where
// it is plainest, the full port slams and the reduced port is steady at every stem friction from 0
// to 10 lbf, and in nine of ten draws with every guess moved up to 20 %.
#include "support.h"

#include "fixture_case.h"
#include "fixtures.h"

enum { DRAWS = 200, GUESSES_MAX = 64 };

static const double POUND_FORCE = 4.4482216152605;

static bool slams(enum verdict verdict) {
    return verdict == VERDICT_SLAMMING || verdict == VERDICT_CHATTER;
}

static enum verdict judge(const struct scenario *scenario, const char *trim) {
    struct diagnostics list = {0};
    struct scenario_case c;
    static struct simulation run;
    bool fine = scenario_resolve(scenario, scenario_trim_find(scenario, trim, NULL), &c, &list);
    diagnostics_print(&list, stderr);
    assert_true(fine);
    diagnostics_free(&list);
    // For its verdict alone, on as many cycles as a map takes.
    struct verdict_limits limits = simulation_limits(&c);
    limits.cycle_repeats = 3.0;
    limits.cycle_tolerance = 0.03;
    simulate_so(&c, &(struct simulation_manner){.limits = &limits, .brief = true}, &run);
    enum verdict verdict = run.outcome == SIMULATION_DONE ? run.judged.verdict : VERDICT_UNDECIDED;
    simulation_free(&run);
    scenario_case_free(&c);
    return verdict;
}

static struct scenario *open_decline(void) {
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_open(decline, NULL, 0, &list);
    diagnostics_print(&list, stderr);
    assert_non_null(scenario);
    diagnostics_free(&list);
    return scenario;
}

static void test_contrast_at_every_friction(void **state) {
    (void)state;
    static const double friction[] = {0.0, 1.0, 2.5, 5.0, 7.5, 10.0};
    for (int i = 0; i < 6; i++) {
        struct scenario *scenario = open_decline();
        assert_true(scenario_set_si(scenario, "friction.kinetic", POUND_FORCE * friction[i]));
        enum verdict full = judge(scenario, "full"), reduced = judge(scenario, "reduced");
        print_message("friction %4.1f lbf: full %s, reduced %s\n", friction[i], verdict_name(full),
                      verdict_name(reduced));
        assert_true(slams(full));
        assert_int_equal(reduced, VERDICT_STEADY);
        scenario_free(scenario);
    }
}

struct guesses {
    size_t count;
    char path[GUESSES_MAX][96];
    double value[GUESSES_MAX]; // [SI]
};

// Every number that the scenario marks as a guess, but for the friction, which is drawn apart.
static void list_guesses(const struct scenario *scenario, struct guesses *out) {
    struct scenario_entry e;
    out->count = 0;
    for (size_t i = 0; scenario_provenance(scenario, 0, i, &e); i++) {
        if (e.provenance != PROVENANCE_GUESS || strcmp(e.section, "friction") == 0) {
            continue;
        }
        assert_true(out->count < GUESSES_MAX);
        char *path = out->path[out->count];
        snprintf(path, sizeof out->path[0], "%s%s%s", e.section, e.section[0] ? "." : "", e.name);
        out->value[out->count] = scenario_get_si(scenario, 0, path);
        assert_true(isfinite(out->value[out->count]));
        out->count++;
    }
}

static void test_contrast_in_random_draws(void **state) {
    (void)state;
    unsigned long long seed = 20;
    int kept = 0, full_slams = 0, of_reduced[VERDICT_COUNT] = {0};
    struct guesses guesses;
    for (int i = 0; i < DRAWS; i++) {
        struct scenario *scenario = open_decline();
        list_guesses(scenario, &guesses);
        double friction = 10.0 * POUND_FORCE * fixture_random(&seed);
        assert_true(scenario_set_si(scenario, "friction.kinetic", friction));
        for (size_t k = 0; k < guesses.count; k++) {
            double factor = 0.8 + 0.4 * fixture_random(&seed);
            assert_true(scenario_set_si(scenario, guesses.path[k], factor * guesses.value[k]));
        }
        enum verdict full = judge(scenario, "full"), reduced = judge(scenario, "reduced");
        full_slams += slams(full);
        of_reduced[reduced]++;
        kept += slams(full) && reduced == VERDICT_STEADY;
        scenario_free(scenario);
    }
    print_message("%zu guesses moved by up to 20 %%, friction 0 to 10 lbf: contrast kept in %d of "
                  "%d draws (%.1f %%); the full port slams in %d; the reduced port:\n",
                  guesses.count, kept, DRAWS, 100.0 * kept / DRAWS, full_slams);
    for (int v = 0; v < VERDICT_COUNT; v++) {
        print_message("  %-12s %d\n", verdict_name((enum verdict)v), of_reduced[v]);
    }
    assert_true(guesses.count >= 15);
    assert_true(kept >= DRAWS * 9 / 10);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_contrast_at_every_friction),
        cmocka_unit_test(test_contrast_in_random_draws),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
