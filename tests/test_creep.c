// SPDX-License-Identifier: MIT
// What only creeps costs next to nothing: a plug held wide open by more flow than it passes, whose
// vessel fills and cools for minutes. Own promises; the hardware is the scenario's, invented.
#include "fixture_case.h"

#include "run/simulate.h"
#include "steady/steadiness.h"

// In one of the first two flows the step of CVODE once stayed at 40 us (945 thousand and 2.3
// million steps), in the others that of the one-step method at 0.5 ms.
static void test_a_held_plug_does_not_hold_the_step(void **state) {
    (void)state;
    static const double flow[] = {0.148177, 0.390691, 0.148177, 0.188818, 0.240606, 0.390691};
    long most[2] = {0, 0};
    for (int i = 0; i < 6; i++) {
        const char *const port = i < 2 ? "trim.port=13.2882 mm" : "trim.port=9.525 mm";
        const char *const overrides[] = {port, NULL};
        struct fixture_case c;
        struct steadiness subject;
        fixture_case_open(&c, "scenarios/oversized.yaml", "full", overrides);
        (void)steadiness_prepare(&c.resolved, &subject);
        subject.held.model.flow = schedule_constant(flow[i]);
        for (int k = 0; k < 6; k++) {
            static const double tolerance[] = {3e-5, 1e-5, 3e-6};
            struct scenario_case run = subject.held;
            run.run.method = k < 3 ? RUN_BDF : RUN_ROSENBROCK;
            run.run.relative_tolerance = tolerance[k % 3];
            struct simulation s;
            simulate(&run, &s);
            assert_int_equal(s.outcome, SIMULATION_DONE);
            assert_int_equal(s.judged.verdict, VERDICT_WIDE_OPEN);
            most[k / 3] = s.statistics.steps > most[k / 3] ? s.statistics.steps : most[k / 3];
            simulation_free(&s);
        }
        fixture_case_close(&c);
    }
    print_message("at most %ld steps of CVODE, %ld of the one-step method\n", most[0], most[1]);
    assert_true(most[0] < 10000);
    assert_true(most[1] < 2000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_held_plug_does_not_hold_the_step),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
