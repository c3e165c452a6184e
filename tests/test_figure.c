// SPDX-License-Identifier: MIT
// The table of figures: every row can be found, told, and said in any system of units, and means
// what its name says.
#include "support.h"

#include "fixture_case.h"
#include "fixture_scenario.h"
#include "run/figure.h"

static double figure_of(const struct fixture_case *c, const char *name) {
    const struct figure *f = figure_find(name);
    assert_non_null(f);
    return f->value(&c->run, &c->resolved);
}

static void test_table_describes_itself(void **state) {
    (void)state;
    size_t count = 0;
    for (; figure_at(count); count++) {
        const struct figure *f = figure_at(count);
        assert_ptr_equal(figure_find(f->name), f); // so that names are unique
        assert_true(strlen(f->name) > 0 && strlen(f->name) <= 24);
        assert_true(strspn(f->name, "abcdefghijklmnopqrstuvwxyz_") == strlen(f->name));
        assert_true(strlen(f->help) > 0 && strlen(f->help) <= 46);
        assert_non_null(f->value);
        assert_true(count == 0 || f->group >= figure_at(count - 1)->group);
    }
    assert_true(count > 20);
    assert_null(figure_find("no such figure"));
    assert_null(figure_find(""));
}

static void test_figures_mean_what_they_say(void **state) {
    (void)state;
    struct fixture_case c;
    fixture_case_simulate(&c, decline, "full", NULL);
    const struct equilibrium *rest = equilibrium_choose(&c.run.start.rest);
    const double rated = c.resolved.model.trim.rated_travel;
    assert_close(figure_of(&c, "rest_pressure"), c.resolved.set_pressure, 1e-8, 0.0);
    assert_close(figure_of(&c, "rest_opening"), rest->travel / rated, 1e-15, 0.0);
    assert_close(figure_of(&c, "rest_chamber_pressure"), rest->pressure[NODE_CHAMBER], 0.0, 0.0);
    const struct linear_mode *m = linearise_leading(&c.run.modes);
    assert_close(figure_of(&c, "mode_frequency"), m->frequency, 0.0, 0.0);
    assert_close(figure_of(&c, "mode_damping"), m->damping_ratio, 0.0, 0.0);
    double low = figure_of(&c, "travel_low"), high = figure_of(&c, "travel_high");
    double mean = figure_of(&c, "travel_mean");
    assert_true(low < mean && mean < high);
    assert_close(high - low, figure_of(&c, "travel_swing"), 1e-6, 0.0);
    assert_close(figure_of(&c, "limit_margin"),
                 c.resolved.pressure_limit - figure_of(&c, "pressure_peak"), 1e-12, 0.0);
    assert_close(figure_of(&c, "run_time"), c.run.statistics.end_time, 0.0, 0.0);
    assert_close(figure_of(&c, "seat_contacts"), (double)c.run.seat_count, 0.0, 0.0);
    assert_close(figure_of(&c, "seat_energy"),
                 0.5 * c.run.start.regulator.solid_mass * pow(figure_of(&c, "seat_speed"), 2.0),
                 1e-9, 0.0);
    assert_true(isnan(figure_of(&c, "surge"))); // of a liquid only
    fixture_case_close(&c);
}

static void test_z_says_where_it_comes_from(void **state) {
    (void)state;
    static const char *const row[] = {"z_given", "z_correlation", "z_ideal"};
    static const char *const gas[] = {"{gravity: 0.65, compressibility: 0.93}", "{gravity: 0.65}",
                                      "{molar_mass: 18.8 g/mol}"};
    const double z[] = {0.93, gas_compressibility_gravity(0.65, 2e5, 300.0), 1.0};
    for (int i = 0; i < 3; i++) {
        char text[1024];
        snprintf(text, sizeof text,
                 "duty: reducing\nactuation: direct\nfluid: %s\nvessel: {volume: 0.1 m3}\n"
                 "demand: {rate: 35 kg/h}\ninlet: {pressure: 9 bar(a)}\nset: {pressure: 2 bar(a)}\n"
                 "trim: {port: 20 mm, travel: 3 mm}\n"
                 "actuator: {diaphragm_area: 100 cm2, spring_rate: 20 N/mm, moving_mass: 200 g}\n"
                 "sense: {passage: ideal}\n",
                 gas[i]);
        struct fixture_case c = {.scenario = fixture_load(text)};
        c.resolved = fixture_resolve_with(c.scenario, "fluid.temperature=300 K");
        for (int k = 0; k < 3; k++) {
            double value = figure_of(&c, row[k]);
            if (k == i) {
                assert_close(value, z[i], 1e-12, 0.0);
            } else {
                assert_true(isnan(value));
            }
        }
        fixture_case_close(&c);
    }
    struct fixture_case c = {.scenario = fixture_load(liquid_scenario)};
    c.resolved = fixture_resolve(c.scenario, 0);
    for (int k = 0; k < 3; k++) {
        assert_true(isnan(figure_of(&c, row[k])));
    }
    fixture_case_close(&c);
}

static void test_text(void **state) {
    (void)state;
    struct fixture_case c;
    fixture_case_open(&c, decline, "full", NULL);
    char text[64];
    const struct figure *level = figure_find("rest_pressure");
    figure_text(level, c.resolved.set_pressure, &c.resolved, text, sizeof text);
    assert_string_equal(text, "50 psig");
    figure_text(figure_find("pressure_swing"), 6894.757293168361, &c.resolved, text, sizeof text);
    assert_string_equal(text, "1 psi");
    figure_text(figure_find("rest_opening"), 0.0125, &c.resolved, text, sizeof text);
    assert_string_equal(text, "1.25 %");
    figure_text(figure_find("travel_worn"), 0.254, &c.resolved, text, sizeof text);
    assert_string_equal(text, "10 in/day");
    figure_text(figure_find("seat_rate"), 23.0, &c.resolved, text, sizeof text);
    assert_string_equal(text, "23 1/min");
    figure_text(figure_find("seat_contacts"), 25.0, &c.resolved, text, sizeof text);
    assert_string_equal(text, "25");
    const char *unit = NULL;
    const double none[] = {(double)NAN, (double)INFINITY};
    for (int i = 0; i < 2; i++) {
        figure_text(level, none[i], &c.resolved, text, sizeof text);
        assert_string_equal(text, "-");
        assert_true(isnan(figure_number(level, none[i], &c.resolved, &unit)));
        assert_string_equal(unit, "psig");
    }
    fixture_case_close(&c);
}

// Number and unit of every figure, read back as a user would write them, are the SI value again.
static void check_units(const char *system) {
    struct fixture_case c;
    const char *const changes[] = {system, NULL};
    fixture_case_simulate(&c, decline, "full", changes);
    for (size_t i = 0; figure_at(i); i++) {
        const struct figure *f = figure_at(i);
        const char *unit;
        double value = f->value(&c.run, &c.resolved), si = 0.0;
        double number = figure_number(f, value, &c.resolved, &unit);
        if (!isfinite(value)) {
            continue;
        }
        char text[96], message[UNIT_MESSAGE_SIZE];
        struct quantity q;
        snprintf(text, sizeof text, "%.17g %s", number, unit);
        const char *problem = units_parse(text, f->kind, &q, message);
        if (problem || units_to_si(&c.resolved.site, &q, &si)) {
            fail_msg("%s: '%s' is not read back: %s", f->name, text, problem ? problem : "no SI");
        }
        assert_close(si, value, 1e-9, 1e-9 * fabs(value));
    }
    fixture_case_close(&c);
}

static void test_every_system_of_units(void **state) {
    (void)state;
    check_units("output.units=us");
    check_units("output.units=metric");
    check_units("output.units=si");
}

static void test_what_a_build_lacks_is_none(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(direct_scenario);
    struct fixture_case c = {.scenario = scenario};
    c.resolved = fixture_resolve_with(scenario, "run.duration=0.2 s");
    simulate(&c.resolved, &c.run);
    assert_true(isnan(figure_of(&c, "rest_chamber_pressure")));
    assert_true(isnan(figure_of(&c, "limit_margin"))); // no limit was given
    assert_true(isfinite(figure_of(&c, "rest_pressure")));
    fixture_case_close(&c);
}

static void test_share_of_no_drop(void **state) {
    (void)state;
    // It boils before the trim, so that it chokes at no drop at all.
    const char *const boils[] = {"run.duration=0.3 s", "run.minimum_duration=0.02 s",
                                 "fluid.vapour_pressure=3 MPa(a)", NULL};
    struct fixture_case c;
    fixture_case_simulate(&c, "scenarios/relief-chatter.yaml", "trim", boils);
    assert_true(isinf(c.run.choked_share));
    assert_true(isnan(figure_of(&c, "choked_share")));
    fixture_case_close(&c);
}

static void test_without_a_run(void **state) {
    (void)state;
    struct fixture_case c;
    fixture_case_open(&c, decline, "full", NULL);
    char text[64];
    for (size_t i = 0; figure_at(i); i++) { // none reads beyond an empty record
        figure_text(figure_at(i), figure_at(i)->value(&c.run, &c.resolved), &c.resolved, text,
                    sizeof text);
        assert_true(strlen(text) > 0);
    }
    fixture_case_close(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_table_describes_itself),
        cmocka_unit_test(test_figures_mean_what_they_say),
        cmocka_unit_test(test_z_says_where_it_comes_from),
        cmocka_unit_test(test_text),
        cmocka_unit_test(test_every_system_of_units),
        cmocka_unit_test(test_what_a_build_lacks_is_none),
        cmocka_unit_test(test_share_of_no_drop),
        cmocka_unit_test(test_without_a_run),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
