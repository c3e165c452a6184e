// SPDX-License-Identifier: MIT
// The library in a process that has work of its own: with two threads in it, in a locale with a
// decimal comma, nothing that belongs to the whole process is changed, and nothing is printed. No
// outside source: this program's own promise.
#include "fixture_library.h"
#include "fixture_locale.h"

#include <dirent.h>
#include <fcntl.h>
#include <fenv.h>
#include <pthread.h>
#include <signal.h>
#include <sys/stat.h>

extern char **environ;

enum { SIGNALS = 32, TEXT_SIZE = 4096, NUMBERS = 4 };

// What all of a process shares.
struct process {
    char locale[256], folder[TEXT_SIZE];
    char surroundings[4 * TEXT_SIZE];
    mode_t mask;
    void (*handler[SIGNALS])(int);
    sigset_t blocked;
    int rounding, handles;
    int number[NUMBERS]; // that rand gives next, from a known seed
};

static int count_handles(void) {
    int count = 0;
    DIR *folder = opendir("/proc/self/fd");
    while (folder && readdir(folder)) {
        count++;
    }
    if (folder) {
        closedir(folder);
    }
    return count;
}

static void look(struct process *p) {
    memset(p, 0, sizeof *p);
    snprintf(p->locale, sizeof p->locale, "%s", setlocale(LC_ALL, NULL));
    assert_non_null(getcwd(p->folder, sizeof p->folder));
    size_t used = 0;
    for (char **at = environ; *at && used < sizeof p->surroundings; at++) {
        used +=
            (size_t)snprintf(p->surroundings + used, sizeof p->surroundings - used, "%s\n", *at);
    }
    p->mask = umask(022);
    umask(p->mask);
    for (int i = 1; i < SIGNALS; i++) {
        struct sigaction action = {.sa_handler = SIG_DFL};
        sigaction(i, NULL, &action);
        p->handler[i] = action.sa_handler;
    }
    pthread_sigmask(SIG_SETMASK, NULL, &p->blocked);
    p->rounding = fegetround();
    p->handles = count_handles();
}

static void *work(void *context) {
    struct lowlift_scenario *scenario = open_pilot();
    (void)context;
    lowlift_set(scenario, "run.duration=1 s");
    lowlift_set(scenario, "trim.port=nonsense"); // a message, which is nobody's to print
    lowlift_check(scenario);
    lowlift_free(lowlift_run(scenario, 0));
    lowlift_free(lowlift_stability(scenario, 1));
    lowlift_close(scenario);
    lowlift_close(lowlift_open("/nowhere/at/all.yaml"));
    lowlift_close(lowlift_open("scenarios/recorded.yaml"));
    return NULL;
}

static void work_on_two_threads(void) {
    pthread_t thread[2];
    for (int i = 0; i < 2; i++) {
        assert_int_equal(pthread_create(&thread[i], NULL, work, NULL), 0);
    }
    for (int i = 0; i < 2; i++) {
        assert_int_equal(pthread_join(thread[i], NULL), 0);
    }
}

// Both streams go into a file meanwhile; its length.
static long printed_by(void (*act)(void)) {
    FILE *file = tmpfile();
    assert_non_null(file);
    fflush(stdout);
    const int out = dup(STDOUT_FILENO), err = dup(STDERR_FILENO);
    dup2(fileno(file), STDOUT_FILENO);
    dup2(fileno(file), STDERR_FILENO);
    act();
    fflush(stdout);
    dup2(out, STDOUT_FILENO);
    dup2(err, STDERR_FILENO);
    close(out);
    close(err);
    fseek(file, 0, SEEK_END);
    const long length = ftell(file);
    fclose(file);
    return length;
}

static void own_handler(int number) {
    (void)number;
}

static void test_nothing_of_the_process_changes(void **state) {
    (void)state;
    static struct process before, after;
    char folder[] = FIXTURE_COMMA_FOLDER;
    struct sigaction own = {.sa_handler = own_handler};
    fixture_comma_begin(folder);
    sigaction(SIGINT, &own, NULL); // what it has is as little ours as what it has not
    sigaction(SIGFPE, &own, NULL);
    const mode_t mask = umask(027);
    fesetround(FE_TONEAREST);
    srand(7);
    for (int i = 0; i < NUMBERS; i++) {
        before.number[i] = rand();
    }
    work(NULL); // what the C library opens once, it has now
    int number[NUMBERS];
    memcpy(number, before.number, sizeof number);
    look(&before);
    srand(7);
    const long printed = printed_by(work_on_two_threads);
    look(&after);
    for (int i = 0; i < NUMBERS; i++) {
        before.number[i] = number[i];
        after.number[i] = rand(); // goes on as if nobody had drawn meanwhile
    }
    umask(mask);
    fixture_comma_end(folder);
    assert_string_equal(after.locale, before.locale);
    assert_string_equal(after.folder, before.folder);
    assert_string_equal(after.surroundings, before.surroundings);
    assert_int_equal(after.mask, before.mask);
    assert_int_equal(after.rounding, before.rounding);
    assert_int_equal(after.handles, before.handles);
    assert_memory_equal(&after.blocked, &before.blocked, sizeof after.blocked);
    for (int i = 1; i < SIGNALS; i++) {
        assert_true(after.handler[i] == before.handler[i]);
    }
    assert_true(after.handler[SIGINT] == own_handler);
    assert_memory_equal(after.number, before.number, sizeof after.number);
    assert_int_equal(printed, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_nothing_of_the_process_changes)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
