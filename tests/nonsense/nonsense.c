// SPDX-License-Identifier: MIT
// Nonsense scenarios of the seeds FIRST to FIRST + COUNT - 1, each run and asked one study: no
// crash, no hang, nothing that is no number, no pressure below vacuum, no exit code that is not
// documented, no balance off by more than 1e-9 of what went through.
//
//     nonsense COUNT [FIRST]       from the source's root; one alone: nonsense 1 SEED
//
// Work is done in processes of a few dozen seeds, so that one that crashes is found and named, and
// the others go on. Work is counted as calls of the derivative, so that a busy machine says the
// same.
#define _GNU_SOURCE // MAP_ANONYMOUS
#include "nonsense.h"

#include "models/regulator.h"

#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

enum { CHUNK = 40, FOLDER_ROOM = 64, ALL = 10000, PRIME = 10007, SPREAD = 7919 };

// A run ends after 4000 steps of about ten calls; a study is some hundreds of these.
static const unsigned long CALLS_MAX = 40000000;
// Should something turn round without the derivative: seconds of processor time for a chunk.
static const rlim_t SECONDS_MAX = 1200;

unsigned long nonsense_calls;
static unsigned long calls_at_begin;

// NOLINTBEGIN(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp): the linker's names
int __real_regulator_derivatives(const struct regulator *regulator,
                                 const struct regulator_mode *mode, double time,
                                 const double *state, double *rates);
int __wrap_regulator_derivatives(const struct regulator *regulator,
                                 const struct regulator_mode *mode, double time,
                                 const double *state, double *rates);
int __wrap_regulator_derivatives(const struct regulator *regulator,
                                 const struct regulator_mode *mode, double time,
                                 const double *state, double *rates) {
    if (++nonsense_calls - calls_at_begin > CALLS_MAX) {
        _exit(NONSENSE_HANGS);
    }
    return __real_regulator_derivatives(regulator, mode, time, state, rates);
}
// NOLINTEND(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp)

// What processes of seeds and their parent share.
struct shared {
    struct nonsense_findings found;
    unsigned long seed, done;
};

// A part of all is spread over them, so that every field, way and study takes part.
static unsigned long seed_of(unsigned long index, const unsigned long *first, unsigned long count) {
    return first || count >= ALL ? (first ? *first : 0) + index : index * SPREAD % PRIME;
}

static void work(struct shared *shared, unsigned long seed, const char *folder) {
    struct nonsense nonsense;
    shared->seed = seed;
    nonsense_make(seed, &nonsense);
    calls_at_begin = nonsense_calls;
    nonsense_run(&nonsense, &shared->found);
    if (seed % NONSENSE_STUDY_EVERY == 0) {
        calls_at_begin = nonsense_calls;
        nonsense_study(&nonsense, folder, &shared->found);
    }
    fflush(stdout);
}

static void report_end(struct shared *shared, int status) {
    struct nonsense nonsense;
    nonsense_make(shared->seed, &nonsense);
    shared->found.of = &nonsense;
    shared->found.during = "crash";
    if (WIFEXITED(status) && WEXITSTATUS(status) == NONSENSE_HANGS) {
        nonsense_finding(&shared->found, "hangs: more than %lu calls of the derivative", CALLS_MAX);
    } else if (WIFSIGNALED(status)) {
        nonsense_finding(&shared->found, "%s", strsignal(WTERMSIG(status)));
    } else {
        nonsense_finding(&shared->found, "ended with code %d", WEXITSTATUS(status));
    }
}

int main(int argc, char **argv) {
    const unsigned long count = argc > 1 ? strtoul(argv[1], NULL, 10) : 200;
    const unsigned long stated = argc > 2 ? strtoul(argv[2], NULL, 10) : 0;
    const unsigned long *first = argc > 2 ? &stated : NULL;
    char folder[FOLDER_ROOM] = "/tmp/lowlift-nonsense-XXXXXX";
    struct shared *shared =
        mmap(NULL, sizeof *shared, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (shared == MAP_FAILED || !mkdtemp(folder)) {
        perror("nonsense");
        return 2;
    }
    for (unsigned long at = 0; at < count;) {
        fflush(stdout);
        const pid_t child = fork();
        if (child == 0) {
            const struct rlimit limit = {SECONDS_MAX, SECONDS_MAX};
            setrlimit(RLIMIT_CPU, &limit);
            for (unsigned long i = at; i < count && i < at + CHUNK; i++) {
                work(shared, seed_of(i, first, count), folder);
                shared->done = i + 1;
            }
            _exit(0);
        }
        int status = 0;
        if (child < 0 || waitpid(child, &status, 0) != child) {
            perror("nonsense");
            return 2;
        }
        if (status != 0) {
            report_end(shared, status);
            shared->done++;
        }
        at = shared->done;
    }
    const struct nonsense_findings *f = &shared->found;
    printf("%lu scenarios: %zu refused, %zu ran, of these %zu gave up with a reason\n"
           "largest mass balance error %.2g (seed %lu), energy %.2g (seed %lu) of throughput;\n"
           "  but of %zu runs that hold so much more than went through that rounding is more\n"
           "most work: %lu calls of the derivative (seed %lu)\n%zu promises broken\n",
           count, f->refused, f->accepted, f->given_up, f->mass_error, f->mass_seed,
           f->energy_error, f->energy_seed, f->rounded, f->most_calls, f->most_seed, f->count);
    char path[FOLDER_ROOM + 8];
    snprintf(path, sizeof path, "%s.out", folder);
    unlink(path);
    snprintf(path, sizeof path, "%s.err", folder);
    unlink(path);
    rmdir(folder);
    return f->count > 0 ? 1 : 0;
}
