// SPDX-License-Identifier: MIT
// Slopes of the rates derived by hand (models/regulator_slopes*.c) against a ladder of differences
// of the rates themselves, for every part a build can have. Marks: C the same thing computed
// another way.
#include "fixtures.h"
#include "support.h"

#include "maths/derivative.h"
#include "solve/linearise.h"

#include <string.h>

// Rates as a function of one state.
struct column {
    const struct regulator *regulator;
    const struct regulator_mode *mode;
    double state[REGULATOR_STATES_MAX];
    int slot;
};

static int rates(void *context, double x, double *rate) {
    struct column *c = context;
    c->state[c->slot] = x;
    return regulator_derivatives(c->regulator, c->mode, 0.0, c->state, rate);
}

// Counts entries that are off by more than 1e-6 of themselves, where the difference knows itself
// to be that good; returns how many were compared.
static int compare(const struct regulator *r, const struct regulator_mode *mode, const double *y,
                   int *off) {
    const struct regulator_layout *l = &r->layout;
    double row[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX];
    int n = l->mass_in, compared = 0;
    if (regulator_slopes(r, mode, 0.0, y, row) != 0) {
        return 0;
    }
    struct column column = {.regulator = r, .mode = mode};
    const struct derivative_of of = {rates, &column, (size_t)l->count};
    memcpy(column.state, y, sizeof column.state);
    double rate[REGULATOR_STATES_MAX] = {0.0};
    regulator_derivatives(r, mode, 0.0, y, rate);
    for (int c = 0; c < n; c++) {
        double slope[REGULATOR_STATES_MAX], error[REGULATOR_STATES_MAX];
        column.slot = c;
        derivative_find(&of, y[c], linearise_step(r, y, c), slope, error);
        column.state[c] = y[c];
        for (int i = 0; i < l->count; i++) {
            double exact = row[i * n + c], size = fmax(fabs(exact), fabs(slope[i]));
            // Rounding of the rate, at the ladder's middle steps.
            double rounding = 1e-15 * fabs(rate[i]) / (1e-5 * linearise_step(r, y, c));
            if (!(error[i] <= 1e-7 * size)) {
                if (size > 0.0 &&
                    fabs(exact - slope[i]) > 1e-6 * size + 1e3 * error[i] + rounding) {
                    print_message("%s over %s: %.9g by hand, %.9g (%.1g) by differences\n",
                                  l->slot[i].name, l->slot[c].name, exact, slope[i], error[i]);
                    (*off)++;
                }
                continue;
            }
            compared++;
            if (fabs(exact - slope[i]) > 1e-6 * size + rounding) {
                print_message("%s over %s: %.9g by hand, %.9g by differences\n", l->slot[i].name,
                              l->slot[c].name, exact, slope[i]);
                (*off)++;
            }
        }
    }
    return compared;
}

static int compare_build(const struct regulator_parameters *p, const char *what, int states) {
    struct regulator r;
    regulator_prepare(&r, p);
    unsigned long long seed = 20;
    int compared = 0, off = 0;
    for (int k = 0; k < states; k++) {
        double y[REGULATOR_STATES_MAX] = {0.0};
        struct regulator_mode mode = fixture_random_state(&r, &seed, y);
        if (r.layout.plug >= 0) { // at rest the plug lies exactly on a face of its play
            y[r.layout.plug] += (4.0 * fixture_random(&seed) - 2.0) * p->actuator.backlash;
        }
        // Nor may the ladder's steps cross the corner where the plug shuts.
        if (fabs(y[r.layout.travel]) < 0.003 * p->trim.rated_travel) {
            continue;
        }
        compared += compare(&r, &mode, y, &off);
    }
    print_message("%s: %d entries, %d off\n", what, compared, off);
    assert_true(compared > 15 * states);
    assert_true(off == 0);
    return compared;
}

static void test_every_build(void **state) {
    (void)state; // C
    for (int i = 0; i < FIXTURE_VARIANTS; i++) {
        struct regulator_parameters p = fixture_variant(i);
        char name[32];
        snprintf(name, sizeof name, "build %d", i);
        compare_build(&p, name, 8);
    }
}

static const struct trim_table line = {
    .count = 4, .position = {0.0, 0.3, 0.7, 1.0}, .value = {0.0, 0.2, 0.75, 1.0}};

static void test_every_trim(void **state) {
    (void)state; // C
    for (int liquid = 0; liquid < 2; liquid++) {
        struct regulator_parameters p = fixture_variant(liquid ? 9 : 0);
        for (int c = TRIM_CURTAIN; c <= TRIM_TABLE; c++) {
            p.trim.characteristic = (enum trim_characteristic)c;
            p.trim.rangeability = 40.0;
            p.trim.shutoff_travel = 0.1 * p.trim.rated_travel;
            p.trim.slot_width = 0.02;
            p.trim.flow_table = line;
            p.trim.direction = c % 2 ? TRIM_FLOW_TO_OPEN : TRIM_FLOW_TO_CLOSE;
            compare_build(&p, "characteristic", 4);
        }
        p.trim.characteristic = TRIM_LINEAR;
        p.trim.flow_law = TRIM_FLOW_NOZZLE;
        compare_build(&p, "nozzle", 4);
        p.trim.flow_law = TRIM_FLOW_STANDARD;
        p.fittings = (struct fittings_parameters){0.08, 0.15, 0.2};
        p.trim.seat_land = 3e-3;
        for (int f = TRIM_FORCE_SERIES; f <= TRIM_FORCE_TABLE; f++) {
            p.trim.force_law = (enum trim_force_law)f;
            p.trim.force_table = line;
            p.trim.direction = TRIM_FLOW_TO_CLOSE;
            compare_build(&p, "force", 4);
            p.trim.direction = TRIM_FLOW_TO_OPEN;
            compare_build(&p, "force, flow to open", 4);
        }
    }
}

static void test_parts_that_touch_and_hold(void **state) {
    (void)state; // C
    struct regulator_parameters p = fixture_variant(2);
    p.actuator.seat.law = p.actuator.stop.law = p.pilot.stops.law = CONTACT_COMPLIANT;
    p.actuator.seat.index = 1.5;
    p.actuator.area_loss = 0.2;
    p.pilot.seat_unbalance = 0.8;
    p.sense.tap_bore = 0.1;
    p.well_pressure = 3e6;
    p.flow_reference = 4e5;
    p.controlled.wall_conductance = 50.0;
    compare_build(&p, "touching", 12);
    p.pilot.moving_mass = 0.0;
    compare_build(&p, "without a pilot's mass", 6);
    struct regulator_parameters rigid = fixture_variant(7);
    struct regulator r;
    regulator_prepare(&r, &rigid);
    unsigned long long seed = 3;
    double y[REGULATOR_STATES_MAX] = {0.0};
    struct regulator_mode mode = fixture_random_state(&r, &seed, y);
    y[r.layout.travel] = 0.6 * rigid.trim.rated_travel;
    y[r.layout.speed] = 0.0;
    mode.plug = mode.pilot = HOLD_HIGH;
    int off = 0;
    assert_true(compare(&r, &mode, y, &off) > 20);
    assert_int_equal(off, 0);
}

// Gas that surges to and fro in the cells.
static void stir_lines(const struct regulator *r, unsigned long long *seed, double *y) {
    const struct regulator_layout *l = &r->layout;
    for (int i = 0; i < LINE_COUNT; i++) {
        for (int k = 0; k < l->line_states[i]; k++) {
            double *state = &y[l->line[i] + k], share = fixture_random(seed);
            if (k % r->pipe[i].stride == 0) {
                *state = 0.2 * (share - 0.5) * l->slot[l->line[i] + k].scale;
            } else {
                *state *= 0.9 + 0.2 * share;
            }
        }
    }
}

// All slopes over states of lines lie in the band that the model tells of, or behind it.
static void look_beside_band(const struct regulator *r, const struct regulator_mode *mode,
                             const double *y) {
    double row[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX];
    struct regulator_band band;
    const int n = r->layout.mass_in;
    regulator_band(r, &band);
    assert_int_equal(regulator_slopes(r, mode, 0.0, y, row), 0);
    assert_true(band.banded > 0);
    for (int i = 0; i < band.banded; i++) {
        for (int k = 0; k < band.banded; k++) {
            if (k < i - band.below || k > i + band.above) {
                assert_true(row[band.order[i] * n + band.order[k]] == 0.0);
            }
        }
    }
    bool seen[REGULATOR_STATES_MAX] = {false};
    for (int i = 0; i < n; i++) {
        assert_false(seen[band.order[i]]);
        seen[band.order[i]] = true;
    }
}

static void compare_lines(const struct regulator_parameters *p, const char *what, int states) {
    struct regulator r;
    regulator_prepare(&r, p);
    assert_true(r.has_lines);
    unsigned long long seed = 7;
    int compared = 0, off = 0;
    for (int k = 0; k < states; k++) {
        double y[REGULATOR_STATES_MAX] = {0.0};
        struct regulator_mode mode = fixture_random_state(&r, &seed, y);
        y[r.layout.travel] = p->trim.rated_travel * (0.2 + 0.6 * fixture_random(&seed));
        if (r.layout.plug >= 0) {
            y[r.layout.plug] = y[r.layout.travel] + 2.0 * p->actuator.backlash;
        }
        stir_lines(&r, &seed, y);
        look_beside_band(&r, &mode, y);
        compared += compare(&r, &mode, y, &off);
    }
    print_message("%s: %d entries, %d off\n", what, compared, off);
    assert_true(compared > 40 * states);
    assert_int_equal(off, 0);
}

static struct regulator_parameters with_lines(int variant, int before, int after) {
    struct regulator_parameters p = fixture_variant(variant);
    struct pipe_parameters run = {.length = 3.0,
                                  .bore = 0.08,
                                  .friction = 0.02,
                                  .entrance_loss = 0.5,
                                  .bend_loss = 1.0,
                                  .wall_conductance = 20.0};
    if (before > 0) {
        p.line[LINE_BEFORE] = run;
        p.line[LINE_BEFORE].cells = before;
    }
    if (after > 0) {
        run.far_length = 1.0;
        run.far_bore = 0.1;
        p.line[LINE_AFTER] = run;
        p.line[LINE_AFTER].cells = after;
    }
    return p;
}

static void test_lines(void **state) {
    (void)state; // C
    for (int i = 0; i < FIXTURE_VARIANTS; i++) {
        struct regulator_parameters p = with_lines(i, i % 3 == 1 ? 0 : 5, i % 3 == 2 ? 0 : 4);
        char name[32];
        snprintf(name, sizeof name, "lines at build %d", i);
        compare_lines(&p, name, 2);
        p.line[LINE_SENSE] = (struct pipe_parameters){
            .length = 2.0, .bore = 0.01, .friction = 0.03, .wall_conductance = 2.0};
        p.line[LINE_SENSE].cells = 4;
        compare_lines(&p, "with a sense line", 1);
        p.line[LINE_LOADING] = p.line[LINE_SENSE];
        p.line[LINE_LOADING].length = 5.0;
        compare_lines(&p, "and a loading line", 1);
        p.line[LINE_SUPPLY] = p.line[LINE_SENSE];
        p.line[LINE_SUPPLY].length = 4.0;
        p.line[LINE_SUPPLY].cells = 3;
        compare_lines(&p, "and a supply line", 1);
        // Tapped next to the vessel, between cells, and at the regulator.
        bool back = p.duty == DUTY_BACK_PRESSURE;
        p.sense.tap_on_line = p.line[back ? LINE_BEFORE : LINE_AFTER].length > 0.0;
        const double place[] = {2.9, 1.3, 0.0};
        for (int k = 0; k < 3 && p.sense.tap_on_line; k++) {
            p.sense.tap_distance = place[k] + (back || k == 2 ? 0.0 : 1.0);
            p.line[LINE_SENSE].length = i % 2 ? 2.0 : 0.0;
            compare_lines(&p, "tapped", 1);
        }
    }
    struct regulator_parameters one = with_lines(0, 1, 2), after = with_lines(4, 0, 9);
    compare_lines(&one, "one cell", 2);
    struct regulator_parameters sense = fixture_variant(1);
    sense.line[LINE_SENSE] = (struct pipe_parameters){.length = 2.0, .bore = 0.01};
    sense.line[LINE_SENSE].cells = 9;
    compare_lines(&sense, "sense line alone", 2);
    struct regulator_parameters loading = fixture_variant(1);
    loading.line[LINE_LOADING] = sense.line[LINE_SENSE];
    compare_lines(&loading, "loading line alone", 2);
    for (int from = 0; from < 2; from++) { // the vessel, or a pressure of its own
        struct regulator_parameters supply = fixture_variant(from);
        supply.line[LINE_SUPPLY] = sense.line[LINE_SENSE];
        supply.pilot.supply_from = from ? SUPPLY_STATED : SUPPLY_UPSTREAM;
        supply.pilot_supply_pressure = 8e5;
        compare_lines(&supply, "supply line alone", 2);
    }
    sense.sense.passage = SENSE_IDEAL;
    compare_lines(&sense, "sense line without a cavity", 2);
    after.sense.tap_on_line = true;
    after.sense.tap_distance = 2.0;
    compare_lines(&after, "tapped amid many cells", 2);
    // At the far end both neighbours of the tap are the first cell.
    after.sense.tap_distance = after.line[LINE_AFTER].length + after.line[LINE_AFTER].far_length;
    compare_lines(&after, "tapped at the far end", 2);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lines),
        cmocka_unit_test(test_every_build),
        cmocka_unit_test(test_every_trim),
        cmocka_unit_test(test_parts_that_touch_and_hold),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
