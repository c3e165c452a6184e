// SPDX-License-Identifier: MIT
// Many points at once: the same bytes whatever the number of threads, and a killed study that goes
// on where it was. All expectations are the program's own promises.
#include "support.h"

#include "solve/integrate.h"
#include "study/checkpoint.h"
#include "study/study.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

extern char **environ;

enum { COUNT = 60, WIDTH = 3 };

static const char scenario_path[] = "tests/scenarios/decline.yaml";
static const char *program; // this test, started again as the study to kill
static char folder[64];
static char kept[128]; // file of finished points
static char log_path[128];

// What a point is evaluated with besides its scenario.
struct setting {
    int log;       // file that gets one byte a point evaluated; -1: none
    long pause_ns; // so that a kill has something to hit
    size_t interrupt_at;
};

static void describe(void *context, size_t index, struct study_point *point) {
    (void)context;
    point->trim = index % 2;
    point->change_count = 2;
    point->change[0] = (struct study_change){"inflow.rate", 0.01 + 0.001 * (double)index};
    // Only some points change the port: what one point sets must not be left over for the next.
    point->change[1] = index % 3 == 0 ? (struct study_change){"trim.port", 0.03}
                                      : (struct study_change){"friction.kinetic", 5.0};
    if (index == 7) {
        point->change[1] = (struct study_change){"trim.port", -1.0};
    }
}

static void evaluate(void *context, size_t index, const struct scenario_case *scenario,
                     double *result) {
    const struct setting *setting = context;
    if (setting->interrupt_at == index) {
        integrate_interrupt();
    }
    if (setting->pause_ns > 0) {
        nanosleep(&(struct timespec){.tv_nsec = setting->pause_ns}, NULL);
    }
    if (setting->log >= 0) {
        const unsigned char mark = (unsigned char)index;
        assert_int_equal(write(setting->log, &mark, 1), 1);
    }
    if (!scenario) {
        result[0] = -1.0;
        return;
    }
    result[0] = scenario->model.flow.base;
    result[1] = scenario->model.trim.port_diameter;
    result[2] = sin((double)index) * scenario->model.actuator.friction.kinetic_force;
}

static struct setting quiet = {.log = -1, .interrupt_at = COUNT};

static struct study make_study(struct setting *setting, int threads, const char *checkpoint) {
    return (struct study){.path = scenario_path,
                          .count = COUNT,
                          .width = WIDTH,
                          .describe = describe,
                          .evaluate = evaluate,
                          .context = setting,
                          .threads = threads,
                          .checkpoint = checkpoint,
                          .fingerprint = 42};
}

static enum study_status run(int threads, const char *checkpoint, double *result) {
    char message[600];
    struct study study = make_study(&quiet, threads, checkpoint);
    enum study_status status = study_run(&study, result, message, sizeof message);
    if (status != STUDY_DONE) {
        print_message("study: %s\n", message);
    }
    return status;
}

static void test_same_bytes_for_any_number_of_threads(void **state) {
    (void)state;
    double one[COUNT * WIDTH], other[COUNT * WIDTH];
    assert_int_equal(run(1, NULL, one), STUDY_DONE);
    for (int threads = 0; threads <= 8; threads += threads < 2 ? 2 : 6) {
        memset(other, 0, sizeof other);
        assert_int_equal(run(threads, NULL, other), STUDY_DONE);
        assert_memory_equal(one, other, sizeof one);
    }
    // Each point saw its own changes and nobody else's.
    assert_close(one[4 * WIDTH], 0.014, 1e-15, 0.0);
    assert_close(one[3 * WIDTH + 1], 0.03, 1e-15, 0.0);
    assert_close(one[4 * WIDTH + 1], 0.0254 * 2.9, 1e-12, 0.0);
    assert_close(one[5 * WIDTH + 1], 0.0254 * 1.5, 1e-12, 0.0);
    assert_close(one[4 * WIDTH + 2], sin(4.0) * 5.0, 1e-15, 0.0);
}

static void test_point_that_does_not_resolve(void **state) {
    (void)state;
    double result[COUNT * WIDTH];
    assert_int_equal(run(2, NULL, result), STUDY_DONE);
    assert_true(result[7 * WIDTH] == -1.0);
    assert_true(isnan(result[7 * WIDTH + 1]) && isnan(result[7 * WIDTH + 2]));
}

// Which points the file holds; fails when one is there twice.
static size_t points_kept(bool *there) {
    memset(there, 0, COUNT * sizeof *there);
    FILE *stream = fopen(kept, "rb");
    if (!stream) {
        return 0;
    }
    size_t count = 0;
    uint64_t header[6], record[WIDTH + 2];
    if (fread(header, sizeof header, 1, stream) == 1) {
        while (fread(record, sizeof record, 1, stream) == 1) {
            assert_true(record[0] < COUNT);
            assert_false(there[record[0]]);
            there[record[0]] = true;
            count++;
        }
    }
    fclose(stream);
    return count;
}

// The study to kill, in a process of its own.
static int be_victim(const char *checkpoint, const char *log) {
    double result[COUNT * WIDTH];
    char message[600];
    struct setting setting = {.log = open(log, O_WRONLY | O_CREAT | O_TRUNC | O_APPEND, 0600),
                              .pause_ns = 2000000,
                              .interrupt_at = COUNT};
    struct study study = make_study(&setting, 2, checkpoint);
    enum study_status status = study_run(&study, result, message, sizeof message);
    return setting.log >= 0 && status == STUDY_DONE ? 0 : 1;
}

static long kept_size(void) {
    struct stat now;
    return stat(kept, &now) == 0 ? (long)now.st_size : 0;
}

// Start it, and kill it some time after its checkpoint has so many bytes; true when it had come to
// its end before. Waits for a sign and not for a time: a busy machine needs long to begin at all.
static bool kill_victim(long bytes, long after_ns) {
    pid_t child;
    char self[256], flag[] = "--victim";
    snprintf(self, sizeof self, "%s", program);
    char *arguments[] = {self, flag, kept, log_path, NULL};
    assert_int_equal(posix_spawn(&child, self, NULL, NULL, arguments, environ), 0);
    int status;
    pid_t ended = 0;
    while (ended == 0 && kept_size() < bytes) {
        nanosleep(&(struct timespec){.tv_nsec = 500000}, NULL);
        ended = waitpid(child, &status, WNOHANG);
    }
    if (ended == 0) {
        nanosleep(&(struct timespec){.tv_nsec = after_ns}, NULL);
        kill(child, SIGKILL);
        ended = waitpid(child, &status, 0);
    }
    assert_int_equal(ended, child);
    assert_true(WIFSIGNALED(status) || WEXITSTATUS(status) == 0);
    return WIFEXITED(status);
}

static void check_not_repeated(const bool *before) {
    FILE *stream = fopen(log_path, "rb");
    for (int mark; stream && (mark = fgetc(stream)) != EOF;) {
        assert_false(before[mark]);
    }
    if (stream) {
        fclose(stream);
    }
    unlink(log_path);
}

static void test_killed_study_goes_on(void **state) {
    (void)state;
    double straight[COUNT * WIDTH], resumed[COUNT * WIDTH];
    bool before[COUNT], after[COUNT];
    unsigned long long seed = 20240611;
    int kills = 0;
    for (int round = 0; round < 3; round++) {
        unlink(kept);
        memset(before, 0, sizeof before);
        for (bool ended = false; !ended;) {
            assert_true(kills++ < 3 * (COUNT + 1)); // each comes further than the one before
            seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
            const long more = 1 + (long)((seed >> 60) % 8); // points
            ended = kill_victim(kept_size() + more * (WIDTH + 2) * 8, (long)(seed >> 42));
            check_not_repeated(before);
            points_kept(after);
            for (size_t i = 0; i < COUNT; i++) {
                assert_true(after[i] || !before[i]); // nothing is lost
            }
            memcpy(before, after, sizeof before);
        }
        assert_int_equal(points_kept(after), COUNT);
        assert_int_equal(run(2, kept, resumed), STUDY_DONE);
        assert_int_equal(run(1, NULL, straight), STUDY_DONE);
        assert_memory_equal(straight, resumed, sizeof straight);
    }
    assert_true(kills > 6); // otherwise nothing was hit
    unlink(kept);
}

static void test_torn_record_is_computed_again(void **state) {
    (void)state;
    double whole[COUNT * WIDTH], again[COUNT * WIDTH];
    bool there[COUNT];
    unlink(kept);
    assert_int_equal(run(1, kept, whole), STUDY_DONE);
    struct stat status;
    assert_int_equal(stat(kept, &status), 0);
    // Cut at every byte of the last record and a few places of the header.
    const long size = (long)status.st_size, record = (WIDTH + 2) * 8;
    for (long cut = 0; cut <= record + 1; cut++) {
        assert_int_equal(truncate(kept, size - cut), 0);
        assert_int_equal(run(2, kept, again), STUDY_DONE);
        assert_memory_equal(whole, again, sizeof whole);
        assert_int_equal(points_kept(there), COUNT);
    }
    for (long length = 0; length <= 48; length += 16) {
        assert_int_equal(truncate(kept, length), 0);
        assert_int_equal(run(2, kept, again), STUDY_DONE);
        assert_memory_equal(whole, again, sizeof whole);
        assert_int_equal(points_kept(there), COUNT);
    }
    unlink(kept);
}

static void test_spoiled_record_is_computed_again(void **state) {
    (void)state;
    double whole[COUNT * WIDTH], again[COUNT * WIDTH];
    for (long at = 48; at < 48 + (WIDTH + 2) * 8; at += 3) {
        unlink(kept);
        assert_int_equal(run(1, kept, whole), STUDY_DONE);
        int handle = open(kept, O_RDWR);
        unsigned char byte;
        assert_int_equal(pread(handle, &byte, 1, at), 1);
        byte ^= 0x10;
        assert_int_equal(pwrite(handle, &byte, 1, at), 1);
        close(handle);
        assert_int_equal(run(1, kept, again), STUDY_DONE);
        assert_memory_equal(whole, again, sizeof whole);
    }
    unlink(kept);
}

static void refused(const struct study *study, enum study_status expected, const char *words) {
    double result[2 * COUNT * WIDTH];
    char message[600];
    assert_int_equal(study_run(study, result, message, sizeof message), expected);
    if (!strstr(message, words)) {
        fail_msg("'%s' does not say '%s'", message, words);
    }
    assert_true(isnan(result[0]));
}

static void test_other_files_are_refused(void **state) {
    (void)state;
    double result[COUNT * WIDTH];
    unlink(kept);
    assert_int_equal(run(1, kept, result), STUDY_DONE);
    struct study study = make_study(&quiet, 1, kept);
    study.fingerprint = 43;
    refused(&study, STUDY_BAD_CHECKPOINT, "another study");
    study = make_study(&quiet, 1, kept);
    study.count = COUNT - 1;
    refused(&study, STUDY_BAD_CHECKPOINT, "another study");
    study = make_study(&quiet, 1, kept);
    study.width = WIDTH + 1;
    refused(&study, STUDY_BAD_CHECKPOINT, "another study");
    study = make_study(&quiet, 1, scenario_path);
    struct stat before, after;
    assert_int_equal(stat(scenario_path, &before), 0);
    refused(&study, STUDY_BAD_CHECKPOINT, "not a file of finished points");
    assert_int_equal(stat(scenario_path, &after), 0);
    assert_int_equal(before.st_size, after.st_size);
    study = make_study(&quiet, 1, "/dev/null");
    refused(&study, STUDY_BAD_CHECKPOINT, "not a plain file");
    study = make_study(&quiet, 1, "/nowhere/at/all");
    refused(&study, STUDY_OUTPUT_FAILED, "No such file");
    unlink(kept);
}

static void test_bad_scenario(void **state) {
    (void)state;
    struct study study = make_study(&quiet, 1, NULL);
    study.path = "scenarios/none.yaml";
    refused(&study, STUDY_BAD_SCENARIO, "scenarios/none.yaml");
    const char *const overrides[] = {"trim.port=-2 in"};
    study = make_study(&quiet, 1, NULL);
    study.overrides = overrides;
    study.override_count = 1;
    refused(&study, STUDY_BAD_SCENARIO, "trim.port");
}

static void test_overrides_hold_for_all_points(void **state) {
    (void)state;
    double result[COUNT * WIDTH];
    char message[600];
    const char *const overrides[] = {"trims.full.port=2 in"};
    struct study study = make_study(&quiet, 2, NULL);
    study.overrides = overrides;
    study.override_count = 1;
    assert_int_equal(study_run(&study, result, message, sizeof message), STUDY_DONE);
    assert_close(result[4 * WIDTH + 1], 0.0254 * 2.0, 1e-12, 0.0);
    assert_close(result[5 * WIDTH + 1], 0.0254 * 1.5, 1e-12, 0.0);
}

// Last: nothing takes an interruption back.
static void test_interruption_keeps_finished_points(void **state) {
    (void)state;
    double straight[COUNT * WIDTH], part[COUNT * WIDTH];
    bool there[COUNT];
    char message[600];
    assert_int_equal(run(1, NULL, straight), STUDY_DONE);
    struct setting setting = {.log = -1, .interrupt_at = 20};
    unlink(kept);
    struct study study = make_study(&setting, 1, kept);
    assert_int_equal(study_run(&study, part, message, sizeof message), STUDY_INTERRUPTED);
    assert_int_equal(points_kept(there), 20);
    assert_memory_equal(straight, part, 20 * WIDTH * sizeof *part);
    for (size_t i = 20 * WIDTH; i < (size_t)COUNT * WIDTH; i++) {
        assert_true(isnan(part[i]));
    }
    unlink(kept);
}

static int make_folder(void **state) {
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/lowlift-study-XXXXXX");
    if (!mkdtemp(folder)) {
        return -1;
    }
    snprintf(kept, sizeof kept, "%s/points", folder);
    snprintf(log_path, sizeof log_path, "%s/log", folder);
    return 0;
}

static int remove_folder(void **state) {
    (void)state;
    unlink(kept);
    unlink(log_path);
    return rmdir(folder);
}

int main(int argc, char **argv) {
    program = argv[0];
    if (argc == 4 && strcmp(argv[1], "--victim") == 0) {
        return be_victim(argv[2], argv[3]);
    }
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_same_bytes_for_any_number_of_threads),
        cmocka_unit_test(test_point_that_does_not_resolve),
        cmocka_unit_test(test_killed_study_goes_on),
        cmocka_unit_test(test_torn_record_is_computed_again),
        cmocka_unit_test(test_spoiled_record_is_computed_again),
        cmocka_unit_test(test_other_files_are_refused),
        cmocka_unit_test(test_bad_scenario),
        cmocka_unit_test(test_overrides_hold_for_all_points),
        cmocka_unit_test(test_interruption_keeps_finished_points),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
