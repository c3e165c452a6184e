// SPDX-License-Identifier: MIT
// Names of the verdicts, and the one table of the numbers that define them.
#include "judge/turning.h"
#include "judge/verdict.h"

#include <stddef.h>
#include <string.h>

static const struct {
    const char *name;
    const char *meaning;
} VERDICTS[VERDICT_COUNT] = {
    [VERDICT_STEADY] = {"steady", "Comes to rest quickly."},
    [VERDICT_RINGING] = {"ringing", "Dies away slowly, over many swings."},
    [VERDICT_FORCED] = {"forced", "Follows its repeating schedule and does nothing else."},
    [VERDICT_HUNTING] = {"hunting", "Keeps oscillating by itself without touching the seat."},
    [VERDICT_IRREGULAR] = {"irregular", "Keeps moving without repeating or touching the seat."},
    [VERDICT_SLAMMING] = {"slamming", "Keeps hitting the seat."},
    [VERDICT_CHATTER] = {"chatter", "Keeps hitting the seat many times a second."},
    [VERDICT_UNDECIDED] = {"undecided", "The record is too short or too unclear to tell."},
    [VERDICT_SHUT] = {"shut", "The plug stays on its seat at this flow."},
    [VERDICT_WIDE_OPEN] = {"wide open", "The trim cannot pass this flow."},
    [VERDICT_CANNOT_OPEN] = {"cannot open", "Nothing lifts the plug as far as the flow needs."},
    [VERDICT_CANNOT_SHUT] = {"cannot shut", "The plug cannot close against its pressure drop."},
};

const char *verdict_name(enum verdict verdict) {
    return VERDICTS[verdict].name;
}

const char *verdict_meaning(enum verdict verdict) {
    return VERDICTS[verdict].meaning;
}

bool verdict_parse(const char *name, enum verdict *verdict) {
    for (int i = 0; i < VERDICT_COUNT; i++) {
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
    LIMIT(scale_floor, 1e-3, "atmospheres", 1.0,
          "a set pressure of about 0, gauge, has no share: this stands in for it"),
    LIMIT(drift_time, 60.0, "s", 1.0,
          "a drift is rest when it stays below the two swings above for this long, so that a stuck "
          "plug under a creeping pressure is waited for"),
    LIMIT(quiet_time, 2.0, "s", 1.0, "rest must last this long, or so many periods:"),
    LIMIT(quiet_periods, 5.0, "periods", 1.0,
          "a fast loop shows in two seconds, a slow one needs its own time"),
    LIMIT(quiet_share, 0.25, "% of the time since the last step", 100.0,
          "a crest of an oscillation of unknown, long period looks like rest for a while"),
    LIMIT(quiet_schedules, 2.0, "schedule periods", 1.0,
          "each part of a schedule must have come round again"),
    LIMIT(
        quiet_first, 0.5, "% of the time since the last step", 100.0,
        "the swing at the end is first measured in quiet_time, or in this share of a short record"),
    LIMIT(ringing_damping, 0.02, "% of critical damping", 100.0,
          "below it a swing needs more than 5 periods to halve"),
    LIMIT(settling_swings, 10.0, "swings", 1.0,
          "of a decay that follows no trend: its mean damping is told from this many on"),
    LIMIT(trend_swings, 6.0, "swings", 1.0,
          "three periods: fewer can look like a straight trend by chance"),
    LIMIT(trend_longest, 16.0, "times trend_swings", 1.0,
          "early large swings may follow another law"),
    LIMIT(trend_floor_rest, 0.01, "% of the swing of rest", 100.0,
          "swings below it are noise of the solver"),
    LIMIT(trend_floor_window, 0.05, "% of the swing at the end", 100.0,
          "swings below it may be the start of a ripple"),
    LIMIT(trend_ripple, 0.25, "% of the swing that follows", 100.0,
          "a smaller swing is a ripple on a larger one"),
    LIMIT(trend_scatter, 0.05, "of ln(swing) and of the period, rms", 1.0,
          "swings off their trend by 5 % are no longer one decaying oscillation"),
    LIMIT(trend_over_scatter, 6.0, "times that scatter", 1.0,
          "a smaller change of ln(swing) is noise"),
    LIMIT(trend_least, 1e-3, "of ln(swing)", 1.0, "a smaller change is none"),
    LIMIT(trend_persists, 0.7, "% of the earlier slope", 100.0,
          "a decay toward a cycle, or a growth into one, flattens in its later half"),
    LIMIT(trend_seen, 0.405, "of ln(swing)", 1.0,
          "a ratio of 1.5: a decay must have been seen over it before its end is foretold, and a "
          "growth before it forbids rest"),
    LIMIT(trend_reach, 20.0, "times the swing of rest", 1.0,
          "a trend is followed on to rest over this ratio at most, because a large swing may decay "
          "to a small cycle"),
    LIMIT(cycle_repeats, 5.0, "cycles", 1.0, "repeats that must agree before motion is periodic"),
    LIMIT(cycle_tolerance, 0.01, "% of swing, period", 100.0,
          "far above the error of the solver, far below what a gauge shows"),
    LIMIT(
        cycle_speed_tolerance, 0.50, "%", 100.0,
        "dry friction shakes the plug on its way down, so that blows of one size differ in speed"),
    LIMIT(cycle_floor, 0.1, "% of the swing of rest", 100.0,
          "smaller differences between two cycles are none"),
    LIMIT(cycle_time_floor, 0.05, "% of the sample spacing", 100.0,
          "the same for periods: crossings between samples are known no better"),
    LIMIT(cycle_samples, 8.0, "samples a cycle", 1.0,
          "with fewer the crests fall between the samples"),
    LIMIT(cycle_pattern, 4.0, "cycles", 1.0,
          "a motion of longer pattern than this is called irregular"),
    LIMIT(cycle_band, 0.1, "% of the range", 100.0,
          "a rise through the middle begins and ends this far from it, so that ripple makes no "
          "cycles"),
    LIMIT(change_part, 3.0, "th part of the record", 1.0,
          "the longer the record, the slower the change that can be seen in it: the last third is "
          "looked at"),
    LIMIT(
        change_least, 1e-3, "of ln(swing)", 1.0,
        "a smaller change is none: crests are known about ten times better at 20 samples a cycle"),
    LIMIT(change_over_scatter, 6.0, "times its scatter", 1.0, "a smaller change is noise"),
    LIMIT(change_persists, 0.5, "% of the earlier slope", 100.0,
          "a motion that closes in on a cycle slows down in its later half; one that decays or "
          "grows does not"),
    LIMIT(motion_share, 0.5, "% of the time since the last step", 100.0,
          "what keeps moving is judged in the later part of the record, its two halves against "
          "each other"),
    LIMIT(irregular_cycles, 60.0, "cycles or contacts", 1.0,
          "motion that converges usually has done so by then"),
    LIMIT(irregular_least, 8.0, "cycles or contacts", 1.0, "the same when the run ends"),
    LIMIT(irregular_tolerance, 0.10, "%", 100.0,
          "mean, rms and swing of two windows in a row: the motion is no longer developing"),
    LIMIT(irregular_contacts, 2.0, "contacts", 1.0,
          "by so many two windows may differ anyway: those at their edges"),
    LIMIT(irregular_trend, 4.0, "times trend_swings", 1.0,
          "irregular motion shows short trends; one as long as this is a decay or a growth"),
    LIMIT(schedule_periods, 4.0, "schedule periods", 1.0,
          "periods in a row that must agree before the motion follows its schedule"),
    LIMIT(schedule_pattern, 2.0, "schedule periods", 1.0,
          "a schedule may be answered alike in every period or, alternating, in every second one"),
    LIMIT(sustained_swings, 8.0, "swings", 1.0,
          "within one schedule period, four periods of an oscillation of its own"),
    LIMIT(sustained_floor, 0.05, "% of the swing in the period", 100.0,
          "smaller swings are not looked at"),
    LIMIT(sustained_spacing, 0.2, "of the time between turning points, rms", 1.0,
          "swings less even than this are answers to the schedule"),
    LIMIT(sustained_damping, 0.1, "% of ringing_damping", 100.0,
          "what decays faster than this is an answer to the schedule"),
    LIMIT(contact_separation, 0.001, "% of rated travel", 100.0,
          "the plug must have left the seat by this much before a new contact counts"),
    LIMIT(chatter_rate, 300.0, "contacts a minute", 1.0,
          "five blows a second; a round number, no source"),
    LIMIT(last_share, 0.25, "% of the time since the last step", 100.0,
          "when the run ends undecided this last part is judged"),
    LIMIT(last_contacts, 2.0, "contacts", 1.0,
          "so many in that part are slamming, though no cycle repeats"),
    LIMIT(open_travel, 0.999, "% of rated travel", 100.0,
          "a plug that comes so near its stop cannot pass more"),
    LIMIT(shut_travel, 1e-6, "% of rated travel", 100.0,
          "the plug stands on its seat: no more than rounding away"),
    LIMIT(
        stuck_pressure, 0.25, "% of set pressure (gauge)", 100.0,
        "a plug on its seat while the pressure is off by more is not shut but stuck: a pilot with "
        "so wide a band is none; common practice, no source"),
    LIMIT(blow_least, 1.0, "times the load at rest on the seat", 1.0,
          "a contact with less force than the plug rests with is a touch, hardly heard"),
    LIMIT(hammer_least, 10.0, "times the load at rest on the seat", 1.0,
          "a blow of so many times that load works like a hammer; a round number, no source"),
    LIMIT(judge_first, 200.0, "samples", 1.0,
          "a shorter record is not judged while the run goes on"),
    LIMIT(judge_growth, 1.2, "times the samples at the last judgement", 1.0,
          "until the next one, so that judging costs little"),
};

// What the program keeps of a record, which no limit can change.
static const struct {
    const char *name;
    int value;
    const char *unit;
    const char *reason;
} KEPT[] = {
    {"cycles_kept", CYCLES_MAX, "cycles", "the last ones; only they are compared"},
    {"turning_points_kept", TURNING_POINTS_MAX, "turning points", "the last ones make the trends"},
};

enum { LIMIT_COUNT = sizeof LIMITS / sizeof LIMITS[0] };

_Static_assert(sizeof(struct verdict_limits) == LIMIT_COUNT * sizeof(double),
               "every limit has a row in the table");

struct verdict_limits verdict_limits_default(void) {
    struct verdict_limits limits;
    for (size_t i = 0; i < LIMIT_COUNT; i++) {
        memcpy((char *)&limits + LIMITS[i].offset, &LIMITS[i].value, sizeof(double));
    }
    return limits;
}

int verdict_limits_print(FILE *stream, const struct verdict_limits *limits) {
    fputs("| verdict | meaning |\n|---|---|\n", stream);
    for (int i = 0; i < VERDICT_COUNT; i++) {
        fprintf(stream, "| %s | %s |\n", VERDICTS[i].name, VERDICTS[i].meaning);
    }
    fputs("\n| limit | value | unit | reason |\n|---|---|---|---|\n", stream);
    for (size_t i = 0; i < LIMIT_COUNT; i++) {
        double value;
        memcpy(&value, (const char *)limits + LIMITS[i].offset, sizeof value);
        fprintf(stream, "| %s | %g | %s | %s |\n", LIMITS[i].name, value * LIMITS[i].display,
                LIMITS[i].unit, LIMITS[i].reason);
    }
    for (size_t i = 0; i < sizeof KEPT / sizeof KEPT[0]; i++) {
        fprintf(stream, "| %s | %d | %s | %s |\n", KEPT[i].name, KEPT[i].value, KEPT[i].unit,
                KEPT[i].reason);
    }
    return ferror(stream);
}
