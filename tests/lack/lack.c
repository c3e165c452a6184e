// SPDX-License-Identifier: MIT
// Loaded before the program (LD_PRELOAD), takes memory from it.
//
// LACK=N: the N-th request for memory, from 0, of the first thread fails; -1: none.
// LACK=all: every request fails, each in a copy of the process that is forked for it, while the
// process itself goes on: one run of the program tries them all. A copy must end with the exit code
// LACK_CODE and have said LACK_LINE and a line end on standard error, nothing else. What a copy
// would unlink or kill belongs to the process that goes on, so it is only noted.
//
// To LACK_REPORT, if that is set, the process writes at its end "requests N" and "bad N", before
// that a line for each of the first bad ones, and "aside N" for each N at which there was a file
// aside to remove.
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

enum { BAD_TOLD = 20, TEXT_SIZE = 512, NEVER = -1 };

static void *(*next_malloc)(size_t size);
static void *(*next_calloc)(size_t count, size_t size);
static void *(*next_realloc)(void *memory, size_t size);
static int (*next_unlink)(const char *path);
static int (*next_rmdir)(const char *path);
static int (*next_kill)(pid_t process, int signal);

static bool begun, every, copy, judging; // no request of ours is tried
static long calls, failing = NEVER, bad;
static int code, said[2], noted[2], report = -1;
static const char *line = "";

static void find(void *function, const char *name) {
    void *address = dlsym(RTLD_NEXT, name);
    memcpy(function, &address, sizeof address);
}

// Before the program's own first steps, of which one asks for memory with the environment locked.
__attribute__((constructor)) static void begin(void) {
    if (begun) {
        return;
    }
    begun = true;
    find(&next_malloc, "malloc");
    find(&next_calloc, "calloc");
    find(&next_realloc, "realloc");
    find(&next_unlink, "unlink");
    find(&next_rmdir, "rmdir");
    find(&next_kill, "kill");
    const char *what = getenv("LACK");
    const char *file = getenv("LACK_REPORT");
    every = what && strcmp(what, "all") == 0;
    failing = what && !every ? strtol(what, NULL, 10) : NEVER;
    report = file ? open(file, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666) : -1;
    if (every) {
        code = (int)strtol(getenv("LACK_CODE"), NULL, 10);
        line = getenv("LACK_LINE");
        if (pipe2(said, O_CLOEXEC | O_NONBLOCK) != 0 || pipe2(noted, O_CLOEXEC | O_NONBLOCK) != 0) {
            _exit(125);
        }
    }
    unsetenv("LD_PRELOAD"); // gnuplot is not what is tried
}

// All there is to read.
static void take(int from, char text[TEXT_SIZE]) {
    const ssize_t length = read(from, text, TEXT_SIZE - 1);
    text[length > 0 ? length : 0] = '\0';
}

static void judge(int status) {
    char text[TEXT_SIZE], removed[TEXT_SIZE];
    take(said[0], text);
    take(noted[0], removed);
    const size_t length = strlen(line);
    const bool right = WIFEXITED(status) && WEXITSTATUS(status) == code &&
                       strncmp(text, line, length) == 0 && strcmp(text + length, "\n") == 0;
    if (!right && bad++ < BAD_TOLD) {
        dprintf(report, "request %ld: %s %d, said '%s'\n", calls,
                WIFEXITED(status) ? "exit code" : "signal",
                WIFEXITED(status) ? WEXITSTATUS(status) : WTERMSIG(status), text);
    }
    if (strstr(removed, ".lowlift-")) {
        dprintf(report, "aside %ld\n", calls);
    }
}

// Whether this request fails: in the copy, once.
static bool fails(void) {
    begin();
    if (copy || judging || getpid() != (pid_t)syscall(SYS_gettid)) {
        return false;
    }
    if (every) {
        const pid_t child = (pid_t)syscall(SYS_clone, SIGCHLD, 0, 0, 0, 0);
        if (child == 0) {
            copy = true;
            dup2(said[1], STDERR_FILENO);
            alarm(20);
            errno = ENOMEM;
            return true;
        }
        int status = 0;
        while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
        }
        judging = true;
        judge(status);
        judging = false;
    }
    if (calls++ == failing) {
        errno = ENOMEM;
        return true;
    }
    return false;
}

void *malloc(size_t size) {
    return fails() ? NULL : next_malloc(size);
}

void *calloc(size_t count, size_t size) {
    return fails() ? NULL : next_calloc(count, size);
}

void *realloc(void *memory, size_t size) {
    return fails() ? NULL : next_realloc(memory, size);
}

static int note(const char *path) {
    if (write(noted[1], path, strlen(path)) < 0) {
        _exit(125);
    }
    return 0;
}

int unlink(const char *path) {
    return copy ? note(path) : next_unlink(path);
}

int rmdir(const char *path) {
    return copy ? note(path) : next_rmdir(path);
}

int kill(pid_t process, int signal) {
    return copy ? 0 : next_kill(process, signal);
}

__attribute__((destructor)) static void end(void) {
    judging = true;
    if (report >= 0 && !copy && getpid() == (pid_t)syscall(SYS_gettid)) {
        dprintf(report, "requests %ld\nbad %ld\n", calls, bad);
    }
}
