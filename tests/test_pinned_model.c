// SPDX-License-Identifier: MIT
// Whether the assembled model still says what it said, to the eighth digit: rates and their slopes,
// guards, transitions and what is observed, at random states and in every corner, of builds that
// between them carry every part. Figures of our own
// (fixture_pinned.h): they show a change, and no more. All data are invented.
#include "fixture_pinned.h"
#include "fixture_pinned_builds.h"
#include "models/regulator_lines.h"

// One figure for each thing that is looked at, over all states of a build.
struct looks {
    struct digest rates, slopes, guards, moves, seen, held;
    unsigned long long seed;
    struct regulator r;
};

static void look_at_rates(struct looks *k, const struct regulator_mode *mode, double time,
                          const double *y) {
    static double row[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX];
    const struct regulator_layout *l = &k->r.layout;
    double rate[REGULATOR_STATES_MAX];
    const int none = regulator_derivatives(&k->r, mode, time, y, rate);
    digest_add(&k->rates, none, 1.0);
    for (int i = 0; !none && i < l->count; i++) {
        digest_add(&k->rates, rate[i], 1e-9 * l->slot[i].scale);
    }
    const int flat = regulator_slopes(&k->r, mode, time, y, row);
    digest_add(&k->slopes, flat, 1.0);
    for (int i = 0; !flat && i < l->count; i++) {
        for (int c = 0; c < l->mass_in; c++) {
            digest_add(&k->slopes, row[i * l->mass_in + c],
                       1e-9 * l->slot[i].scale / l->slot[c].scale);
        }
    }
}

static void look_at_meaning(struct looks *k, const struct regulator_mode *mode, double time,
                            const double *y) {
    struct regulator_observation o = {0};
    double as_numbers[sizeof o / sizeof(double)], pressure[PIPE_CELLS_MAX];
    digest_add(&k->seen, regulator_observe(&k->r, mode, time, y, &o), 1.0);
    memcpy(as_numbers, &o, sizeof o);
    digest_add_all(&k->seen, as_numbers, sizeof o / sizeof(double), 1e-6);
    double held, travel;
    if (regulator_glance(&k->r, mode, time, y, &held, &travel) == 0) {
        digest_add_all(&k->held, (const double[]){held, travel}, 2, 1e-6);
    }
    digest_add_all(&k->held, (const double[]){regulator_stored_mass(&k->r, y)}, 1, 1e-6);
    digest_add_all(&k->held, (const double[]){regulator_stored_energy(&k->r, y)}, 1, 1e-3);
    for (int line = 0; line < LINE_COUNT; line++) {
        const int nodes =
            k->r.has_line[line]
                ? regulator_line_pressures(&k->r, (enum regulator_line)line, y, pressure)
                : 0;
        digest_add_all(&k->held, pressure, (size_t)nodes, 1e-3);
    }
}

static void look_at_moves(struct looks *k, const struct regulator_mode *mode, double time,
                          const double *y) {
    const struct regulator_layout *l = &k->r.layout;
    double guard[GUARD_COUNT];
    regulator_guards(&k->r, mode, time, y, guard);
    digest_add_all(&k->guards, guard, GUARD_COUNT, 1e-9);
    digest_add(&k->guards, regulator_penetration(&k->r, mode, y), 1.0);
    // Without a pilot its guards never fire.
    const int guards = l->pilot_travel >= 0 ? GUARD_COUNT : GUARD_PILOT_LOW;
    for (int g = 0; g < guards; g++) {
        struct regulator_mode after = *mode;
        double state[REGULATOR_STATES_MAX];
        memcpy(state, y, sizeof state);
        const struct regulator_transition t =
            regulator_transition(&k->r, &after, time, state, (enum regulator_guard)g);
        digest_add_all(&k->moves,
                       (const double[]){t.event, t.changed, after.plug, after.pilot,
                                        t.approach_speed, t.rebound_speed},
                       6, 1e-6);
        for (int i = 0; i < l->count; i++) {
            digest_add(&k->moves, state[i], 1e-9 * l->slot[i].scale);
        }
    }
}

static void look(struct looks *k, const struct regulator_mode *mode, double time, const double *y) {
    look_at_rates(k, mode, time, y);
    look_at_meaning(k, mode, time, y);
    look_at_moves(k, mode, time, y);
}

// Gas that surges to and fro in the cells.
static void stir_lines(struct looks *k, double *y) {
    const struct regulator_layout *l = &k->r.layout;
    for (int line = 0; line < LINE_COUNT; line++) {
        for (int i = 0; i < l->line_states[line]; i++) {
            const int slot = l->line[line] + i;
            const double share = fixture_random(&k->seed);
            if (i % k->r.pipe[line].stride == 0) {
                y[slot] = 0.2 * (share - 0.5) * l->slot[slot].scale;
            } else {
                y[slot] *= 0.9 + 0.2 * share;
            }
        }
    }
}

// Pressures of the corners: all the same, falling as in service to a choked and an unchoked drop,
// rising.
static void corner_pressures(int corner, bool back, double pressure[NODE_COUNT]) {
    static const double up[] = {5e5, 9e5, 5e5, 3e5}, down[] = {5e5, 1.5e5, 4.2e5, 8e5};
    for (int n = 0; n < NODE_COUNT; n++) {
        pressure[n] = down[corner];
    }
    pressure[NODE_CONTROLLED] = back ? up[corner] : down[corner];
    pressure[NODE_SUPPLY] = pressure[NODE_CAVITY] = up[corner];
    pressure[NODE_INLET] = pressure[NODE_TAP] = pressure[NODE_SENSE] = up[corner];
    pressure[NODE_CHAMBER] = pressure[NODE_LOADING] = 0.5 * (up[corner] + down[corner]);
}

static void look_at_corners(struct looks *k) {
    const struct regulator_parameters *p = &k->r.parameters;
    const struct regulator_layout *l = &k->r.layout;
    static const double place[] = {0.0, -1e-5, 1e-3, 0.1, 0.5, 1.0, 1.001};
    static const double speed[] = {0.0, -0.3, 1e-9, 0.0, 0.4, 1e-3, 0.2};
    const double lap = p->pilot.exhaust_lap / fmax(p->pilot.travel, 1e-9);
    const double lift[] = {0.0, -1e-4, 1e-3, lap, 1.01 * lap, 1.0, 1.0001};
    for (int i = 0; i < 7; i++) {
        double y[REGULATOR_STATES_MAX] = {0.0}, pressure[NODE_COUNT];
        corner_pressures(i % 4, p->duty == DUTY_BACK_PRESSURE, pressure);
        struct regulator_mode mode = regulator_mode_at(&k->r, 0.0);
        const struct regulator_rest rest = {place[i] * p->trim.rated_travel,
                                            lift[i] * p->pilot.travel, pressure};
        regulator_rest_state(&k->r, &mode, 0.0, &rest, y);
        y[l->speed] = speed[i];
        if (l->pilot_speed >= 0) {
            y[l->pilot_speed] = -0.1 * speed[i];
        }
        if (l->plug >= 0) { // on a face of its play, or within it
            y[l->plug] += (i % 3 - 1) * 0.5 * p->actuator.backlash;
        }
        mode.plug = i == 0 ? HOLD_LOW : i == 5 ? HOLD_HIGH : HOLD_FREE;
        mode.pilot = l->pilot_travel < 0 ? HOLD_FREE : mode.plug;
        look(k, &mode, 0.0, y);
        mode.plug = HOLD_FREE;
        look(k, &mode, 0.0, y);
    }
}

// A volume or a cell that is empty, or colder than nothing, is no state.
static void look_at_nothing(struct looks *k, const struct regulator_mode *mode, double *y) {
    for (int i = 0; i < k->r.layout.mass_in; i++) {
        const double kept = y[i];
        double rate[REGULATOR_STATES_MAX];
        for (int sign = 0; sign < 2; sign++) {
            y[i] = sign ? 0.0 : -kept;
            digest_add(&k->held, regulator_derivatives(&k->r, mode, 0.0, y, rate), 1.0);
        }
        y[i] = kept;
    }
}

static void pin_part(const char *build, const char *what, const struct digest *d) {
    char name[PINNED_NAME];
    snprintf(name, sizeof name, "%s, %s", build, what);
    pin_digest(name, d, 1e-7);
}

// What is worked out before a run begins.
static void look_at_preparation(const char *build, const struct regulator *r) {
    struct digest d = {0};
    const struct regulator_layout *l = &r->layout;
    for (int i = 0; i < l->count; i++) {
        digest_add(&d, l->slot[i].scale, 1e-12);
    }
    const int place[] = {l->travel,       l->speed,       l->bristle,       l->plug,
                         l->pilot_travel, l->pilot_speed, l->pilot_bristle, l->sense_flow,
                         l->mass_in,      r->volumes,     r->tap_cell};
    for (size_t i = 0; i < sizeof place / sizeof place[0]; i++) {
        digest_add(&d, place[i], 1.0);
    }
    for (int n = 0; n < NODE_VOLUMES; n++) {
        digest_add_all(&d,
                       (const double[]){l->mass[n], l->energy[n], r->source[n], r->size[n],
                                        r->wall[n], r->compliance[n], r->line_share[n]},
                       7, 1e-12);
    }
    const double value[] = {r->stem_area,        r->pressure_per_density,
                            r->solid_mass,       r->moving_mass,
                            r->weight,           r->action,
                            r->spring_side,      r->heat_ratio,
                            r->vent_area,        r->bleed_area,
                            r->supply_line_area, r->flowline_area,
                            r->tap_area,         r->set_reference,
                            r->tap_share,        r->nozzle.exponent};
    digest_add_all(&d, value, sizeof value / sizeof value[0], 1e-12);
    for (int line = 0; line < LINE_COUNT; line++) {
        const enum regulator_line which = (enum regulator_line)line;
        digest_add(&d, regulator_line_cells_most(&r->parameters, which), 1.0);
        if (r->has_line[line]) {
            digest_add(&d, regulator_line_cells(&r->parameters, which), 1.0);
            digest_add(&d, r->line_far[line], 1.0);
        }
    }
    digest_add(&d, regulator_plug_frequency(&r->parameters), 1e-3);
    struct regulator_band band;
    regulator_band(r, &band);
    digest_add_all(&d, (const double[]){band.banded, band.below, band.above}, 3, 1.0);
    for (int i = 0; i < l->mass_in; i++) {
        digest_add(&d, band.order[i], 1.0);
    }
    int glanced[REGULATOR_GLANCE_STATES];
    const int glances = regulator_glance_states(r, glanced);
    for (int i = 0; i < glances; i++) {
        digest_add(&d, glanced[i], 1.0);
    }
    pin_part(build, "prepared", &d);
}

static void look_at_build(const char *build, const struct regulator_parameters *p) {
    static struct looks k;
    k = (struct looks){.seed = 11};
    regulator_prepare(&k.r, p);
    look_at_preparation(build, &k.r);
    double y[REGULATOR_STATES_MAX] = {0.0};
    for (int i = 0; i < 5; i++) {
        struct regulator_mode mode = fixture_random_state(&k.r, &k.seed, y);
        if (k.r.layout.plug >= 0) {
            y[k.r.layout.plug] += (4.0 * fixture_random(&k.seed) - 2.0) * p->actuator.backlash;
        }
        stir_lines(&k, y);
        mode.plug = i == 3 ? HOLD_LOW : i == 4 ? HOLD_HIGH : HOLD_FREE;
        mode.pilot = k.r.layout.pilot_travel < 0 ? HOLD_FREE : mode.plug;
        look(&k, &mode, 0.3 * i, y);
        if (i == 0) {
            look_at_nothing(&k, &mode, y);
        }
    }
    look_at_corners(&k);
    pin_part(build, "rates", &k.rates);
    pin_part(build, "slopes", &k.slopes);
    pin_part(build, "guards", &k.guards);
    pin_part(build, "transitions", &k.moves);
    pin_part(build, "observed", &k.seen);
    pin_part(build, "held", &k.held);
}

static void test_every_build(void **state) {
    (void)state;
    for (int i = 0; i < FIXTURE_VARIANTS; i++) {
        for (int lines = 0; lines < LINES_COUNT; lines++) {
            struct regulator_parameters p = with_lines(i, lines);
            char name[32];
            snprintf(name, sizeof name, "build %d, lines %d", i, lines);
            look_at_build(name, &p);
        }
    }
}

static const struct trim_table line = {
    .count = 4, .position = {0.0, 0.3, 0.7, 1.0}, .value = {0.0, 0.2, 0.75, 1.0}};

static void test_every_trim(void **state) {
    (void)state;
    for (int i = 0; i < 32; i++) {
        struct regulator_parameters p = fixture_variant(i % 2 ? 9 : 0);
        p.trim.direction = i & 2 ? TRIM_FLOW_TO_OPEN : TRIM_FLOW_TO_CLOSE;
        p.trim.rangeability = 40.0;
        p.trim.shutoff_travel = 0.1 * p.trim.rated_travel;
        p.trim.slot_width = 0.02;
        p.trim.seat_leak = 1e-4;
        p.trim.flow_table = p.trim.force_table = line;
        p.trim.characteristic = (enum trim_characteristic)(i / 4 % 6);
        p.trim.force_law = (enum trim_force_law)(i / 4 % 4);
        p.trim.flow_law = i / 4 == 6 ? TRIM_FLOW_NOZZLE : TRIM_FLOW_STANDARD;
        p.trim.balance = i / 4 % 3 ? 0.0 : 0.4;
        p.trim.rated_area = i / 4 == 1 ? 2e-3 : 0.0;
        if (i / 4 >= 5) {
            p.fittings = (struct fittings_parameters){0.08, 0.15, 0.2};
        }
        p.actuator.stem_diameter = i / 4 == 3 ? 0.012 : 0.0;
        p.actuator.stem = (enum stem_direction)(i / 4 % 3);
        char name[32];
        snprintf(name, sizeof name, "trim %d", i);
        look_at_build(name, &p);
    }
}

// What the shared builds leave out.
static void test_other_parts(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_variant(2);
    p.actuator.seat.law = p.actuator.stop.law = p.pilot.stops.law = CONTACT_COMPLIANT;
    p.actuator.seat.index = 1.5;
    p.pilot.seat_unbalance = 0.8;
    p.sense.tap_bore = 0.1;
    p.well_pressure = 3e6;
    p.flow_reference = 4e5;
    p.controlled.wall_conductance = 50.0;
    look_at_build("touching", &p);
    p.pilot.moving_mass = 0.0;
    p.actuator.stop.law = CONTACT_NONE;
    look_at_build("massless pilot", &p);
    p = fixture_variant(3);
    p.demand = DEMAND_CONSTANT;
    for (int i = 0; i < 3; i++) { // beyond, in and below the fading of a constant demand
        p.demand_outlet = i == 2 ? 8.5e5 : 1e5;
        p.flow_reference = p.demand_outlet + (i == 1 ? 2e7 : 1e6);
        look_at_build(i == 0 ? "demand" : i == 1 ? "demand that fades" : "no demand", &p);
    }
    p = fixture_variant(9);
    p.level = (struct schedule){
        .kind = SCHEDULE_SINE, .base = 0.01, .peak = 0.02, .start = 0.1, .period = 2.0};
    p.flow = (struct schedule){.kind = SCHEDULE_SLUG,
                               .base = 2.0,
                               .peak = 3.0,
                               .start = 0.5,
                               .period = 1.0,
                               .duration = 0.2};
    look_at_build("moving surroundings", &p);
    struct regulator_parameters still = fixture_still(DUTY_REDUCING), ball = fixture_ball(1e-3);
    look_at_build("still", &still);
    look_at_build("ball", &ball);
    struct regulator_parameters relief = fixture_relief_valve(10.0, 1.0, 5.0);
    struct regulator_parameters routh = fixture_routh(97.0, false);
    look_at_build("relief valve", &relief);
    look_at_build("direct gas", &routh);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_build),
        cmocka_unit_test(test_every_trim),
        cmocka_unit_test(test_other_parts),
        cmocka_unit_test(pinned_close),
    };
    pinned_name = "model";
    return cmocka_run_group_tests(tests, pinned_open, NULL);
}
