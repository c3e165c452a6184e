// SPDX-License-Identifier: MIT
// Windows of flow: put together from two pressures, packed and unpacked, and searched once for
// real.
#include "fixture_case.h"

#include "steady/trim_window.h"

static struct trim_window made(double largest, double settled, double kicked) {
    return (struct trim_window){.bound = STEADINESS_BOUND_TRAVEL,
                                .largest = largest,
                                .travel = 0.01,
                                .pressure = 3e5,
                                .top = largest,
                                .settled_range = STEADINESS_FROM,
                                .kicked_range = STEADINESS_FROM,
                                .settled = settled,
                                .kicked = kicked,
                                .below_settled = VERDICT_SHUT,
                                .below_kicked = VERDICT_HUNTING,
                                .again = (double)NAN,
                                .looked_at = 0.1};
}

static void common(void **state) {
    (void)state;
    struct trim_window a = made(100.0, 5.0, 8.0);
    struct trim_window b = made(80.0, 6.0, 7.0);
    b.bound = STEADINESS_BOUND_LIMIT;
    b.kicked_range = STEADINESS_EVERYWHERE;
    struct trim_window w = trim_window_common(&a, &b);
    assert_close(w.largest, 80.0, 0.0, 0.0);
    assert_int_equal(w.bound, STEADINESS_BOUND_LIMIT);
    assert_close(w.settled, 6.0, 0.0, 0.0);
    assert_close(w.kicked, 8.0, 0.0, 0.0);
    assert_int_equal(w.kicked_range, STEADINESS_FROM);
    // The reason goes with the end; both must stand the kick again.
    a.again = 4.0;
    b.below_kicked = VERDICT_SLAMMING;
    w = trim_window_common(&a, &b);
    assert_int_equal(w.below_kicked, VERDICT_HUNTING);
    assert_true(isnan(w.again));
    b.again = 3.0;
    assert_close(trim_window_common(&a, &b).again, 3.0, 0.0, 0.0);
    b.again = (double)NAN;
    b.kicked = b.looked_at; // stands it everywhere
    assert_close(trim_window_common(&a, &b).again, 4.0, 0.0, 0.0);
    b.kicked = 7.0;
    // What one of the two pressures does not allow is not allowed.
    a.kicked = (double)NAN;
    a.kicked_range = STEADINESS_NOWHERE;
    w = trim_window_common(&b, &a);
    assert_true(isnan(w.kicked));
    assert_int_equal(w.kicked_range, STEADINESS_NOWHERE);
    // Windows that do not overlap.
    const struct trim_window low = made(8.0, 1.0, 2.0);
    const struct trim_window high = made(80.0, 9.0, 10.0);
    w = trim_window_common(&low, &high);
    assert_close(w.largest, 8.0, 0.0, 0.0);
    assert_true(isnan(w.settled) && isnan(w.kicked));
    const struct trim_window_search search = {.lowest = 0.1};
    const struct trim_window none = trim_window_none(&search);
    w = trim_window_common(&b, &none);
    assert_true(isnan(w.largest) && isnan(w.settled) && isnan(w.kicked) && isnan(w.top));
    w = trim_window_common(&none, &b);
    assert_true(isnan(w.largest) && isnan(w.settled) && isnan(w.kicked) && isnan(w.top));
}

static void packing(void **state) {
    (void)state;
    const struct trim_window a = made(100.0, 5.0, (double)NAN);
    double row[TRIM_WINDOW_NUMBERS];
    trim_window_pack(&a, row);
    const struct trim_window b = trim_window_unpack(row);
    assert_int_equal(b.bound, a.bound);
    assert_int_equal(b.settled_range, a.settled_range);
    assert_int_equal(b.kicked_range, a.kicked_range);
    const double before[] = {a.largest, a.travel, a.pressure, a.top, a.settled, a.looked_at};
    const double after[] = {b.largest, b.travel, b.pressure, b.top, b.settled, b.looked_at};
    assert_memory_equal(before, after, sizeof before);
    assert_true(isnan(b.kicked) && isnan(b.again));
    assert_int_equal(b.below_settled, VERDICT_SHUT);
    assert_int_equal(b.below_kicked, VERDICT_HUNTING);
}

// The reduced port of the main demo: its window holds today's flow, its ends are what they say.
static void search(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    fixture_case_open(&c, decline, "reduced", NULL);
    const double flow = scenario_get_si(c.scenario, 0, "inflow.rate");
    const struct trim_window_search search = {.lowest = 0.001 * flow,
                                              .upper = flow,
                                              .ceiling = 1000.0 * flow,
                                              .limit = c.resolved.pressure_limit,
                                              .kick = trim_window_kick(&c.resolved)};
    // The scenario's own kick of 3 psi.
    assert_close(search.kick, 3.0 * 6894.757293168361, 1e-12, 0.0);
    assert_close(trim_window_prepare(&c.resolved, search.lowest, &subject), flow, 1e-15, 0.0);
    const struct trim_window w = trim_window_find(&subject, &search);
    assert_true(w.kicked < flow && flow < w.largest);
    assert_true(w.settled <= w.kicked);
    assert_int_equal(w.bound, STEADINESS_BOUND_TRAVEL);
    assert_close(w.travel, 0.9 * c.resolved.model.trim.rated_travel, 1e-3, 0.0);
    assert_true(steadiness_kicked(&subject, 1.02 * w.kicked, search.kick));
    assert_false(steadiness_kicked(&subject, 0.98 * w.kicked, search.kick));
    assert_int_equal(steadiness_settled(&subject, 1.001 * w.settled).rest, STEADINESS_STEADY);
    assert_int_not_equal(steadiness_settled(&subject, 0.999 * w.settled).rest, STEADINESS_STEADY);
    assert_close(w.top, w.largest, 1e-4, 0.0);
    // Below it the pilot's gas is all that flows.
    assert_int_equal(w.below_settled, VERDICT_SHUT);
    assert_true(isnan(w.again));
    // With a limit just above the set pressure the pressure is what ends it.
    struct trim_window_search low_limit = search;
    low_limit.limit = c.resolved.set_pressure + 0.5 * (w.pressure - c.resolved.set_pressure);
    const struct trim_window limited = trim_window_find(&subject, &low_limit);
    assert_int_equal(limited.bound, STEADINESS_BOUND_LIMIT);
    assert_true(limited.largest < w.largest);
    assert_close(limited.pressure, low_limit.limit, 1e-4, 0.0);
    fixture_case_close(&c);
}

// A direct-acting regulator that is steady at today's flow and at the largest, but not in between:
// the window is the one that holds the flow of interest.
static void two_windows(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    static const char *const overrides[] = {"vessel.volume=5 ft3", NULL};
    fixture_case_open(&c, "tests/scenarios/direct-small.yaml", "reduced", overrides);
    const double flow = scenario_get_si(c.scenario, 0, "inflow.rate");
    struct trim_window_search search = {.lowest = 0.1 * flow,
                                        .upper = flow,
                                        .ceiling = 1000.0 * flow,
                                        .limit = (double)NAN,
                                        .kick = trim_window_kick(&c.resolved)};
    assert_true(steadiness_prepare(&c.resolved, &subject));
    const struct trim_window today = trim_window_find(&subject, &search);
    assert_true(today.kicked <= flow && flow < today.top && today.top < today.largest);
    const double between = 1.05 * today.top;
    assert_int_equal(steadiness_settled(&subject, between).rest, STEADINESS_UNSTEADY);
    search.upper = today.largest;
    const struct trim_window above = trim_window_find(&subject, &search);
    assert_true(above.kicked > today.top);
    // Below the gap it stands the kick again, to a step of the search.
    assert_true(above.again > 0.7 * today.top && above.again < 1.4 * today.top);
    assert_true(above.below_kicked > VERDICT_RINGING);
    assert_close(above.top, today.largest, 1e-4, 0.0);
    // From where neither holds it, the next above is told.
    search.upper = between;
    const struct trim_window next = trim_window_find(&subject, &search);
    assert_close(next.settled, above.settled, 1e-4, 0.0);
    fixture_case_close(&c);
}

// A port between the demo's two stands a kick from some flow upward. Looked for from a peak below,
// just below and above that flow, with or without the reasons, it is the same flow.
static void one_end_from_anywhere(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    static const char *const overrides[] = {"trim.port=2.4 in", NULL};
    fixture_case_open(&c, decline, "full", overrides);
    const double flow = scenario_get_si(c.scenario, 0, "inflow.rate");
    struct trim_window_search search = {.lowest = 0.2 * flow,
                                        .ceiling = 100.0 * flow,
                                        .limit = c.resolved.pressure_limit,
                                        .kick = trim_window_kick(&c.resolved),
                                        .brief = true};
    assert_true(steadiness_prepare(&c.resolved, &subject));
    static const double peak[] = {2.0, 6.67, 8.67, 10.0, 50.0};
    double first = (double)NAN;
    for (size_t i = 0; i < sizeof peak / sizeof peak[0]; i++) {
        search.upper = peak[i] * flow;
        search.lowest *= 1.1; // nor does it matter how far down
        search.ceiling *= 0.9;
        const struct trim_window w = trim_window_find(&subject, &search);
        first = i == 0 ? w.kicked : first;
        assert_close(w.kicked, first, 1e-12, 0.0);
        assert_true(w.settled < w.kicked && w.kicked < w.largest);
        assert_int_equal(w.kicked_range, STEADINESS_FROM);
    }
    assert_true(steadiness_kicked(&subject, first, search.kick));
    assert_false(steadiness_kicked(&subject, 0.98 * first, search.kick));
    fixture_case_close(&c);
}

// A trim that cannot hold its set pressure at the scenario's flow is set at a lower one.
static void screw(void **state) {
    (void)state;
    struct fixture_case c;
    struct steadiness subject;
    static const char *const overrides[] = {"trims.reduced.port=0.2 in", NULL};
    fixture_case_open(&c, decline, "reduced", overrides);
    const double flow = scenario_get_si(c.scenario, 0, "inflow.rate");
    assert_false(steadiness_prepare(&c.resolved, &subject));
    const double turned = trim_window_prepare(&c.resolved, 1e-3 * flow, &subject);
    assert_true(turned < flow && turned >= 1e-3 * flow);
    const struct steadiness_settled there = steadiness_settled(&subject, turned);
    assert_close(there.pressure, c.resolved.set_pressure, 1e-6, 0.0);
    assert_true(isnan(trim_window_prepare(&c.resolved, 0.9 * flow, &subject)));
    // Without a kick of its own, 2 % of the gauge set pressure of 50 psig.
    c.resolved.start.kick_pressure = 0.0;
    assert_close(trim_window_kick(&c.resolved), 1.0 * 6894.757293168361, 1e-12, 0.0);
    fixture_case_close(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(common),
        cmocka_unit_test(packing),
        cmocka_unit_test(search),
        cmocka_unit_test(two_windows),
        cmocka_unit_test(one_end_from_anywhere),
        cmocka_unit_test(screw),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
