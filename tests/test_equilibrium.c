// SPDX-License-Identifier: MIT
// Points of rest: none is missed, each is one, every outcome is told honestly. Checked against the
// model's own rates; invented data.
#include "fixture_build.h"
#include "fixtures.h"
#include "support.h"

#include "solve/linearise.h"

enum { FINE_POINTS = 3200, BUILDS = 48, ROOTS_MAX = EQUILIBRIUM_MAX };

static struct fixture_record record;

static size_t count_kind(const struct equilibria *e, enum equilibrium_kind kind) {
    size_t count = 0;
    for (size_t i = 0; i < e->count; i++) {
        count += e->at[i].kind == kind;
    }
    return count;
}

static double force_at(const struct regulator *r, double travel, bool *balanced) {
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    struct regulator_static s = regulator_static_at(r, &mode, 0.0, travel);
    *balanced = s.balanced;
    return s.force;
}

// Open points by plain bisection in a scan twenty times as fine as the program's. A change of sign
// where no pressure passes the flow, or where the force jumps, is none.
static size_t fine_scan(const struct regulator *r, double *root) {
    const struct regulator_parameters *p = &r->parameters;
    double reach = (p->actuator.stop.law == CONTACT_NONE ? 4.0 : 1.0) * p->trim.rated_travel;
    double scale = p->actuator.spring_rate * p->trim.rated_travel;
    bool balanced;
    double last_travel = 0.0, last = force_at(r, 0.0, &balanced);
    size_t count = 0;
    for (int i = 1; i <= FINE_POINTS; i++) {
        double travel = reach * i / FINE_POINTS * i / FINE_POINTS;
        double force = force_at(r, travel, &balanced);
        if ((force > 0.0) != (last > 0.0)) {
            double low = last_travel, high = travel;
            for (int k = 0; k < 60; k++) {
                double middle = 0.5 * (low + high);
                bool below = (force_at(r, middle, &balanced) > 0.0) == (last > 0.0);
                *(below ? &low : &high) = middle;
            }
            double left = force_at(r, high, &balanced);
            if (balanced && fabs(left) < 1e-8 * scale) {
                assert_true(count < ROOTS_MAX);
                root[count++] = high;
            }
        }
        last_travel = travel;
        last = force;
    }
    return count;
}

static void test_no_root_is_missed(void **state) {
    (void)state;
    unsigned long long seed = 5;
    size_t roots = 0, several = 0;
    for (int i = 0; i < BUILDS; i++) {
        struct regulator_parameters p = build_random(&seed);
        struct regulator r;
        struct equilibria e = build_find(&r, &p);
        double root[ROOTS_MAX];
        size_t count = fine_scan(&r, root), k = 0;
        assert_int_equal(count_kind(&e, EQUILIBRIUM_OPEN), count);
        for (size_t j = 0; j < e.count; j++) {
            if (e.at[j].kind == EQUILIBRIUM_OPEN) {
                assert_close(e.at[j].travel, root[k++], 0.0, 1e-7 * p.trim.rated_travel);
            }
        }
        roots += count;
        several += count > 1;
    }
    print_message("%d builds: %zu open points of rest, several in %zu builds\n", BUILDS, roots,
                  several);
    assert_true(roots > BUILDS / 2 && several >= 3); // or the builds test nothing
}

// Largest rate left, each in its own scale a second; flows in shares of the scheduled one.
static void check_rest(const struct regulator *r, const struct equilibrium *e) {
    const struct regulator_layout *l = &r->layout;
    const struct regulator_parameters *p = &r->parameters;
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    double rate[REGULATOR_STATES_MAX];
    struct regulator_observation o;
    assert_int_equal(regulator_derivatives(r, &mode, 0.0, e->state, rate), 0);
    assert_int_equal(regulator_observe(r, &mode, 0.0, e->state, &o), 0);
    double flow = fmax(p->flow.base, 1e-6) / (r->liquid ? p->liquid.density : 1.0);
    for (int n = 0; n < NODE_VOLUMES; n++) {
        if (l->mass[n] >= 0) {
            assert_close(rate[l->mass[n]], 0.0, 0.0, 1e-8 * flow);
        }
    }
    double force = o.pressure[NODE_CONTROLLED] * p->actuator.diaphragm_area +
                   p->actuator.spring_rate * p->trim.rated_travel;
    switch (e->kind) {
    case EQUILIBRIUM_OPEN:
        assert_close(o.free_force, 0.0, 0.0, 1e-8 * force);
        break;
    case EQUILIBRIUM_SHUT:
        assert_close(e->travel, 0.0, 0.0, 0.0);
        assert_true(o.free_force <= 0.0);
        break;
    case EQUILIBRIUM_WIDE_OPEN:
        assert_close(e->travel, p->trim.rated_travel, 1e-12, 0.0);
        assert_true(o.free_force > 0.0);
        break;
    }
    if (r->has_pilot && e->pilot_travel > 0.0 && e->pilot_travel < p->pilot.travel) {
        assert_close(o.pilot_free_force, 0.0, 0.0, 1e-8 * force);
    }
}

static void test_each_is_a_point_of_rest(void **state) {
    (void)state;
    unsigned long long seed = 77;
    size_t found = 0;
    double worst = 0.0;
    for (int i = 0; i < 3 * BUILDS; i++) {
        struct regulator_parameters p = build_random(&seed);
        struct regulator r;
        struct equilibria e = build_find(&r, &p);
        assert_false(e.truncated);
        for (size_t k = 0; k < e.count; k++) {
            assert_true(e.at[k].polished);
            worst = fmax(worst, e.at[k].residual);
            check_rest(&r, &e.at[k]);
            assert_true(k == 0 || e.at[k].travel > e.at[k - 1].travel);
            found++;
        }
    }
    print_message("%zu points of rest, largest scaled rate left %.2g\n", found, worst);
    assert_true(found > BUILDS);
}

static void test_restoring_is_the_sign_of_the_force(void **state) {
    (void)state;
    struct regulator_parameters p = build_stopper(0.4);
    struct regulator r;
    struct equilibria e = build_find(&r, &p);
    for (size_t k = 0; k < e.count; k++) {
        if (e.at[k].kind == EQUILIBRIUM_OPEN) {
            double step = 1e-5 * p.trim.rated_travel;
            bool balanced;
            assert_int_equal(e.at[k].restoring,
                             force_at(&r, e.at[k].travel - step, &balanced) > 0.0);
            assert_int_equal(e.at[k].restoring,
                             force_at(&r, e.at[k].travel + step, &balanced) < 0.0);
        }
    }
}

static double fastest_growth(const struct regulator *r, const struct equilibrium *e) {
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    struct linear_modes modes;
    return linearise_modes(r, &mode, 0.0, e->state, &modes) ? modes.at[0].growth : 1e9;
}

// A point of rest that is left alone stays where it is, also where a push would grow slowly.
static void test_a_run_from_rest_stays_put(void **state) {
    (void)state;
    unsigned long long seed = 9;
    int runs = 0;
    for (int i = 0; i < BUILDS; i++) {
        struct regulator_parameters p = build_random(&seed);
        struct regulator r;
        struct equilibria e = build_find(&r, &p);
        for (size_t k = 0; k < e.count; k++) {
            // A pilot pushed against a stop that gives does move by a little.
            bool pilot_free = e.at[k].pilot_travel < p.pilot.travel && e.at[k].pilot_travel > 0.0;
            if (e.at[k].kind != EQUILIBRIUM_OPEN || (r.has_pilot && !pilot_free) ||
                fastest_growth(&r, &e.at[k]) > 100.0) {
                continue;
            }
            double y[REGULATOR_STATES_MAX];
            memcpy(y, e.at[k].state, sizeof y);
            struct regulator_mode mode = regulator_mode_at(&r, 0.0);
            struct integrate_options o = fixture_options(0.02, 1e-9);
            assert_int_equal(fixture_run(&r, &mode, y, &o, &record).status, INTEGRATE_DONE);
            assert_close(y[r.layout.travel], e.at[k].travel, 0.0, 1e-6 * p.trim.rated_travel);
            struct regulator_observation seen;
            regulator_observe(&r, &mode, 0.02, y, &seen);
            assert_close(seen.pressure[NODE_CONTROLLED], e.at[k].pressure[NODE_CONTROLLED], 1e-6,
                         0.0);
            runs++;
        }
    }
    assert_true(runs > BUILDS / 2);
}

static void test_one_open_point(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_pilot_gas(0.07366, 0.0);
    struct regulator r;
    struct equilibria e = build_find(&r, &p);
    assert_int_equal(e.count, 1);
    assert_int_equal(e.at[0].kind, EQUILIBRIUM_OPEN);
    assert_true(e.at[0].restoring && e.can_shut);
    assert_ptr_equal(equilibrium_choose(&e), &e.at[0]);
}

static void test_shut(void **state) {
    (void)state;
    // What little flows passes the leak of the seat before the plug lifts.
    struct regulator_parameters p = build_stopper(0.01);
    struct regulator r;
    struct equilibria e = build_find(&r, &p);
    assert_int_equal(e.count, 1);
    assert_int_equal(e.at[0].kind, EQUILIBRIUM_SHUT);
    assert_true(e.can_shut);
}

static void test_shut_at_the_pressure_of_the_well(void **state) {
    (void)state;
    // The set pressure lies above what the well can reach, and nothing leaks: the vessel rests at
    // the shut-in pressure, neither above nor nowhere.
    struct regulator_parameters p = build_stopper(0.4);
    p.trim.seat_leak = 0.0;
    p.flow_reference = 3e5;
    p.well_pressure = 4e5;
    for (int with_flowline = 0; with_flowline < 2; with_flowline++) {
        p.flowline.volume = 0.1 * with_flowline;
        p.flowline_diameter = 0.03;
        struct regulator r;
        struct equilibria e = build_find(&r, &p);
        assert_int_equal(e.count, 1);
        assert_int_equal(e.at[0].kind, EQUILIBRIUM_SHUT);
        assert_close(e.at[0].pressure[NODE_CONTROLLED], 4e5, 1e-9, 0.0);
    }
}

static void test_wide_open(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_pilot_gas(0.02, 0.0);
    p.flow.base *= 100.0;
    struct regulator r;
    struct equilibria e = build_find(&r, &p);
    assert_int_equal(e.count, 1);
    assert_int_equal(e.at[0].kind, EQUILIBRIUM_WIDE_OPEN);
    assert_true(e.at[0].pressure[NODE_CONTROLLED] > p.set_point.base);
}

static void test_none(void **state) {
    (void)state;
    // A constant demand beyond what the inlet can deliver into a vacuum: no pressure balances.
    struct regulator_parameters p = fixture_routh(100.0, false);
    p.flow.base *= 1e4;
    struct regulator r;
    struct equilibria e = build_find(&r, &p);
    assert_int_equal(e.count, 0);
    assert_null(equilibrium_choose(&e));
}

static void test_several(void **state) {
    (void)state;
    // Shut on its leak, far open, and a point in between that nothing holds.
    struct regulator_parameters p = build_stopper(0.4);
    struct regulator r;
    struct equilibria e = build_find(&r, &p);
    assert_int_equal(e.count, 3);
    assert_int_equal(e.at[0].kind, EQUILIBRIUM_SHUT);
    assert_int_equal(e.at[1].kind, EQUILIBRIUM_OPEN);
    assert_false(e.at[1].restoring);
    assert_int_equal(e.at[2].kind, EQUILIBRIUM_OPEN);
    assert_true(e.at[2].restoring);
    assert_ptr_equal(equilibrium_choose(&e), &e.at[2]);
}

static void test_cannot_shut(void **state) {
    (void)state;
    // 30 psi under a plug of 6.6 in2 is 198 lbf against 87 lbf of spring; over it, they add up.
    struct regulator_parameters p = fixture_pilot_gas(0.07366, 0.0);
    struct regulator r;
    p.trim.direction = TRIM_FLOW_TO_OPEN;
    assert_false(build_find(&r, &p).can_shut);
    p.actuator.preload *= 3.0;
    assert_true(build_find(&r, &p).can_shut);
    p.actuator.preload /= 3.0;
    p.trim.direction = TRIM_FLOW_TO_CLOSE;
    assert_true(build_find(&r, &p).can_shut);
    // Reducing: the inlet pressure pushes it open from below.
    p = fixture_variant(3);
    p.trim.direction = TRIM_FLOW_TO_OPEN;
    assert_false(build_find(&r, &p).can_shut);
}

static void test_names(void **state) {
    (void)state;
    assert_string_equal(equilibrium_kind_name(EQUILIBRIUM_OPEN), "open");
    assert_string_equal(equilibrium_kind_name(EQUILIBRIUM_SHUT), "shut");
    assert_string_equal(equilibrium_kind_name(EQUILIBRIUM_WIDE_OPEN), "wide open");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_root_is_missed),
        cmocka_unit_test(test_each_is_a_point_of_rest),
        cmocka_unit_test(test_restoring_is_the_sign_of_the_force),
        cmocka_unit_test(test_a_run_from_rest_stays_put),
        cmocka_unit_test(test_one_open_point),
        cmocka_unit_test(test_shut),
        cmocka_unit_test(test_shut_at_the_pressure_of_the_well),
        cmocka_unit_test(test_wide_open),
        cmocka_unit_test(test_none),
        cmocka_unit_test(test_several),
        cmocka_unit_test(test_cannot_shut),
        cmocka_unit_test(test_names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
