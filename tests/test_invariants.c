// SPDX-License-Identifier: MIT
// What no run may break: mass, energy, rest. Exact statements about the model (E).
#include "fixtures.h"
#include "support.h"

static struct fixture_record record;

// The full port on half the vessel, with a hard seat: it slams.
static struct regulator_parameters slamming(void) {
    struct regulator_parameters p = fixture_pilot_gas(2.9 * 0.0254, 20.0);
    p.controlled.volume *= 0.5;
    p.actuator.seat = (struct contact_parameters){.law = CONTACT_RIGID,
                                                  .stiffness = 5e7,
                                                  .index = 1.0,
                                                  .restitution = 0.3,
                                                  .rest_speed = 1e-3};
    return p;
}

static void check_balances(const struct regulator *r, const double *before, const double *after) {
    const struct regulator_layout *l = &r->layout;
    double in = after[l->mass_in] - before[l->mass_in];
    double out = after[l->mass_out] - before[l->mass_out];
    double kept = regulator_stored_mass(r, after) - regulator_stored_mass(r, before);
    print_message("mass balance %.1e of throughput\n", fabs(kept - in + out) / in);
    assert_close(kept, in - out, 0.0, 1e-9 * in);
    if (r->thermal) {
        in = after[l->energy_in] - before[l->energy_in];
        out = after[l->energy_out] - before[l->energy_out];
        kept = regulator_stored_energy(r, after) - regulator_stored_energy(r, before);
        print_message("energy balance %.1e of throughput\n", fabs(kept - in + out) / in);
        assert_close(kept, in - out, 0.0, 1e-9 * in);
    }
}

static void test_balances_of_a_slamming_gas_run(void **state) {
    (void)state;
    struct regulator_parameters p = slamming();
    for (int warm = 0; warm < 2; warm++) { // adiabatic, then with heat from the walls
        p.controlled.wall_conductance = p.actuator.chamber.wall_conductance = warm * 5.0;
        struct regulator r;
        regulator_prepare(&r, &p);
        double y[REGULATOR_STATES_MAX], before[REGULATOR_STATES_MAX];
        fixture_settle_pilot(&r, p.set_point.base, y);
        struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        y[r.layout.mass[NODE_CONTROLLED]] *= 1.1; // 10 % above the set pressure
        y[r.layout.energy[NODE_CONTROLLED]] *= 1.1;
        memcpy(before, y, sizeof y);
        struct integrate_options o = integrate_options_default();
        o.end = 20.0;
        struct integrate_result result = fixture_run(&r, &mode, y, &o, &record);
        assert_int_equal(result.status, INTEGRATE_DONE);
        assert_true(fixture_count(&record, EVENT_SEAT_CONTACT) +
                        fixture_count(&record, EVENT_SEAT_HELD) >
                    5);
        check_balances(&r, before, y);
    }
}

static void test_balance_of_a_chattering_liquid_run(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_relief_valve(20.0, 1.25, 5.0);
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX], before[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 2e-3, p.atmosphere + 11e5, y);
    memcpy(before, y, sizeof y);
    struct integrate_options o = integrate_options_default();
    o.end = 0.2;
    o.initial_step = 1e-8;
    fixture_run(&r, &mode, y, &o, &record);
    assert_true(fixture_count(&record, EVENT_SEAT_CONTACT) > 50);
    check_balances(&r, before, y);
}

static void test_balance_of_every_build(void **state) {
    (void)state;
    for (int v = 0; v < FIXTURE_VARIANTS; v++) {
        struct regulator_parameters p = fixture_variant(v);
        struct regulator r;
        regulator_prepare(&r, &p);
        double y[REGULATOR_STATES_MAX], before[REGULATOR_STATES_MAX];
        struct regulator_mode mode = fixture_rest(&r, 2e-3, 4.2e5, y);
        memcpy(before, y, sizeof y);
        struct integrate_options o = fixture_options(0.05, 1e-6);
        struct integrate_result result = fixture_run(&r, &mode, y, &o, NULL);
        if (result.status != INTEGRATE_DONE) {
            print_error("build %d: %s\n", v, result.message);
        }
        assert_int_equal(result.status, INTEGRATE_DONE);
        check_balances(&r, before, y);
    }
}

static void test_shut_in_energy_is_conserved(void **state) {
    (void)state;
    // E: nothing flows, nothing rubs. A plug between two trapped gas volumes and a spring: internal
    // energy + m v^2/2 + k x^2/2 + F0 x stays the same while the plug rings.
    struct regulator_parameters p = fixture_still(DUTY_BACK_PRESSURE);
    p.phase = FLUID_GAS;
    p.gas = (struct gas_properties){0.0188, 1.27, 0.97, 1e-5};
    p.boundary = schedule_constant(3e5);
    p.controlled.volume = 3e-4;
    p.trim.slot_width = 0.0;
    p.trim.rated_travel = 0.02;
    p.actuator.diaphragm_area = 0.01;
    p.actuator.area_loss = 0.3;
    p.actuator.spring_rate = 2e4;
    p.actuator.preload = 30.0;
    p.actuator.swept_volume = true;
    p.actuator.spring_case.volume = 4e-4;
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX], total[2];
    struct regulator_mode mode = fixture_rest(&r, 0.006, 3e5, y);
    for (int i = 0; i < 2; i++) {
        double x = y[r.layout.travel], v = y[r.layout.speed];
        total[i] = regulator_stored_energy(&r, y) + 0.5 * v * v + 1e4 * x * x + 30.0 * x;
        if (i == 0) {
            struct integrate_options o = fixture_options(0.5, 1e-12);
            o.sample_interval = 1e-3;
            o.adams = true; // not stiff, and BDF would damp a little

            assert_int_equal(fixture_run(&r, &mode, y, &o, &record).status, INTEGRATE_DONE);
        }
    }
    double fastest = 0.0;
    for (int i = 0; i < record.sample_count; i++) {
        fastest = fmax(fastest, fabs(record.speed[i]));
    }
    double swing = 0.5 * fastest * fastest; // kinetic energy that comes and goes
    print_message("energy drift %.1e of the ringing\n", fabs(total[1] - total[0]) / swing);
    assert_true(fixture_count(&record, EVENT_TRAVEL_REVERSAL) > 30);
    assert_close(total[1], total[0], 0.0, 1e-7 * swing);
}

static void test_rest_stays_at_rest(void **state) {
    (void)state;
    // The reduced port is stable: started in balance it must stay there, friction or not.
    for (int k = 0; k < 2; k++) {
        struct regulator_parameters p = fixture_pilot_gas(1.8 * 0.0254, 20.0 * k);
        struct regulator r;
        regulator_prepare(&r, &p);
        double y[REGULATOR_STATES_MAX], before[REGULATOR_STATES_MAX];
        fixture_settle_pilot(&r, p.set_point.base, y);
        memcpy(before, y, sizeof y);
        struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        struct integrate_options o = integrate_options_default();
        o.end = 20.0;
        struct integrate_result result = fixture_run(&r, &mode, y, &o, &record);
        for (int i = 0; i < r.layout.mass_in; i++) {
            assert_close(y[i], before[i], 0.0, 1e-5 * r.layout.slot[i].scale);
        }
        assert_true(result.statistics.steps < 2000); // a run at rest costs nothing
    }
}

static void test_steady_throttling_keeps_temperature(void **state) {
    (void)state;
    // E: one k and one Z per stream, so an ideal gas passes vessel, trim and chamber unwarmed.
    struct regulator_parameters p = fixture_pilot_gas(1.8 * 0.0254, 0.0);
    p.downstream = (struct volume_parameters){0.02, 0.0};
    p.downstream_outlet_area = 2e-4;
    p.actuator.case_reference = p.pilot.exhaust_to = REFERENCE_ATMOSPHERE;
    p.pilot.feedback_area *= 3.0;
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 1e-3, 4e5, y);
    struct integrate_options o = integrate_options_default();
    o.end = 2000.0; // the vessel's gas is replaced every 20 s
    o.sample_interval = 1.0;
    assert_int_equal(fixture_run(&r, &mode, y, &o, &record).status, INTEGRATE_DONE);
    struct regulator_observation seen;
    regulator_observe(&r, &mode, o.end, y, &seen);
    assert_close(seen.temperature[NODE_CONTROLLED], p.temperature, 1e-4, 0.0);
    assert_close(seen.temperature[NODE_DOWNSTREAM], p.temperature, 1e-4, 0.0);
    assert_close(seen.temperature[NODE_CHAMBER], p.temperature, 1e-4, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_balances_of_a_slamming_gas_run),
        cmocka_unit_test(test_balance_of_a_chattering_liquid_run),
        cmocka_unit_test(test_balance_of_every_build),
        cmocka_unit_test(test_shut_in_energy_is_conserved),
        cmocka_unit_test(test_rest_stays_at_rest),
        cmocka_unit_test(test_steady_throttling_keeps_temperature),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
