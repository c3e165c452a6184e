// SPDX-License-Identifier: MIT
// The table of remedies against the field table and against builds that have or lack a part; what
// counts as a cure; and a small run of the main demo. Expectations are the program's own promises.
#include "fixture_scenario.h"

#include "field/field.h"
#include "remedy/remedies_rank.h"
#include "remedy/remedies_words.h"

#include <stdlib.h>

#define PSI 6894.757293168361

static const struct remedy *remedy_named(const char *name) {
    for (size_t i = 0; remedy_at(i); i++) {
        if (strcmp(remedy_at(i)->name, name) == 0) {
            return remedy_at(i);
        }
    }
    fail_msg("no remedy %s", name);
    return NULL;
}

static void assert_reach(const struct remedy *remedy) {
    switch (remedy->way) {
    case REMEDY_TIMES:
    case REMEDY_TIMES_GAUGE: // away from 1, further and further
        assert_true(remedy->from > 0.0 && remedy->to > 0.0 && remedy->from != 1.0);
        assert_true((remedy->from - 1.0) * (remedy->to - 1.0) > 0.0);
        assert_true(fabs(remedy->to - 1.0) > fabs(remedy->from - 1.0));
        break;
    case REMEDY_TOWARD:
        assert_non_null(remedy->target);
        // fall through
    case REMEDY_TOWARD_SET:
        assert_true(remedy->from > 0.0 && remedy->from <= remedy->to && remedy->to <= 1.0);
        break;
    case REMEDY_CHOICE:
        break;
    }
}

static void test_table(void **state) {
    (void)state;
    size_t count = 0, free_ones = 0;
    for (; remedy_at(count); count++) {
        const struct remedy *remedy = remedy_at(count);
        const size_t index = field_index_of(remedy->field);
        if (index == field_count()) {
            fail_msg("%s: no field %s", remedy->name, remedy->field);
        }
        const enum field_type type = field_at(index)->type;
        assert_int_equal(type == FIELD_CHOICE, remedy->way == REMEDY_CHOICE);
        assert_true(type == FIELD_CHOICE || type == FIELD_NUMBER || type == FIELD_SCHEDULE);
        assert_true(remedy->way == REMEDY_TOWARD || remedy->target == NULL);
        assert_in_range(strlen(remedy->name), 3, 21); // a column of the report
        assert_true(strlen(remedy->action) > 10 && strlen(remedy->caution) > 10);
        assert_int_equal(remedy->applies == NULL, remedy->missing == NULL);
        assert_reach(remedy);
        for (size_t i = 0; i < count; i++) {
            assert_string_not_equal(remedy_at(i)->name, remedy->name);
        }
        const char *along = remedy->companion.field;
        assert_true(!along || field_at(field_index_of(along))->type == FIELD_NUMBER);
        assert_true(!along || remedy->companion.power != 0.0);
        assert_int_equal(remedy->parts, count >= remedy_without_parts_count);
        free_ones += !remedy->parts;
    }
    assert_int_equal(free_ones, remedy_without_parts_count);
    // Entries: every remedy, other trims, pairs.
    const size_t few = REMEDIES_PAIRED_FREE + REMEDIES_PAIRED_PARTS;
    assert_true(count + 5 + few * (few - 1) / 2 <= REMEDIES_ENTRIES_MAX);
}

static const char *missing_in(struct scenario *scenario, const char *name) {
    struct scenario_case resolved = fixture_resolve(scenario, 0);
    const char *missing = remedy_missing(remedy_named(name), scenario, 0, &resolved);
    scenario_case_free(&resolved);
    return missing;
}

static struct scenario *changed(const char *text, const char *const *assignments, size_t count) {
    struct scenario *scenario = fixture_load(text);
    struct diagnostics list = {0};
    for (size_t i = 0; i < count; i++) {
        scenario_override(scenario, assignments[i], &list);
    }
    diagnostics_print(&list, stderr);
    assert_int_equal(list.errors, 0);
    diagnostics_free(&list);
    return scenario;
}

static void test_what_a_build_has(void **state) {
    (void)state;
    static const char *const of_pilot[] = {"bleed-smaller",    "band-wider",
                                           "preload-more",     "downstream-restricted",
                                           "gas-volume-added", "less-liquid-held"};
    static const char *const not_of_pilot[] = {"inlet-lowered", "oil-refilled", "play-removed",
                                               "tap-moved", "pilot-cleaned"};
    struct scenario *pilot = fixture_load(pilot_scenario);
    for (size_t i = 0; i < sizeof of_pilot / sizeof of_pilot[0]; i++) {
        assert_null(missing_in(pilot, of_pilot[i]));
    }
    for (size_t i = 0; i < sizeof not_of_pilot / sizeof not_of_pilot[0]; i++) {
        assert_non_null(missing_in(pilot, not_of_pilot[i]));
    }
    scenario_free(pilot);
    static const char *const not_of_direct[] = {
        "bleed-smaller",         "band-wider",       "preload-more",  "sense-throttled",
        "downstream-restricted", "less-liquid-held", "chamber-larger"};
    struct scenario *direct = fixture_load(direct_scenario);
    assert_null(missing_in(direct, "inlet-lowered"));
    assert_null(missing_in(direct, "set-lower"));
    for (size_t i = 0; i < sizeof not_of_direct / sizeof not_of_direct[0]; i++) {
        assert_non_null(missing_in(direct, not_of_direct[i]));
    }
    scenario_free(direct);
    struct scenario *liquid = fixture_load(liquid_scenario);
    assert_non_null(missing_in(liquid, "gas-volume-added"));
    assert_non_null(missing_in(liquid, "set-lower")); // its set pressure follows from the preload
    scenario_free(liquid);
}

static void test_what_a_description_adds(void **state) {
    (void)state;
    static const char *const with_all[] = {
        "oil_damper.displaced_area=10 in2", "oil_damper.hole_diameter=0.25 in",
        "oil_damper.hole_length=1 in",      "oil_damper.level=0.1 in",
        "actuator.backlash=0.5 mm",         "sense.tap_bore=3 in",
        "pilot_friction.kinetic=0.2 lbf",   "pilot.supply_volume=20 in3",
        "pilot.supply_line=0.1 in",         "actuator.case_volume=50 in3",
        "actuator.case_vent=0.1 in"};
    static const char *const then[] = {"oil-refilled",       "oil-thicker",   "play-removed",
                                       "tap-moved",          "pilot-cleaned", "supply-throttled",
                                       "case-vent-throttled"};
    struct scenario *scenario = changed(pilot_scenario, with_all, 11);
    for (size_t i = 0; i < sizeof then / sizeof then[0]; i++) {
        assert_null(missing_in(scenario, then[i]));
    }
    scenario_free(scenario);
    static const char *const otherwise[] = {
        "pilot.exhaust=three-way",
        "pilot.exhaust_lap=0.01 in",
        "trim.force=balanced",
        "friction.kinetic=0 lbf",
        "pilot.feedback_area=0 in2",
        "downstream.pressure={steps: [[0 s, 15 psig], [9 s, 20 psig]]}",
        "trim.coefficient=90 Cv",
    };
    static const char *const gone[] = {"bleed-larger",         "flow-reversed", "plug-balanced",
                                       "stem-cleaned",         "band-narrower", "travel-limited",
                                       "downstream-restricted"};
    scenario = changed(pilot_scenario, otherwise, 7);
    for (size_t i = 0; i < sizeof gone / sizeof gone[0]; i++) {
        assert_non_null(missing_in(scenario, gone[i]));
    }
    scenario_free(scenario);
}

static double value_of(const char *name, struct scenario *scenario, double strength) {
    struct scenario_case resolved = fixture_resolve(scenario, 0);
    const struct remedy *remedy = remedy_named(name);
    double today = remedy_today(remedy, scenario, 0, &resolved);
    double value = remedy_value(remedy, &resolved, today, strength);
    scenario_case_free(&resolved);
    return value;
}

static void test_values(void **state) {
    (void)state;
    static const char *const oil[] = {"oil_damper.displaced_area=10 in2",
                                      "oil_damper.hole_diameter=0.25 in",
                                      "oil_damper.hole_length=1 in",
                                      "oil_damper.level=0.05 in",
                                      "site.altitude=0 ft",
                                      "friction.static=9 lbf"};
    struct scenario *scenario = changed(pilot_scenario, oil, 6);
    const double inch = 0.0254, bleed = 0.1 * inch;
    // Ends as the table says, even factors between.
    assert_close(value_of("bleed-smaller", scenario, 0.0), 0.9 * bleed, 1e-12, 0.0);
    assert_close(value_of("bleed-smaller", scenario, 1.0), 0.5 * bleed, 1e-12, 0.0);
    assert_close(value_of("bleed-smaller", scenario, 0.5), sqrt(0.45) * bleed, 1e-12, 0.0);
    // Of 50 psig, not of its absolute pressure.
    struct scenario_case resolved = fixture_resolve(scenario, 0);
    double atmosphere = resolved.site.atmosphere;
    scenario_case_free(&resolved);
    assert_close(value_of("set-lower", scenario, 1.0), atmosphere + 45.0 * PSI, 1e-9, 0.0);
    // From 15 psig, 60 % of the way to 50 psig.
    assert_close(value_of("downstream-restricted", scenario, 1.0), atmosphere + 36.0 * PSI, 1e-9,
                 0.0);
    assert_close(value_of("oil-refilled", scenario, 0.0), 0.15 * inch, 1e-9, 0.0);
    assert_close(value_of("oil-refilled", scenario, 1.0), 0.25 * inch, 1e-9, 0.0);
    // A value that a rule has filled in.
    assert_close(value_of("oil-thicker", scenario, 0.0), 1.5 * 30e-3, 1e-9, 0.0);
    assert_true(isnan(value_of("flow-reversed", scenario, 1.0)));
    scenario_free(scenario);
}

// What the chamber pushes back on is a part of the pilot's diaphragm.
static void test_feedback_ends_at_the_diaphragm(void **state) {
    (void)state;
    static const char *const wide[] = {"pilot.diaphragm_area=2.65 in2",
                                       "pilot.feedback_area=1.56 in2"};
    struct scenario *scenario = changed(pilot_scenario, wide, 2);
    const double inch2 = 0.0254 * 0.0254;
    assert_close(value_of("band-wider", scenario, 0.0), 1.2 * 1.56 * inch2, 1e-12, 0.0);
    assert_close(value_of("band-wider", scenario, 1.0), 2.65 * inch2, 1e-12, 0.0);
    scenario_free(scenario);
    static const char *const whole[] = {"pilot.diaphragm_area=2.65 in2",
                                        "pilot.feedback_area=2.65 in2"};
    scenario = changed(pilot_scenario, whole, 2);
    assert_non_null(missing_in(scenario, "band-wider"));
    scenario_free(scenario);
}

static void test_what_crews_and_makers_do(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    assert_null(missing_in(scenario, "supply-pinched"));
    assert_null(missing_in(scenario, "pilot-seats-larger"));
    assert_null(missing_in(scenario, "plug-characterised"));
    assert_non_null(missing_in(scenario, "travel-longer"));
    assert_string_equal(remedy_named("pilot-seats-larger")->companion.field, "pilot.bleed");
    // Half the slope over twice the travel.
    const struct remedy *slower = remedy_named("plug-characterised");
    assert_close(slower->to, 0.5, 0.0, 0.0);
    assert_string_equal(slower->companion.field, "trim.travel");
    assert_close(slower->companion.power, -1.0, 0.0, 0.0);
    scenario_free(scenario);
    assert_false(remedy_named("supply-pinched")->parts);
    assert_true(remedy_named("flow-reversed")->parts); // the body comes out of the line
    static const char *const stated[] = {"trim.coefficient=90 Cv"};
    scenario = changed(pilot_scenario, stated, 1);
    assert_null(missing_in(scenario, "travel-longer"));
    assert_non_null(missing_in(scenario, "plug-characterised"));
    scenario_free(scenario);
}

static void test_choice_turns_back(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct scenario_case resolved = fixture_resolve(scenario, 0);
    const struct remedy *reversed = remedy_named("flow-reversed");
    assert_int_equal(resolved.model.trim.direction, TRIM_FLOW_TO_CLOSE);
    remedy_choose(reversed, &resolved);
    assert_int_equal(resolved.model.trim.direction, TRIM_FLOW_TO_OPEN);
    remedy_choose(reversed, &resolved);
    assert_int_equal(resolved.model.trim.direction, TRIM_FLOW_TO_CLOSE);
    for (size_t i = 0; remedy_at(i); i++) { // remedy_choose knows of no other
        assert_true(remedy_at(i)->way != REMEDY_CHOICE || remedy_at(i) == reversed);
    }
    scenario_case_free(&resolved);
    scenario_free(scenario);
}

// --- What counts as what

static struct remedies_try made(size_t outcome, double swing, double lowest) {
    struct remedies_try attempt = {.count = 1};
    for (size_t i = 0; i < REMEDIES_COLUMNS; i++) {
        attempt.row[i] = (double)NAN;
    }
    attempt.row[SEVERITY_OUTCOME] = (double)outcome;
    attempt.row[SEVERITY_SWING] = swing;
    attempt.row[SEVERITY_ORDER] = (double)outcome + swing / (swing + 1.0);
    attempt.row[REMEDIES_LOWEST] = lowest;
    return attempt;
}

static void test_effects(void **state) {
    (void)state;
    const struct remedies r = {.flow = 1.0};
    const struct remedies_try today = made(VERDICT_SLAMMING, 10.0, 2.0);
    const struct {
        struct remedies_try after;
        enum remedies_effect effect;
    } rows[] = {
        {made(VERDICT_STEADY, 0.0, 0.9), REMEDIES_CURES},
        {made(VERDICT_RINGING, 0.0, 1.0), REMEDIES_CURES},
        {made(VERDICT_FORCED, 3.0, 0.5), REMEDIES_CURES},
        {made(VERDICT_STEADY, 0.0, 1.2), REMEDIES_HELPS}, // rests, but outside the steady range
        {made(VERDICT_HUNTING, 10.0, 2.0), REMEDIES_HELPS},
        {made(VERDICT_SLAMMING, 7.9, 2.0), REMEDIES_HELPS},
        {made(VERDICT_SLAMMING, 10.0, 1.79), REMEDIES_HELPS},
        // The same verdict, a flow within a tenth and a swing within a fifth: no clear effect.
        {made(VERDICT_SLAMMING, 8.1, 2.19), REMEDIES_NOTHING},
        {made(VERDICT_SLAMMING, 11.9, 1.81), REMEDIES_NOTHING},
        {made(VERDICT_SLAMMING, 10.0, 2.21), REMEDIES_WORSE},
        {made(VERDICT_UNDECIDED, 10.0, 2.0), REMEDIES_NOTHING},
        {made(VERDICT_SLAMMING, 20.0, 1.0), REMEDIES_MIXED},
        {made(VERDICT_HUNTING, 1.0, 3.0), REMEDIES_MIXED},
        {made(VERDICT_SLAMMING, 12.1, 2.0), REMEDIES_WORSE},
        {made(VERDICT_SLAMMING, 10.0, (double)NAN), REMEDIES_WORSE}, // steady up to no flow
        {made(VERDICT_WIDE_OPEN, 0.0, 2.0), REMEDIES_WORSE},
        {made(SEVERITY_OUT_OF_REACH, 0.0, 0.5), REMEDIES_IMPOSSIBLE},
        {made(SEVERITY_IMPOSSIBLE, 0.0, 0.5), REMEDIES_IMPOSSIBLE},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        enum remedies_effect effect = remedies_compare(&r, &today, &rows[i].after);
        if (effect != rows[i].effect) {
            fail_msg("row %zu: %s, expected %s", i, remedies_effect_name(effect),
                     remedies_effect_name(rows[i].effect));
        }
    }
    // Steady from 1.05 and no more than 1.05 passed: a range without width helps nobody.
    struct remedies_try point = made(VERDICT_SLAMMING, 10.0, 1.05);
    point.row[REMEDIES_TOP] = 1.05;
    assert_true(remedies_is_narrow(&point));
    assert_int_equal(remedies_compare(&r, &today, &point), REMEDIES_WORSE);
    point.row[REMEDIES_TOP] = 1.2;
    assert_int_equal(remedies_compare(&r, &today, &point), REMEDIES_HELPS);
    // At rest today, but near its stop: what does not pass the flow does not cure.
    struct remedies_try choked = made(VERDICT_STEADY, 0.0, 0.5);
    choked.row[REMEDIES_TOP] = 0.9;
    assert_int_equal(remedies_compare(&r, &today, &choked), REMEDIES_HELPS);
    const struct remedies_try calm = made(VERDICT_STEADY, 0.0, 0.5);
    assert_int_equal(remedies_compare(&r, &calm, &calm), REMEDIES_NOTHING);
    const struct remedies_try wider = made(VERDICT_STEADY, 0.0, 0.3);
    assert_int_equal(remedies_compare(&r, &calm, &wider), REMEDIES_HELPS);
    assert_int_equal(remedies_compare(&r, &calm, &today), REMEDIES_WORSE);
}

static void test_best_strength_and_order(void **state) {
    (void)state;
    struct remedies_try tries[] = {
        made(VERDICT_SLAMMING, 10.0, 2.0),                                 // today
        made(VERDICT_STEADY, 0.0, 0.9),    made(VERDICT_STEADY, 0.0, 0.5), // a
        made(VERDICT_SLAMMING, 12.0, 3.0), made(VERDICT_SLAMMING, 8.0, 1.9),
        made(VERDICT_SLAMMING, 7.0, 1.5), // b
        made(VERDICT_STEADY, 0.0, 0.8),   // c
        made(VERDICT_CHATTER, 20.0, 2.5), // d
    };
    struct remedies r = {
        .flow = 1.0, .tries = tries, .try_count = 8, .entry_count = 4, .single_count = 4};
    r.entry[0] = (struct remedies_entry){.count = 1, .first = 7, .tries = 1};
    r.entry[1] = (struct remedies_entry){.count = 1, .first = 6, .tries = 1, .parts = true};
    r.entry[2] = (struct remedies_entry){.count = 1, .first = 4, .tries = 2};
    r.entry[3] = (struct remedies_entry){.count = 1, .first = 1, .tries = 3};
    remedies_rank(&r);
    // Without parts first, the cure before the help before what makes it worse.
    assert_int_equal(r.entry[0].first, 1);
    assert_int_equal(r.entry[1].first, 4);
    assert_int_equal(r.entry[2].first, 7);
    assert_int_equal(r.entry[3].first, 6);
    assert_int_equal(r.entry[0].best, 2);
    assert_int_equal(r.entry[0].slightest, 1);
    assert_true(r.entry[0].too_much); // the third strength
    assert_int_equal(r.entry[1].best, 5);
    assert_false(r.entry[1].too_much);
    assert_int_equal(r.entry[2].effect, REMEDIES_WORSE);
    assert_int_equal(r.entry[3].effect, REMEDIES_CURES);
}

// --- The main demo

static struct remedies demo(struct scenario **scenario, int threads) {
    struct diagnostics list = {0};
    *scenario = scenario_open("tests/scenarios/decline.yaml", NULL, 0, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    assert_non_null(*scenario);
    struct study_job job = {.path = "tests/scenarios/decline.yaml",
                            .scenario = *scenario,
                            .threads = threads,
                            .quiet = true};
    struct remedies r = {.scenario = *scenario, .steps = 1};
    r.resolved = fixture_resolve(*scenario, 0);
    struct steadiness subject;
    assert_true(steadiness_prepare(&r.resolved, &subject));
    r.flow = subject.flow;
    r.low = 0.5 * r.flow;
    r.high = 2.0 * r.flow;
    assert_true(remedies_plan(&r));
    assert_int_equal(remedies_run(&r, &job, NULL), STUDY_DONE);
    return r;
}

static const struct remedies_entry *entry_of(const struct remedies *r, const char *name) {
    for (size_t i = 0; i < r->single_count; i++) {
        if (r->entry[i].count == 1 && strcmp(r->entry[i].remedy[0]->name, name) == 0) {
            return &r->entry[i];
        }
    }
    fail_msg("%s was not tried", name);
    return NULL;
}

static void assert_pair(const struct remedies *r, const struct remedies_entry *e) {
    assert_true(e->pair);
    assert_int_equal(e->tries, 1);
    if (e->count == 2) {
        assert_string_not_equal(e->remedy[0]->field, e->remedy[1]->field);
        assert_int_equal(e->parts, e->remedy[0]->parts || e->remedy[1]->parts);
    } else {
        assert_int_equal(e->count, 1);
        assert_true(e->trim != r->trim && strncmp(e->remedy[0]->field, "trim.", 5) != 0);
    }
}

static void test_demo(void **state) {
    (void)state;
    struct scenario *scenario, *again;
    struct remedies r = demo(&scenario, 1), other = demo(&again, 3);
    assert_int_equal(r.try_count, other.try_count);
    for (size_t i = 0; i < r.try_count; i++) {
        assert_memory_equal(r.tries[i].row, other.tries[i].row, sizeof r.tries[i].row);
    }
    // The demo's story (tests/scenarios/decline.yaml): the full port slams, the reduced one is
    // steady.
    assert_true(r.tries[0].row[SEVERITY_OUTCOME] == VERDICT_SLAMMING);
    assert_int_equal(entry_of(&r, "port-reduced")->effect, REMEDIES_CURES);
    // The oversized chamber of a slow regulator makes it slower.
    assert_int_equal(entry_of(&r, "chamber-larger")->effect, REMEDIES_WORSE);
    bool other_trim = false;
    for (size_t i = 0; i < r.entry_count; i++) {
        const struct remedies_entry *e = &r.entry[i];
        assert_true(e->best >= e->first && e->best < e->first + e->tries);
        assert_int_equal(e->effect, remedies_compare(&r, &r.tries[0], &r.tries[e->best]));
        if (i >= r.single_count) {
            assert_pair(&r, e);
        } else if (e->count == 0) {
            other_trim = true;
            assert_int_equal(e->trim, 1);
            assert_int_equal(e->effect, REMEDIES_CURES);
        }
        bool same_kind = i > 0 && i != r.single_count && r.entry[i - 1].parts == e->parts;
        assert_true(!same_kind || r.entry[i - 1].effect <= e->effect);
        assert_true(i == 0 || i == r.single_count || r.entry[i - 1].parts <= e->parts);
    }
    assert_true(other_trim);
    assert_true(r.entry_count > r.single_count); // some went into pairs
    remedies_free(&r);
    remedies_free(&other);
    scenario_free(scenario);
    scenario_free(again);
}

// --- What is told

static bool has_row(const struct picture_data *data, const char *name) {
    for (size_t i = 0; i < data->rows; i++) {
        if (strcmp(data->name[i], name) == 0) {
            return true;
        }
    }
    return false;
}

// How often a text begins a line said on the terminal.
static size_t said(const struct answer *answer, const char *name) {
    size_t count = 0;
    for (const struct answer_item *item = answer->item; item; item = item->next) {
        count += item->kind == ANSWER_LINE && strncmp(item->text, name, strlen(name)) == 0;
    }
    return count;
}

static const struct answer_table *table_of(const struct answer *answer, const char *key) {
    for (const struct answer_table *t = answer->table; t; t = t->next) {
        if (strcmp(t->key, key) == 0) {
            return t;
        }
    }
    fail_msg("no table '%s'", key);
    return NULL;
}

// Enough made-up remedies that many pairs are worth telling: the picture draws those that the words
// name, and no other; the summary has all.
static void test_picture_draws_what_words_name(void **state) {
    (void)state;
    enum { SINGLES = 3, PAIRS = 8, ALL = SINGLES + PAIRS };
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct remedies_try tries[1 + ALL];
    struct remedies r = {.scenario = scenario,
                         .resolved = fixture_resolve(scenario, 0),
                         .flow = 1.0,
                         .low = 0.5,
                         .high = 2.0,
                         .tries = tries,
                         .try_count = 1 + ALL,
                         .entry_count = ALL,
                         .single_count = SINGLES};
    tries[0] = made(VERDICT_SLAMMING, 10.0, 2.0);
    tries[0].count = 0;
    for (size_t i = 0; i < ALL; i++) {
        struct remedies_entry *e = &r.entry[i];
        const bool pair = i >= SINGLES;
        // The second pair is no better than nothing.
        tries[i + 1] = i == SINGLES + 1 ? made(VERDICT_SLAMMING, 10.0, 2.0)
                                        : made(VERDICT_STEADY, 0.0, 0.5 + 0.01 * (double)i);
        *e = (struct remedies_entry){.pair = pair, .first = i + 1, .tries = 1, .best = i + 1};
        e->slightest = e->best;
        e->effect = i == SINGLES + 1 ? REMEDIES_NOTHING : REMEDIES_CURES;
        e->count = pair ? 2 : 1;
        for (size_t k = 0; k < e->count; k++) {
            e->remedy[k] = tries[i + 1].remedy[k] = remedy_at(i + k);
            tries[i + 1].today[k] = tries[i + 1].value[k] = 1.0;
        }
        tries[i + 1].count = e->count;
    }
    struct study_job job = {.scenario = scenario};
    struct answer answer;
    study_job_answer(&job, &r.resolved, &answer);
    remedies_answer_tell(&answer, &r);
    size_t drawn = 0;
    for (size_t i = 0; i < ALL; i++) {
        const char *name = remedies_words_name(&answer, &r, &r.entry[i]);
        const bool row = has_row(answer.picture.data, name);
        drawn += row;
        assert_int_equal(row, said(&answer, answer_keep(&answer, "%s: ", name)) == 1);
    }
    assert_int_equal(drawn, SINGLES + REMEDIES_PAIRS_TOLD);
    assert_int_equal(answer.picture.data->rows, 1 + drawn);
    assert_true(answer.picture.number[0] == (double)(1 + drawn));
    assert_int_equal(table_of(&answer, "remedies")->rows, ALL);
    assert_int_equal(table_of(&answer, "")->rows, 1 + ALL);
    assert_int_equal(table_of(&answer, "changes")->rows, SINGLES + 2 * PAIRS);
    assert_false(answer.failed);
    answer_free(&answer);
    scenario_case_free(&r.resolved);
    scenario_free(scenario);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_table),
        cmocka_unit_test(test_what_a_build_has),
        cmocka_unit_test(test_what_a_description_adds),
        cmocka_unit_test(test_values),
        cmocka_unit_test(test_feedback_ends_at_the_diaphragm),
        cmocka_unit_test(test_what_crews_and_makers_do),
        cmocka_unit_test(test_choice_turns_back),
        cmocka_unit_test(test_effects),
        cmocka_unit_test(test_best_strength_and_order),
        cmocka_unit_test(test_demo),
        cmocka_unit_test(test_picture_draws_what_words_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
