// SPDX-License-Identifier: MIT
#include "shell/interruption.h"

#include "base/atomic_file.h"
#include "show/plot_process.h"
#include "solve/integrate.h"

#include <errno.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <time.h>

// Signals closer to the first one than this are the same one [ms].
static const long long SAME_SIGNAL = 1000;

// When the first signal came, by the monotonic clock [ms]; 0: none came. Threads may be in the
// handler at the same time.
static atomic_llong first_time;

static long long now(void) {
    struct timespec t = {0};
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (long long)t.tv_sec * 1000 + t.tv_nsec / 1000000 + 1; // never 0
}

void interruption_clear_up(void) {
    plot_process_abandon(); // first: while it runs it may make files
    atomic_file_remove_all();
}

// Die of the signal, so that the caller sees what it was. Only what POSIX calls safe in a handler.
static void end_at_once(int number) {
    interruption_clear_up();
    struct sigaction standard = {.sa_handler = SIG_DFL};
    sigset_t own;
    sigemptyset(&standard.sa_mask);
    sigaction(number, &standard, NULL);
    sigemptyset(&own);
    sigaddset(&own, number);
    pthread_sigmask(SIG_UNBLOCK, &own, NULL);
    raise(number);
}

static void on_signal(int number) {
    int kept = errno;
    long long time = now(), first = 0;
    if (atomic_compare_exchange_strong(&first_time, &first, time)) {
        integrate_interrupt();
    } else if (time - first >= SAME_SIGNAL) {
        end_at_once(number);
    }
    errno = kept;
}

void interruption_begin(void) {
    // sigaction, because signal() puts the default back after the first signal on some systems and
    // under some feature macros. SA_RESTART: the standard library would take a write that a signal
    // cuts short for a failed one.
    struct sigaction action = {.sa_handler = on_signal, .sa_flags = SA_RESTART};
    struct sigaction ignore = {.sa_handler = SIG_IGN}, before;
    static const int stops[] = {SIGINT, SIGHUP, SIGTERM};
    sigemptyset(&action.sa_mask);
    for (size_t i = 0; i < sizeof stops / sizeof stops[0]; i++) {
        sigaddset(&action.sa_mask, stops[i]);
    }
    sigemptyset(&ignore.sa_mask);
    for (size_t i = 0; i < sizeof stops / sizeof stops[0]; i++) {
        const bool asked = stops[i] == SIGTERM; // by nobody's habit ignored
        if (asked || sigaction(stops[i], NULL, &before) != 0 || before.sa_handler != SIG_IGN) {
            sigaction(stops[i], &action, NULL);
        }
    }
    sigaction(SIGPIPE, &ignore, NULL);
    sigaction(SIGXFSZ, &ignore, NULL);
}
