// SPDX-License-Identifier: MIT
// Contact laws: closed forms of the compliant law, and the bouncing ball and impact oscillator
// through the product's own rigid seat and stop.
#include "fixtures.h"
#include "models/contact.h"
#include "support.h"

static const double PI = 3.14159265358979323846;

static struct fixture_record record;

// Rebound speed [m/s] of the compliant law for an approach speed [m/s]; exact for any k, n, m:
// L (vi + vo) = ln[(1 + L vi)/(1 - L vo)], L = 1.5 c.
static double rebound_speed(const struct contact_parameters *contact, double approach_speed) {
    double l = 1.5 * contact->damping;
    if (l <= 0.0) {
        return approach_speed;
    }
    // With a = L vi and b = L vo: a - ln(1 + a) = -b - ln(1 - b). Newton from the small-c limit;
    // the right side is convex in b on [0, 1), so clamping below 1 keeps the iteration inside.
    double a = l * approach_speed;
    double target = a - log1p(a);
    double b = a / (1.0 + a);
    for (int i = 0; i < 100; i++) {
        double miss = -b - log1p(-b) - target;
        double slope = b / (1.0 - b);
        double next = slope > 0.0 ? b - miss / slope : b;
        next = fmin(fmax(next, 0.5 * b), 0.5 * (1.0 + b));
        if (fabs(next - b) <= 1e-15 * b) {
            break;
        }
        b = next;
    }
    return b / l;
}

static void test_rebound_of_hunt_crossley(void **state) {
    (void)state;
    // E: L vi = 0.1 -> e 0.937476; 1.0 -> 0.593624 (1e-4).
    struct contact_parameters contact = {.damping = 1.0 / 1.5}; // L = 1
    assert_close(rebound_speed(&contact, 0.1) / 0.1, 0.937476, 1e-4, 0.0);
    assert_close(rebound_speed(&contact, 1.0), 0.593624, 1e-4, 0.0);
    for (double a = 1e-4; a < 1e4; a *= 3.0) { // E: the implicit relation itself
        double b = rebound_speed(&contact, a);
        assert_true(b > 0.0 && b < 1.0 && b <= a);
        if (a < 30.0) { // beyond, 1 - b is below rounding
            assert_close(a + b, log1p(a) - log1p(-b), 1e-9, 1e-12);
        }
    }
    contact.damping = 0.0; // elastic
    assert_close(rebound_speed(&contact, 0.7), 0.7, 0.0, 0.0);
}

static void test_rebound_is_that_of_the_force(void **state) {
    (void)state;
    // E: the relation holds for any k, m and n. Fourth-order steps through one contact.
    const double stiffness[] = {1e6, 3e8}, index[] = {1.0, 1.5}, mass[] = {2.0, 0.3};
    for (int i = 0; i < 2; i++) {
        struct contact_parameters c = {
            .stiffness = stiffness[i], .index = index[i], .damping = 0.8};
        double d = 0.0, v = 0.5, h = 1e-7;
        do {
            double k1 = -contact_force(&c, d, v) / mass[i];
            double v2 = v + 0.5 * h * k1, k2 = -contact_force(&c, d + 0.5 * h * v, v2) / mass[i];
            double v3 = v + 0.5 * h * k2, k3 = -contact_force(&c, d + 0.5 * h * v2, v3) / mass[i];
            double v4 = v + h * k3, k4 = -contact_force(&c, d + h * v3, v4) / mass[i];
            d += h / 6.0 * (v + 2.0 * v2 + 2.0 * v3 + v4);
            v += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
        } while (d > 0.0);
        assert_close(-v, rebound_speed(&c, 0.5), 1e-4, 0.0);
    }
}

static void test_force_never_pulls(void **state) {
    (void)state;
    struct contact_parameters c = {.stiffness = 1e6, .index = 1.0, .damping = 0.5};
    assert_close(contact_force(&c, -1e-6, 5.0), 0.0, 0.0, 0.0);
    assert_close(contact_force(&c, 0.0, 5.0), 0.0, 0.0, 0.0);
    assert_close(contact_force(&c, 1e-5, -2.0), 0.0, 0.0, 0.0); // 1 - 1.5 would pull
    assert_close(contact_force(&c, 1e-5, -1.0), 10.0 * 0.25, 1e-13, 0.0);
    assert_close(contact_force(&c, 1e-5, 0.0), 10.0, 1e-13, 0.0);
}

// E: where it does not touch, or would pull, it has no slope; else those of the law.
static void test_slopes_of_the_force(void **state) {
    (void)state;
    struct contact_parameters c = {.stiffness = 1e6, .index = 1.5, .damping = 0.5};
    const double none[][2] = {{-1e-6, 5.0}, {0.0, 5.0}, {1e-5, -2.0}};
    for (int i = 0; i < 3; i++) {
        double slope[2] = {7.0, 7.0};
        contact_force_slopes(&c, none[i][0], none[i][1], slope);
        assert_close(slope[0], 0.0, 0.0, 0.0);
        assert_close(slope[1], 0.0, 0.0, 0.0);
    }
    double slope[2];
    contact_force_slopes(&c, 4e-4, 0.2, slope); // k n d^(n-1) (1 + 1.5 c v), k d^n 1.5 c
    assert_close(slope[0], 1e6 * 1.5 * 0.02 * 1.15, 1e-13, 0.0);
    assert_close(slope[1], 1e6 * 8e-6 * 0.75, 1e-13, 0.0);
}

static void test_peak_force_is_the_energy_balance(void **state) {
    (void)state; // E: n = 1 gives v sqrt(k m)
    struct contact_parameters c = {.stiffness = 5e7, .index = 1.0};
    assert_close(contact_peak_force(&c, 3.0, 0.4), 0.4 * sqrt(1.5e8), 1e-13, 0.0);
    c.index = 1.5;
    double d = pow(1.25 * 3.0 * 0.16 / 5e7, 0.4);
    assert_close(contact_peak_force(&c, 3.0, 0.4), 5e7 * pow(d, 1.5), 1e-13, 0.0);
}

static void test_bouncing_ball_comes_to_rest(void **state) {
    (void)state;
    // E: h 1 m, e 0.8, g 9.81: at rest at 4.063713 s; no hang at the accumulation.
    struct regulator_parameters p = fixture_ball(1e-7);
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 1.0, p.atmosphere, y);
    struct integrate_options o = integrate_options_default();
    o.end = 14.0;
    o.relative_tolerance = 1e-10;
    o.initial_step = 1e-10;
    struct integrate_result result = fixture_run(&r, &mode, y, &o, &record);
    assert_int_equal(result.status, INTEGRATE_DONE);
    const struct fixture_event *held = fixture_last(&record, EVENT_SEAT_HELD);
    assert_non_null(held);
    assert_int_equal(fixture_count(&record, EVENT_SEAT_HELD), 1);
    assert_close(held->time, 4.063713, 0.0, 1e-6);
    // Ten seconds of rest add nothing: no event, no creep, held bit for bit.
    assert_ptr_equal(held, &record.event[record.event_count - 1]);
    assert_int_equal(mode.plug, HOLD_LOW);
    assert_close(y[r.layout.travel], 0.0, 0.0, 0.0);
    assert_close(y[r.layout.speed], 0.0, 0.0, 0.0);
}

static void test_bounce_ladder(void **state) {
    (void)state;
    // E: contact n comes at sqrt(2h/g) (1 + 2 (e + ... + e^(n-1))) at speed e^(n-1) sqrt(2 g h).
    struct regulator_parameters p = fixture_ball(1e-7);
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 1.0, p.atmosphere, y);
    struct integrate_options o = integrate_options_default();
    o.end = 3.7; // eleven contacts
    o.relative_tolerance = 1e-9;
    o.initial_step = 1e-8;
    fixture_run(&r, &mode, y, &o, &record);
    double fall = sqrt(2.0 / 9.81), time = fall, speed = sqrt(2.0 * 9.81);
    int contacts = 0;
    for (int i = 0; i < record.event_count; i++) {
        const struct fixture_event *event = &record.event[i];
        if (event->transition.event == EVENT_SEAT_CONTACT) {
            assert_close(event->time, time, 0.0, 1e-7);
            assert_close(event->transition.approach_speed, speed, 1e-7, 0.0);
            assert_close(event->transition.rebound_speed, 0.8 * speed, 1e-7, 0.0);
            speed *= 0.8;
            time += 2.0 * speed / 9.81;
            contacts++;
        }
    }
    assert_int_equal(contacts, 11);
}

// x'' + 0.1 x' + x = amplitude cos t with a rigid stop at x = 1: the set point of a direct
// reducing build pushes, everything else is still.
static void run_oscillator(double amplitude, double end) {
    struct regulator_parameters p = fixture_still(DUTY_REDUCING);
    p.set_is_force = false;
    p.set_point = (struct schedule){.kind = SCHEDULE_SINE,
                                    .base = p.atmosphere,
                                    .peak = amplitude / p.actuator.diaphragm_area,
                                    .period = 2.0 * PI};
    p.actuator.spring_rate = 1.0;
    p.actuator.damping = 0.1;
    p.actuator.stop.law = CONTACT_RIGID;
    p.actuator.stop.restitution = 0.8;
    p.actuator.stop.rest_speed = 1e-6;
    struct regulator r;
    regulator_prepare(&r, &p);
    double y[REGULATOR_STATES_MAX];
    struct regulator_mode mode = fixture_rest(&r, 0.0, p.atmosphere, y);
    struct integrate_options o = integrate_options_default();
    o.end = end;
    o.relative_tolerance = 1e-8;
    o.sample_interval = 0.1;
    assert_int_equal(fixture_run(&r, &mode, y, &o, &record).status, INTEGRATE_DONE);
}

static void test_impact_oscillator_orbit(void **state) {
    (void)state;
    // C (Dankowicz and Schilder, SIAM 2013, example 15.2): A = 1 gives one contact
    // a period, 1.695733 in, 1.356586 out, phase 0.075952 (0.1 %).
    run_oscillator(1.0, 500.0);
    const struct fixture_event *last = fixture_last(&record, EVENT_STOP_CONTACT);
    assert_non_null(last);
    assert_close(last->transition.approach_speed, 1.695733, 1e-3, 0.0);
    assert_close(last->transition.rebound_speed, 1.356586, 1e-3, 0.0);
    assert_close(fmod(last->time, 2.0 * PI), 0.075952, 1e-3, 0.0);
    int late = 0; // one a period in the last ten
    for (int i = 0; i < record.event_count; i++) {
        late += record.event[i].transition.event == EVENT_STOP_CONTACT &&
                record.event[i].time > last->time - 20.0 * PI + 1.0;
    }
    assert_int_equal(late, 10);
}

static void test_impact_oscillator_grazing(void **state) {
    (void)state;
    // E: at resonance the free amplitude is A/0.1, so contact begins at A = 0.1 exactly.
    run_oscillator(0.0999, 300.0);
    assert_int_equal(fixture_count(&record, EVENT_STOP_CONTACT), 0);
    run_oscillator(0.1001, 300.0);
    assert_true(fixture_count(&record, EVENT_STOP_CONTACT) > 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rebound_of_hunt_crossley),
        cmocka_unit_test(test_rebound_is_that_of_the_force),
        cmocka_unit_test(test_force_never_pulls),
        cmocka_unit_test(test_slopes_of_the_force),
        cmocka_unit_test(test_peak_force_is_the_energy_balance),
        cmocka_unit_test(test_bouncing_ball_comes_to_rest),
        cmocka_unit_test(test_bounce_ladder),
        cmocka_unit_test(test_impact_oscillator_orbit),
        cmocka_unit_test(test_impact_oscillator_grazing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
