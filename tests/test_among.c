// SPDX-License-Identifier: MIT
// Answers over many regulators, on invented outcomes: shares and what to measure next follow from
// the draws, whatever simulates them.
#include "fixture_scenario.h"

#include "among/among.h"

#include <stdlib.h>
#include <unistd.h>

enum { DRAWS = 120 };

static char path[] = "/tmp/lowlift-among-XXXXXX";
static struct study_job job;
static struct among among;

// A pilot-loaded scenario on disk, and draws of its chamber and its spring, all of one weight.
static int setup(void **state) {
    (void)state;
    static const char *const field[] = {"actuator.chamber_volume", "actuator.spring_rate"};
    const int handle = mkstemp(path);
    if (handle < 0) {
        return -1;
    }
    const ssize_t wrote = write(handle, pilot_scenario, strlen(pilot_scenario));
    close(handle);
    job = (struct study_job){.path = path, .quiet = true, .threads = 2, .trim_count = 1};
    job.scenario = fixture_load(pilot_scenario);
    bool fine = wrote > 0 && draws_start(&among.draws, DRAWS, 2, field);
    const double chamber = scenario_get_si(job.scenario, 0, field[0]);
    const double spring = scenario_get_si(job.scenario, 0, field[1]);
    for (size_t i = 0; i < DRAWS && fine; i++) {
        among.draws.weight[i] = 1.0 / DRAWS;
        fine = draws_set(&among.draws, i, 0, chamber * (1.0 + 0.01 * (double)(i % 11))) &&
               draws_set(&among.draws, i, 1, spring * (1.0 + 0.01 * (double)(i % 7)));
    }
    among.offered = DRAWS;
    among.effective = draws_effective(&among.draws);
    return fine ? 0 : -1;
}

static int teardown(void **state) {
    (void)state;
    among_close(&among);
    scenario_free(job.scenario);
    diagnostics_free(&job.list);
    return unlink(path);
}

enum { WANTED, NUMBER, METRICS };
static const struct among_metric metrics[METRICS] = {
    [WANTED] = {.key = "wanted", .name = "does what is wanted"},
    [NUMBER] = {.key = "number", .name = "a number", .form = AMONG_NUMBER, .above = "none"}};

static void describe(void *context, size_t item, size_t draw, struct study_point *point) {
    (void)context;
    (void)item;
    (void)draw;
    point->trim = 0;
}

// The first item works with a small chamber, the second with a large one, the third never.
static void evaluate(void *context, size_t item, const struct scenario_case *scenario,
                     double *metric) {
    const double limit = *(const double *)context;
    const bool small = scenario->model.actuator.chamber.volume < limit;
    metric[WANTED] = item == 0 ? small : item == 1 ? !small : 0.0;
    metric[NUMBER] = item == 2 ? (double)INFINITY : 1.0;
}

static bool answer_says(const struct answer *answer, const char *text) {
    for (const struct answer_item *item = answer->item; item; item = item->next) {
        if (item->text && strstr(item->text, text)) {
            return true;
        }
    }
    return false;
}

static struct among_study study_of(double *limit) {
    static const char *const name[] = {"small", "large", "neither"};
    return (struct among_study){.item = "item",
                                .items = 3,
                                .name = name,
                                .metrics = METRICS,
                                .metric = metrics,
                                .describe = describe,
                                .evaluate = evaluate,
                                .context = limit,
                                .choice = true};
}

static void test_shares_and_what_to_measure(void **state) {
    (void)state;
    double limit = 1.055 * scenario_get_si(job.scenario, 0, "actuator.chamber_volume");
    const struct among_study study = study_of(&limit);
    struct answer answer = {0};
    assert_int_equal(among_answer(&job, &among, &study, &answer), STUDY_DONE);
    // E: i % 11 is below 6 for 66 of 120.
    assert_true(answer_says(&answer, "does what is wanted in 55 % (46-64) of the regulators"));
    assert_true(answer_says(&answer, "in none of 120 draws, so in at most 4 %"));
    assert_false(answer_says(&answer, "100 %"));
    // The chamber decides which to take, and taking by it is right in all: 45 % more.
    assert_true(answer_says(&answer, "actuator.chamber_volume. It takes nearly all of the doubt"));
    assert_true(answer_says(&answer, "choosing by it is right in 45 % more"));
    answer_free(&answer);
}

static void test_no_value_changes_a_sure_choice(void **state) {
    (void)state;
    double limit = 2.0; // [m3]
    const struct among_study study = study_of(&limit);
    struct answer answer = {0};
    assert_int_equal(among_answer(&job, &among, &study, &answer), STUDY_DONE);
    assert_true(answer_says(&answer, "in all of 120 draws, so in at least 96 %"));
    assert_true(answer_says(&answer, "no value would change the choice"));
    assert_false(answer_says(&answer, "100 %"));
    answer_free(&answer);
}

static void test_paths_of_a_trims_own(void **state) {
    (void)state;
    char text[AMONG_PATH_SIZE];
    assert_string_equal(among_path("trims.full.port", text), "trim.port");
    assert_string_equal(among_path("pilot.bleed", text), "pilot.bleed");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_shares_and_what_to_measure),
        cmocka_unit_test(test_no_value_changes_a_sure_choice),
        cmocka_unit_test(test_paths_of_a_trims_own),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
