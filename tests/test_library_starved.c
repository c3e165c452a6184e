// SPDX-License-Identifier: MIT
// The library in a process that has only so much memory left, from almost nothing to enough:
// whatever library below lacks it first, the answer is a result or "out of memory", never a crash
// and never the word that the scenario is wrong. No outside source: lowlift.h promises it.
#include "fixture_library.h"

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

enum { DONE = 0, LACKING = 9, WRONG = 10 };
enum { PIECE = 16 << 10, PIECES_MAX = 1 << 14 };

static void *piece[PIECES_MAX];

// A stack grows as it is used, which the limit would forbid. Never as part of who calls it, as
// clang would have it: what is called next would then lie below the part that has grown.
__attribute__((noinline)) static void grow_stack(void) {
    volatile char deep[1 << 20];
    for (size_t i = 0; i < sizeof deep; i += 1024) {
        deep[i] = 0;
    }
}

// Takes all that there is but so many pieces, and lets nothing more be had. Nothing here may ask
// for memory afterwards.
static void starve(size_t left) {
    const struct rlimit nothing = {0, 0};
    size_t count = 0;
    void *rest = NULL;
    while (count < PIECES_MAX && (piece[count] = malloc(PIECE)) != NULL && count < left) {
        count++;
    }
    setrlimit(RLIMIT_AS, &nothing);
    for (size_t size = PIECE; size >= 16; size /= 2) { // linked, so that no compiler leaves it out
        void **one;
        while ((one = malloc(size)) != NULL) {
            *one = rest;
            rest = one;
        }
    }
    for (size_t i = 0; i < count; i++) {
        free(piece[i]);
    }
}

static int act(void) {
    struct lowlift_scenario *scenario = open_pilot();
    const bool fine = lowlift_trim_count(scenario) > 0 &&
                      lowlift_set(scenario, "run.duration=1 s") == 0 &&
                      lowlift_check(scenario) == 0;
    struct lowlift_result *run = fine ? lowlift_run(scenario, 0) : NULL;
    const int code = run                                                 ? DONE
                     : strstr(lowlift_errors(scenario), "out of memory") ? LACKING
                                                                         : WRONG;
    lowlift_free(run);
    lowlift_close(scenario);
    return code;
}

// How it ended in a process of its own with so many pieces of memory left.
static int ended_with(size_t left) {
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        grow_stack();
        starve(left);
        _exit(act());
    }
    int status = 0;
    assert_int_equal(waitpid(child, &status, 0), child);
    if (!WIFEXITED(status)) {
        print_error("with %zu pieces left: signal %d\n", left, WTERMSIG(status));
    }
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static void test_any_amount_of_memory(void **state) {
    (void)state;
    size_t lacking = 0;
#if defined __SANITIZE_ADDRESS__ || defined __SANITIZE_THREAD__
    skip(); // their own memory is no part of the limit
#endif
    for (size_t left = 0; left < 72; left += 3) {
        const int code = ended_with(left);
        lacking += code == LACKING;
        if (code != LACKING && code != DONE) {
            print_error("with %zu pieces left: ends with %d\n", left, code);
            fail();
        }
    }
    assert_true(lacking >= 8); // what is tried at all
    assert_int_equal(ended_with(1 << 10), DONE);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_any_amount_of_memory)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
