// SPDX-License-Identifier: MIT
// Guards and transitions by themselves: what fires, what jumps, what is held and let go.
#include "fixtures.h"
#include "models/regulator_events.h"
#include "support.h"

static const double RATED = 0.02;

// A direct-acting build with rigid seat and stop, 1 kg, closed by 5 N and no spring.
static struct regulator_mode prepare(struct regulator *r, double preload, double *y) {
    struct regulator_parameters p = fixture_still(DUTY_BACK_PRESSURE);
    p.trim.rated_travel = RATED;
    p.actuator.preload = preload;
    p.actuator.seat = (struct contact_parameters){.law = CONTACT_RIGID,
                                                  .stiffness = 1e7,
                                                  .index = 1.0,
                                                  .restitution = 0.6,
                                                  .rest_speed = 0.01};
    p.actuator.stop = p.actuator.seat;
    p.actuator.friction = (struct friction_parameters){2.0, 1.5, 1e-3, 1e5, 300.0, 0.0};
    regulator_prepare(r, &p);
    return fixture_rest(r, 0.0, p.atmosphere, y);
}

static void test_guards_fall_through_zero_at_contact(void **state) {
    (void)state;
    struct regulator r;
    double y[REGULATOR_STATES_MAX], guard[GUARD_COUNT];
    struct regulator_mode mode = prepare(&r, 5.0, y);
    const double travel[] = {-1e-6, 0.5 * RATED, RATED + 1e-6};
    for (int i = 0; i < 3; i++) {
        y[r.layout.travel] = travel[i];
        regulator_guards(&r, &mode, 0.0, y, guard);
        assert_int_equal(guard[GUARD_SEAT] < 0.0, i == 0);
        assert_int_equal(guard[GUARD_STOP] < 0.0, i == 2);
    }
    y[r.layout.speed] = -0.3;
    regulator_guards(&r, &mode, 0.0, y, guard);
    assert_true(guard[GUARD_REVERSAL] < 0.0);
}

static void test_seat_contact_rebounds(void **state) {
    (void)state;
    struct regulator r;
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = prepare(&r, 5.0, y);
    y[r.layout.travel] = -3e-15; // the far end of the solver's bracket
    y[r.layout.speed] = -0.5;
    y[r.layout.bristle] = -1e-5;
    struct regulator_transition t = regulator_transition(&r, &mode, 0.0, y, GUARD_SEAT);
    assert_int_equal(t.event, EVENT_SEAT_CONTACT);
    assert_true(t.changed);
    assert_close(t.approach_speed, 0.5, 0.0, 0.0);
    assert_close(t.rebound_speed, 0.3, 1e-15, 0.0);
    assert_close(y[r.layout.travel], 0.0, 0.0, 0.0);
    assert_close(y[r.layout.speed], 0.3, 1e-15, 0.0);
    assert_close(y[r.layout.bristle], -1e-5, 0.0, 0.0); // the stem is still in its packing
    assert_int_equal(mode.plug, HOLD_FREE);
}

static void test_slow_contact_is_held_and_stays(void **state) {
    (void)state;
    struct regulator r;
    double y[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX], guard[GUARD_COUNT];
    struct regulator_mode mode = prepare(&r, 5.0, y);
    y[r.layout.speed] = -0.016; // rebound 0.0096, below the rest speed
    y[r.layout.bristle] = -1e-5;
    struct regulator_transition t = regulator_transition(&r, &mode, 0.0, y, GUARD_SEAT);
    assert_int_equal(t.event, EVENT_SEAT_HELD);
    assert_close(t.approach_speed, 0.016, 0.0, 0.0);
    assert_close(t.rebound_speed, 0.0, 0.0, 0.0);
    assert_int_equal(mode.plug, HOLD_LOW);
    assert_close(y[r.layout.speed], 0.0, 0.0, 0.0);
    regulator_derivatives(&r, &mode, 0.0, y, rate);
    assert_close(rate[r.layout.travel], 0.0, 0.0, 0.0);
    assert_close(rate[r.layout.speed], 0.0, 0.0, 0.0);
    assert_close(rate[r.layout.bristle], 0.0, 0.0, 0.0);
    regulator_guards(&r, &mode, 0.0, y, guard);
    assert_true(guard[GUARD_SEAT] > 0.0); // pressed on: nothing to fire
    struct regulator_observation o;
    regulator_observe(&r, &mode, 0.0, y, &o);
    assert_close(o.contact_force, 5.0, 1e-9, 0.0); // the seat carries the preload
}

static void test_friction_cannot_lift_a_plug(void **state) {
    (void)state;
    // A bristle bent downwards pulls up with 1 N; the held plug must not feel it.
    struct regulator r;
    double y[REGULATOR_STATES_MAX], guard[GUARD_COUNT];
    struct regulator_mode mode = prepare(&r, 0.5, y);
    y[r.layout.speed] = -0.001;
    y[r.layout.bristle] = -1e-5;
    regulator_transition(&r, &mode, 0.0, y, GUARD_SEAT);
    assert_int_equal(mode.plug, HOLD_LOW);
    assert_close(y[r.layout.bristle], 0.0, 0.0, 0.0);
    regulator_guards(&r, &mode, 0.0, y, guard);
    assert_true(guard[GUARD_SEAT] > 0.0);
}

static void test_slow_contact_while_pulled_away_is_not_held(void **state) {
    (void)state;
    struct regulator r;
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = prepare(&r, -5.0, y); // opening force
    y[r.layout.speed] = -0.001;
    regulator_transition(&r, &mode, 0.0, y, GUARD_SEAT);
    assert_int_equal(mode.plug, HOLD_FREE);
    assert_close(y[r.layout.speed], 0.0, 0.0, 0.0);
}

static void test_held_plug_is_let_go_by_force(void **state) {
    (void)state;
    struct regulator r;
    double y[REGULATOR_STATES_MAX], guard[GUARD_COUNT];
    struct regulator_mode mode = prepare(&r, 5.0, y);
    mode.plug = HOLD_LOW;
    // 5 N over 1e-3 m2 is 5 kPa above the case: just below and just above.
    fixture_rest(&r, 0.0, r.parameters.atmosphere + 4999.0, y);
    regulator_guards(&r, &mode, 0.0, y, guard);
    assert_true(guard[GUARD_SEAT] > 0.0);
    fixture_rest(&r, 0.0, r.parameters.atmosphere + 5001.0, y);
    regulator_guards(&r, &mode, 0.0, y, guard);
    assert_true(guard[GUARD_SEAT] < 0.0);
    struct regulator_transition t = regulator_transition(&r, &mode, 0.0, y, GUARD_SEAT);
    assert_int_equal(t.event, EVENT_SEAT_LIFT);
    assert_true(t.changed);
    assert_int_equal(mode.plug, HOLD_FREE);
}

static void test_upper_stop_mirrors_the_seat(void **state) {
    (void)state;
    struct regulator r;
    double y[REGULATOR_STATES_MAX], guard[GUARD_COUNT];
    struct regulator_mode mode = prepare(&r, -5.0, y);
    y[r.layout.travel] = RATED + 1e-15;
    y[r.layout.speed] = 0.5;
    struct regulator_transition t = regulator_transition(&r, &mode, 0.0, y, GUARD_STOP);
    assert_int_equal(t.event, EVENT_STOP_CONTACT);
    assert_close(y[r.layout.travel], RATED, 0.0, 0.0);
    assert_close(y[r.layout.speed], -0.3, 1e-15, 0.0);
    y[r.layout.speed] = 0.01;
    t = regulator_transition(&r, &mode, 0.0, y, GUARD_STOP);
    assert_int_equal(t.event, EVENT_STOP_HELD);
    assert_int_equal(mode.plug, HOLD_HIGH);
    regulator_guards(&r, &mode, 0.0, y, guard);
    assert_true(guard[GUARD_STOP] > 0.0);
    t = regulator_transition(&r, &mode, 0.0, y, GUARD_STOP);
    assert_int_equal(t.event, EVENT_STOP_LEAVE);
    assert_int_equal(mode.plug, HOLD_FREE);
}

static void test_compliant_contact_is_only_reported(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_pilot_gas(0.07, 0.0);
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX], before[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, 4e5, y);
    y[r.layout.speed] = -0.2;
    memcpy(before, y, sizeof y);
    struct regulator_transition t = regulator_transition(&r, &mode, 0.0, y, GUARD_SEAT);
    assert_int_equal(t.event, EVENT_SEAT_CONTACT);
    assert_false(t.changed);
    assert_close(t.approach_speed, 0.2, 0.0, 0.0);
    assert_memory_equal(y, before, (size_t)r.layout.count * sizeof *y);
    t = regulator_transition(&r, &mode, 0.0, y, GUARD_REVERSAL);
    assert_int_equal(t.event, EVENT_TRAVEL_REVERSAL);
    assert_false(t.changed);
}

static void test_pilot_at_its_stops(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_pilot_gas(0.07, 0.0);
    p.pilot.stops = (struct contact_parameters){
        .law = CONTACT_RIGID, .restitution = 0.2, .rest_speed = 0.01, .stiffness = 1e8};
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX], guard[GUARD_COUNT];
    struct regulator_mode mode = fixture_rest(&r, 0.001, 3e5, y); // below set: the pilot shuts
    y[r.layout.pilot_speed] = -0.1;
    struct regulator_transition t = regulator_transition(&r, &mode, 0.0, y, GUARD_PILOT_LOW);
    assert_int_equal(t.event, EVENT_PILOT_SHUT);
    assert_close(y[r.layout.pilot_speed], 0.02, 1e-14, 0.0);
    y[r.layout.pilot_speed] = -0.02;
    regulator_transition(&r, &mode, 0.0, y, GUARD_PILOT_LOW);
    assert_int_equal(mode.pilot, HOLD_LOW);
    regulator_guards(&r, &mode, 0.0, y, guard);
    assert_true(guard[GUARD_PILOT_LOW] > 0.0);
    fixture_rest(&r, 0.001, 7e5, y);       // well above set
    y[r.layout.mass[NODE_CHAMBER]] *= 0.3; // with little loading pressure fed back
    y[r.layout.energy[NODE_CHAMBER]] *= 0.3;
    regulator_guards(&r, &mode, 0.0, y, guard);
    assert_true(guard[GUARD_PILOT_LOW] < 0.0);
    t = regulator_transition(&r, &mode, 0.0, y, GUARD_PILOT_LOW);
    assert_int_equal(t.event, EVENT_PILOT_LIFT);
    assert_int_equal(mode.pilot, HOLD_FREE);
}

static void test_passed_stop_is_noticed(void **state) {
    (void)state;
    struct regulator r;
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = prepare(&r, 5.0, y);
    y[r.layout.travel] = -1e-6;
    y[r.layout.speed] = -0.1;
    assert_int_equal(regulator_penetration(&r, &mode, y), GUARD_SEAT);
    y[r.layout.speed] = 0.1; // on its way out
    assert_int_equal(regulator_penetration(&r, &mode, y), GUARD_COUNT);
    y[r.layout.travel] = RATED + 1e-6;
    assert_int_equal(regulator_penetration(&r, &mode, y), GUARD_STOP);
    y[r.layout.travel] = 0.5 * RATED;
    assert_int_equal(regulator_penetration(&r, &mode, y), GUARD_COUNT);
    mode.plug = HOLD_LOW;
    y[r.layout.travel] = -1e-6, y[r.layout.speed] = -0.1;
    assert_int_equal(regulator_penetration(&r, &mode, y), GUARD_COUNT);
}

static void test_every_event_has_its_own_name(void **state) {
    (void)state;
    for (int i = EVENT_NONE; i <= EVENT_PILOT_LEAVE; i++) {
        const char *name = regulator_event_name((enum regulator_event)i);
        assert_non_null(name);
        for (int j = EVENT_NONE; j < i; j++) {
            assert_string_not_equal(name, regulator_event_name((enum regulator_event)j));
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_guards_fall_through_zero_at_contact),
        cmocka_unit_test(test_seat_contact_rebounds),
        cmocka_unit_test(test_slow_contact_is_held_and_stays),
        cmocka_unit_test(test_friction_cannot_lift_a_plug),
        cmocka_unit_test(test_slow_contact_while_pulled_away_is_not_held),
        cmocka_unit_test(test_held_plug_is_let_go_by_force),
        cmocka_unit_test(test_upper_stop_mirrors_the_seat),
        cmocka_unit_test(test_compliant_contact_is_only_reported),
        cmocka_unit_test(test_pilot_at_its_stops),
        cmocka_unit_test(test_passed_stop_is_noticed),
        cmocka_unit_test(test_every_event_has_its_own_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
