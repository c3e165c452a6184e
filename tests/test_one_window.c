// SPDX-License-Identifier: MIT
// One trim has one window of steady flows, whichever command is asked for it: `trims`, `decline`,
// `remedies` and `kick` on the same regulator and kick. Two regulators
// on which they once said different flows. Expectations: own promises; that a regulator hunts below
// some flow is the model's word, not a source's.
#include "fixture_file.h"
#include "support.h"

#include "hardware/starter.h"
#include "remedy/remedies.h"
#include "steady/steadiness.h"
#include "study/study_subject.h"
#include "trims/decline_study.h"
#include "trims/trim_study.h"

#include <stdlib.h>
#include <unistd.h>

static const char declines[] = "decline:\n"
                               "  kind: exponential\n"
                               "  start: 2026-01-01\n"
                               "  rate_start: %s\n"
                               "  annual: 20 %%\n"
                               "  basis: effective\n";

// The range of flows that `remedies` is asked for; its defaults are others.
static double by_remedies(struct study_job *job, const char *kick, const char *from) {
    struct remedies *r = calloc(1, sizeof *r);
    const struct study_asked asked[REMEDIES_ASKED_COUNT] = {
        [REMEDIES_KICK] = {.name = "--kick", .text = kick},
        [REMEDIES_FROM] = {.name = "--from", .text = from}};
    assert_int_equal(remedies_open(r, job, asked), STUDY_DONE);
    r->try_count = 1; // as it stands, without a remedy
    r->entry_count = r->single_count = 0;
    assert_int_equal(remedies_run(r, job, NULL), STUDY_DONE);
    const double lowest = remedies_lowest(&r->tries[0]);
    remedies_free(r);
    free(r);
    return lowest;
}

static double by_trims(struct study_job *job, const char *kick) {
    struct trim_study *study = calloc(1, sizeof *study);
    const struct study_asked asked[TRIMS_ASKED_COUNT] = {
        [TRIMS_LOWEST] = {.name = "--lowest", .text = "2.4 MMscf/d"},
        [TRIMS_NORMAL] = {.name = "--normal", .text = "2.5 MMscf/d"},
        [TRIMS_PEAK] = {.name = "--peak", .text = "2.6 MMscf/d"},
        [TRIMS_KICK] = {.name = "--kick", .text = kick}};
    assert_int_equal(trim_study_open(job, asked, study), STUDY_DONE);
    const double lowest = study->trim[0].window.kicked;
    trim_study_close(study);
    free(study);
    return lowest;
}

// A little above the window's end it stands the kick, a little below it does not.
static void check_kick(struct study_job *job, double kick, double lowest) {
    struct study_subject own = {0};
    assert_int_equal(study_subject_open(job, 0, &own), STUDY_DONE);
    const double more = 1.02 * kick;
    assert_true(steadiness_smallest_kick(&own.steadiness, 1.03 * lowest, kick).size > kick);
    assert_true(steadiness_smallest_kick(&own.steadiness, 0.97 * lowest, more).size <= more);
    study_subject_free(&own);
}

static double check(const char *const *changes, size_t count, const char *kick, const char *from) {
    struct study_job job = {.path = fixture_file,
                            .trim_count = 1,
                            .quiet = true,
                            .overrides = changes,
                            .override_count = count};
    job.scenario = scenario_open(fixture_file, changes, count, &job.list);
    diagnostics_print(&job.list, stderr);
    assert_non_null(job.scenario);
    struct decline_study study;
    const struct study_asked asked[DECLINE_ASKED_COUNT] = {
        [DECLINE_UNTIL] = {.name = "--until", .text = "2034-01-01"},
        [DECLINE_KICK] = {.name = "--kick", .text = kick}};
    assert_int_equal(decline_study_open(&job, asked, &study), STUDY_DONE);
    const double lowest = study.trim[0].window.kicked;
    struct unit_context site = study.scenario.site;
    // Both look for the same end by halving; 1 % is what they stop at.
    assert_close(by_remedies(&job, kick, from), lowest, 0.01, 0.0);
    assert_close(by_trims(&job, kick), lowest, 0.01, 0.0);
    check_kick(&job, study.search.kick, lowest);
    decline_study_close(&study);
    const double shown = units_from_si(&site, UNIT_FLOW, "Mscf/d", lowest);
    scenario_free(job.scenario);
    diagnostics_free(&job.list);
    return shown;
}

// What `starter` writes for a 2 in body, with some parts measured.
static void test_started(void **state) {
    (void)state;
    const struct starter_inputs inputs = {.duty = DUTY_BACK_PRESSURE,
                                          .actuation = ACTUATION_PILOT,
                                          .body = "2 in",
                                          .set_pressure = "85 psig",
                                          .flow = "0.4 MMscf/d",
                                          .vessel = "24 in x 7.5 ft",
                                          .altitude = "5200 ft",
                                          .other_pressure = "55 psig"};
    static const char *const changes[] = {"trim.port=1 3/8 in",
                                          "actuator.diaphragm_area=18 in2",
                                          "actuator.spring_rate=150 lbf/in",
                                          "actuator.preload=60 lbf",
                                          "actuator.chamber_volume=60 in3",
                                          "pilot.spring_rate=500 lbf/in",
                                          "pilot.feedback_area=0.5 in2",
                                          "run.duration=8 s"};
    struct diagnostics list = {0};
    FILE *out = fopen(fixture_file, "wb");
    assert_non_null(out);
    assert_true(starter_write(out, &inputs, &list));
    fprintf(out, declines, "0.4 MMscf/d");
    assert_int_equal(fclose(out), 0);
    const double lowest = check(changes, sizeof changes / sizeof changes[0], "1 psi", "80 %");
    assert_true(lowest > 1800.0 && lowest < 2400.0); // above today's 400, and there is one
}

// The main demo with a port of 2.4 in.
static void test_demo(void **state) {
    (void)state;
    static char text[20000];
    static const char *const changes[] = {"trims.full.port=2.4 in", "run.duration=8 s"};
    FILE *in = fopen("tests/scenarios/decline.yaml", "rb");
    assert_non_null(in);
    text[fread(text, 1, sizeof text - 1, in)] = '\0';
    fclose(in);
    FILE *out = fopen(fixture_file, "wb");
    assert_non_null(out);
    fputs(text, out);
    fprintf(out, declines, "0.15 MMscf/d");
    assert_int_equal(fclose(out), 0);
    check(changes, sizeof changes / sizeof changes[0], "3 psi", "80 %");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_started),
        cmocka_unit_test(test_demo),
    };
    return cmocka_run_group_tests(tests, fixture_file_make, fixture_file_remove);
}
