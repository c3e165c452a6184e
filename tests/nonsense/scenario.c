// SPDX-License-Identifier: MIT
#include "nonsense.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// Scenarios that between them have every build: both duties, actuations and phases, lines with
// waves, oil, friction, a tap, a flow that changes.
static const char *const bases[] = {"tests/scenarios/decline.yaml",
                                    "tests/scenarios/fuel-gas-pilot.yaml",
                                    "tests/scenarios/direct-small.yaml",
                                    "scenarios/relief-chatter.yaml",
                                    "scenarios/fuel-gas-line.yaml",
                                    "scenarios/slugging.yaml",
                                    "scenarios/dump-hammer.yaml",
                                    "scenarios/tap-far.yaml",
                                    "scenarios/oil-good.yaml",
                                    "tests/scenarios/envelope.yaml",
                                    "scenarios/matched.yaml",
                                    "scenarios/fuel-gas-tank.yaml"};
enum { BASES = sizeof bases / sizeof bases[0] };

// What bounds the work of a run, unless a change says otherwise.
static const char *const bounds[] = {"run.duration=1 s", "run.max_steps=1500"};
enum { BOUNDS = sizeof bounds / sizeof bounds[0] };

enum way {
    WAY_LOW,
    WAY_HIGH,
    WAY_BELOW,
    WAY_ABOVE,
    WAY_ZERO,
    WAY_NEGATIVE,
    WAY_HUGE,
    WAY_TINY,
    WAY_INFINITE,
    WAY_NOT_A_NUMBER,
    WAY_USUAL,  // a number within the limits, near the default where there is one
    WAY_SPREAD, // within the limits, evenly in its logarithm
    WAY_COUNT
};

size_t nonsense_below(struct nonsense_dice *dice, size_t count) {
    dice->state ^= dice->state >> 12;
    dice->state ^= dice->state << 25;
    dice->state ^= dice->state >> 27;
    return (size_t)((dice->state * 0x2545f4914f6cdd1dULL) >> 33) % count;
}

double nonsense_share(struct nonsense_dice *dice) {
    return (double)nonsense_below(dice, 1000003) / 1000003.0;
}

// A limit as the table writes it: number and unit.
struct limit {
    double number;
    const char *unit; // with the blank before it; "" if none
    bool stated;
};

static struct limit limit_of(const struct field *field, const char *text, double otherwise) {
    struct limit limit = {otherwise, "", text != NULL};
    if (text) {
        char *end;
        limit.number = strtod(text, &end);
        limit.unit = end;
    }
    if (!text && field->type == FIELD_SCHEDULE) {
        limit.unit = field->kind == UNIT_VOLUME ? " m3" : " kg/s";
    }
    return limit;
}

// Half a ten-thousandth further than the limit.
static double beyond(double number, double sign) {
    return number + sign * (number == 0.0 ? 1e-12 : 5e-5 * fabs(number));
}

static double spread(const struct limit *low, const struct limit *high, double share) {
    // Limits may stand in units of their own: then those of the upper one alone.
    const bool alike = strcmp(low->unit, high->unit) == 0;
    const double floor = high->number > 0.0 ? 1e-9 * high->number : 1e-9;
    const double from = alike && low->number > floor ? low->number : floor;
    return high->number > from ? from * pow(high->number / from, share) : high->number;
}

// A number of a field, with its unit.
static void number_text(const struct field *field, enum way way, struct nonsense_dice *dice,
                        char text[NONSENSE_TEXT]) {
    const struct limit low = limit_of(field, field->low, 0.0);
    const struct limit high = limit_of(field, field->high, 1e6);
    const bool preset = field->preset && !field_preset_is_rule(field);
    const struct limit usual = preset ? limit_of(field, field->preset, 1.0) : high;
    const struct limit *unit = high.stated ? &high : &low;
    double number = 0.0;
    switch (way) {
    case WAY_LOW:
    case WAY_BELOW:
        unit = low.stated ? &low : unit;
        number = way == WAY_LOW ? low.number : beyond(low.number, -1.0);
        break;
    case WAY_HIGH:
    case WAY_ABOVE:
        number = way == WAY_HIGH ? high.number : beyond(high.number, 1.0);
        break;
    case WAY_NEGATIVE:
        number = -fabs(spread(&low, &high, nonsense_share(dice)));
        break;
    case WAY_HUGE:
        number = 1e300;
        break;
    case WAY_TINY:
        number = 1e-300;
        break;
    case WAY_USUAL:
        unit = preset ? &usual : unit;
        number = preset && usual.number != 0.0
                     ? usual.number * pow(10.0, 2.0 * nonsense_share(dice) - 1.0)
                     : spread(&low, &high, 0.5 + 0.2 * nonsense_share(dice));
        break;
    case WAY_SPREAD:
        number = spread(&low, &high, nonsense_share(dice));
        break;
    default:
        break;
    }
    const char *const odd = way == WAY_INFINITE ? "1e999" : way == WAY_NOT_A_NUMBER ? "nan" : NULL;
    if (odd) {
        snprintf(text, NONSENSE_TEXT, "%s%s", odd, unit->unit);
    } else {
        snprintf(text, NONSENSE_TEXT, field->type == FIELD_INTEGER ? "%.0f%s" : "%.12g%s", number,
                 unit->unit);
    }
}

static void schedule_text(const struct field *field, enum way way, struct nonsense_dice *dice,
                          char text[NONSENSE_TEXT]) {
    static const char *const times[] = {"0 s", "1e-9 s", "0.1 s", "1 s", "2 s", "1e5 s", "-1 s"};
    char one[NONSENSE_TEXT], two[NONSENSE_TEXT];
    const char *time[3];
    number_text(field, way, dice, one);
    number_text(field, nonsense_below(dice, 2) ? WAY_USUAL : WAY_SPREAD, dice, two);
    for (size_t i = 0; i < 3; i++) {
        time[i] = times[nonsense_below(dice, sizeof times / sizeof times[0])];
    }
    switch (nonsense_below(dice, 6)) {
    case 0:
        snprintf(text, NONSENSE_TEXT, "{steps: [[0 s, %.90s], [%s, %.90s]]}", one, time[0], two);
        break;
    case 1:
        snprintf(text, NONSENSE_TEXT, "{ramp: {from: %.90s, to: %.90s, start: %s, end: %s}}", one,
                 two, time[0], time[1]);
        break;
    case 2:
        snprintf(text, NONSENSE_TEXT,
                 "{slug: {base: %.90s, peak: %.90s, start: %s, period: %s, duration: %s}}", one,
                 two, time[0], time[1], time[2]);
        break;
    case 3:
        snprintf(text, NONSENSE_TEXT,
                 "{pulse: {middle: %.90s, crest: %.90s, start: %s, period: %s}}", one, two, time[0],
                 time[1]);
        break;
    default:
        snprintf(text, NONSENSE_TEXT, "%s", one);
        break;
    }
}

static void value_text(const struct field *field, enum way way, struct nonsense_dice *dice,
                       char text[NONSENSE_TEXT]) {
    static const char *const tables[] = {"[[0, 0], [1, 1]]",
                                         "[[0, 1], [1, 0]]",
                                         "[[0, 0]]",
                                         "[[0, 0], [1, 1e300]]",
                                         "[[0, 0], [0.5, 0.5], [0.5, 0.6], [1, 1]]",
                                         "[[0, -1], [1, 1]]",
                                         "[[0, 0], [1e-300, 1], [1, 1]]",
                                         "[[0, nan], [1, 1]]",
                                         "[]",
                                         "[[0, 0], [1, 0]]",
                                         "[[0, 0.5], [1, 0.5]]",
                                         "[[1, 0], [0, 1]]"};
    static const char *const texts[] = {"2026-03-31", "''",         "9999-12-31",   "\"a'b\"",
                                        "0001-01-01", "2026-02-30", "no such file", "'%s%n'",
                                        "{}",         "[a]",        "*a",           "'&<>'"};
    static const char *const flags[] = {"yes", "no", "maybe", "1"};
    size_t words = 0;
    switch (field->type) {
    case FIELD_CHOICE:
        while (field->words[words]) {
            words++;
        }
        snprintf(text, NONSENSE_TEXT, "%s",
                 (size_t)way % (words + 1) < words ? field->words[(size_t)way % (words + 1)]
                                                   : "nonsense");
        break;
    case FIELD_FLAG:
        snprintf(text, NONSENSE_TEXT, "%s", flags[(size_t)way % 4]);
        break;
    case FIELD_TEXT:
        snprintf(text, NONSENSE_TEXT, "%s", texts[(size_t)way % 12]);
        break;
    case FIELD_TABLE:
        snprintf(text, NONSENSE_TEXT, "%s", tables[(size_t)way % 12]);
        break;
    case FIELD_SCHEDULE:
        schedule_text(field, way, dice, text);
        break;
    default:
        number_text(field, way, dice, text);
        break;
    }
}

static void change(struct nonsense *n, const struct field *field, enum way way,
                   struct nonsense_dice *dice) {
    char text[NONSENSE_TEXT];
    value_text(field, way, dice, text);
    snprintf(n->change[n->count++], NONSENSE_TEXT, "%s%s%s=%.300s", field->section,
             field->section[0] ? "." : "", field->name, text);
}

unsigned long nonsense_singles(void) {
    return (unsigned long)field_count() * WAY_COUNT;
}

// Whether a field belongs to the build of a base.
static bool belongs(size_t base, size_t row) {
    static struct scenario *opened[BASES]; // kept for the life of the program
    if (!opened[base]) {
        struct diagnostics list = {0};
        opened[base] = scenario_load(bases[base], &list);
        diagnostics_print(&list, stderr);
        diagnostics_free(&list);
    }
    struct scenario_entry entry;
    return opened[base] && scenario_provenance(opened[base], 0, row, &entry) && entry.applies;
}

// A row of the table; mostly one that belongs there, as what does not is refused for that alone.
static size_t random_row(size_t base, struct nonsense_dice *dice) {
    size_t row = nonsense_below(dice, field_count());
    for (int i = 0; i < 40 && nonsense_below(dice, 20) > 0 && !belongs(base, row); i++) {
        row = nonsense_below(dice, field_count());
    }
    return row;
}

// A way that the reader refuses would hide what the others do: most of several are within limits.
static enum way random_way(struct nonsense_dice *dice) {
    static const enum way within[] = {WAY_LOW,    WAY_HIGH,   WAY_USUAL,
                                      WAY_SPREAD, WAY_SPREAD, WAY_ZERO};
    return nonsense_below(dice, 12) == 0 ? (enum way)nonsense_below(dice, WAY_COUNT)
                                         : within[nonsense_below(dice, 6)];
}

void nonsense_make(unsigned long seed, struct nonsense *out) {
    struct nonsense_dice dice = {2 * (uint64_t)seed * 0x9e3779b97f4a7c15ULL + 1};
    for (int i = 0; i < 8; i++) {
        nonsense_below(&dice, 2);
    }
    size_t base = (seed * 7 + seed / WAY_COUNT) % BASES;
    const bool single = seed < nonsense_singles();
    for (size_t i = 0; single && i < BASES && !belongs(base, seed / WAY_COUNT); i++) {
        base = (base + 1) % BASES;
    }
    *out = (struct nonsense){.seed = seed, .path = bases[base]};
    for (size_t i = 0; i < BOUNDS; i++) {
        snprintf(out->change[out->count++], NONSENSE_TEXT, "%s", bounds[i]);
    }
    if (single) {
        change(out, field_at(seed / WAY_COUNT), (enum way)(seed % WAY_COUNT), &dice);
        return;
    }
    for (size_t left = 2 + nonsense_below(&dice, 2); left > 0; left--) {
        change(out, field_at(random_row(base, &dice)), random_way(&dice), &dice);
    }
}
