// SPDX-License-Identifier: MIT
// Hardware that exists: the table is whole, a shell's gas space follows from geometry, and draws of
// what `starter` writes are regulators a shop would know. Bands of strokes, build-up, droop and
// friction: common practice, no source. What is measured here is computed by hand (isothermal
// filling, plug at balance), apart from the program's own equations.
//
// `test_hardware 500` prints the shares of 500 draws of each body.
#include "fixture_hardware.h"

#include "among/uncertainty.h"
#include "field/field.h"
#include "hardware/hardware.h"
#include "hardware/starter.h"
#include "hardware/vessel_size.h"

#include <stdlib.h>

#define PSI 6894.757293168361
#define INCH 0.0254
#define FOOT 0.3048
#define CUBIC_FOOT (FOOT * FOOT * FOOT)

// --- Vessels

// Shell 24 in x 10 ft: pi/4 x 2^2 x 10 = 31.416 ft3. Lying, a level at a quarter of the diameter
// leaves a segment of cos a = -1/2: 1/3 - sqrt(3)/(4 pi) = 0.19550 is liquid (plane geometry).
static void gas_space_by_geometry(void **state) {
    (void)state;
    struct vessel_size size = {24.0 * INCH, 10.0 * FOOT, false};
    assert_close(vessel_gas_space(&size, 0.0) / CUBIC_FOOT, 31.416, 1e-5, 0.0);
    assert_close(vessel_gas_space(&size, 1.0 / 3.0) / CUBIC_FOOT, 20.944, 1e-5, 0.0);
    size.horizontal = true;
    const double whole = 31.41592653589793, pi = 3.14159265358979;
    assert_close(vessel_gas_space(&size, 0.0) / CUBIC_FOOT, whole, 1e-12, 0.0);
    assert_close(vessel_gas_space(&size, 0.5) / CUBIC_FOOT, 0.5 * whole, 1e-12, 0.0);
    const double liquid = 1.0 / 3.0 - sqrt(3.0) / (4.0 * pi);
    assert_close(vessel_gas_space(&size, 0.25) / CUBIC_FOOT, (1.0 - liquid) * whole, 1e-12, 0.0);
    assert_close(vessel_gas_space(&size, 0.75) / CUBIC_FOOT, liquid * whole, 1e-12, 0.0);
    assert_close(vessel_gas_space(&size, 1.0), 0.0, 0.0, 1e-12);
}

// --- The table

// Is there a regulator that is of both?
static bool meet(enum hardware_builds a, enum hardware_builds b) {
    const unsigned duty = (a & HARDWARE_DUTY) && (b & HARDWARE_DUTY) ? HARDWARE_DUTY : 0U;
    return (a & b & HARDWARE_ANY) != 0 && (duty == 0 || (a & b & duty) != 0);
}

static void rows_are_whole(void **state) {
    (void)state;
    for (size_t i = 0; i < hardware_count(); i++) {
        const struct hardware_row *row = hardware_at(i);
        const struct field *field = field_at(field_index_of(row->field));
        assert_non_null(field);
        assert_true(field->type == FIELD_NUMBER);
        assert_true((row->builds & HARDWARE_ANY) != 0);
        assert_true(0.0 < row->low && row->low < row->typical && row->typical < row->high);
        assert_true(row->reason[0] != '\0' && row->measure[0] != '\0');
        assert_true(fabs(row->tie) < 1.0 && (row->group != 0) == (row->tie != 0.0));
        for (size_t k = 0; k < i; k++) { // one row a build
            const struct hardware_row *other = hardware_at(k);
            assert_false(strcmp(row->field, other->field) == 0 && meet(row->builds, other->builds));
        }
    }
    assert_null(hardware_at(hardware_count()));
    assert_null(hardware_find("pilot.bleed", HARDWARE_DIRECT));
    assert_null(hardware_find("set.pressure", HARDWARE_ANY));
}

// A 3 in body: main spring of 100 to 350 lbf/in, diaphragm of 3 to 8 port areas, land of 1 to 4 %
// of the port (common practice, no source), whatever the set pressure above the lowest.
static void three_inch_body(void **state) {
    (void)state;
    struct hardware_build build = {.kind = HARDWARE_BLEED, .body = 3.0 * INCH};
    build.port = hardware_port(build.body);
    const double port_area = 0.25 * 3.14159265358979 * build.port * build.port;
    for (int set = 25; set <= 1000; set += 325) {
        build.set = set * PSI;
        struct sample_range r =
            hardware_range(hardware_find("actuator.spring_rate", HARDWARE_BLEED), &build);
        assert_close(r.low / 175.126835, 100.0, 0.02, 0.0);
        assert_close(r.high / 175.126835, 350.0, 0.02, 0.0);
        r = hardware_range(hardware_find("actuator.diaphragm_area", HARDWARE_BLEED), &build);
        assert_close(r.low / port_area, 3.0, 1e-9, 0.0);
        assert_close(r.high / port_area, 8.0, 1e-9, 0.0);
        r = hardware_range(hardware_find("trim.seat_land", HARDWARE_BLEED), &build);
        assert_close(r.low / build.port, 0.01, 1e-9, 0.0);
        assert_close(r.high / build.port, 0.04, 1e-9, 0.0);
    }
}

// --- Draws of what starter writes

enum { DRAWS = 200 };

enum {
    OPENS, // fully, at the lowest set pressure, through its friction
    SHUTS, // at the set pressure, through its friction
    STROKE_OPEN,
    STROKE_SHUT,
    BENCH,    // rise or droop of the held pressure from just open to fully open, without a drop
    BUILD_UP, // the same with the drop of the service
    DEAD_BAND,
    CHECKS
};

static const char *const check_name[CHECKS] = {
    "opens fully at the lowest set", "shuts at set",        "stroke open", "stroke shut",
    "build-up on the bench",         "build-up in service", "dead band"};

struct tally {
    size_t draws;
    double sum[CHECKS];
    size_t within[CHECKS], below[CHECKS], above[CHECKS];
};

static void count(struct tally *tally, int check, double value, double low, double high) {
    tally->sum[check] += isfinite(value) ? value : 0.0;
    tally->below[check] += value < low;
    tally->above[check] += value > high;
    tally->within[check] += value >= low && value <= high;
}

// The bands, by body size in inches where they grow with it.
static void measure(struct tally *tally, const struct scenario_case *resolved, double body) {
    const struct regulator_parameters *m = &resolved->model;
    const double set = schedule_value(&m->set_point, 0, 0.0) - m->atmosphere;
    const double other = schedule_value(&m->boundary, 0, 0.0), held = m->atmosphere + set;
    const bool back = m->duty == DUTY_BACK_PRESSURE;
    const struct service at = {back ? held : other, back ? other : held,
                               m->actuator.case_reference == REFERENCE_ATMOSPHERE ? m->atmosphere
                               : back                                             ? other
                                                                                  : held};
    // Longer in larger bodies, as the square root of their size; 2 and 3 in share a band.
    const double longer = body < 2.0 || body > 3.0 ? sqrt(body / 2.5) : 1.0;
    tally->draws++;
    const double shut = m->actuation == ACTUATION_DIRECT
                            ? 0.1 * set * m->actuator.diaphragm_area
                            : m->actuator.preload + plug_force(m, &at, 0.0);
    count(tally, SHUTS, shut / m->actuator.friction.static_force, 1.0, 1e9);
    const struct service bench = {at.up, at.up, at.out};
    count(tally, BENCH, build_up(m, &bench, set), m->actuation == ACTUATION_DIRECT ? 0.05 : 0.02,
          0.2);
    count(tally, BUILD_UP, build_up(m, &at, set), m->actuation == ACTUATION_DIRECT ? 0.05 : 0.02,
          0.2);
    count(tally, DEAD_BAND,
          2.0 * m->actuator.friction.kinetic_force /
              (m->actuator.spring_rate * m->trim.rated_travel),
          0.01, 0.05);
    // A direct one is opened by its own pressure, as far as that takes: see the droop.
    if (m->actuation == ACTUATION_PILOT) {
        count(tally, OPENS, opens_at_lowest(m, set), 1.0, 1.0);
        count(tally, STROKE_OPEN, stroke(m, &at, true), 1.0 * longer, 4.0 * longer);
        count(tally, STROKE_SHUT, stroke(m, &at, false), 1.0 * longer, 6.0 * longer);
    }
}

static struct scenario *started(const struct starter_inputs *inputs) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    struct diagnostics list = {0};
    assert_non_null(out);
    assert_true(starter_write(out, inputs, &list));
    assert_int_equal(fclose(out), 0);
    struct scenario *scenario = scenario_load_text("starter.yaml", text, size, &list);
    diagnostics_print(&list, stderr);
    assert_non_null(scenario);
    assert_int_equal(list.errors, 0);
    diagnostics_free(&list);
    free(text);
    return scenario;
}

// Draw what starter writes as `uncertainty` does, and measure each draw.
static struct tally draw(const struct starter_inputs *inputs, double body, size_t draws) {
    struct tally tally = {0};
    struct scenario *scenario = started(inputs);
    struct uncertainty *study = calloc(1, sizeof *study);
    struct study_job job = {.scenario = scenario, .path = "starter.yaml"};
    char message[300];
    assert_non_null(study);
    study->trim_count = 1;
    study->draws = draws;
    study->seed = 1;
    study->kind = hardware_kind(
        inputs->actuation, inputs->three_way ? EXHAUST_THREE_WAY : EXHAUST_BLEED, inputs->duty);
    study->back_pressure = inputs->duty == DUTY_BACK_PRESSURE;
    study->table_ranges = study->table_shapes = study->table_ties = true;
    assert_true(
        uncertainty_collect(study, scenario, 0.2, SAMPLE_TRIANGULAR, message, sizeof message));
    assert_int_equal(uncertainty_plan(study, &job), STUDY_DONE);
    for (size_t i = 0; i < draws; i++) {
        struct scenario_case resolved;
        struct diagnostics list = {0};
        for (size_t k = 0; k < study->input_count; k++) {
            assert_true(scenario_set_si(scenario, study->input[k].field,
                                        uncertainty_drawn(study, 0, i, k)));
        }
        const bool resolves = scenario_resolve(scenario, 0, &resolved, &list);
        diagnostics_print(&list, stderr);
        assert_true(resolves);
        measure(&tally, &resolved, body);
        scenario_case_free(&resolved);
        diagnostics_free(&list);
    }
    uncertainty_free(study);
    free(study);
    scenario_free(scenario);
    return tally;
}

struct body {
    const char *name;
    double inches;
    const char *flow;
};

static const struct body bodies[] = {{"1 in", 1.0, "20 Mscf/d"},
                                     {"2 in", 2.0, "70 Mscf/d"},
                                     {"3 in", 3.0, "0.15 MMscf/d"},
                                     {"4 in", 4.0, "0.3 MMscf/d"},
                                     {"6 in", 6.0, "0.6 MMscf/d"}};

static struct starter_inputs inputs_of(const struct body *body) {
    return (struct starter_inputs){.body = body->name,
                                   .set_pressure = "50 psig",
                                   .other_pressure = "15 psig",
                                   .flow = body->flow,
                                   .vessel = "15 ft3"};
}

// Shares of the draws within their band, on both sides. What lies outside, and why:
// opening: weak diaphragm on a stiff spring, or a bleed as large as the supply, so that the chamber
// gets half of the set pressure; strokes: the fastest pilots on the smallest actuators (and one
// band for 2 and 3 in); bench: small feedback area and long pilot spring; service: the push of the
// flow on the plug falls as it opens, by 0.4 to 0.7 of the drop on the port, which a soft spring
// hardly outruns: the chamber need not rise, and the plug goes fully open within less than 2 %;
// dead band: friction and spring are drawn apart.
static const struct {
    int check;
    double least, most; // pilots
    double direct_least, direct_most;
} expected[] = {
    {OPENS, 0.94, 1.0, 0.0, 0.0},        {SHUTS, 0.995, 1.0, 0.995, 1.0},
    {STROKE_OPEN, 0.8, 0.995, 0.0, 0.0}, {STROKE_SHUT, 0.92, 1.0, 0.0, 0.0},
    {BENCH, 0.8, 1.0, 0.97, 1.0},        {BUILD_UP, 0.08, 0.4, 0.94, 1.0},
    {DEAD_BAND, 0.78, 0.92, 0.84, 0.95},
};

static void assert_shares(const struct tally *tally, bool direct) {
    for (size_t i = 0; i < sizeof expected / sizeof expected[0]; i++) {
        const int c = expected[i].check;
        const double share = (double)tally->within[c] / (double)tally->draws;
        const double least = direct ? expected[i].direct_least : expected[i].least;
        const double most = direct ? expected[i].direct_most : expected[i].most;
        if (!(share >= least && share <= most)) {
            fail_msg("%s: share %.3f, expected %.3f to %.3f", check_name[c], share, least, most);
        }
    }
}

static void draws_are_hardware(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof bodies / sizeof bodies[0]; i++) {
        struct starter_inputs inputs = inputs_of(&bodies[i]);
        struct tally tally = draw(&inputs, bodies[i].inches, DRAWS);
        assert_shares(&tally, false);
        inputs.three_way = inputs.pilot_said = true;
        tally = draw(&inputs, bodies[i].inches, DRAWS);
        assert_shares(&tally, false);
        inputs = inputs_of(&bodies[i]);
        inputs.actuation = ACTUATION_DIRECT;
        tally = draw(&inputs, bodies[i].inches, DRAWS);
        assert_shares(&tally, true);
    }
}

// A reducing one of either kind: all draws resolve, and the direct one droops by 5 to 20 % in most;
// with 50 psi of drop some droop less, since the push of the flow on the plug falls as it opens.
static void reducing_draws(void **state) {
    (void)state;
    struct starter_inputs inputs = inputs_of(&bodies[2]);
    inputs.duty = DUTY_REDUCING;
    inputs.other_pressure = "100 psig";
    struct tally tally = draw(&inputs, 3.0, DRAWS);
    assert_in_range(tally.within[OPENS], DRAWS * 94 / 100, DRAWS);
    assert_in_range(tally.within[STROKE_OPEN], DRAWS * 85 / 100, DRAWS * 98 / 100);
    inputs.actuation = ACTUATION_DIRECT;
    tally = draw(&inputs, 3.0, DRAWS);
    assert_in_range(tally.within[BUILD_UP], DRAWS * 84 / 100, DRAWS * 93 / 100);
    assert_int_equal(tally.above[BUILD_UP], 0);
}

// What takes the build-up away in service is the push of the flow on the plug, which is in
// proportion to the drop: at 20 psi, the least the body serves, instead of 35 psi many more lie in
// the band.
static void drop_takes_the_build_up(void **state) {
    (void)state;
    struct starter_inputs inputs = inputs_of(&bodies[2]);
    const struct tally large = draw(&inputs, 3.0, DRAWS);
    inputs.other_pressure = "30 psig";
    const struct tally small = draw(&inputs, 3.0, DRAWS);
    print_message("build-up in service within its band: %zu of %d at 35 psi, %zu at 20 psi\n",
                  large.within[BUILD_UP], DRAWS, small.within[BUILD_UP]);
    assert_true((double)small.within[BUILD_UP] > 1.5 * (double)large.within[BUILD_UP]);
    assert_true(large.below[BUILD_UP] > small.below[BUILD_UP]);
}

// Not of today's pressure drop, nor of the flow: the same text but for what was given.
static void hardware_knows_no_drop(void **state) {
    (void)state;
    static const char *const fields[] = {"actuator.spring_rate", "actuator.preload",
                                         "actuator.diaphragm_area", "pilot.supply_seat",
                                         "friction.kinetic"};
    struct starter_inputs inputs = inputs_of(&bodies[2]);
    struct scenario *one = started(&inputs);
    inputs.other_pressure = "45 psig";
    inputs.flow = "1 MMscf/d";
    struct scenario *two = started(&inputs);
    inputs.full = "1 3/4 in"; // a smaller port keeps the body's actuator
    struct scenario *port = started(&inputs);
    for (size_t i = 0; i < sizeof fields / sizeof fields[0]; i++) {
        const double value = scenario_get_si(one, 0, fields[i]);
        double low, high;
        assert_true(scenario_get_si(two, 0, fields[i]) == value);
        assert_true(scenario_get_si(port, 0, fields[i]) == value);
        assert_true(scenario_get_range(one, 0, fields[i], &low, &high));
        assert_true(low < value && value < high);
    }
    assert_close(scenario_get_si(port, 0, "trim.port"), 1.75 * INCH, 1e-12, 0.0);
    assert_close(scenario_get_si(port, 0, "trim.seat_land"), 0.02 * 1.75 * INCH, 1e-9, 0.0);
    scenario_free(one);
    scenario_free(two);
    scenario_free(port);
}

static void print_tally(const char *what, const struct tally *tally) {
    printf("%s: %zu draws\n", what, tally->draws);
    for (int c = 0; c < CHECKS; c++) {
        const size_t all = tally->within[c] + tally->below[c] + tally->above[c];
        if (all > 0) {
            printf("  %-32s within %5.1f %%  below %5.1f %%  above %5.1f %%; mean %.4g\n",
                   check_name[c], 100.0 * (double)tally->within[c] / (double)all,
                   100.0 * (double)tally->below[c] / (double)all,
                   100.0 * (double)tally->above[c] / (double)all, tally->sum[c] / (double)all);
        }
    }
}

static void print_all(size_t draws) {
    static const struct {
        const char *name;
        enum regulator_duty duty;
        enum regulator_actuation actuation;
        bool three_way;
        const char *other;
    } builds[] = {
        {"pilot with bleed", DUTY_BACK_PRESSURE, ACTUATION_PILOT, false, "15 psig"},
        {"three-way pilot", DUTY_BACK_PRESSURE, ACTUATION_PILOT, true, "15 psig"},
        {"direct", DUTY_BACK_PRESSURE, ACTUATION_DIRECT, false, "15 psig"},
        {"pilot with bleed, little drop", DUTY_BACK_PRESSURE, ACTUATION_PILOT, false, "30 psig"},
        {"reducing, pilot with bleed", DUTY_REDUCING, ACTUATION_PILOT, false, "100 psig"},
        {"reducing, direct", DUTY_REDUCING, ACTUATION_DIRECT, false, "100 psig"},
    };
    for (size_t k = 0; k < sizeof builds / sizeof builds[0]; k++) {
        for (size_t i = 0; i < sizeof bodies / sizeof bodies[0]; i++) {
            struct starter_inputs inputs = inputs_of(&bodies[i]);
            inputs.duty = builds[k].duty;
            inputs.actuation = builds[k].actuation;
            inputs.three_way = inputs.pilot_said = builds[k].three_way;
            inputs.other_pressure = builds[k].other;
            const struct tally tally = draw(&inputs, bodies[i].inches, draws);
            char what[80];
            snprintf(what, sizeof what, "%s, %s", bodies[i].name, builds[k].name);
            print_tally(what, &tally);
        }
    }
}

int main(int argc, char **argv) {
    if (argc == 2) {
        print_all((size_t)atol(argv[1]));
        return 0;
    }
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gas_space_by_geometry),  cmocka_unit_test(rows_are_whole),
        cmocka_unit_test(three_inch_body),        cmocka_unit_test(draws_are_hardware),
        cmocka_unit_test(reducing_draws),         cmocka_unit_test(drop_takes_the_build_up),
        cmocka_unit_test(hardware_knows_no_drop),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
