// SPDX-License-Identifier: MIT
// Small motions: eigenvalues against closed forms, against published Hopf points, and against the
// growth of simulated motions.
#include "fixtures.h"
#include "support.h"

#include "solve/linearise.h"

static const double PI = 3.14159265358979323846;

static struct fixture_record record;

// A mass on a spring with a linear damper: pressure does not reach it, nothing flows.
static struct regulator_parameters oscillator(double mass, double rate, double damping) {
    struct regulator_parameters p = fixture_still(DUTY_BACK_PRESSURE);
    p.actuator.diaphragm_area = 0.0;
    p.actuator.moving_mass = mass;
    p.actuator.spring_rate = rate;
    p.actuator.damping = damping;
    p.trim.slot_width = 0.0;
    return p;
}

static struct linear_modes oscillator_modes(double mass, double rate, double damping) {
    struct regulator_parameters p = oscillator(mass, rate, damping);
    struct regulator r;
    linearise_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, p.atmosphere, y);
    struct linear_modes modes;
    assert_true(linearise_modes(&r, &mode, 0.0, y, &modes));
    return modes;
}

static void test_damped_oscillator(void **state) {
    (void)state; // E: -c/2m +- sqrt((c/2m)^2 - k/m)
    const double mass = 2.0, rate = 5e4, damping[] = {0.0, 60.0, 400.0};
    for (int i = 0; i < 3; i++) {
        struct linear_modes modes = oscillator_modes(mass, rate, damping[i]);
        const struct linear_mode *m = linearise_leading(&modes);
        double real = -damping[i] / (2.0 * mass), natural = sqrt(rate / mass);
        assert_non_null(m);
        assert_close(m->growth, real, 1e-8, 1e-8 * natural);
        assert_close(m->frequency, sqrt(rate / mass - real * real) / (2.0 * PI), 1e-8, 0.0);
        assert_close(m->damping_ratio, -real / natural, 1e-8, 1e-8);
    }
}

static void test_overdamped_does_not_oscillate(void **state) {
    (void)state;
    const double mass = 2.0, rate = 5e4, damping = 1e3;
    struct linear_modes modes = oscillator_modes(mass, rate, damping);
    assert_null(linearise_leading(&modes));
    double half = damping / (2.0 * mass), root = sqrt(half * half - rate / mass);
    // The vessel that nothing enters adds a zero before them.
    assert_int_equal(modes.count, 3);
    assert_close(modes.at[0].growth, 0.0, 0.0, 1e-9);
    assert_close(modes.at[1].growth, -half + root, 1e-8, 0.0);
    assert_close(modes.at[2].growth, -half - root, 1e-8, 0.0);
    for (size_t i = 0; i < modes.count; i++) {
        assert_close(modes.at[i].frequency, 0.0, 0.0, 0.0);
    }
}

static void test_jacobian(void **state) {
    (void)state;
    struct regulator_parameters p = oscillator(2.0, 5e4, 60.0);
    struct regulator r;
    linearise_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX], j[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, p.atmosphere, y);
    int n = linearise_jacobian(&r, &mode, 0.0, y, j);
    assert_int_equal(n, r.layout.mass_in);
    int x = r.layout.travel, v = r.layout.speed;
    assert_close(j[x * n + x], 0.0, 0.0, 1e-12);
    assert_close(j[x * n + v], 1.0, 1e-9, 0.0);
    assert_close(j[v * n + x], -2.5e4, 1e-9, 0.0);
    assert_close(j[v * n + v], -30.0, 1e-9, 0.0);
}

static void test_friction_and_backlash_are_left_out(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_pilot_gas(0.05, 50.0);
    p.actuator.backlash = 1e-4;
    p.actuator.backlash_time = 1e-3;
    p.pilot.friction = p.actuator.friction;
    struct regulator r;
    linearise_prepare(&r, &p);
    assert_int_equal(r.layout.bristle, -1);
    assert_int_equal(r.layout.pilot_bristle, -1);
    assert_int_equal(r.layout.plug, -1);
    // The viscous term of the friction stays: it damps a small motion as it does a large one.
    struct regulator_parameters o = oscillator(2.0, 5e4, 0.0);
    o.actuator.friction = (struct friction_parameters){.static_force = 9.0,
                                                       .kinetic_force = 7.0,
                                                       .stribeck_speed = 1e-3,
                                                       .bristle_stiffness = 1e6,
                                                       .bristle_damping = 1e3,
                                                       .viscous = 60.0};
    linearise_prepare(&r, &o);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, o.atmosphere, y);
    struct linear_modes modes;
    assert_true(linearise_modes(&r, &mode, 0.0, y, &modes));
    assert_close(linearise_leading(&modes)->growth, -15.0, 1e-8, 0.0);
}

// Rounding leaves a little of an eigenvalue that is zero, on either side: that is no motion.
static void test_a_zero_leads_nothing(void **state) {
    (void)state;
    struct linear_modes modes = {.count = 2,
                                 .at = {{.growth = 1e-10, .damping_ratio = -1.0},
                                        {.growth = -5.0, .frequency = 3.0, .damping_ratio = 0.26}}};
    assert_ptr_equal(linearise_leading(&modes), &modes.at[1]);
    assert_ptr_equal(linearise_ringing(&modes), &modes.at[1]);
    modes.at[0].growth = 1e-3; // grows, however slowly
    assert_ptr_equal(linearise_leading(&modes), &modes.at[0]);
    assert_ptr_equal(linearise_ringing(&modes), &modes.at[0]);
}

static void test_what_is_no_number_fails(void **state) {
    (void)state;
    struct regulator_parameters p = oscillator(2.0, 5e4, 60.0);
    struct regulator r;
    linearise_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, p.atmosphere, y);
    y[r.layout.travel] = (double)NAN;
    struct linear_modes modes;
    assert_false(linearise_modes(&r, &mode, 0.0, y, &modes));
    assert_int_equal(modes.count, 0);
    assert_null(linearise_leading(&modes));
}

// Modes at the point of rest that a run would start from, found by the program itself.
static struct linear_modes modes_of(const struct regulator_parameters *p, struct regulator *r,
                                    struct equilibrium *rest) {
    linearise_prepare(r, p);
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    struct equilibria found = equilibrium_find(r, &mode, 0.0);
    const struct equilibrium *chosen = equilibrium_choose(&found);
    assert_non_null(chosen);
    assert_int_equal(chosen->kind, EQUILIBRIUM_OPEN);
    *rest = *chosen;
    struct linear_modes modes;
    assert_true(linearise_modes(r, &mode, 0.0, rest->state, &modes));
    for (size_t i = 1; i < modes.count; i++) {
        assert_true(modes.at[i].growth <= modes.at[i - 1].growth);
    }
    return modes;
}

static void test_slope_where_flow_turns_laminar(void **state) {
    (void)state;
    // E: nothing flows through the vent of the spring case at rest. There w = Cd A sqrt(2 rho)
    // drop/sqrt(laminar_drop), and p = (k - 1) U/V, so that the case's mass leaves by
    // Cd A sqrt(2 rho/laminar_drop) p/U for each joule more.
    for (double drop = 0.1; drop < 201.0; drop *= drop < 150.0 ? 10.0 : 2.0) {
        struct regulator_parameters p = fixture_pilot_gas(0.0737, 0.0);
        p.laminar_drop = drop;
        p.actuator.spring_case.volume = 2e-3;
        p.actuator.case_vent_diameter = 3e-3;
        p.actuator.case_vent_discharge = 0.8;
        struct regulator r;
        struct equilibrium rest;
        modes_of(&p, &r, &rest);
        struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        double j[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX];
        int n = linearise_jacobian(&r, &mode, 0.0, rest.state, j);
        int mass = r.layout.mass[NODE_CASE], energy = r.layout.energy[NODE_CASE];
        double pressure = rest.pressure[NODE_CASE];
        double slope = -0.8 * 0.25 * PI * 9e-6 *
                       sqrt(2.0 * pressure / r.pressure_per_density / drop) * pressure /
                       rest.state[energy];
        print_message("laminar_drop %g Pa: %.9g for %.9g\n", drop, j[mass * n + energy], slope);
        assert_close(j[mass * n + energy], slope, 1e-6, 0.0);
    }
}

static void test_routh_limit(void **state) {
    (void)state;
    // E (class of problem: Tsai and Cassidy, ASME J. Basic Eng. 83, 1961):
    // c* = 97.44759 N s/m at 50.93762 Hz (0.1 %).
    double low = 10.0, high = 500.0, frequency = 0.0;
    for (int i = 0; i < 40; i++) {
        double damping = 0.5 * (low + high);
        struct regulator_parameters p = fixture_routh(damping, true);
        struct regulator r;
        struct equilibrium rest;
        struct linear_modes modes = modes_of(&p, &r, &rest);
        const struct linear_mode *m = linearise_leading(&modes);
        assert_non_null(m);
        assert_close(rest.travel, 1e-3, 1e-6, 0.0);
        frequency = m->frequency;
        *(m->growth > 0.0 ? &low : &high) = damping;
    }
    print_message("Routh limit %.7g N s/m, %.7g Hz\n", low, frequency);
    assert_close(low, 97.44759, 1e-3, 0.0);
    assert_close(frequency, 50.93762, 1e-3, 0.0);
}

static double hopf_flow(double beta, double kappa, bool sweep, double *omega) {
    double low = 0.5, high = 20.0;
    for (int i = 0; i < 30; i++) {
        double flow = 0.5 * (low + high);
        struct regulator_parameters p = fixture_relief_valve(beta, kappa, flow);
        p.actuator.swept_volume = sweep;
        struct regulator r;
        struct equilibrium rest;
        struct linear_modes modes = modes_of(&p, &r, &rest);
        const struct linear_mode *m = linearise_leading(&modes);
        assert_non_null(m);
        *omega = 2.0 * PI * m->frequency * 1e-3; // time scale 1 ms
        *(m->growth > 0.0 ? &low : &high) = flow;
    }
    return low;
}

static void test_hopf_points_of_the_relief_valve(void **state) {
    (void)state;
    // E (equations: Licsko, Champneys, Hos, IAENG Int. J. Applied Math. 39:4, 2009;
    // parameters as used by Hegedus, arXiv:1810.03931): S = sqrt(y + delta), b = beta y/(2 S),
    // kappa (1 + kappa b + b^2) = beta S, omega^2 = 1 + kappa b, q = y S (1e-4).
    const double kappa[] = {1.25, 1.0, 1.5, 1.25, 1.25}, beta[] = {20.0, 20.0, 20.0, 40.0, 200.0};
    const double listed[] = {8.491118, 10.168809, 7.291198, 5.72, 2.39};
    for (int i = 0; i < 5; i++) {
        double low = 1e-6, high = 50.0, b = 0.0, s = 0.0, omega;
        for (int k = 0; k < 200; k++) {
            double y = 0.5 * (low + high);
            s = sqrt(y + 10.0);
            b = beta[i] * y / (2.0 * s);
            *(kappa[i] * (1.0 + kappa[i] * b + b * b) < beta[i] * s ? &low : &high) = y;
        }
        double flow = hopf_flow(beta[i], kappa[i], false, &omega);
        assert_close(flow, low * s, 1e-4, 0.0);
        assert_close(omega, sqrt(1.0 + kappa[i] * b), 1e-4, 0.0);
        // As listed: six digits for beta 20, two decimals for the others.
        assert_close(flow, listed[i], i < 3 ? 1e-4 : 0.0, i < 3 ? 0.0 : 6e-3);
    }
}

static void test_hopf_point_with_swept_volume(void **state) {
    (void)state; // C: q_H is 5.037
    double omega;
    assert_close(hopf_flow(20.0, 1.25, true, &omega), 5.037, 1e-4, 0.0);
}

// Push along the eigenvector of the fastest growing oscillation, found by the tests' own
// linearisation, so that slower modes do not hide it: travel moves by a share of itself.
static void push_along_mode(const struct regulator *r, double share, double *y) {
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    struct fixture_modes modes;
    int k = fixture_linearise(r, &mode, y, 1.0, &modes), n = modes.count, x = r->layout.travel;
    assert_true(k >= 0);
    double factor =
        share * y[x] / modes.vector[x * n + k]; // column k of a pair holds its real part
    for (int i = 0; i < n; i++) {
        y[i] += factor * modes.vector[i * n + k];
    }
}

// Growth of the swing between reversals of travel, over the later part of a run that begins
// with a small push.
static double simulated_growth(struct regulator *r, const struct equilibrium *rest, double push,
                               double end) {
    double y[REGULATOR_STATES_MAX];
    memcpy(y, rest->state, sizeof y);
    push_along_mode(r, push, y);
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    struct integrate_options o = fixture_options(end, 1e-9);
    o.sample_interval = end;
    assert_int_equal(fixture_run(r, &mode, y, &o, &record).status, INTEGRATE_DONE);
    int last = record.event_count - 1, first = 1 + record.event_count / 4;
    first += (last - first) % 2; // swings of the same direction
    assert_true(record.event_count < FIXTURE_EVENTS_MAX && first + 2 < last);
    const struct fixture_event *e = record.event;
    for (int i = first - 1; i <= last; i++) {
        assert_int_equal(e[i].transition.event, EVENT_TRAVEL_REVERSAL);
    }
    double before = fabs(e[first].before_travel - e[first - 1].before_travel);
    double after = fabs(e[last].before_travel - e[last - 1].before_travel);
    return log(after / before) / (e[last].time - e[first].time);
}

static void test_growth_of_simulated_motion(void **state) {
    (void)state;
    // Pilot gas build without friction, at ports and flows where the slow mode grows and decays.
    // The last ones have openings that turn laminar at a drop so low that a step of a pascal would
    // reach over it.
    const double port[] = {0.0737, 0.0737, 0.0460, 0.0460, 0.0737, 0.0460};
    const double flow[] = {1.0, 3.0, 1.0, 2.0, 1.0, 1.0}; // times 0.15 MMscf/d
    const double drop[] = {50.0, 50.0, 50.0, 50.0, 1.0, 0.1};
    int growing = 0, decaying = 0;
    for (int i = 0; i < 6; i++) {
        struct regulator_parameters p = fixture_pilot_gas(port[i], 0.0);
        p.flow.base *= flow[i];
        p.laminar_drop = drop[i];
        struct regulator r;
        struct equilibrium rest;
        struct linear_modes modes = modes_of(&p, &r, &rest);
        const struct linear_mode *m = NULL;
        for (size_t k = 0; k < modes.count && !m; k++) {
            m = modes.at[k].frequency > 0.0 ? &modes.at[k] : NULL;
        }
        assert_non_null(m);
        double end = 4.0 / fabs(m->growth);
        double growth = simulated_growth(&r, &rest, m->growth > 0.0 ? 1e-5 : 1e-3, end);
        print_message("port %.1f mm, flow x %.0f: eigenvalue %+.5g 1/s (%.4g Hz), simulated %+.5g "
                      "1/s, off by %.2g %%\n",
                      1e3 * port[i], flow[i], m->growth, m->frequency, growth,
                      100.0 * fabs(growth / m->growth - 1.0));
        growing += m->growth > 0.0;
        decaying += m->growth < 0.0;
        assert_close(growth, m->growth, 0.05, 0.0);
    }
    assert_true(growing > 0 && decaying > 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_damped_oscillator),
        cmocka_unit_test(test_overdamped_does_not_oscillate),
        cmocka_unit_test(test_jacobian),
        cmocka_unit_test(test_friction_and_backlash_are_left_out),
        cmocka_unit_test(test_a_zero_leads_nothing),
        cmocka_unit_test(test_what_is_no_number_fails),
        cmocka_unit_test(test_slope_where_flow_turns_laminar),
        cmocka_unit_test(test_routh_limit),
        cmocka_unit_test(test_hopf_points_of_the_relief_valve),
        cmocka_unit_test(test_hopf_point_with_swept_volume),
        cmocka_unit_test(test_growth_of_simulated_motion),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
