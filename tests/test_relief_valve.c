// SPDX-License-Identifier: MIT
// The published chatter model of a relief valve through the product's own liquid,
// direct-acting, back-pressure, rigid-seat path.
// Sources: Licsko, Champneys, Hos, IAENG IJAM 39:4 (2009); Hos, Champneys, Physica D 241 (2012);
// parameter set of Hegedus, arXiv:1810.03931 (P); results C and E.
#include "fixtures.h"
#include "support.h"

static const double PI = 3.14159265358979323846;
static const double LIFT = 1e-3, TIME = 1e-3; // scales of the SI instance

static struct fixture_record record;

// E: Hopf condition with S = sqrt(y + delta), b = beta y/(2 S):
// kappa (1 + kappa b + b^2) = beta S, found by bisection in y; omega^2 = 1 + kappa b, q = y S.
static double hopf_exact(double beta, double kappa, double *lift, double *omega) {
    double low = 1e-6, high = 50.0, b = 0.0, s = 0.0;
    for (int i = 0; i < 200; i++) {
        double y = 0.5 * (low + high);
        s = sqrt(y + 10.0);
        b = beta * y / (2.0 * s);
        *(kappa * (1.0 + kappa * b + b * b) < beta * s ? &low : &high) = y;
    }
    *lift = low;
    *omega = sqrt(1.0 + kappa * b);
    return low * s;
}

// Rest of a prepared direct-acting valve: pressure that balances the plug at a travel, and the
// travel that passes the inflow, both by bisection on the model's own figures.
static struct regulator_mode settle(const struct regulator *r, double *y) {
    struct regulator_observation o;
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    double travel[2] = {0.0, 0.02};
    for (int i = 0; i < 60; i++) {
        double x = 0.5 * (travel[0] + travel[1]), pressure[2] = {1e5, 5e6};
        for (int j = 0; j < 60; j++) {
            double p = 0.5 * (pressure[0] + pressure[1]);
            mode = fixture_rest(r, x, p, y);
            regulator_observe(r, &mode, 0.0, y, &o);
            pressure[o.free_force < 0.0 ? 0 : 1] = p;
        }
        travel[o.trim_flow < o.inflow ? 0 : 1] = x;
    }
    return mode;
}

// Flow at which the least damped oscillation of the linearised build is neutral.
static double hopf_by_eigenvalues(void (*adjust)(struct regulator_parameters *), double beta,
                                  double kappa, double *lift, double *omega) {
    double low = 0.5, high = 20.0;
    for (int i = 0; i < 30; i++) {
        double flow = 0.5 * (low + high);
        struct regulator_parameters p = fixture_relief_valve(beta, kappa, flow);
        if (adjust) {
            adjust(&p);
        }
        struct regulator r;
        regulator_prepare(&r, &p);
        double y[REGULATOR_STATES_MAX];
        struct regulator_mode mode = settle(&r, y);
        struct fixture_modes modes;
        int least = fixture_linearise(&r, &mode, y, 10.0, &modes);
        assert_true(least >= 0);
        *lift = y[r.layout.travel] / LIFT;
        *omega = modes.imaginary[least] * TIME;
        *(modes.real[least] > 0.0 ? &low : &high) = flow;
    }
    return low;
}

static void test_hopf_point_by_eigenvalues(void **state) {
    (void)state;
    // E: kappa 1.25: q_H 8.491118, omega 3.090709 (1e-4); kappa 1.0: 10.168809; 1.5: 7.291198.
    const double kappa[] = {1.25, 1.0, 1.5}, flow[] = {8.491118, 10.168809, 7.291198};
    for (int i = 0; i < 3; i++) {
        double lift, omega, exact_lift, exact_omega;
        double q = hopf_by_eigenvalues(NULL, 20.0, kappa[i], &lift, &omega);
        assert_close(q, flow[i], 1e-4, 0.0);
        assert_close(hopf_exact(20.0, kappa[i], &exact_lift, &exact_omega), flow[i], 1e-6, 0.0);
        assert_close(lift, exact_lift, 1e-4, 0.0);
        assert_close(omega, exact_omega, 1e-4, 0.0);
        if (i == 0) {
            assert_close(omega, 3.090709, 1e-4, 0.0);
        }
    }
}

static void test_hopf_point_in_engineering_units(void **state) {
    (void)state;
    // C: 161.108 L/min, 12.41031 bar, lift 2.410313 mm, 491.902 Hz.
    double lift, omega, q = hopf_by_eigenvalues(NULL, 20.0, 1.25, &lift, &omega);
    assert_close(q * 3.1622776601683795e-4 * 60e3, 161.108, 1e-4, 0.0);
    assert_close(lift, 2.410313, 1e-4, 0.0);
    assert_close(omega / TIME / (2.0 * PI), 491.902, 1e-4, 0.0);
    assert_close(lift + 10.0, 12.41031, 1e-4, 0.0); // bar gauge: spring force over area
}

static void with_sweep(struct regulator_parameters *p) {
    p->actuator.swept_volume = true;
}

// The same coefficient from a port of diameter D whose area is the diaphragm's.
static void with_curtain(struct regulator_parameters *p) {
    double diameter = sqrt(4.0 * 1e-4 / PI);
    p->trim.characteristic = TRIM_CURTAIN;
    p->trim.port_diameter = diameter;
    p->trim.discharge_coefficient *= p->trim.slot_width / (PI * diameter);
}

static void test_hopf_point_of_less_ideal_valves(void **state) {
    (void)state;
    // C: with swept volume on, 5.037; with curtain and port in series, 5.727 (1e-3 of the flow).
    double lift, omega;
    assert_close(hopf_by_eigenvalues(with_sweep, 20.0, 1.25, &lift, &omega), 5.037, 2e-4, 0.0);
    assert_close(hopf_by_eigenvalues(with_curtain, 20.0, 1.25, &lift, &omega), 5.727, 2e-4, 0.0);
}

static void test_larger_volume_is_less_steady_here(void **state) {
    (void)state; // C: beta 20 / 40 / 200 gives 8.49 / 5.72 / 2.39; beta falls as 1/V
    const double beta[] = {20.0, 40.0, 200.0}, flow[] = {8.49, 5.72, 2.39};
    for (int i = 0; i < 3; i++) {
        double lift, omega;
        assert_close(hopf_by_eigenvalues(NULL, beta[i], 1.25, &lift, &omega), flow[i], 0.0, 6e-3);
    }
}

// Run from the rest of `flow` with the plug moved by a share of its lift.
static void run_valve(double flow, double kick, double end, double tolerance) {
    struct regulator_parameters p = fixture_relief_valve(20.0, 1.25, flow);
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = settle(&r, y);
    y[r.layout.travel] *= 1.0 + kick;
    struct integrate_options o = integrate_options_default();
    o.end = end;
    o.sample_interval = 1e-3;
    o.relative_tolerance = tolerance;
    o.initial_step = 1e-8;
    struct integrate_result result = fixture_run(&r, &mode, y, &o, &record);
    assert_int_equal(result.status, INTEGRATE_DONE);
}

// What the last few cycles of a run did, in units of the scales.
struct cycle {
    double lowest, highest, period, contact_speed;
    int contacts; // in the last ten cycles
};

static struct cycle last_cycles(void) {
    struct cycle c = {.lowest = 1e9};
    assert_true(record.event_count > 40 && record.event_count <= FIXTURE_EVENTS_MAX);
    double crest[11];
    int crests = 0;
    for (int i = record.event_count - 20; i < record.event_count; i++) {
        c.highest = fmax(c.highest, record.event[i].before_travel / LIFT);
    }
    for (int i = record.event_count - 1; i >= 0 && crests < 11; i--) {
        const struct fixture_event *e = &record.event[i];
        double y = e->before_travel / LIFT;
        if (e->transition.event == EVENT_SEAT_CONTACT) {
            c.contact_speed = e->transition.approach_speed / (LIFT / TIME);
            c.contacts += crests > 0;
        } else if (e->transition.event == EVENT_TRAVEL_REVERSAL) {
            c.lowest = fmin(c.lowest, y);
            if (y > 0.99 * c.highest) { // low and high reversals alternate
                crest[crests++] = e->time / TIME;
            }
        }
    }
    assert_int_equal(crests, 11);
    c.period = (crest[0] - crest[10]) / 10.0;
    return c;
}

static void test_cycles_without_contact(void **state) {
    (void)state;
    // C: q 8.2: y1 1.15412..4.48663, period 2.220862; q 8.0: 0.66829..6.00989, 2.392389 (1 %).
    run_valve(8.2, -0.4, 0.6, 1e-7);
    struct cycle c = last_cycles();
    assert_close(c.lowest, 1.15412, 1e-2, 0.0);
    assert_close(c.highest, 4.48663, 1e-2, 0.0);
    assert_close(c.period, 2.220862, 1e-2, 0.0);
    run_valve(8.0, -0.6, 0.4, 1e-7);
    c = last_cycles();
    assert_int_equal(c.contacts, 0);
    assert_close(c.lowest, 0.66829, 1e-2, 0.0);
    assert_close(c.highest, 6.00989, 1e-2, 0.0);
    assert_close(c.period, 2.392389, 1e-2, 0.0);
}

static void test_grazing_flow(void **state) {
    (void)state;
    // C: first seat contact at q_G 7.557209 (0.02 in q), period 2.656013, y1 max 8.859920.
    run_valve(7.577, -0.5, 0.8, 1e-7);
    assert_int_equal(fixture_count(&record, EVENT_SEAT_CONTACT), 0);
    run_valve(7.5575, -0.5, 1.2, 1e-8); // the orbit itself, just short of contact
    assert_int_equal(fixture_count(&record, EVENT_SEAT_CONTACT), 0);
    struct cycle c = last_cycles();
    assert_close(c.period, 2.656013, 1e-3, 0.0);
    assert_close(c.highest, 8.859920, 1e-3, 0.0);
    run_valve(7.537, -0.5, 0.8, 1e-7);
    assert_true(fixture_count(&record, EVENT_SEAT_CONTACT) > 0);
}

static void test_one_contact_orbits(void **state) {
    (void)state;
    // C: q 5: y1 max 4.8310, period 2.154699, contact speed 2.8899; q 2: 1.4346, 1.465434, 2.9807
    // (0.5 %).
    const double flow[] = {5.0, 2.0}, highest[] = {4.8310, 1.4346};
    const double period[] = {2.154699, 1.465434}, speed[] = {2.8899, 2.9807};
    for (int i = 0; i < 2; i++) {
        run_valve(flow[i], 0.2, 0.3, 1e-7);
        struct cycle c = last_cycles();
        assert_int_equal(c.contacts, 10);
        assert_close(c.highest, highest[i], 5e-3, 0.0);
        assert_close(c.period, period[i], 5e-3, 0.0);
        assert_close(c.contact_speed, speed[i], 5e-3, 0.0);
    }
}

// Ratio of the swings at the end and at the start of a small free motion.
static double swing_growth(double flow, double kick, double end) {
    run_valve(flow, kick, end, 1e-8);
    const struct fixture_event *e = record.event;
    int n = record.event_count;
    assert_true(n > 20);
    double first = fabs(e[2].before_travel - e[1].before_travel);
    double last = fabs(e[n - 1].before_travel - e[n - 2].before_travel);
    return last / first;
}

static void test_hopf_point_by_simulated_growth(void **state) {
    (void)state;
    // E: 1 % below the Hopf flow a small motion grows, 1 % above it dies out.
    assert_true(swing_growth(0.99 * 8.491118, 1e-3, 0.2) > 1.2);
    assert_true(swing_growth(1.01 * 8.491118, 1e-3, 0.2) < 0.8);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_hopf_point_by_eigenvalues),
        cmocka_unit_test(test_hopf_point_in_engineering_units),
        cmocka_unit_test(test_hopf_point_of_less_ideal_valves),
        cmocka_unit_test(test_larger_volume_is_less_steady_here),
        cmocka_unit_test(test_cycles_without_contact),
        cmocka_unit_test(test_grazing_flow),
        cmocka_unit_test(test_one_contact_orbits),
        cmocka_unit_test(test_hopf_point_by_simulated_growth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
