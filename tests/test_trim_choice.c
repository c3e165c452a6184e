// SPDX-License-Identifier: MIT
// Every branch of the ranking of trims, on numbers made up here. Envelope: 10 to 100.
#include "support.h"

#include "trims/trim_choice.h"

static struct trim_candidate made(const char *name, double largest, double lowest, int parts) {
    return (struct trim_candidate){.name = name,
                                   .largest = largest,
                                   .lowest_steady = lowest,
                                   .top = largest,
                                   .steady_runs = true,
                                   .parts = parts};
}

// Ranks the candidates and compares the names in order, such as "b a c".
static struct trim_choice ranked(const struct trim_candidate *c, size_t count, const char *order) {
    struct trim_choice choice;
    char names[80] = "";
    const struct trim_demand demand = {.lowest = 10.0, .peak = 100.0, .limited = true};
    trim_choice_make(c, count, &demand, &choice);
    assert_int_equal(choice.count, count);
    for (size_t i = 0; i < count; i++) {
        const size_t used = strlen(names);
        snprintf(names + used, sizeof names - used, "%s%s", i ? " " : "",
                 c[choice.rank[i].candidate].name);
    }
    assert_string_equal(names, order);
    return choice;
}

static void expect_reason(const struct trim_choice *choice, const char *words) {
    if (!strstr(choice->reason, words)) {
        fail_msg("'%s' is not in '%s'", words, choice->reason);
    }
}

// Rule 1 goes before rule 2, both before the margin.
static void rules_in_order(void **state) {
    (void)state;
    const struct trim_candidate c[] = {
        made("neither", 50.0, 20.0, 0),
        made("small", 50.0, 0.1, 1),       // steady with a huge margin, but does not pass the peak
        made("oversized", 500.0, 20.0, 1), // passes, not steady at the lowest flow
        made("right", 150.0, 5.0, 1),
    };
    struct trim_choice choice = ranked(c, 4, "right oversized small neither");
    assert_int_equal(choice.advice, TRIM_ADVICE_FIT);
    expect_reason(&choice, "right passes the peak within 90 % of its travel and the vessel limit,");
    expect_reason(&choice, "lowest steady flow lies 2 times below");
    expect_reason(&choice, "What is in place, neither, passes only 50 % of the peak before it "
                           "stands at 90 % of its travel and stands a kick only from 2 times");
    assert_true(choice.rank[0].passes && choice.rank[0].steady);
    assert_true(choice.rank[1].passes && !choice.rank[1].steady);
    assert_true(!choice.rank[2].passes && choice.rank[2].steady);
    assert_close(choice.rank[0].margin, 2.0, 1e-15, 0.0);
}

static void leave_it(void **state) {
    (void)state;
    // The largest margin is in place.
    const struct trim_candidate best[] = {made("a", 150.0, 2.0, 0), made("b", 150.0, 5.0, 1)};
    struct trim_choice choice = ranked(best, 2, "a b");
    assert_int_equal(choice.advice, TRIM_ADVICE_LEAVE);
    assert_string_equal(trim_advice_name(choice.advice), "leave it as it is");
    expect_reason(&choice, "b would do too, with a margin of 2.");
    // A margin within 10 % is a tie, which fewer parts win.
    const struct trim_candidate tie[] = {made("a", 150.0, 6.0, 1), made("b", 150.0, 6.59, 0)};
    choice = ranked(tie, 2, "b a");
    assert_int_equal(choice.advice, TRIM_ADVICE_LEAVE);
    expect_reason(&choice, "a has hardly more margin (1.67) and takes parts.");
    assert_null(strstr(choice.reason, "enough"));
    // Beyond 10 % it is none, and the user is told that the present one would do.
    const struct trim_candidate no_tie[] = {made("a", 150.0, 6.0, 1), made("b", 150.0, 6.61, 0)};
    choice = ranked(no_tie, 2, "a b");
    assert_int_equal(choice.advice, TRIM_ADVICE_FIT);
    expect_reason(&choice, "b would do too, with a margin of 1.51 and no parts.");
    // Alone.
    choice = ranked(best, 1, "a");
    assert_int_equal(choice.advice, TRIM_ADVICE_LEAVE);
}

// A margin that is enough is enough: nobody buys parts for a larger one.
static void enough(void **state) {
    (void)state;
    const struct trim_candidate c[] = {made("huge", 150.0, 0.1, 1), made("a", 150.0, 5.0, 0)};
    struct trim_choice choice = ranked(c, 2, "a huge");
    assert_int_equal(choice.advice, TRIM_ADVICE_LEAVE);
    expect_reason(&choice, "lies 2 times below the lowest flow, which is enough.");
    expect_reason(&choice, "huge has more margin (100) and takes parts.");
    // Less than enough is not, and what fails a rule gains nothing by it.
    const struct trim_candidate less[] = {made("huge", 150.0, 0.1, 1), made("a", 150.0, 5.6, 0)};
    assert_int_equal(ranked(less, 2, "huge a").advice, TRIM_ADVICE_FIT);
    const struct trim_candidate low[] = {made("huge", 150.0, 0.1, 1), made("a", 90.0, 1.0, 0)};
    assert_int_equal(ranked(low, 2, "huge a").advice, TRIM_ADVICE_FIT);
    // Of as many parts, the clearly larger margin.
    const struct trim_candidate parts[] = {made("b", 150.0, 5.0, 1), made("huge", 150.0, 0.1, 1)};
    ranked(parts, 2, "huge b");
}

// A vessel limit is not spoken of where none is given.
static void no_limit(void **state) {
    (void)state;
    const struct trim_demand demand = {.lowest = 10.0, .peak = 100.0};
    struct trim_candidate c[] = {made("a", 150.0, 5.0, 0), made("b", (double)NAN, 5.0, 1)};
    struct trim_choice choice;
    trim_choice_make(c, 2, &demand, &choice);
    expect_reason(&choice, "a passes the peak within 90 % of its travel, stands");
    trim_choice_make(c + 1, 1, &demand, &choice);
    expect_reason(&choice, "passes nothing within 90 % of its travel");
    assert_null(strstr(choice.reason, "limit"));
}

// Ties do not chain: whatever is within 10 % of the best is compared with the best only.
static void ties_do_not_chain(void **state) {
    (void)state;
    const struct trim_candidate c[] = {
        made("a", 150.0, 6.0, 2), made("b", 150.0, 6.48, 1), // ties with a
        made("c", 150.0, 6.96, 0),                           // would tie with b, but not with a
    };
    struct trim_choice choice = ranked(c, 3, "b a c");
    assert_int_equal(choice.advice, TRIM_ADVICE_FIT);
    // Equal in everything: the order given.
    const struct trim_candidate equal[] = {made("x", 150.0, 2.0, 1), made("y", 150.0, 2.0, 1)};
    ranked(equal, 2, "x y");
    const struct trim_candidate fewer[] = {made("x", 150.0, 2.0, 2), made("y", 150.0, 2.0, 1)};
    ranked(fewer, 2, "y x");
}

static void none_of_these(void **state) {
    (void)state;
    const double none = (double)NAN;
    struct trim_candidate c[] = {made("big", 500.0, 20.0, 0), made("tiny", 40.0, 1.0, 1)};
    struct trim_choice choice = ranked(c, 2, "big tiny");
    assert_int_equal(choice.advice, TRIM_ADVICE_NONE);
    assert_string_equal(trim_advice_name(choice.advice), "none of these");
    expect_reason(&choice, "big comes nearest: it stands a kick only from 2 times the lowest flow");
    // Steady at no flow; passes nothing; stopped by the vessel limit; restless somewhere between.
    c[0].below = "slamming";
    choice = ranked(c, 1, "big");
    expect_reason(&choice, "2 times the lowest flow upward (below that: slamming).");
    c[0].lowest_steady = none;
    choice = ranked(c, 1, "big");
    expect_reason(&choice, "stands a kick at none of the flows it passes");
    c[0].at_some_lower = true;
    choice = ranked(c, 1, "big");
    expect_reason(&choice, "does not stand a kick at the largest flow it passes, though at some");
    c[0].at_some_lower = false;
    assert_close(choice.rank[0].margin, 0.0, 0.0, 0.0);
    c[0].largest = none;
    choice = ranked(c, 1, "big");
    expect_reason(&choice, "passes nothing within 90 % of its travel and the vessel limit and "
                           "stands a kick at none");
    c[1].limit_first = true;
    choice = ranked(c + 1, 1, "tiny");
    expect_reason(&choice, "passes only 40 % of the peak before the pressure reaches the vessel");
    struct trim_candidate again = made("again", 200.0, 5.0, 1);
    again.top = 80.0; // unsteady between there and the peak
    choice = ranked(&again, 1, "again");
    assert_int_equal(choice.advice, TRIM_ADVICE_NONE);
    expect_reason(&choice, "is unsteady from 80 % of the peak upward");
    again.top = 100.0;
    assert_int_equal(ranked(&again, 1, "again").advice, TRIM_ADVICE_FIT);
    struct trim_candidate restless = made("restless", 200.0, 5.0, 1);
    restless.steady_runs = false;
    choice = ranked(&restless, 1, "restless");
    assert_int_equal(choice.advice, TRIM_ADVICE_NONE);
    expect_reason(&choice, "does not come to rest at some flow");
}

// Exactly on the edge a trim serves: the peak is passed, the lowest flow is steady.
static void edges(void **state) {
    (void)state;
    const struct trim_candidate on[] = {made("on", 100.0, 10.0, 1)};
    assert_int_equal(ranked(on, 1, "on").advice, TRIM_ADVICE_FIT);
    const struct trim_candidate off[] = {made("off", 99.999, 10.0, 1)};
    assert_int_equal(ranked(off, 1, "off").advice, TRIM_ADVICE_NONE);
    const struct trim_candidate above[] = {made("above", 100.0, 10.001, 1)};
    assert_int_equal(ranked(above, 1, "above").advice, TRIM_ADVICE_NONE);
}

// The longest reasons fit: sixteen candidates that all serve.
static void long_reasons(void **state) {
    (void)state;
    struct trim_candidate c[TRIM_CHOICE_MAX];
    for (int i = 0; i < TRIM_CHOICE_MAX; i++) {
        c[i] = made("a-trim-with-a-name-as-long-as-allowed-0123456789", 200.0, 1.0 + i, 1);
    }
    struct trim_choice choice;
    const struct trim_demand demand = {.lowest = 100.0, .peak = 200.0};
    trim_choice_make(c, TRIM_CHOICE_MAX, &demand, &choice);
    assert_true(strlen(choice.reason) < TRIM_CHOICE_REASON);
    assert_int_equal(choice.rank[0].candidate, 0);
    assert_int_equal(choice.rank[TRIM_CHOICE_MAX - 1].candidate, TRIM_CHOICE_MAX - 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rules_in_order),
        cmocka_unit_test(leave_it),
        cmocka_unit_test(enough),
        cmocka_unit_test(no_limit),
        cmocka_unit_test(ties_do_not_chain),
        cmocka_unit_test(none_of_these),
        cmocka_unit_test(edges),
        cmocka_unit_test(long_reasons),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
