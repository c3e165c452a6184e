// SPDX-License-Identifier: MIT
// The library without memory: every allocation on the way through lowlift.h fails once, and each
// time that is said, nothing crashes or leaks, and the handle is as good as before.
#include "fixture_library.h"

#include "base/arena.h"

// --- Memory that fails once, at will: the linker sends the calls of the library and of this file
// here

static long calls_left = -1; // calls until the one that fails; negative: none does

// Within a call into SUNDIALS nothing fails: version 6.4.1 does not always look whether it got its
// memory (its logger, a clone, vectors to free), and we cannot mend that from outside. The call as
// a whole does fail.
static bool shielded;

static bool fails(void) {
    return !shielded && calls_left >= 0 && calls_left-- == 0;
}

// NOLINTBEGIN(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp): the linker's names
void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *memory, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *memory, size_t size);

void *__wrap_malloc(size_t size) {
    return fails() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size) {
    return fails() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *memory, size_t size) {
    return fails() ? NULL : __real_realloc(memory, size);
}

// One call into SUNDIALS that takes memory: it fails as a whole, with what it then answers.
#define WHOLE(TYPE, NAME, FAILED, PARAMETERS, ARGUMENTS)                                           \
    TYPE __real_##NAME PARAMETERS;                                                                 \
    TYPE __wrap_##NAME PARAMETERS;                                                                 \
    TYPE __wrap_##NAME PARAMETERS {                                                                \
        const bool before = shielded;                                                              \
        if (fails()) {                                                                             \
            return FAILED;                                                                         \
        }                                                                                          \
        shielded = true;                                                                           \
        TYPE answer = __real_##NAME ARGUMENTS;                                                     \
        shielded = before;                                                                         \
        return answer;                                                                             \
    }

WHOLE(int, SUNContext_Create, -1, (void *communicator, void **context), (communicator, context))
WHOLE(void *, N_VNew_Serial, NULL, (long length, void *context), (length, context))
WHOLE(void *, SUNDenseMatrix, NULL, (long rows, long columns, void *context),
      (rows, columns, context))
WHOLE(void *, SUNLinSol_Dense, NULL, (void *vector, void *matrix, void *context),
      (vector, matrix, context))
WHOLE(void *, KINCreate, NULL, (void *context), (context))
WHOLE(int, KINInit, -4, (void *memory, void *function, void *vector), (memory, function, vector))
WHOLE(int, KINSetLinearSolver, -4, (void *memory, void *solver, void *matrix),
      (memory, solver, matrix))
WHOLE(int, KINSol, -4, (void *memory, void *vector, int strategy, void *scale, void *rate_scale),
      (memory, vector, strategy, scale, rate_scale))
WHOLE(int, CVode, -20, (void *memory, double until, void *vector, double *time, int task),
      (memory, until, vector, time, task))
WHOLE(void *, CVodeCreate, NULL, (int method, void *context), (method, context))
WHOLE(int, CVodeInit, -20, (void *memory, void *function, double time, void *vector),
      (memory, function, time, vector))
WHOLE(int, CVodeSVtolerances, -20, (void *memory, double relative, void *absolute),
      (memory, relative, absolute))
WHOLE(int, CVodeRootInit, -20, (void *memory, int count, void *function), (memory, count, function))
WHOLE(int, CVodeSetLinearSolver, -20, (void *memory, void *solver, void *matrix),
      (memory, solver, matrix))

// An arena asks for memory once for many texts; here each of them can be the one that fails.
static long texts_left = -1;

void *__real_arena_alloc(struct arena *arena, size_t size);
void *__wrap_arena_alloc(struct arena *arena, size_t size);

void *__wrap_arena_alloc(struct arena *arena, size_t size) {
    if (texts_left >= 0 && texts_left-- == 0) {
        arena->failed = true;
        return NULL;
    }
    return __real_arena_alloc(arena, size);
}
// NOLINTEND(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp)

// --- What is tried

// One path through the library: everything it says, or NULL when memory was lacking on the way,
// which must then have been said.
static char *walk(void) {
    const char *rate = "inflow.rate={steps: [[0 s, 0.15 MMscf/d], [9 s, 0.2 MMscf/d]]}";
    struct lowlift_scenario *scenario = open_pilot();
    if (!scenario || lowlift_trim_count(scenario) == 0) {
        assert_true(!scenario || strstr(lowlift_errors(scenario), "out of memory"));
        lowlift_close(scenario);
        return NULL;
    }
    bool fine = lowlift_set(scenario, rate) == 0 &&
                lowlift_set(scenario, "run.duration=1 s") == 0 && lowlift_check(scenario) == 0;
    struct lowlift_result *run = fine ? lowlift_run(scenario, 0) : NULL;
    struct lowlift_result *modes = run ? lowlift_stability(scenario, 1) : NULL;
    char *text = NULL;
    if (modes) {
        const long left = calls_left; // what the test itself needs does not fail
        calls_left = -1;
        text = join(everything(run), everything(modes));
        calls_left = left;
    } else {
        assert_says(scenario, "out of memory");
        assert_int_equal(lowlift_check(scenario), 0); // the handle is as good as before
        assert_string_equal(lowlift_errors(scenario), "");
    }
    lowlift_free(run);
    lowlift_free(modes);
    lowlift_close(scenario);
    return text;
}

enum { EACH = 200 };

static void test_every_lack_of_memory_is_an_error(void **state) {
    (void)state;
    char *whole = walk();
    long failing = 0;
    assert_non_null(whole);
    // The search of a window asks for the same again at each of its flows: there only each 41st.
    for (bool reached = true; reached; failing += failing < EACH ? 1 : 41) {
        calls_left = failing;
        char *text = walk();
        reached = calls_left < 0;
        calls_left = -1;
        assert_true(reached || text);
        if (text) { // done without that memory, but not done differently
            assert_string_equal(text, whole);
        }
        free(text);
    }
    assert_true(failing > EACH); // what is tried at all
    free(whole);
}

// Reading, setting and checking, with every form that a value may have, or a file with a record;
// false when memory was lacking, which must then have been said.
static bool read_and_check(const char *text) {
    static const char *const change[] = {
        "inflow.rate={steps: [[0 s, 0.15 MMscf/d], [9 s, 0.2 MMscf/d]]}",
        "downstream.pressure={ramp: {from: 15 psig, to: 16 psig, start: 1 s, end: 2 s}}",
        "trim.characteristic=table",
        "trim.flow_table=[[0, 0], [0.5, 0.3], [1, 1]]",
        "actuator.preload={value: 87 lbf, low: 80 lbf, high: 90 lbf, guess: yes}",
        "trims.full.port=2 7/8 in",
    };
    struct lowlift_scenario *scenario = text ? lowlift_open_text("test.yaml", text, strlen(text))
                                             : lowlift_open("scenarios/recorded.yaml");
    bool fine = lowlift_trim_count(scenario) > 0;
    for (size_t i = 0; text && fine && i < sizeof change / sizeof change[0]; i++) {
        fine = lowlift_set(scenario, change[i]) == 0;
    }
    fine = fine && lowlift_check(scenario) == 0;
    if (!fine) {
        assert_says(scenario, "out of memory");
    }
    lowlift_close(scenario);
    return fine;
}

// Number of texts and objects that were kept.
static long fail_each_text(const char *text) {
    long failing = 0;
    assert_true(read_and_check(text));
    for (bool reached = true; reached; failing++) {
        texts_left = failing;
        bool fine = read_and_check(text);
        reached = texts_left < 0;
        texts_left = -1;
        assert_true(fine == !reached);
    }
    return failing;
}

static void test_every_text_that_cannot_be_kept_is_an_error(void **state) {
    (void)state;
    assert_true(fail_each_text(pilot_scenario) > 200); // what is tried at all
    assert_true(fail_each_text(NULL) > 100);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_lack_of_memory_is_an_error),
        cmocka_unit_test(test_every_text_that_cannot_be_kept_is_an_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
