// SPDX-License-Identifier: MIT
// Whether what stands still is still the same: all pressures at a held travel, points of rest,
// small motions about them, and which way a search for a root goes. Figures of our own
// (fixture_pinned.h): they show a change, and no more. Invented data.
#include "fixture_pinned_builds.h"

#include "models/regulator_static.h"
#include "models/root.h"
#include "solve/equilibrium.h"
#include "solve/linearise.h"

static void add_static(struct digest *d, struct bits *b, const struct regulator_static *s) {
    digest_add_all(d, (const double[]){s->travel, s->pilot_travel, s->sensed, s->flow, s->force}, 5,
                   1e-6);
    digest_add_all(d, s->pressure, NODE_COUNT, 1.0);
    digest_add(d, s->balanced + 2.0 * s->pilot_at_stop, 1.0);
    bits_add(b, s->force);
    bits_add(b, s->pressure[NODE_CONTROLLED]);
    bits_add(b, s->pressure[NODE_CHAMBER]);
}

// All pressures at a held travel: by themselves, in a row, and in a row that starts near by. A
// liquid's come of nothing but sums, products and roots: to the last bit, so that it is noticed
// when a search ends elsewhere within its tolerance.
static void test_held_travel(void **state) {
    (void)state;
    static const double place[] = {0.0, 0.02, 0.05, 0.3, 0.31, 1.0};
    for (int i = 0; i < LINES_COUNT * FIXTURE_VARIANTS; i++) {
        const int variant = i % FIXTURE_VARIANTS, lines = i / FIXTURE_VARIANTS;
        struct regulator_parameters p = with_lines(variant, lines);
        struct regulator r;
        regulator_prepare(&r, &p);
        const struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        struct digest d = {0};
        struct bits b = {0};
        struct regulator_static_memory row = {0}, near = {0};
        for (size_t k = 0; k < sizeof place / sizeof place[0]; k++) {
            const double travel = place[k] * p.trim.rated_travel;
            const struct regulator_static next =
                regulator_static_next(&r, &mode, 0.0, travel, &row);
            add_static(&d, &b, &next);
            if (k % 2 == 0) {
                regulator_static_remember(&next, &near);
                const struct regulator_static beside =
                    regulator_static_next(&r, &mode, 0.0, 1.01 * travel, &near);
                add_static(&d, &b, &beside);
            }
        }
        digest_add_all(&d, (const double[]){regulator_static_shut_force(&r, &mode, 0.0)}, 1, 1.0);
        digest_add(&d, regulator_static_passes(&r, &mode, 0.0), 1.0);
        digest_add_all(&d, (const double[]){regulator_static_set_offset(&r, &mode, 0.0)}, 1, 1.0);
        char name[48];
        snprintf(name, sizeof name, "held, build %d, lines %d", variant, lines);
        pin_digest(name, &d, 1e-6);
        if (p.phase == FLUID_LIQUID) {
            snprintf(name, sizeof name, "held, build %d, lines %d, bits", variant, lines);
            pin_bits(name, &b);
        }
    }
}

static void add_rest(struct digest *d, const struct regulator *r, const struct equilibrium *e) {
    digest_add_all(d, (const double[]){e->kind, e->restoring, e->polished}, 3, 1.0);
    digest_add_all(d, (const double[]){e->travel, e->pilot_travel}, 2, 1e-6);
    digest_add_all(d, e->pressure, NODE_COUNT, 1.0);
    digest_add_all(d, e->line_flow, LINE_COUNT, 1e-3);
    for (int i = 0; i < r->layout.count; i++) {
        digest_add(d, e->state[i], 1e-6 * r->layout.slot[i].scale);
    }
}

static void add_modes(struct digest *d, const struct linear_modes *modes) {
    digest_add(d, (double)modes->count, 1.0);
    for (size_t i = 0; i < modes->count; i++) {
        digest_add_all(d, (const double[]){modes->at[i].growth, modes->at[i].frequency}, 2, 1.0);
    }
    digest_add(d, linearise_zero(modes), 1e-9);
    const struct linear_mode *one[] = {linearise_leading(modes), linearise_ringing(modes)};
    for (int i = 0; i < 2; i++) {
        digest_add(d, one[i] ? one[i]->damping_ratio : -1.0, 1e-3);
        digest_add(d, one[i] ? one[i]->growth : -1.0, 1.0);
    }
}

// At no flow at all nothing is left over to pass, to the last bit.
static void test_nothing_flows(void **state) {
    (void)state;
    for (int i = 0; i < FIXTURE_VARIANTS; i++) {
        struct regulator_parameters p = fixture_variant(i);
        struct regulator r;
        struct digest d = {0};
        for (int k = 0; k < 4; k++) {
            p.flow = schedule_constant(k % 2 ? 0.0 : 1e3 * p.flow.base);
            p.trim.seat_leak = k < 2 ? 0.0 : 1e-3;
            regulator_prepare(&r, &p);
            const struct regulator_mode mode = regulator_mode_at(&r, 0.0);
            digest_add(&d, regulator_static_passes(&r, &mode, 0.0), 1.0);
            digest_add(&d, regulator_static_set_offset(&r, &mode, 0.0), 1.0);
            digest_add(&d, regulator_static_shut_force(&r, &mode, 0.0), 1.0);
        }
        char name[48];
        snprintf(name, sizeof name, "nothing flows, build %d", i);
        pin_digest(name, &d, 1e-6);
    }
}

// Points of rest of builds at flows at which they are shut, open, wide open; small motions there.
static void test_points_of_rest(void **state) {
    (void)state;
    static const double flow[] = {0.0, 0.2, 30.0};
    static struct regulator r, smooth;
    for (int i = 0; i < 3 * FIXTURE_VARIANTS; i++) {
        const int variant = i / 3, lines = variant % 4 == 1 ? SIDE_LINES : NO_LINES;
        struct regulator_parameters p = with_lines(variant, lines);
        p.flow = schedule_constant(flow[i % 3] * p.flow.base);
        if (variant % 5 == 0) {
            p.actuator.stop.law = CONTACT_NONE;
        }
        regulator_prepare(&r, &p);
        const struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        const struct equilibria all = equilibrium_find(&r, &mode, 0.0);
        struct digest rest = {0}, motion = {0};
        struct bits polished = {0};
        digest_add(&rest, (double)all.count + 100.0 * all.can_shut, 1.0);
        for (size_t k = 0; k < all.count; k++) {
            add_rest(&rest, &r, &all.at[k]);
            bits_add(&polished, all.at[k].residual);
            bits_add(&polished, all.at[k].travel);
        }
        const struct equilibrium *chosen = equilibrium_choose(&all);
        digest_add(&rest, chosen ? chosen->travel : -1.0, 1e-6);
        const struct equilibria first = equilibrium_first(&r, &mode, 0.0);
        digest_add(&rest, (double)first.count, 1.0);
        char name[48];
        snprintf(name, sizeof name, "rest, build %d, flow %g", variant, flow[i % 3]);
        pin_digest(name, &rest, 1e-5);
        if (p.phase == FLUID_LIQUID && lines == NO_LINES) { // as in test_held_travel
            snprintf(name, sizeof name, "rest, build %d, flow %g, bits", variant, flow[i % 3]);
            pin_bits(name, &polished);
        }
        if (chosen && chosen->kind == EQUILIBRIUM_OPEN) {
            struct linear_modes modes;
            double y[REGULATOR_STATES_MAX] = {0.0};
            linearise_prepare(&smooth, &p);
            const struct regulator_rest at = {chosen->travel, chosen->pilot_travel,
                                              chosen->pressure};
            regulator_rest_state(&smooth, &mode, 0.0, &at, y);
            assert_true(linearise_modes(&smooth, &mode, 0.0, y, &modes));
            add_modes(&motion, &modes);
            snprintf(name, sizeof name, "modes, build %d, flow %g", variant, flow[i % 3]);
            pin_digest(name, &motion, 1e-4);
        }
    }
}

// The largest step that a slope by differences tries: of a state at nothing, small, as large as its
// scale, and beyond.
static void test_largest_steps(void **state) {
    (void)state;
    static struct regulator r;
    const struct regulator_parameters p = with_lines(1, SIDE_LINES);
    static const double share[] = {0.0, 1e-3, 0.01, 0.5, 1.0, -2.0, 30.0};
    struct digest d = {0};
    regulator_prepare(&r, &p);
    for (int i = 0; i < r.layout.mass_in; i++) {
        double y[REGULATOR_STATES_MAX] = {0.0};
        const double scale = r.layout.slot[i].scale;
        for (int k = 0; k < 7; k++) {
            y[i] = share[k] * scale;
            digest_add(&d, linearise_step(&r, y, i) / scale, 1e-9);
        }
    }
    pin_digest("largest steps", &d, 1e-8);
}

// No force anywhere but the one that is given: on a plug that nothing moves every travel is one of
// rest.
static void test_no_forces(void **state) {
    (void)state;
    for (int i = 0; i < 12; i++) {
        struct regulator_parameters p = fixture_still(i % 2 ? DUTY_REDUCING : DUTY_BACK_PRESSURE);
        p.actuator.preload = i / 2 % 3 == 0 ? 0.0 : i / 2 % 3 == 1 ? -10.0 : 10.0;
        p.actuator.spring_rate = i < 6 ? 0.0 : 20.0; // rests in the middle, on a point of a scan
        p.actuator.seat.law = p.actuator.stop.law = i % 4 ? CONTACT_RIGID : CONTACT_NONE;
        p.trim.rated_travel = i < 6 ? 1.0 : 2.0;
        struct regulator r;
        regulator_prepare(&r, &p);
        const struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        const struct equilibria all = equilibrium_find(&r, &mode, 0.0);
        const struct equilibria first = equilibrium_first(&r, &mode, 0.0);
        struct digest d = {0};
        digest_add_all(
            &d,
            (const double[]){(double)all.count, all.can_shut, all.truncated, (double)first.count},
            4, 1.0);
        for (size_t k = 0; k < all.count; k++) {
            add_rest(&d, &r, &all.at[k]);
        }
        char name[48];
        snprintf(name, sizeof name, "no forces %d", i);
        pin_digest(name, &d, 1e-5);
    }
}

// Every place where a search looks, in order: functions of sums and products alone, so that the
// figures are the same everywhere to the last bit.
struct looked {
    int function, calls;
    struct bits where;
};

static double looked_at(void *context, double x) {
    struct looked *k = context;
    k->calls++;
    bits_add(&k->where, x);
    switch (k->function) {
    case 0:
        return 1.0 - 3.0 * x;
    case 1:
        return 0.3 - x * x * x;
    case 2:
        return x < 0.37 ? 1.0 : -2.0;
    case 3:
        return x < 0.5 ? 0.5 - x : 1e-9 * (0.5 - x);
    case 4:
        return (0.1 - x) * (0.4 - x) * (x - 0.8) - 1e-3;
    case 5:
        return 1.0 / (x + 1e-3) - 7.0;
    case 6:
        return 0.25 - x * x * x * x * x * x * x * x * x;
    case 7:
        return 2.0 + x * x; // no root
    case 8:
        return (0.75 - x) * (0.75 - x) * (0.75 - x); // flat at its root
    default:
        return x <= 0.5 ? 0.0 : 0.5 - x; // nothing over a stretch
    }
}

static void test_searches(void **state) {
    (void)state;
    for (int i = 0; i < 10; i++) {
        struct looked k = {.function = i};
        static const double tolerance[] = {0.0, 1e-12, 1e-6, 1e-2};
        for (int t = 0; t < 4; t++) {
            bits_add(&k.where, root_bracketed(looked_at, &k, 0.0, 1.0, tolerance[t]));
            bits_add(&k.where, root_bracketed(looked_at, &k, 1.0, 0.125, tolerance[t]));
            struct root_memory m = {0};
            for (int n = 0; n < 6; n++) { // from nearer and from farther, and from the wrong side
                bits_add(&k.where, root_near(looked_at, &k, 0.0625 * n, 1.0, tolerance[t], &m));
                m.x += n % 2 ? 1e-9 : 0.125 * n;
                m.slope = n == 3 ? 0.0 : n == 4 ? -1e3 : m.slope;
            }
            m = (struct root_memory){.known = true, .x = 1.0, .slope = (double)NAN};
            bits_add(&k.where, root_near(looked_at, &k, 0.0, 1.0, tolerance[t], &m));
            bits_add(&k.where, root_near(looked_at, &k, 0.5, 0.5, tolerance[t], &m));
        }
        char name[48];
        snprintf(name, sizeof name, "search %d, where", i);
        pin_bits(name, &k.where);
        snprintf(name, sizeof name, "search %d, calls", i);
        pin_count(name, k.calls);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_held_travel),    cmocka_unit_test(test_nothing_flows),
        cmocka_unit_test(test_points_of_rest), cmocka_unit_test(test_no_forces),
        cmocka_unit_test(test_largest_steps),  cmocka_unit_test(test_searches),
        cmocka_unit_test(pinned_close),
    };
    pinned_name = "rest";
    return cmocka_run_group_tests(tests, pinned_open, NULL);
}
