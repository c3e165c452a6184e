// SPDX-License-Identifier: MIT
// A set screw turned at flow: the regulator then rests at the set pressure, or it is told that none
// can be held. Invented data.
#include "fixture_build.h"
#include "fixtures.h"
#include "support.h"

static const double PSI = 6894.757293168361, ATMOSPHERE = 101325.0;

enum { DRAWS = 288 };

// Turn the screw at flow; false when the set pressure is out of reach.
static bool set_at_flow(struct regulator *r, struct regulator_parameters *p) {
    p->set_offset = 0.0;
    regulator_prepare(r, p);
    struct regulator_mode mode = regulator_mode_at(r, 0.0);
    double offset = regulator_static_set_offset(r, &mode, 0.0);
    if (!isfinite(offset)) {
        return false;
    }
    p->set_offset = offset;
    return true;
}

static bool rests_at(const struct equilibria *e, double pressure) {
    for (size_t i = 0; i < e->count; i++) {
        double off = fabs(e->at[i].pressure[NODE_CONTROLLED] - pressure);
        if (e->at[i].kind == EQUILIBRIUM_OPEN && off <= 1e-8 * pressure) {
            return true;
        }
    }
    return false;
}

static void test_set_at_flow_holds(void **state) {
    (void)state;
    unsigned long long seed = 21;
    int held = 0;
    for (int i = 0; i < DRAWS; i++) {
        struct regulator_parameters p = build_random(&seed);
        p.set_is_force = false;
        p.set_point = schedule_constant(ATMOSPHERE + 50.0 * PSI);
        struct regulator r;
        if (set_at_flow(&r, &p)) {
            struct equilibria e = build_find(&r, &p);
            assert_true(rests_at(&e, p.set_point.base));
            held++;
        }
    }
    print_message("%d of %d builds can be set at flow, each holds it\n", held, DRAWS);
    assert_true(held > DRAWS / 3);
}

static void test_set_out_of_reach(void **state) {
    (void)state;
    struct regulator r;
    struct regulator_parameters p = fixture_pilot_gas(0.02, 0.0);
    p.flow.base *= 100.0; // the port does not pass it at 50 psig
    assert_false(set_at_flow(&r, &p));
    p = fixture_pilot_gas(0.07366, 0.0);
    p.actuator.preload *= 30.0; // the vessel pressure does not lift the plug
    assert_false(set_at_flow(&r, &p));
    p = fixture_pilot_gas(0.07366, 0.0);
    p.pilot.supply_diameter *= 0.2; // the pilot wide open does not feed the bleed
    assert_false(set_at_flow(&r, &p));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_set_at_flow_holds),
        cmocka_unit_test(test_set_out_of_reach),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
