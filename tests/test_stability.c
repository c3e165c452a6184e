// SPDX-License-Identifier: MIT
// Linear stability as `lowlift stability` computes it: neutral flows against published and exact
// ones, outcomes without a neutral flow, and what drives a swing against closed forms.
#include "fixture_case.h"
#include "fixtures.h"

#include "steady/driver.h"

static const double PI = 3.14159265358979323846;
static const double FLOW = 3.1622776601683795e-4 * 1000.0; // scale of the relief valve [kg/s]

// A subject from parameters alone, its set screw not to be touched.
static struct steadiness subject_of(const struct regulator_parameters *p) {
    struct scenario_case c = {.model = *p, .set_pressure = 2e5};
    struct steadiness subject;
    assert_true(steadiness_prepare(&c, &subject));
    return subject;
}

static struct steadiness_window relief_window(const struct regulator_parameters *p) {
    struct steadiness subject = subject_of(p);
    return steadiness_lowest_flow(&subject, 0.5 * FLOW, 20.0 * FLOW);
}

static double only_neutral_flow(const struct steadiness_window *w) {
    assert_int_equal(w->range, STEADINESS_FROM);
    assert_true(w->monotone && w->high_passed);
    assert_int_equal(w->count, 1);
    assert_int_equal(w->change[0].below, STEADINESS_UNSTEADY);
    assert_int_equal(w->change[0].above, STEADINESS_STEADY);
    assert_close(w->lowest, w->change[0].flow, 1e-5, 0.0);
    return w->change[0].flow / FLOW;
}

// Sources: Licsko, Champneys, Hos, IAENG IJAM 39:4 (2009); parameter set of Hegedus,
// arXiv:1810.03931 (P); results C and E.
static void test_published_hopf_points(void **state) {
    (void)state;
    // E: kappa 1.25: q_H 8.491118, omega 3.090709 (1e-4); kappa 1.0: 10.168809; 1.5: 7.291198.
    const double kappa[] = {1.25, 1.0, 1.5}, flow[] = {8.491118, 10.168809, 7.291198};
    for (int i = 0; i < 3; i++) {
        struct regulator_parameters p = fixture_relief_valve(20.0, kappa[i], 5.0);
        struct steadiness_window w = relief_window(&p);
        assert_close(only_neutral_flow(&w), flow[i], 1e-4, 0.0);
        if (i == 0) {
            assert_close(w.change[0].frequency, 3.090709e3 / (2.0 * PI), 1e-4, 0.0);
        }
    }
}

static void test_larger_volume_is_less_steady_here(void **state) {
    (void)state; // C: beta 20 / 40 / 200 gives 8.49 / 5.72 / 2.39; beta falls as 1/V
    const double beta[] = {20.0, 40.0, 200.0}, flow[] = {8.49, 5.72, 2.39};
    for (int i = 0; i < 3; i++) {
        struct regulator_parameters p = fixture_relief_valve(beta[i], 1.25, 5.0);
        struct steadiness_window w = relief_window(&p);
        assert_close(only_neutral_flow(&w), flow[i], 0.0, 6e-3);
    }
}

static void test_swept_volume_steadies_the_relief_valve(void **state) {
    (void)state; // C: with swept volume on, 5.037
    struct regulator_parameters p = fixture_relief_valve(20.0, 1.25, 5.0);
    p.actuator.swept_volume = true;
    struct steadiness_window w = relief_window(&p);
    assert_close(only_neutral_flow(&w), 5.037, 2e-4, 0.0);
}

static void test_exact_routh_limit(void **state) {
    (void)state;
    // E (class of problem: Tsai and Cassidy, ASME J. Basic Eng. 83, 1961): neutral at a damping of
    // 97.44759 N s/m and 50.93762 Hz.
    double low = 50.0, high = 200.0;
    struct steadiness_settled s = {.growth = 0.0};
    while (high - low > 1e-4) {
        struct regulator_parameters p = fixture_routh(0.5 * (low + high), true);
        struct steadiness subject = subject_of(&p);
        s = steadiness_settled(&subject, subject.flow);
        assert_close(s.travel, 1e-3, 1e-6, 0.0);
        assert_close(s.pressure, 2e5, 1e-6, 0.0);
        assert_int_equal(s.rest, s.growth < 0.0 ? STEADINESS_STEADY : STEADINESS_UNSTEADY);
        *(s.growth > 0.0 ? &low : &high) = 0.5 * (low + high);
    }
    assert_close(low, 97.44759, 1e-5, 0.0);
    assert_close(s.frequency, 50.93762, 1e-5, 0.0);
}

// --- The demo and its set screw

static void open_demo(struct fixture_case *c, const char *trim, const char *const *overrides,
                      struct steadiness *subject) {
    fixture_case_open(c, decline, trim, overrides);
    assert_true(steadiness_prepare(&c->resolved, subject));
}

static void test_screw_stays_where_it_was_turned(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    open_demo(&c, "reduced", NULL, &subject);
    double set = c.resolved.set_pressure;
    assert_close(steadiness_settled(&subject, subject.flow).pressure, set, 1e-9, 0.0);
    // More flow needs more opening, and that more pressure: the regulator's own droop.
    double psi = 6894.757293168361;
    assert_true(steadiness_settled(&subject, 10.0 * subject.flow).pressure > set + 2.0 * psi);
    assert_true(steadiness_settled(&subject, 0.2 * subject.flow).pressure < set - 0.1 * psi);
    fixture_case_close(&c);
}

static void test_neutral_flow_does_not_know_the_laminar_drop(void **state) {
    (void)state;
    // Through a laminar sense line no opening is at rest without flow: below which drop an opening
    // turns laminar may then change nothing (0.1 %).
    static const char *const drop[] = {"fluid.laminar_drop=0.1 Pa", "fluid.laminar_drop=5 Pa",
                                       "fluid.laminar_drop=50 Pa", "fluid.laminar_drop=200 Pa"};
    double neutral[2][4];
    for (int set = 0; set < 2; set++) {
        for (int i = 0; i < 4; i++) {
            const char *overrides[] = {drop[i],
                                       "sense.passage=laminar",
                                       "sense.length=3 ft",
                                       "vessel.pressure_limit=400 psig",
                                       set ? "set.pressure=300 psig" : "set.pressure=50 psig",
                                       NULL};
            struct fixture_case c;
            struct steadiness subject;
            open_demo(&c, set ? "reduced" : "full", overrides, &subject);
            struct steadiness_window w =
                steadiness_lowest_flow(&subject, subject.flow, 100.0 * subject.flow);
            assert_true(w.count > 0);
            neutral[set][i] = w.change[0].flow;
            assert_close(neutral[set][i], neutral[set][0], 1e-3, 0.0);
            fixture_case_close(&c);
        }
    }
    assert_true(fabs(neutral[0][0] / neutral[1][0] - 1.0) > 0.1); // two different flows
}

static void test_honest_outcomes(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    open_demo(&c, "reduced", NULL, &subject);
    double flow = subject.flow;
    struct steadiness_window w = steadiness_lowest_flow(&subject, 0.1 * flow, 100.0 * flow);
    assert_int_equal(w.range, STEADINESS_EVERYWHERE);
    assert_int_equal(w.count, 0);
    assert_false(w.high_passed);
    assert_close(w.lowest, 0.1 * flow, 0.0, 0.0);
    // Just below the top it rests short of its stop, just above it does not.
    assert_int_equal(steadiness_settled(&subject, 0.9999 * w.top).rest, STEADINESS_STEADY);
    assert_int_equal(steadiness_settled(&subject, 1.001 * w.top).rest, STEADINESS_WIDE_OPEN);
    w = steadiness_lowest_flow(&subject, 50.0 * flow, 100.0 * flow);
    assert_int_equal(w.range, STEADINESS_NOT_PASSED);
    fixture_case_close(&c);

    open_demo(&c, "full", NULL, &subject);
    w = steadiness_lowest_flow(&subject, 0.1 * flow, flow);
    assert_int_equal(w.range, STEADINESS_NOWHERE);
    assert_true(isnan(w.lowest) && w.high_passed && w.count == 0);
    w = steadiness_lowest_flow(&subject, 0.1 * flow, 40.0 * flow);
    double neutral = w.lowest;
    assert_int_equal(w.range, STEADINESS_FROM);
    assert_true(steadiness_settled(&subject, 1.001 * neutral).growth < 0.0);
    assert_true(steadiness_settled(&subject, 0.999 * neutral).growth > 0.0);
    fixture_case_close(&c);
}

static void test_several_neutral_flows(void **state) {
    (void)state; // no outside source: a build that is steady in two pockets, each end checked
    struct fixture_case c;
    static const char *const overrides[] = {"vessel.volume=5 ft3", NULL};
    fixture_case_open(&c, "tests/scenarios/direct-small.yaml", "reduced", overrides);
    struct steadiness subject;
    assert_true(steadiness_prepare(&c.resolved, &subject));
    double flow = subject.flow;
    struct steadiness_window w = steadiness_lowest_flow(&subject, 0.1 * flow, 10.0 * flow);
    assert_false(w.monotone);
    assert_int_equal(w.count, 2);
    assert_int_equal(w.range, STEADINESS_FROM);
    assert_close(w.lowest, w.change[1].flow, 1e-4, 0.0);
    for (size_t i = 0; i < w.count; i++) {
        double at = w.change[i].flow;
        assert_int_equal(steadiness_settled(&subject, 0.999 * at).rest, w.change[i].below);
        assert_int_equal(steadiness_settled(&subject, 1.001 * at).rest, w.change[i].above);
    }
    fixture_case_close(&c);
}

static void test_set_pressure_out_of_reach(void **state) {
    (void)state;
    const char *const overrides[] = {"inflow.rate=50 MMscf/d", NULL};
    struct fixture_case c;
    struct steadiness subject;
    fixture_case_open(&c, decline, "reduced", overrides);
    assert_false(steadiness_prepare(&c.resolved, &subject));
    fixture_case_close(&c);
}

static void test_largest_flow(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    open_demo(&c, "reduced", NULL, &subject);
    double flow = subject.flow, rated = c.resolved.model.trim.rated_travel;
    struct steadiness_capacity a =
        steadiness_largest_flow(&subject, 0.1 * flow, 1000.0 * flow, 0.9, (double)NAN);
    assert_int_equal(a.bound, STEADINESS_BOUND_TRAVEL);
    assert_close(a.travel, 0.9 * rated, 1e-4, 0.0);
    // A limit below the pressure there binds first; one at the set pressure leaves no flow at all.
    double limit = 0.5 * (a.pressure + c.resolved.set_pressure);
    struct steadiness_capacity b =
        steadiness_largest_flow(&subject, 0.1 * flow, 1000.0 * flow, 0.9, limit);
    assert_int_equal(b.bound, STEADINESS_BOUND_LIMIT);
    assert_close(b.pressure, limit, 1e-4, 0.0);
    assert_true(b.flow < a.flow);
    b = steadiness_largest_flow(&subject, 2.0 * flow, 10.0 * flow, 0.9, c.resolved.set_pressure);
    assert_int_equal(b.bound, STEADINESS_BOUND_ALWAYS);
    b = steadiness_largest_flow(&subject, flow, 2.0 * flow, 0.9, (double)NAN);
    assert_int_equal(b.bound, STEADINESS_BOUND_NONE);
    assert_close(b.flow, 2.0 * flow, 0.0, 0.0);
    fixture_case_close(&c);
}

// --- What drives it

static void test_frozen_capacity_leaves_the_plug_alone(void **state) {
    (void)state; // E: m x'' + c x' + k x = 0 with kappa 1.25: growth -0.625 per ms
    struct regulator_parameters p = fixture_relief_valve(20.0, 1.25, 5.0);
    struct steadiness subject = subject_of(&p);
    struct driver_growth g[DRIVER_COUNT];
    assert_true(driver_find(&subject, subject.flow, g));
    assert_true(g[DRIVER_CAPACITY_GAIN].swings);
    assert_close(g[DRIVER_CAPACITY_GAIN].growth, -625.0, 1e-6, 0.0);
    assert_close(g[DRIVER_CAPACITY_GAIN].frequency, sqrt(1.0 - 0.625 * 0.625) * 1e3 / (2.0 * PI),
                 1e-6, 0.0);
    assert_false(g[DRIVER_CHAMBER_LAG].applies || g[DRIVER_PILOT_GAIN].applies ||
                 g[DRIVER_SWEPT_VOLUME].applies);
}

static void test_half_gain_is_the_cubic_with_half_its_feedback(void **state) {
    (void)state;
    // E: the published model linearised, y1' = y2, y2' = -kappa y2 - y1 + y3, y3' = -g beta S y1 -
    // b y3 with b = beta y1/(2 S) and the gain g: (s^2 + kappa s + 1)(s + b) + g beta S = 0.
    const double kappa = 1.25, beta = 20.0, flow = 5.0;
    struct regulator_parameters p = fixture_relief_valve(beta, kappa, flow);
    struct steadiness subject = subject_of(&p);
    struct driver_growth g[DRIVER_COUNT];
    assert_true(driver_find(&subject, subject.flow, g));
    double low = 0.0, high = flow; // y1 sqrt(y1 + 10) = q
    for (int i = 0; i < 100; i++) {
        double y = 0.5 * (low + high);
        *(y * sqrt(y + 10.0) < flow ? &low : &high) = y;
    }
    double root = sqrt(low + 10.0), b = 0.5 * beta * low / root;
    const enum driver driver[] = {DRIVER_NONE, DRIVER_HALF_GAIN};
    for (int i = 0; i < 2; i++) {
        double re = 1e-3 * g[driver[i]].growth, im = 2e-3 * PI * g[driver[i]].frequency;
        double qr = re * re - im * im + kappa * re + 1.0, qi = 2.0 * re * im + kappa * im;
        double feedback = (i == 0 ? 1.0 : 0.5) * beta * root;
        assert_close(qr * (re + b) - qi * im, -feedback, 1e-5, 0.0);
        assert_close(qr * im + qi * (re + b), 0.0, 0.0, 1e-4 * feedback);
    }
    assert_true(g[DRIVER_HALF_GAIN].growth < g[DRIVER_NONE].growth);
}

static void test_land_is_a_driver_only_where_there_is_one(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    struct driver_growth g[DRIVER_COUNT];
    open_demo(&c, "full", NULL, &subject);
    assert_true(driver_find(&subject, subject.flow, g));
    assert_false(g[DRIVER_SEAT_LAND].applies);
    assert_true(g[DRIVER_HALF_GAIN].applies);
    fixture_case_close(&c);
    const char *const land[] = {"trim.seat_land=0.05 in", NULL};
    open_demo(&c, "full", land, &subject);
    assert_true(driver_find(&subject, subject.flow, g));
    assert_true(g[DRIVER_SEAT_LAND].applies && g[DRIVER_SEAT_LAND].swings);
    // The finding of models/README.md: an inward land is weak. It steadies a little.
    assert_true(g[DRIVER_SEAT_LAND].growth > g[DRIVER_NONE].growth);
    assert_close(g[DRIVER_SEAT_LAND].frequency, g[DRIVER_NONE].frequency, 0.1, 0.0);
    fixture_case_close(&c);
}

static void test_frozen_sweep_is_the_valve_without(void **state) {
    (void)state; // E: the point of rest is the same, so the neutral flow without sweep is neutral
    struct regulator_parameters p = fixture_relief_valve(20.0, 1.25, 8.491118);
    p.actuator.swept_volume = true;
    struct steadiness subject = subject_of(&p);
    struct driver_growth g[DRIVER_COUNT];
    assert_true(driver_find(&subject, subject.flow, g));
    assert_true(g[DRIVER_NONE].growth < -100.0);
    assert_close(g[DRIVER_SWEPT_VOLUME].growth, 0.0, 0.0, 0.05);
    assert_close(g[DRIVER_SWEPT_VOLUME].frequency, 3.090709e3 / (2.0 * PI), 1e-4, 0.0);
}

// The frozen growth of the demo against that of a regulator built so, at the same point of rest.
static void compare_with_build(enum driver driver, void (*build)(struct regulator_parameters *),
                               const char *change, double tolerance) {
    struct fixture_case c;
    struct steadiness subject;
    struct driver_growth frozen[DRIVER_COUNT], built[DRIVER_COUNT];
    const char *const overrides[] = {"actuator.swept_volume=no", change, NULL};
    open_demo(&c, "full", overrides, &subject);
    assert_true(driver_find(&subject, subject.flow, frozen));
    build(&subject.held.model);
    assert_true(driver_find(&subject, subject.flow, built));
    assert_close(frozen[driver].growth, built[DRIVER_NONE].growth, tolerance, 0.0);
    assert_close(frozen[driver].frequency, built[DRIVER_NONE].frequency, tolerance, 0.0);
    // And it is no small matter that the two agree.
    assert_true(fabs(frozen[driver].growth / frozen[DRIVER_NONE].growth - 1.0) > 10.0 * tolerance);
    fixture_case_close(&c);
}

static void build_small_chamber(struct regulator_parameters *p) {
    p->actuator.chamber.volume *= 1e-7;
}

static void build_wide_sense_line(struct regulator_parameters *p) {
    p->sense.bore *= 30.0;
    p->sense.cavity.volume *= 1e-3;
}

static void build_light_pilot(struct regulator_parameters *p) {
    p->pilot.moving_mass *= 1e-7;
}

static void test_frozen_lags_are_builds_without_them(void **state) {
    (void)state; // no outside source: two ways to the same number
    compare_with_build(DRIVER_CHAMBER_LAG, build_small_chamber, "vessel.volume=0.3 ft3", 1e-4);
    compare_with_build(DRIVER_SENSE_LAG, build_wide_sense_line, "vessel.volume=5 ft3", 1e-6);
    compare_with_build(DRIVER_PILOT_INERTIA, build_light_pilot, "pilot.moving_mass=30 lb", 1e-5);
}

static void test_pressure_coupling_drives_the_demo(void **state) {
    (void)state;
    // The demo's own claim: rising pressure pushes the large plug shut. Neither the force's change
    // with travel nor any lag but the chamber's makes the difference.
    struct fixture_case c;
    struct steadiness subject;
    struct driver_growth g[DRIVER_COUNT];
    open_demo(&c, "full", NULL, &subject);
    assert_true(driver_find(&subject, subject.flow, g));
    assert_true(g[DRIVER_NONE].growth > 0.5);
    assert_true(g[DRIVER_FORCE_PRESSURE].growth < -0.5);
    assert_true(g[DRIVER_CHAMBER_LAG].growth < -0.5);
    assert_true(g[DRIVER_FORCE_TRAVEL].growth > 0.5);
    assert_true(g[DRIVER_SENSE_LAG].growth > 0.5);
    assert_false(g[DRIVER_CAPACITY_GAIN].swings);
    // Taking away what steadies it makes it worse.
    assert_true(g[DRIVER_PILOT_FEEDBACK].growth > g[DRIVER_NONE].growth);
    fixture_case_close(&c);
}

static void test_what_snaps_a_soft_spring_shut(void **state) {
    (void)state;
    // The claims of scenarios/stopper-low.yaml, of the model itself: it grows nearly shut and not
    // well open; the land and the slope of the drop share do not matter there, the push by
    // pressure, the chamber's filling and the gain of the trim do.
    struct fixture_case c;
    struct steadiness subject;
    struct driver_growth g[DRIVER_COUNT];
    fixture_case_open(&c, "scenarios/stopper-low.yaml", "full", NULL);
    assert_true(steadiness_prepare(&c.resolved, &subject));
    assert_true(driver_find(&subject, subject.flow, g));
    double growth = g[DRIVER_NONE].growth;
    assert_true(growth > 0.02);
    assert_close(g[DRIVER_SEAT_LAND].growth, growth, 0.2, 0.0);
    assert_close(g[DRIVER_FORCE_TRAVEL].growth, growth, 0.2, 0.0);
    assert_true(g[DRIVER_FORCE_PRESSURE].growth < -growth);
    assert_true(g[DRIVER_CHAMBER_LAG].growth < -growth);
    assert_true(g[DRIVER_HALF_GAIN].growth < 0.0);
    double open = 2.4 / 0.3 * subject.flow;
    assert_int_equal(steadiness_settled(&subject, open).rest, STEADINESS_STEADY);
    fixture_case_close(&c);
    fixture_case_open(&c, "scenarios/stopper-low.yaml", "reduced", NULL);
    assert_true(steadiness_prepare(&c.resolved, &subject));
    for (double flow = 0.1 * subject.flow; flow < open; flow *= 1.5) {
        assert_int_equal(steadiness_settled(&subject, flow).rest, STEADINESS_STEADY);
    }
    fixture_case_close(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_published_hopf_points),
        cmocka_unit_test(test_larger_volume_is_less_steady_here),
        cmocka_unit_test(test_swept_volume_steadies_the_relief_valve),
        cmocka_unit_test(test_exact_routh_limit),
        cmocka_unit_test(test_screw_stays_where_it_was_turned),
        cmocka_unit_test(test_neutral_flow_does_not_know_the_laminar_drop),
        cmocka_unit_test(test_honest_outcomes),
        cmocka_unit_test(test_several_neutral_flows),
        cmocka_unit_test(test_set_pressure_out_of_reach),
        cmocka_unit_test(test_largest_flow),
        cmocka_unit_test(test_frozen_capacity_leaves_the_plug_alone),
        cmocka_unit_test(test_half_gain_is_the_cubic_with_half_its_feedback),
        cmocka_unit_test(test_land_is_a_driver_only_where_there_is_one),
        cmocka_unit_test(test_frozen_sweep_is_the_valve_without),
        cmocka_unit_test(test_frozen_lags_are_builds_without_them),
        cmocka_unit_test(test_pressure_coupling_drives_the_demo),
        cmocka_unit_test(test_what_snaps_a_soft_spring_shut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
