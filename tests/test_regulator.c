// SPDX-License-Identifier: MIT
// The assembled regulator at a glance in time: layout, rest states, signs of every build, balances
// and finiteness at random states. Expectations are closed forms (E) or invariants of the model.
#include "fixtures.h"
#include "support.h"

static const double PSI = 6894.757293168361, CUBIC_FOOT = 0.028316846592, INCH = 0.0254;

static void test_layout(void **state) {
    (void)state;
    for (int v = 0; v < FIXTURE_VARIANTS; v++) {
        struct regulator_parameters p = fixture_variant(v);
        struct regulator r;
        regulator_prepare(&r, &p);
        const struct regulator_layout *l = &r.layout;
        assert_in_range(l->count, 5, REGULATOR_STATES_MAX);
        for (int i = 0; i < l->count; i++) {
            assert_true(isfinite(l->slot[i].scale) && l->slot[i].scale > 0.0);
            assert_non_null(l->slot[i].unit);
            for (int j = 0; j < i; j++) {
                assert_string_not_equal(l->slot[i].name, l->slot[j].name);
            }
        }
        int totals = r.thermal ? 4 : 2; // the running totals come last
        assert_int_equal(l->mass_in, l->count - totals);
        bool pilot = p.actuation == ACTUATION_PILOT;
        assert_int_equal(l->mass[NODE_CHAMBER] >= 0, pilot);
        assert_int_equal(l->pilot_travel >= 0, pilot);
        assert_int_equal(l->energy[NODE_CONTROLLED] >= 0, r.thermal);
        assert_int_equal(l->plug >= 0, p.actuator.backlash > 0.0);
    }
}

// The glance of a verdict sees what the observer does, from the states that it says it reads.
static void check_glance(const struct regulator *r, const struct regulator_mode *mode,
                         const double *y) {
    struct regulator_observation o;
    assert_int_equal(regulator_observe(r, mode, 0.0, y, &o), 0);
    double known[REGULATOR_STATES_MAX], pressure, travel;
    int read[REGULATOR_GLANCE_STATES];
    const int count = regulator_glance_states(r, read);
    for (int i = 0; i < r->layout.count; i++) {
        known[i] = (double)NAN;
    }
    for (int i = 0; i < count; i++) {
        known[read[i]] = y[read[i]];
    }
    assert_int_equal(regulator_glance(r, mode, 0.0, known, &pressure, &travel), 0);
    assert_close(pressure, o.pressure[NODE_CONTROLLED], 0.0, 0.0);
    assert_close(travel, o.opening_travel, 0.0, 0.0);
}

static void test_rest_state_reads_back(void **state) {
    (void)state;
    for (int v = 0; v < FIXTURE_VARIANTS; v++) {
        struct regulator_parameters p = fixture_variant(v);
        struct regulator r;
        regulator_prepare(&r, &p);
        double pressure[NODE_COUNT], y[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX];
        for (int n = 0; n < NODE_COUNT; n++) {
            pressure[n] = 2e5 + 3e4 * n;
        }
        struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        regulator_rest_state(&r, &mode, 0.0, &(struct regulator_rest){0.004, 3e-4, pressure}, y);
        struct regulator_observation o;
        assert_int_equal(regulator_observe(&r, &mode, 0.0, y, &o), 0);
        assert_int_equal(regulator_derivatives(&r, &mode, 0.0, y, rate), 0);
        for (int n = 0; n < NODE_VOLUMES; n++) {
            if (r.layout.mass[n] >= 0) {
                assert_close(o.pressure[n], pressure[n], r.liquid ? 1e-9 : 1e-13, 0.0);
                assert_close(o.temperature[n], p.temperature, 1e-13, 0.0);
            }
        }
        assert_close(o.travel, 0.004, 0.0, 0.0);
        assert_close(o.opening_travel, 0.004, 0.0, 0.0);
        assert_close(rate[r.layout.travel], 0.0, 0.0, 0.0);
        check_glance(&r, &mode, y);
    }
}

// Stored mass and energy change by what the totals say, at any state.
static void test_balances_at_random_states(void **state) {
    (void)state;
    unsigned long long seed = 3;
    for (int v = 0; v < FIXTURE_VARIANTS; v++) {
        struct regulator_parameters p = fixture_variant(v);
        struct regulator r;
        regulator_prepare(&r, &p);
        for (int i = 0; i < 200; i++) {
            double y[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX];
            struct regulator_mode mode = fixture_random_state(&r, &seed, y);
            assert_int_equal(regulator_derivatives(&r, &mode, 0.0, y, rate), 0);
            const struct regulator_layout *l = &r.layout;
            double in = rate[l->mass_in], out = rate[l->mass_out];
            double kept = regulator_stored_mass(&r, rate); // linear in the state
            assert_close(kept, in - out, 0.0, 1e-12 * (fabs(in) + fabs(out) + 1.0));
            if (r.thermal) {
                in = rate[l->energy_in], out = rate[l->energy_out];
                kept = regulator_stored_energy(&r, rate);
                assert_close(kept, in - out, 0.0, 1e-12 * (fabs(in) + fabs(out) + 1e5));
            }
        }
    }
}

static void test_rates_are_pure_and_finite(void **state) {
    (void)state;
    unsigned long long seed = 5;
    for (int v = 0; v < FIXTURE_VARIANTS; v++) {
        struct regulator_parameters p = fixture_variant(v);
        struct regulator r;
        regulator_prepare(&r, &p);
        double y[2][REGULATOR_STATES_MAX], rate[3][REGULATOR_STATES_MAX];
        for (int i = 0; i < 200; i++) {
            struct regulator_mode mode = fixture_random_state(&r, &seed, y[0]);
            fixture_random_state(&r, &seed, y[1]);
            regulator_derivatives(&r, &mode, 0.0, y[0], rate[0]);
            regulator_derivatives(&r, &mode, 0.0, y[1], rate[1]); // something else in between
            regulator_derivatives(&r, &mode, 0.0, y[0], rate[2]);
            size_t size = (size_t)r.layout.count * sizeof(double);
            assert_memory_equal(rate[0], rate[2], size);
            for (int j = 0; j < r.layout.count; j++) {
                assert_true(isfinite(rate[0][j]));
            }
        }
    }
}

// The short way to the two numbers that a verdict reads gives what the whole evaluation gives, and
// looks at no other state than it says.
static void test_glance_sees_what_is_there(void **state) {
    (void)state;
    unsigned long long seed = 11;
    for (int v = 0; v < FIXTURE_VARIANTS; v++) {
        struct regulator_parameters p = fixture_variant(v);
        struct regulator r;
        regulator_prepare(&r, &p);
        int reads[REGULATOR_GLANCE_STATES];
        const int count = regulator_glance_states(&r, reads);
        for (int i = 0; i < 50; i++) {
            double y[REGULATOR_STATES_MAX], alone[REGULATOR_STATES_MAX];
            double pressure, travel;
            struct regulator_observation whole;
            struct regulator_mode mode = fixture_random_state(&r, &seed, y);
            for (int k = 0; k < r.layout.count; k++) {
                alone[k] = (double)NAN;
            }
            for (int k = 0; k < count; k++) {
                alone[reads[k]] = y[reads[k]];
            }
            assert_int_equal(regulator_observe(&r, &mode, 0.0, y, &whole), 0);
            assert_int_equal(regulator_glance(&r, &mode, 0.0, alone, &pressure, &travel), 0);
            assert_close(pressure, whole.pressure[NODE_CONTROLLED], 0.0, 0.0);
            assert_close(travel, whole.opening_travel, 0.0, 0.0);
        }
    }
}

// Whatever a solver may try, the answer is finite or a refusal; guards are always finite.
static void test_wild_states(void **state) {
    (void)state;
    unsigned long long seed = 7;
    for (int v = 0; v < FIXTURE_VARIANTS; v++) {
        struct regulator_parameters p = fixture_variant(v);
        struct regulator r;
        regulator_prepare(&r, &p);
        for (int i = 0; i < 400; i++) {
            double y[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX], guard[GUARD_COUNT];
            for (int j = 0; j < r.layout.count; j++) {
                double size = pow(10.0, 6.0 * fixture_random(&seed) - 3.0);
                y[j] = (2.0 * fixture_random(&seed) - 1.0) * size * r.layout.slot[j].scale;
            }
            struct regulator_mode mode = regulator_mode_at(&r, 0.0);
            mode.plug = (enum regulator_hold)(i % 3);
            mode.pilot = (enum regulator_hold)(i / 3 % 3);
            int status = regulator_derivatives(&r, &mode, 0.0, y, rate);
            assert_in_range(status, 0, 1);
            for (int j = 0; status == 0 && j < r.layout.count; j++) {
                assert_true(isfinite(rate[j]));
            }
            regulator_guards(&r, &mode, 0.0, y, guard);
            for (int j = 0; j < GUARD_COUNT; j++) {
                assert_true(isfinite(guard[j]));
            }
        }
    }
}

static void test_emptied_volume_is_refused(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_pilot_gas(0.07, 0.0);
    struct regulator r;
    regulator_prepare(&r, &p);
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (r.layout.mass[n] < 0) {
            continue;
        }
        double y[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX];
        struct regulator_mode mode = fixture_rest(&r, 0.001, 4e5, y);
        const double none[] = {-1e-9, 0.0, (double)NAN};
        for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
            y[r.layout.mass[n]] = none[i];
            assert_int_equal(regulator_derivatives(&r, &mode, 0.0, y, rate), 1);
            fixture_rest(&r, 0.001, 4e5, y);
            y[r.layout.energy[n]] = none[i];
            assert_int_equal(regulator_derivatives(&r, &mode, 0.0, y, rate), 1);
            fixture_rest(&r, 0.001, 4e5, y);
        }
    }
}

// Free force on plug and pilot, with one pressure raised.
static struct regulator_observation pushed(const struct regulator *r, enum regulator_node node) {
    double pressure[NODE_COUNT], y[REGULATOR_STATES_MAX];
    for (int n = 0; n < NODE_COUNT; n++) {
        pressure[n] = 4e5 + (n == (int)node ? 1e3 : 0.0);
    }
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    regulator_rest_state(r, &mode, 0.0, &(struct regulator_rest){0.0, 1e-4, pressure}, y);
    struct regulator_observation o;
    regulator_observe(r, &mode, 0.0, y, &o);
    return o;
}

static void test_signs_of_every_build(void **state) {
    (void)state;
    // The table of builds of models/README.md.
    for (int duty = DUTY_BACK_PRESSURE; duty <= DUTY_REDUCING; duty++) {
        double opens = duty == DUTY_BACK_PRESSURE ? 1.0 : -1.0;
        struct regulator_parameters p = fixture_pilot_gas(0.07, 0.0);
        p.duty = (enum regulator_duty)duty;
        p.trim.force_law = TRIM_FORCE_BALANCED;
        p.actuator.case_reference = REFERENCE_ATMOSPHERE;
        p.pilot.exhaust_to = REFERENCE_ATMOSPHERE;
        struct regulator r;
        regulator_prepare(&r, &p);
        struct regulator_observation rest = pushed(&r, NODE_WELL);
        double pilot = pushed(&r, NODE_CAVITY).pilot_free_force - rest.pilot_free_force;
        assert_close(pilot, opens * 1e3 * p.pilot.diaphragm_area, 1e-9, 0.0);
        double feedback = pushed(&r, NODE_CHAMBER).pilot_free_force - rest.pilot_free_force;
        assert_close(feedback, -1e3 * p.pilot.feedback_area, 1e-8, 0.0);
        double plug = pushed(&r, NODE_CHAMBER).free_force - rest.free_force;
        assert_close(plug, 1e3 * p.actuator.diaphragm_area, 1e-9, 0.0);
        p.actuation = ACTUATION_DIRECT;
        p.sense.passage = SENSE_IDEAL;
        regulator_prepare(&r, &p);
        rest = pushed(&r, NODE_WELL);
        plug = pushed(&r, NODE_CONTROLLED).free_force - rest.free_force;
        assert_close(plug, opens * 1e3 * p.actuator.diaphragm_area, 1e-9, 0.0);
        p.set_point = schedule_constant(p.set_point.base + 1e3); // screwed in
        regulator_prepare(&r, &p);
        plug = pushed(&r, NODE_WELL).free_force - rest.free_force;
        assert_close(plug, -opens * 1e3 * p.actuator.diaphragm_area, 1e-9, 0.0);
    }
}

static void test_fluid_force_on_the_plug(void **state) {
    (void)state;
    // E: shut, the drop acts on the port and on half the land, unbalanced share (1 - b) of it: a
    // liquid that leaks over a flat land falls evenly, logarithmically in the radius.
    struct regulator_parameters p = fixture_pilot_gas(0.07, 0.0);
    p.trim.balance = 0.25;
    p.phase = FLUID_LIQUID;
    p.liquid.viscosity = 1e-3;
    p.trim.seat_leak = 1e-9;
    double a = 0.5 * p.trim.port_diameter, b = a + p.trim.seat_land;
    double area = 3.14159265358979 * (b * b - a * a) / (2.0 * log(b / a));
    double force = (4e5 - p.boundary.base) * area * 0.75;
    struct regulator r;
    regulator_prepare(&r, &p);
    assert_close(pushed(&r, NODE_WELL).fluid_force, -force, 1e-9, 0.0); // over the plug: shuts it
    p.trim.direction = TRIM_FLOW_TO_OPEN;
    regulator_prepare(&r, &p);
    assert_close(pushed(&r, NODE_WELL).fluid_force, force, 1e-9, 0.0);
    p.trim.force_law = TRIM_FORCE_BALANCED;
    regulator_prepare(&r, &p);
    assert_close(pushed(&r, NODE_WELL).fluid_force, 0.0, 0.0, 0.0);
}

static void test_force_on_an_open_plug_by_direction(void **state) {
    (void)state;
    // C: the share of a choked gas by the order of curtain and port; r = p2/p1, k 1.27. The bare
    // plug from under: 331 lbf at 44.5 % open (tests/test_trim.c has the share's own derivation).
    struct regulator_parameters p = fixture_pilot_gas(2.9 * INCH, 0.0);
    p.trim.rated_travel = 0.84 * INCH;
    p.trim.seat_land = 0.0;
    p.trim.seat_leak = 0.0;
    p.boundary = schedule_constant(p.atmosphere + 15.0 * PSI);
    const double force[] = {-261.6, 331.2}; // over the plug, under it [lbf]
    for (int under = 0; under < 2; under++) {
        p.trim.direction = under ? TRIM_FLOW_TO_OPEN : TRIM_FLOW_TO_CLOSE;
        struct regulator r;
        regulator_prepare(&r, &p);
        double y[REGULATOR_STATES_MAX];
        struct regulator_mode mode =
            fixture_rest(&r, 0.445 * 0.84 * INCH, p.atmosphere + 69.8 * PSI, y);
        struct regulator_observation o;
        regulator_observe(&r, &mode, 0.0, y, &o);
        assert_close(o.fluid_force / 4.4482216152605, force[under], 0.0, 0.5);
    }
}

static void test_stem_is_pushed_out_of_the_body(void **state) {
    (void)state;
    // E: (pressure over the plug - atmosphere) times the stem's area, always opening: upstream when
    // the flow is over the plug, downstream when it is under it; a balanced plug feels it too.
    struct regulator_parameters p = fixture_pilot_gas(0.07, 0.0);
    for (int under = 0; under < 2; under++) {
        p.trim.direction = under ? TRIM_FLOW_TO_OPEN : TRIM_FLOW_TO_CLOSE;
        for (int balanced = 0; balanced < 2; balanced++) {
            p.trim.force_law = balanced ? TRIM_FORCE_BALANCED : TRIM_FORCE_SERIES;
            struct regulator plain, r;
            p.actuator.stem_diameter = 0.0;
            regulator_prepare(&plain, &p);
            p.actuator.stem_diameter = 0.012;
            regulator_prepare(&r, &p);
            double over = under ? p.boundary.base : 4e5;
            double stem = (over - p.atmosphere) * 0.7853981633974483 * 0.012 * 0.012;
            double force =
                pushed(&r, NODE_WELL).fluid_force - pushed(&plain, NODE_WELL).fluid_force;
            assert_close(force, stem, 1e-9, 0.0);
        }
    }
}

static void test_slow_sense_flow_knows_no_laminar_drop(void **state) {
    (void)state;
    // E: creeping flow through hole and tube (tests/test_line.c); the smoothing of other openings
    // near zero drop plays no part in it, whatever its width.
    const double drop = 1e-3;
    for (double laminar = 0.1; laminar < 1000.0; laminar *= 10.0) {
        struct regulator_parameters p = fixture_pilot_gas(0.07, 0.0);
        p.laminar_drop = laminar;
        struct regulator r;
        regulator_prepare(&r, &p);
        double pressure[NODE_COUNT], y[REGULATOR_STATES_MAX];
        for (int n = 0; n < NODE_COUNT; n++) {
            pressure[n] = 4e5 - (n == NODE_CAVITY ? drop : 0.0);
        }
        struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        regulator_rest_state(&r, &mode, 0.0, &(struct regulator_rest){0.01, 1e-4, pressure}, y);
        struct regulator_observation o;
        regulator_observe(&r, &mode, 0.0, y, &o);
        double d = p.sense.bore, density = 4e5 / r.pressure_per_density;
        double resistance = 24.0 + 128.0 / 3.14159265358979 * p.sense.length / d;
        double slow = density * d * d * d * drop / (p.gas.viscosity * resistance);
        assert_close(o.sense_flow, slow, 1e-3, 0.0);
    }
}

static void test_three_way_pilot_between_its_stops(void **state) {
    (void)state;
    // E: a liquid passes both seats from supply to exhaust; the chamber keeps still where both pass
    // the same: (a_s^2 p_sup + a_e^2 p_exh)/(a_s^2 + a_e^2), a = Cd x seat area. It runs from the
    // exhaust's pressure with the supply shut to the supply's with the exhaust shut.
    struct regulator_parameters p = fixture_pilot_gas(0.07, 0.0);
    p.phase = FLUID_LIQUID;
    p.laminar_drop = 1e-6;
    p.pilot.exhaust = EXHAUST_THREE_WAY;
    p.pilot.exhaust_lap = 5e-4;
    p.pilot.exhaust_to = REFERENCE_ATMOSPHERE;
    struct regulator r;
    regulator_prepare(&r, &p);
    for (double y = 0.0; y < 1.1 * 5e-4; y += 5e-5) {
        double supply = 0.8 * pilot_seat_area(p.pilot.supply_diameter, y);
        double lift = y < 0.98 * 5e-4 ? 5e-4 - y : pilot_exhaust_lift(5e-4, y);
        double exhaust = 0.8 * pilot_seat_area(p.pilot.bleed_diameter, lift);
        double share = supply * supply / (supply * supply + exhaust * exhaust);
        double pressure[NODE_COUNT], state_at[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX];
        for (int n = 0; n < NODE_COUNT; n++) {
            pressure[n] = 4e5;
        }
        pressure[NODE_CHAMBER] = p.atmosphere + share * (4e5 - p.atmosphere);
        struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        regulator_rest_state(&r, &mode, 0.0, &(struct regulator_rest){0.0, y, pressure}, state_at);
        struct regulator_observation o;
        regulator_observe(&r, &mode, 0.0, state_at, &o);
        assert_int_equal(regulator_derivatives(&r, &mode, 0.0, state_at, rate), 0);
        assert_close(o.supply_flow, o.exhaust_flow, 1e-6, 1e-9);
        double passed = 0.8 * pilot_seat_area(p.pilot.supply_diameter, y) *
                        sqrt(2.0 * p.liquid.density * (4e5 - pressure[NODE_CHAMBER]));
        assert_close(o.supply_flow, passed, 1e-6, 1e-6);
    }
}

static void test_vessel_out_of_balance(void **state) {
    (void)state;
    // E: 20.944 ft3 of gas, 100 Mscf/d out of balance -> 0.8121 psi/s (60 degF,
    // ideal).
    struct regulator_parameters p = fixture_still(DUTY_BACK_PRESSURE);
    p.phase = FLUID_GAS;
    p.gas = (struct gas_properties){0.0188, 1.27, 1.0, 1e-5};
    p.isothermal = true;
    p.temperature = 519.67 / 1.8;
    p.controlled.volume = 20.944 * CUBIC_FOOT;
    double density = 14.696 * PSI * 0.0188 / (GAS_CONSTANT * p.temperature);
    p.flow = schedule_constant(100e3 / 86400.0 * CUBIC_FOOT * density);
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, 4.5e5, y);
    assert_int_equal(regulator_derivatives(&r, &mode, 0.0, y, rate), 0);
    double rise = rate[r.layout.mass[NODE_CONTROLLED]] / y[r.layout.mass[NODE_CONTROLLED]] * 4.5e5;
    assert_close(rise / PSI, 0.8121, 0.0, 5e-5);
}

static void test_oil_and_weight_move_with_the_plug(void **state) {
    (void)state;
    // E: acceleration of a falling plug is g times solid mass over solid and oil mass.
    struct regulator_parameters p = fixture_still(DUTY_BACK_PRESSURE);
    p.actuator.stem = STEM_WEIGHT_CLOSES;
    p.actuator.oil = (struct oil_damper_parameters){0.01, 0.004, 0.02, 870.0, 0.05, 0.7, 0.01};
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.5, p.atmosphere, y);
    regulator_derivatives(&r, &mode, 0.0, y, rate);
    double expected = -9.80665 / (1.0 + damper_oil_mass(&p.actuator.oil));
    assert_close(rate[r.layout.speed], expected, 1e-12, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_layout),
        cmocka_unit_test(test_rest_state_reads_back),
        cmocka_unit_test(test_balances_at_random_states),
        cmocka_unit_test(test_rates_are_pure_and_finite),
        cmocka_unit_test(test_glance_sees_what_is_there),
        cmocka_unit_test(test_wild_states),
        cmocka_unit_test(test_emptied_volume_is_refused),
        cmocka_unit_test(test_signs_of_every_build),
        cmocka_unit_test(test_fluid_force_on_the_plug),
        cmocka_unit_test(test_force_on_an_open_plug_by_direction),
        cmocka_unit_test(test_stem_is_pushed_out_of_the_body),
        cmocka_unit_test(test_slow_sense_flow_knows_no_laminar_drop),
        cmocka_unit_test(test_three_way_pilot_between_its_stops),
        cmocka_unit_test(test_vessel_out_of_balance),
        cmocka_unit_test(test_oil_and_weight_move_with_the_plug),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
