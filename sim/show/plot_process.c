// SPDX-License-Identifier: MIT
#include "show/plot_process.h"

#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { START_LOOKS = 1000 }; // a millisecond apart

extern char **environ;

// Static, because a signal handler reads it.
static char folder[PLOT_PROCESS_FOLDER_MAX];
static atomic_size_t names;   // of files in the folder; 0: there is no folder
static _Atomic pid_t running; // 0: none, -1: being started

const char *plot_process_folder(size_t files) {
    const char *place = getenv("TMPDIR");
    if (!place || place[0] != '/' || strlen(place) >= sizeof folder - 64) {
        place = "/tmp";
    }
    snprintf(folder, sizeof folder, "%s/lowlift-plot-XXXXXX", place);
    atomic_store(&names, files + 1); // before it is there, so that no signal comes between
    if (!mkdtemp(folder)) {
        atomic_store(&names, 0);
        return NULL;
    }
    return folder;
}

// Name of a file by its number, from 0 for the errors: without printf, which no handler may call.
static void file_path(size_t number, char *path) {
    char digits[24];
    size_t length = strlen(folder), count = 0;
    memcpy(path, folder, length + 1);
    path[length++] = '/';
    if (number == 0) {
        memcpy(path + length, "errors", sizeof "errors");
        return;
    }
    for (; number > 0; number /= 10) {
        digits[count++] = (char)('0' + number % 10);
    }
    while (count > 0) {
        path[length++] = digits[--count];
    }
    memcpy(path + length, ".dat", sizeof ".dat");
}

void plot_process_remove_folder(void) {
    size_t count = atomic_exchange(&names, 0);
    for (size_t i = 0; i < count; i++) {
        char path[PLOT_PROCESS_FOLDER_MAX + 32];
        file_path(i, path);
        unlink(path);
    }
    if (count > 0) {
        rmdir(folder);
    }
}

double plot_process_patience(void) {
    const char *text = getenv("LOWLIFT_PLOT_SECONDS");
    const double seconds = text ? strtod(text, NULL) : 0.0;
    return seconds > 0.0 ? seconds : 120.0;
}

static double clock_seconds(void) {
    struct timespec t = {0};
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

// Wait for a child until its time is up. Looks again and again: of the waits with a time limit none
// is both portable and leaves the signals of a program with threads alone.
static int wait_for(pid_t child, int *status) {
    const double until = clock_seconds() + plot_process_patience();
    long pause = 500000; // [ns]
    pid_t ended = 0;
    while ((ended = waitpid(child, status, WNOHANG)) == 0 || (ended < 0 && errno == EINTR)) {
        if (clock_seconds() > until) {
            kill(child, SIGKILL);
            while (waitpid(child, status, 0) < 0 && errno == EINTR) {
            }
            return ETIMEDOUT;
        }
        nanosleep(&(struct timespec){0, pause}, NULL);
        pause = pause < 5000000 ? 2 * pause : pause;
    }
    return ended < 0 ? errno : 0;
}

int plot_process_run(char *const *arguments, const posix_spawn_file_actions_t *actions,
                     int *status) {
    sigset_t stops, before;
    sigemptyset(&stops);
    sigaddset(&stops, SIGINT);
    sigaddset(&stops, SIGTERM);
    sigaddset(&stops, SIGHUP);
    // The child inherits the mask. A handler in this thread would not know the child yet.
    pthread_sigmask(SIG_BLOCK, &stops, &before);
    pid_t child = 0;
    atomic_store(&running, -1);
    int code = posix_spawnp(&child, arguments[0], actions, NULL, arguments, environ);
    atomic_store(&running, code == 0 ? child : 0);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    if (code != 0) {
        return code;
    }
    code = wait_for(child, status);
    atomic_store(&running, 0);
    return code;
}

void plot_process_abandon(void) {
    pid_t child = atomic_load(&running);
    // Another thread is just starting it, or this one, in which case it was not started.
    for (int looks = 0; child < 0 && looks < START_LOOKS; looks++) {
        poll(NULL, 0, 1);
        child = atomic_load(&running);
    }
    if (child > 0) {
        kill(child, SIGKILL);
        waitpid(child, NULL, 0); // until then it may write
    }
    plot_process_remove_folder();
}
