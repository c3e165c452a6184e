// SPDX-License-Identifier: MIT
// Declining flows against windows: every state and every kind of crossing, on numbers made up here.
#include "support.h"

#include "base/calendar.h"
#include "trims/outlook.h"

// 100 falling by half every year, stated; today is year 0.
static struct decline halving(void) {
    return (struct decline){.curve = {.rate = 100.0, .nominal = log(2.0)}, .day = 20454};
}

static void states(void **state) {
    (void)state;
    const struct decline d = halving();
    static const struct {
        struct outlook_window window; // largest, settled, kicked, looked at
        enum outlook_state state;
        enum outlook_when passes, kicked, settled;
    } rows[] = {
        {{400.0, 12.5, 25.0, 1.0}, OUTLOOK_INSIDE, OUTLOOK_BEFORE, OUTLOOK_ON, OUTLOOK_ON},
        {{400.0, 50.0, 200.0, 1.0}, OUTLOOK_DELICATE, OUTLOOK_BEFORE, OUTLOOK_BEFORE, OUTLOOK_ON},
        {{400.0, 50.0, (double)NAN, 1.0},
         OUTLOOK_DELICATE,
         OUTLOOK_BEFORE,
         OUTLOOK_NO_FLOW,
         OUTLOOK_ON},
        {{400.0, 150.0, 200.0, 1.0}, OUTLOOK_BELOW, OUTLOOK_BEFORE, OUTLOOK_BEFORE, OUTLOOK_BEFORE},
        {{50.0, 12.5, 25.0, 1.0}, OUTLOOK_TOO_SMALL, OUTLOOK_ON, OUTLOOK_ON, OUTLOOK_ON},
        {{400.0, (double)NAN, (double)NAN, 1.0},
         OUTLOOK_EMPTY,
         OUTLOOK_BEFORE,
         OUTLOOK_NO_FLOW,
         OUTLOOK_NO_FLOW},
        {{(double)NAN, (double)NAN, (double)NAN, 1.0},
         OUTLOOK_EMPTY,
         OUTLOOK_NO_FLOW,
         OUTLOOK_NO_FLOW,
         OUTLOOK_NO_FLOW},
        // Steady down to the lowest flow looked at, and beyond the horizon.
        {{400.0, 1.0, 1.0, 1.0}, OUTLOOK_INSIDE, OUTLOOK_BEFORE, OUTLOOK_NEVER, OUTLOOK_NEVER},
        {{400.0, 1e-3, 2e-3, 1e-4}, OUTLOOK_INSIDE, OUTLOOK_BEFORE, OUTLOOK_LATER, OUTLOOK_LATER},
        // On the edge: the flow that the window begins with is served no longer, the largest is.
        {{100.0, 12.5, 25.0, 1.0}, OUTLOOK_INSIDE, OUTLOOK_BEFORE, OUTLOOK_ON, OUTLOOK_ON},
        {{400.0, 50.0, 100.0, 1.0}, OUTLOOK_DELICATE, OUTLOOK_BEFORE, OUTLOOK_BEFORE, OUTLOOK_ON},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const struct outlook o = outlook_of(&d, &rows[i].window, 10.0);
        if (o.state != rows[i].state || o.passes.when != rows[i].passes ||
            o.kicked.when != rows[i].kicked || o.settled.when != rows[i].settled) {
            fail_msg("row %zu: %s, %s, %s, %s", i, outlook_state_name(o.state),
                     outlook_when_name(o.passes.when), outlook_when_name(o.kicked.when),
                     outlook_when_name(o.settled.when));
        }
    }
}

// E: 100 halving yearly is 25 after two years of 365.25 days and 12.5 after three.
static void dates(void **state) {
    (void)state;
    const struct decline d = halving();
    const struct outlook_window window = {400.0, 12.5, 25.0, 1.0};
    const struct outlook o = outlook_of(&d, &window, 10.0);
    assert_close(o.kicked.years, 2.0, 1e-14, 0.0);
    assert_close(o.settled.years, 3.0, 1e-14, 0.0);
    assert_true(isnan(o.kicked.early) && isnan(o.kicked.late)); // a stated decline has no bounds
    char text[CALENDAR_TEXT_SIZE];
    decline_date(&d, 0.0, text);
    assert_string_equal(text, "2026-01-01");
    decline_date(&d, o.kicked.years, text);
    assert_string_equal(text, "2028-01-01"); // 730.5 days: noon of New Year's day
    decline_date(&d, o.settled.years, text);
    assert_string_equal(text, "2028-12-31"); // 1095.75 days, and 2028 is a leap year
}

// A record without scatter: what lies behind is dated too, and the interval closes on the crossing.
static void fitted(void **state) {
    (void)state;
    enum { RATES = 37 };
    double years[RATES];
    double rate[RATES];
    struct decline d = halving();
    for (int i = 0; i < RATES; i++) {
        years[i] = i / 12.0;
        rate[i] = arps_rate(&d.curve, years[i]);
    }
    d.record = (struct arps_record){RATES, years, rate};
    d.fitted = true;
    d.model = ARPS_EXPONENTIAL;
    d.today = 3.0;
    arps_fit(&d.record, d.model, ARPS_LOG_RATE, &d.fit[d.model]);
    const struct outlook_window window = {400.0, 3.125, 50.0, 1e-3};
    const struct outlook o = outlook_of(&d, &window, 20.0);
    assert_int_equal(o.state, OUTLOOK_DELICATE);
    assert_int_equal(o.passes.when, OUTLOOK_BEFORE);
    assert_true(isnan(o.passes.years)); // before the record
    assert_int_equal(o.kicked.when, OUTLOOK_BEFORE);
    assert_close(o.kicked.years, 1.0, 1e-12, 0.0);
    assert_int_equal(o.settled.when, OUTLOOK_ON);
    assert_close(o.settled.years, 5.0, 1e-12, 0.0);
    assert_close(o.settled.early, 5.0, 1e-6, 0.0);
    assert_close(o.settled.late, 5.0, 1e-6, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(states),
        cmocka_unit_test(dates),
        cmocka_unit_test(fitted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
