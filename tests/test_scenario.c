// SPDX-License-Identifier: MIT
// What a good scenario becomes: SI parameters, rules for what was left out, schedules, overrides.
#include "support.h"

#include "fixture_scenario.h"
#include "scenario/scenario.h"

#include <stdlib.h>

#define PSI 6894.757293168361

static void scenario_becomes_si(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    assert_int_equal(scenario_trim_count(scenario), 2);
    assert_string_equal(scenario_trim_name(scenario, 1), "reduced");
    assert_int_equal(scenario_trim_find(scenario, "reduced", NULL), 1);
    struct scenario_case full = fixture_resolve(scenario, 0);
    struct scenario_case reduced = fixture_resolve(scenario, 1);
    const double atmosphere = units_standard_atmosphere(1500.0 * 0.3048);
    assert_string_equal(full.title, "invented 3 in regulator");
    assert_string_equal(reduced.trim_name, "reduced");
    assert_close(full.model.trim.port_diameter, 0.073025, 1e-12, 0.0);
    assert_close(reduced.model.trim.port_diameter, 0.04572, 1e-12, 0.0);
    assert_close(full.model.atmosphere, atmosphere, 1e-12, 0.0);
    assert_close(full.set_pressure, atmosphere + 50.0 * PSI, 1e-12, 0.0);
    assert_close(full.model.boundary.base, atmosphere + 15.0 * PSI, 1e-12, 0.0);
    assert_close(full.pressure_limit, atmosphere + 125.0 * PSI, 1e-12, 0.0);
    assert_close(full.model.gas.molar_mass, 0.65 * GAS_AIR_MOLAR_MASS, 1e-12, 0.0);
    assert_close(full.model.flow.base,
                 150000.0 / 86400.0 / 379.483 * 453.59237 * 0.65 * GAS_AIR_MOLAR_MASS, 2e-6, 0.0);
    assert_close(full.model.actuator.preload, 87.0 * 4.4482216152605, 1e-12, 0.0);
    assert_close(full.model.pilot.diaphragm_area, 3.75 * 0.0254 * 0.0254, 1e-12, 0.0);
    assert_int_equal(full.units, UNITS_US);
    scenario_case_free(&full);
    scenario_case_free(&reduced);
    scenario_free(scenario);
}

static void scenario_rules_fill_what_is_left_out(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct scenario_case full = fixture_resolve(scenario, 0);
    const struct friction_parameters *friction = &full.model.actuator.friction;
    assert_close(friction->static_force, 1.3 * friction->kinetic_force, 1e-12, 0.0);
    assert_close(friction->bristle_stiffness, friction->static_force / 20e-6, 1e-12, 0.0);
    assert_close(friction->bristle_damping,
                 sqrt(friction->bristle_stiffness * full.model.actuator.moving_mass), 1e-12, 0.0);
    assert_close(full.model.pilot.friction.static_force, 0.0, 0.0, 0.0);
    assert_close(full.model.gas.compressibility,
                 gas_compressibility_gravity(0.65, full.set_pressure, full.model.temperature),
                 1e-12, 0.0);
    assert_in_range((uintmax_t)(1e8 * full.model.gas.viscosity), 900, 1400);
    assert_close(full.model.flow_reference, full.set_pressure, 1e-12, 0.0);
    assert_close(full.start.pressure, full.set_pressure, 1e-12, 0.0);
    assert_close(full.model.well_pressure, 0.0, 0.0, 0.0);
    assert_close(full.model.trim.rated_area, 0.0, 0.0, 0.0);
    assert_close(full.model.trim.shutoff_travel, 0.05 * full.model.trim.rated_travel, 1e-12, 0.0);
    assert_true(full.run.stop_early);
    assert_true(full.model.actuator.swept_volume);
    assert_false(full.model.isothermal);
    assert_close(full.run.sample_interval, 0.01, 1e-12, 0.0);
    scenario_case_free(&full);
    struct scenario_case still = fixture_resolve_with(scenario, "friction.kinetic=0 N");
    assert_close(still.model.actuator.friction.static_force, 0.0, 0.0, 0.0);
    scenario_case_free(&still);
    struct scenario_case stuck = fixture_resolve_with(scenario, "friction.static=13 N");
    assert_close(stuck.model.actuator.friction.kinetic_force, 0.0, 0.0, 0.0);
    scenario_case_free(&stuck);
    scenario_free(scenario);
}

// A direct-acting regulator is set by its spring: the one follows from the other, both ways.
static void scenario_preload_and_set_pressure(void **state) {
    (void)state;
    struct scenario *reducing = fixture_load(direct_scenario);
    struct scenario_case by_set = fixture_resolve(reducing, 0);
    assert_close(by_set.model.actuator.preload, 100e3 * 0.01, 1e-9, 0.0);
    assert_close(by_set.model.gas.compressibility, 1.0, 0.0, 0.0);
    assert_int_equal(by_set.units, UNITS_METRIC);
    scenario_case_free(&by_set);
    scenario_free(reducing);
    struct scenario *liquid = fixture_load(liquid_scenario);
    struct scenario_case by_preload = fixture_resolve(liquid, 0);
    const double atmosphere = 14.696 * PSI;
    assert_close(by_preload.set_pressure, atmosphere + 1e6, 1e-9, 0.0);
    assert_close(by_preload.model.flow.base, 870.0 * 0.007, 1e-9, 0.0);
    assert_close(by_preload.model.liquid.viscosity, 1e-3, 1e-12, 0.0);
    assert_int_equal(by_preload.model.actuator.stop.law, CONTACT_NONE);
    scenario_case_free(&by_preload);
    scenario_free(liquid);
}

static void scenario_schedules(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct scenario_case c =
        fixture_resolve_with(scenario, "inflow.rate={steps: [[0 s, 10 kg/h], [5 s, 20 kg/h]]}");
    const struct schedule *flow = &c.model.flow;
    assert_int_equal(flow->kind, SCHEDULE_POINTS);
    assert_int_equal(flow->count, 3);
    assert_close(flow->time[1], 5.0, 0.0, 0.0);
    assert_close(flow->time[2], 5.0, 0.0, 0.0);
    assert_close(flow->value[1], 10.0 / 3600.0, 1e-12, 0.0);
    assert_close(flow->value[2], 20.0 / 3600.0, 1e-12, 0.0);
    scenario_case_free(&c);
    c = fixture_resolve_with(
        scenario, "set.pressure={ramp: {from: 50 psig, to: 60 psig, start: 1 s, end: 3 s}}");
    assert_int_equal(c.model.set_point.count, 2);
    assert_close(c.model.set_point.value[1] - c.model.set_point.value[0], 10.0 * PSI, 1e-9, 0.0);
    scenario_case_free(&c);
    c = fixture_resolve_with(scenario,
                             "inflow.rate={slug: {base: 1 kg/h, peak: 9 kg/h, start: 2 s, "
                             "period: 30 s, duration: 8 s}, guess: yes}");
    assert_int_equal(c.model.flow.kind, SCHEDULE_SLUG);
    assert_close(c.model.flow.peak, 9.0 / 3600.0, 1e-12, 0.0);
    assert_close(c.model.flow.period, 30.0, 0.0, 0.0);
    scenario_case_free(&c);
    scenario_free(scenario);
}

static void scenario_knows_where_values_come_from(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct scenario_entry entry;
    assert_true(scenario_provenance(scenario, 0, field_index_of("actuator.preload"), &entry));
    assert_int_equal(entry.provenance, PROVENANCE_GUESS);
    assert_string_equal(entry.text, "87 lbf");
    assert_int_equal(entry.place.line, 20);
    assert_true(scenario_provenance(scenario, 0, field_index_of("trim.port"), &entry));
    assert_int_equal(entry.provenance, PROVENANCE_GIVEN);
    assert_true(entry.from_trim);
    assert_true(scenario_provenance(scenario, 0, field_index_of("friction.static"), &entry));
    assert_int_equal(entry.provenance, PROVENANCE_DEFAULT);
    assert_string_equal(entry.text, "= 1.3 times kinetic");
    assert_true(scenario_provenance(scenario, 0, field_index_of("demand.rate"), &entry));
    assert_int_equal(entry.provenance, PROVENANCE_NONE);
    assert_false(entry.applies);
    assert_false(scenario_provenance(scenario, 0, field_count(), &entry));
    scenario_free(scenario);
}

static void scenario_expectations(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    assert_int_equal(scenario_expect_count(scenario), 1);
    const struct scenario_expect *expect = scenario_expect_at(scenario, 0);
    assert_string_equal(expect->quantity, "verdict");
    assert_string_equal(expect->value, "slamming");
    assert_string_equal(expect->tolerance, "");
    assert_int_equal(expect->place.line, 38);
    assert_null(scenario_expect_at(scenario, 1));
    scenario_free(scenario);
}

// Line ends and byte order marks of other systems change nothing.
static void scenario_reads_text_of_other_systems(void **state) {
    (void)state;
    char *text = calloc(1, 2 * sizeof direct_scenario + 4);
    assert_non_null(text);
    char *out = text;
    for (const char *mark = "\xef\xbb\xbf"; *mark; ++mark) {
        *out++ = *mark;
    }
    for (const char *c = direct_scenario; *c; ++c) {
        if (*c == '\n') {
            *out++ = '\r';
        }
        *out++ = *c;
    }
    struct scenario *scenario = fixture_load(text);
    struct scenario_case c = fixture_resolve(scenario, 0);
    assert_close(c.model.controlled.volume, 0.010, 1e-12, 0.0);
    scenario_case_free(&c);
    scenario_free(scenario);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(scenario_becomes_si),
        cmocka_unit_test(scenario_rules_fill_what_is_left_out),
        cmocka_unit_test(scenario_preload_and_set_pressure),
        cmocka_unit_test(scenario_schedules),
        cmocka_unit_test(scenario_knows_where_values_come_from),
        cmocka_unit_test(scenario_expectations),
        cmocka_unit_test(scenario_reads_text_of_other_systems),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
