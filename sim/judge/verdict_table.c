// SPDX-License-Identifier: MIT
// Names of the verdicts, and the one table of the numbers that define them.
#include "judge/verdict.h"

#include <string.h>

static const struct {
    const char *name;
    const char *meaning;
} VERDICTS[VERDICT_COUNT] = {
    [VERDICT_STEADY] = {"steady", "Comes to rest quickly."},
    [VERDICT_RINGING] = {"ringing", "Comes to rest, but only after many swings."},
    [VERDICT_FORCED] = {"forced", "Follows its repeating schedule and does nothing else."},
    [VERDICT_HUNTING] = {"hunting", "Keeps oscillating by itself without touching the seat."},
    [VERDICT_IRREGULAR] = {"irregular", "Keeps moving without repeating or touching the seat."},
    [VERDICT_SLAMMING] = {"slamming", "Keeps hitting the seat."},
    [VERDICT_CHATTER] = {"chatter", "Keeps hitting the seat many times a second."},
    [VERDICT_UNDECIDED] = {"undecided", "The record is too short or too unclear to tell."},
    [VERDICT_SHUT] = {"shut", "The plug stays on its seat at this flow."},
    [VERDICT_WIDE_OPEN] = {"wide open", "The trim cannot pass this flow."},
    [VERDICT_CANNOT_SHUT] = {"cannot shut", "The plug cannot close against its pressure drop."},
};

const char *verdict_name(enum verdict verdict) {
    return VERDICTS[verdict].name;
}

const char *verdict_meaning(enum verdict verdict) {
    return VERDICTS[verdict].meaning;
}

bool verdict_parse(const char *name, enum verdict *verdict) {
    for (int i = 0; i < VERDICT_COUNT; ++i) {
        if (strcmp(VERDICTS[i].name, name) == 0) {
            *verdict = (enum verdict)i;
            return true;
        }
    }
    return false;
}

struct limit_row {
    const char *name;
    size_t offset;
    double value;
    const char *unit;
    double display; // stored value times this is printed
    const char *reason;
};

#define LIMIT(field, value, unit, display, reason)                                                 \
    { #field, offsetof(struct verdict_limits, field), value, unit, display, reason }

// All of them are choices of this program; no standard gives numbers for these words.
static const struct limit_row LIMITS[] = {
    LIMIT(steady_pressure, 0.001, "% of set pressure (gauge)", 100.0,
          "a swing that no field gauge shows counts as rest"),
    LIMIT(steady_travel, 0.001, "% of rated travel", 100.0,
          "the same for the plug: less than the play of a linkage"),
    LIMIT(drift_time, 60.0, "s", 1.0,
          "a drift is rest when it stays below the two swings above for this long, so that a stuck "
          "plug under a creeping pressure is waited for"),
    LIMIT(quiet_time, 2.0, "s", 1.0, "rest must last this long, or so many periods:"),
    LIMIT(quiet_periods, 5.0, "periods", 1.0,
          "a fast loop shows in two seconds, a slow one needs its own time"),
    LIMIT(quiet_share, 0.25, "% of the time since the last step", 100.0,
          "a crest of an oscillation of unknown, long period looks like rest for a while"),
    LIMIT(ringing_damping, 0.02, "% of critical damping", 100.0,
          "below it a swing needs more than 5 periods to halve"),
    LIMIT(trend_swings, 6.0, "swings", 1.0,
          "three periods: fewer can look like a straight trend by chance"),
    LIMIT(trend_scatter, 0.05, "of ln(swing) and of the period, rms", 1.0,
          "swings off their trend by 5 % are no longer one decaying oscillation"),
    LIMIT(trend_reach, 20.0, "times the swing of rest", 1.0,
          "a trend is followed on to rest over this ratio at most, because a large swing may decay "
          "to a small cycle"),
    LIMIT(cycle_repeats, 5.0, "cycles", 1.0, "repeats that must agree before motion is periodic"),
    LIMIT(cycle_tolerance, 0.01, "% of swing, period", 100.0,
          "far above the error of the solver, far below what a gauge shows"),
    LIMIT(
        cycle_speed_tolerance, 0.50, "%", 100.0,
        "dry friction shakes the plug on its way down, so that blows of one size differ in speed"),
    LIMIT(cycle_samples, 8.0, "samples a cycle", 1.0,
          "with fewer the crests fall between the samples"),
    LIMIT(irregular_cycles, 60.0, "cycles or contacts", 1.0,
          "motion that converges usually has done so by then"),
    LIMIT(irregular_tolerance, 0.10, "%", 100.0,
          "mean, rms and swing of two windows in a row: the motion is no longer developing"),
    LIMIT(schedule_periods, 4.0, "schedule periods", 1.0,
          "periods in a row that must agree before the motion follows its schedule"),
    LIMIT(contact_separation, 0.001, "% of rated travel", 100.0,
          "the plug must have left the seat by this much before a new contact counts"),
    LIMIT(chatter_rate, 300.0, "contacts a minute", 1.0,
          "five blows a second; a round number, no source"),
};

enum { LIMIT_COUNT = sizeof LIMITS / sizeof LIMITS[0] };

_Static_assert(sizeof(struct verdict_limits) == LIMIT_COUNT * sizeof(double),
               "every limit has a row in the table");

struct verdict_limits verdict_limits_default(void) {
    struct verdict_limits limits;
    for (size_t i = 0; i < LIMIT_COUNT; ++i) {
        memcpy((char *)&limits + LIMITS[i].offset, &LIMITS[i].value, sizeof(double));
    }
    return limits;
}

int verdict_limits_print(FILE *stream, const struct verdict_limits *limits) {
    fputs("| verdict | meaning |\n|---|---|\n", stream);
    for (int i = 0; i < VERDICT_COUNT; ++i) {
        fprintf(stream, "| %s | %s |\n", VERDICTS[i].name, VERDICTS[i].meaning);
    }
    fputs("\n| limit | value | unit | reason |\n|---|---|---|---|\n", stream);
    for (size_t i = 0; i < LIMIT_COUNT; ++i) {
        double value;
        memcpy(&value, (const char *)limits + LIMITS[i].offset, sizeof value);
        fprintf(stream, "| %s | %g | %s | %s |\n", LIMITS[i].name, value * LIMITS[i].display,
                LIMITS[i].unit, LIMITS[i].reason);
    }
    return ferror(stream);
}
