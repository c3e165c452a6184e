// SPDX-License-Identifier: MIT
// LuGre friction: closed forms, passivity, and the published stick-slip run through the product's
// own direct-acting build, whose set point pulls the spring.
#include "fixtures.h"
#include "models/friction.h"
#include "support.h"

// C: the paper's own parameters, Canudas de Wit et al. (1995).
static const struct friction_parameters PAPER = {.static_force = 1.5,
                                                 .kinetic_force = 1.0,
                                                 .stribeck_speed = 0.001,
                                                 .bristle_stiffness = 1e5,
                                                 .bristle_damping = 316.22776601683796,
                                                 .viscous = 0.4};

static void test_steady_sliding_is_the_stribeck_curve(void **state) {
    (void)state;
    // E: with dz/dt = 0 the force is g(v) sign v + sigma2 v.
    for (double v = 1e-5; v < 1.0; v *= 2.0) {
        double level = 1.0 + 0.5 * exp(-pow(v / 0.001, 2.0));
        struct friction_result f = friction_lugre(&PAPER, v, level / 1e5);
        assert_close(f.bristle_rate, 0.0, 0.0, 1e-15 * v + 1e-19);
        assert_close(f.force, level + 0.4 * v, 1e-12, 0.0);
        f = friction_lugre(&PAPER, -v, -level / 1e5);
        assert_close(f.force, -level - 0.4 * v, 1e-12, 0.0);
    }
}

static void test_stuck_bristle_is_a_damped_spring(void **state) {
    (void)state; // E: for small v and z, F = sigma0 z + (sigma1 + sigma2) v
    struct friction_result f = friction_lugre(&PAPER, 1e-9, 1e-9);
    assert_close(f.force, 1e5 * 1e-9 + (PAPER.bristle_damping + 0.4) * 1e-9, 1e-3, 0.0);
    f = friction_lugre(&PAPER, 0.0, 1e-6); // at rest it holds without creep
    assert_close(f.bristle_rate, 0.0, 0.0, 0.0);
    assert_close(f.force, 0.1, 1e-14, 0.0);
}

static void test_bristle_stays_within_its_bound(void **state) {
    (void)state;
    // E (paper, property 1): |z| <= Fs/sigma0 is an invariant set.
    double bound = 1.5 / 1e5;
    for (double v = -0.5; v <= 0.5; v += 0.00701) {
        assert_true(friction_lugre(&PAPER, v, bound).bristle_rate <= 1e-18);
        assert_true(friction_lugre(&PAPER, v, -bound).bristle_rate >= -1e-18);
    }
}

static void test_passivity(void **state) {
    (void)state;
    // E (paper, property 2): v -> z is passive, so sigma0 z v >= d/dt (sigma0 z^2/2); and with
    // enough sigma2 or slow motion, v -> F dissipates over any record: the integral of F v stays
    // above -sigma0 z(0)^2/2. A random walk in speed, small enough for sigma1 to stay passive.
    unsigned long long seed = 11;
    double z = 0.0, v = 0.0, work = 0.0, step = 1e-6;
    for (int i = 0; i < 300000; i++) {
        v = 0.999 * v + 2e-4 * (fixture_random(&seed) - 0.5);
        struct friction_result f = friction_lugre(&PAPER, v, z);
        assert_true(1e5 * z * v - 1e5 * z * f.bristle_rate >= -1e-18);
        work += f.force * v * step;
        z += f.bristle_rate * step;
        assert_true(work - 0.5e5 * z * z > -1e-9);
    }
    assert_true(work > 0.0);
}

// Watches one run of the pulled mass.
struct watch {
    const struct regulator *regulator;
    double peak_force; // first maximum of the friction force, at break-away
    bool broken_away;
    double highest, top_speed;
    double slip_start[8], plateau[8];
    int slips, sticks;
};

static void watch_sample(void *context, double time, const struct regulator_mode *mode,
                         const double *state) {
    struct watch *w = context;
    struct regulator_observation o;
    regulator_observe(w->regulator, mode, time, state, &o);
    w->broken_away = w->broken_away || o.friction_force < w->peak_force;
    if (!w->broken_away) {
        w->peak_force = o.friction_force;
    }
    w->highest = fmax(w->highest, o.friction_force);
    w->top_speed = fmax(w->top_speed, o.speed);
    if (w->slips == w->sticks && o.speed > 0.05 && w->slips < 8) {
        w->slip_start[w->slips++] = time;
    } else if (w->slips > w->sticks && o.speed < 1e-6 && w->sticks < 8) {
        w->plateau[w->sticks++] = o.travel;
    }
}

// A mass of 1 kg with the paper's friction on a spring, pushed by a force rising at a rate.
static struct watch pull(double force_rate, double spring, double end, double sample) {
    struct regulator_parameters p = fixture_still(DUTY_REDUCING);
    const double times[] = {0.0, 100.0};
    const double values[] = {p.atmosphere,
                             p.atmosphere + 100.0 * force_rate / p.actuator.diaphragm_area};
    p.set_is_force = false;
    p.set_point =
        (struct schedule){.kind = SCHEDULE_POINTS, .count = 2, .time = times, .value = values};
    p.trim.rated_travel = 0.1;
    p.actuator.spring_rate = spring;
    p.actuator.friction = PAPER;
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, p.atmosphere, y);
    struct integrate_options o = integrate_options_default();
    o.end = end;
    o.sample_interval = sample;
    o.relative_tolerance = 1e-9;
    struct watch watch = {.regulator = &r};
    struct integrate_observer observer = {.context = &watch, .sample = watch_sample};
    struct integrate_result result = integrate_run(&r, &mode, y, &o, &observer);
    assert_int_equal(result.status, INTEGRATE_DONE);
    return watch;
}

static void test_stick_slip_of_the_paper(void **state) {
    (void)state;
    // C: spring 2 N/m pulled at 0.1 m/s. Period 6.36272 s (0.5 %), plateaus, top
    // speed 0.369816 m/s (1 %), friction peak 1.476573 N.
    struct watch w = pull(0.2, 2.0, 26.0, 5e-4);
    assert_int_equal(w.slips, 3);
    assert_int_equal(w.sticks, 3);
    for (int i = 0; i < 2; i++) {
        assert_close(w.slip_start[i + 1] - w.slip_start[i], 6.36272, 5e-3, 0.0);
    }
    const double plateau[] = {0.636293, 1.272562, 1.908835};
    for (int i = 0; i < 3; i++) {
        assert_close(w.plateau[i], plateau[i], 5e-3, 0.0);
    }
    assert_close(w.top_speed, 0.369816, 1e-2, 0.0);
    assert_close(w.highest, 1.476573, 1e-2, 0.0);
}

static void test_break_away_falls_with_force_rate(void **state) {
    (void)state;
    // C: 1.4324, 1.2200, 1.0245 N at 1, 10, 30 N/s (1 %).
    assert_close(pull(1.0, 0.0, 2.0, 1e-4).peak_force, 1.4324, 1e-2, 0.0);
    assert_close(pull(10.0, 0.0, 0.3, 1e-5).peak_force, 1.2200, 1e-2, 0.0);
    assert_close(pull(30.0, 0.0, 0.1, 1e-5).peak_force, 1.0245, 1e-2, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_steady_sliding_is_the_stribeck_curve),
        cmocka_unit_test(test_stuck_bristle_is_a_damped_spring),
        cmocka_unit_test(test_bristle_stays_within_its_bound),
        cmocka_unit_test(test_passivity),
        cmocka_unit_test(test_stick_slip_of_the_paper),
        cmocka_unit_test(test_break_away_falls_with_force_rate),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
