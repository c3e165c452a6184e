// SPDX-License-Identifier: MIT
// The one-step method on whole regulators: contacts, schedules and balances against CVODE at a
// tolerance so small that only rounding is left. test_integrate.c runs by both methods besides.
// Marks: C the same thing computed another way; E exact.
#include "fixtures.h"
#include "support.h"

#include <stdlib.h>

static struct fixture_record exact, quick;

// A motion: of what, from where, until when.
struct motion_of {
    const struct regulator_parameters *parameters;
    double travel, pressure, end;
};

static void run(const struct motion_of *motion, double tolerance, bool one_step, double *y,
                struct fixture_record *record) {
    struct regulator r;
    regulator_prepare(&r, motion->parameters);
    struct regulator_mode mode = fixture_rest(&r, motion->travel, motion->pressure, y);
    struct integrate_options o = fixture_options(motion->end, tolerance);
    o.rosenbrock = one_step;
    struct integrate_result result = fixture_run(&r, &mode, y, &o, record);
    print_message("%s at %g: %ld steps, %ld rejected, %ld restarts\n",
                  one_step ? "one step" : "CVODE", tolerance, result.statistics.steps,
                  result.statistics.error_failures, result.statistics.restarts);
    assert_int_equal(result.status, INTEGRATE_DONE);
}

// Contacts with the seat: as many, at the same times and speeds.
static void test_contacts_of_a_slamming_valve(void **state) {
    (void)state; // C
    struct regulator_parameters p = fixture_relief_valve(20.0, 1.25, 5.0);
    double y[REGULATOR_STATES_MAX], z[REGULATOR_STATES_MAX];
    run(&(struct motion_of){&p, 2.2e-3, p.atmosphere + 11.5e5, 0.5}, 1e-10, false, y, &exact);
    for (double tolerance = 1e-5; tolerance > 1e-8; tolerance *= 1e-2) {
        run(&(struct motion_of){&p, 2.2e-3, p.atmosphere + 11.5e5, 0.5}, tolerance, true, z,
            &quick);
        assert_true(fixture_count(&exact, EVENT_SEAT_CONTACT) > 10);
        assert_int_equal(quick.event_count, exact.event_count);
        double late = 0.0, fast = 0.0;
        for (int i = 0; i < exact.event_count && i < FIXTURE_EVENTS_MAX; i++) {
            const struct fixture_event *a = &exact.event[i], *b = &quick.event[i];
            assert_int_equal(b->transition.event, a->transition.event);
            late = fmax(late, fabs(b->time - a->time));
            fast = fmax(fast, fabs(b->transition.approach_speed - a->transition.approach_speed) /
                                  fmax(a->transition.approach_speed, 0.1));
        }
        print_message("off by %.2g s, %.2g of the speed\n", late, fast);
        assert_true(late < 30.0 * tolerance * 0.5);
        assert_true(fast < 300.0 * tolerance);
    }
}

// A build with a pilot, gas and friction: the lift off the seat is found by a force that swings
// several times in a step.
static void test_lifts_and_contacts_with_a_pilot(void **state) {
    (void)state; // C
    struct regulator_parameters p = fixture_pilot_gas(0.07, 20.0);
    p.actuator.seat = (struct contact_parameters){.law = CONTACT_RIGID,
                                                  .restitution = 0.4,
                                                  .rest_speed = 1e-3,
                                                  .stiffness = 1e7,
                                                  .index = 1.0};
    double y[REGULATOR_STATES_MAX], z[REGULATOR_STATES_MAX];
    struct regulator r;
    regulator_prepare(&r, &p);
    run(&(struct motion_of){&p, 2e-3, 4.6e5, 4.0}, 1e-9, false, y, &exact);
    run(&(struct motion_of){&p, 2e-3, 4.6e5, 4.0}, 1e-7, true, z, &quick);
    const int lifts = fixture_count(&exact, EVENT_SEAT_LIFT);
    assert_int_equal(fixture_count(&quick, EVENT_SEAT_LIFT), lifts);
    for (int i = 0; i < r.layout.mass_in; i++) {
        assert_close(z[i], y[i], 1e-4, 1e-4 * r.layout.slot[i].scale);
    }
    // E: what came in is there or went out, whatever the tolerance.
    double held = regulator_stored_mass(&r, z), begun[REGULATOR_STATES_MAX];
    fixture_rest(&r, 2e-3, 4.6e5, begun);
    assert_close(held - regulator_stored_mass(&r, begun),
                 z[r.layout.mass_in] - z[r.layout.mass_out], 0.0, 1e-12 * held);
    held = regulator_stored_energy(&r, z);
    assert_close(held - regulator_stored_energy(&r, begun),
                 z[r.layout.energy_in] - z[r.layout.energy_out], 0.0, 1e-11 * held);
}

// A flow that pulsates, and one that rises in a straight line: rates depend on time itself.
static void test_schedules(void **state) {
    (void)state; // C
    const double time[] = {0.0, 0.3, 0.9}, value[] = {0.05, 0.05, 0.2};
    const struct schedule flow[] = {
        {.kind = SCHEDULE_SINE, .base = 0.1, .peak = 0.05, .start = 0.1, .period = 0.2},
        {.kind = SCHEDULE_POINTS, .count = 3, .time = time, .value = value}};
    for (int i = 0; i < 2; i++) {
        struct regulator_parameters p = fixture_variant(0);
        p.flow = flow[i];
        double y[REGULATOR_STATES_MAX], z[REGULATOR_STATES_MAX];
        struct regulator r;
        regulator_prepare(&r, &p);
        run(&(struct motion_of){&p, 2e-3, 4.5e5, 1.0}, 1e-10, false, y, &exact);
        run(&(struct motion_of){&p, 2e-3, 4.5e5, 1.0}, 1e-6, true, z, &quick);
        for (int k = 0; k < r.layout.mass_in; k++) {
            assert_close(z[k], y[k], 1e-4, 1e-4 * r.layout.slot[k].scale);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_contacts_of_a_slamming_valve),
        cmocka_unit_test(test_lifts_and_contacts_with_a_pilot),
        cmocka_unit_test(test_schedules),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
