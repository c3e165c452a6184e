// SPDX-License-Identifier: MIT
// The program's own malloc, calloc and realloc: those of the C library, but where these return NULL
// the program ends with one line and EXIT_CODE_MEMORY, and leaves nothing half-written behind.
//
// Of the libraries below us some do not look whether they got memory (SUNDIALS' vectors, libfyaml,
// LAPACK's wrappers, OpenMP's threads), and what they then do is not ours to mend. A definition in
// the program is the one that all of them call, so no lack of memory can end in a crash or in an
// answer with holes. This file is part of the program alone: the library behind lowlift.h ends
// nobody's program and returns an error instead. Built with a sanitizer, which has an allocator of
// its own, it stays out.
#define _GNU_SOURCE // RTLD_NEXT

#include "command/allocate.h"

#include "shell/exit_code.h"
#include "shell/interruption.h"

#include <dlfcn.h>
#include <errno.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

// Nothing here asks for memory. Of several threads the first one ends the program.
static _Noreturn void give_up(void) {
    static atomic_flag ending = ATOMIC_FLAG_INIT;
    static const char line[] = "lowlift: out of memory\n";
    while (atomic_flag_test_and_set(&ending)) {
        pause();
    }
    interruption_clear_up();
    if (write(STDERR_FILENO, line, sizeof line - 1) < 0) {
        // Then the code alone has to tell.
    }
    _exit(EXIT_CODE_MEMORY);
}

#if !defined LOWLIFT_SANITIZE && defined __GLIBC__

static struct {
    void *(*malloc)(size_t size);
    void *(*calloc)(size_t count, size_t size);
    void *(*realloc)(void *memory, size_t size);
    int (*posix_memalign)(void **memory, size_t alignment, size_t size);
    void *(*aligned_alloc)(size_t alignment, size_t size);
} next; // behind the program's own

// Set while this thread looks the above up; what the linker then asks for it can do without.
static _Thread_local bool looking;

static void find(void *function, const char *name) {
    void *address = dlsym(RTLD_NEXT, name);
    memcpy(function, &address, sizeof address); // no cast leads from the one to the other
}

// The first call comes before any thread is started.
static bool ready(void) {
    if (!next.aligned_alloc && !looking) {
        looking = true;
        find(&next.malloc, "malloc");
        find(&next.calloc, "calloc");
        find(&next.realloc, "realloc");
        find(&next.posix_memalign, "posix_memalign");
        find(&next.aligned_alloc, "aligned_alloc");
        looking = false;
    }
    return next.aligned_alloc != NULL;
}

static void *had(void *memory, size_t size) {
    if (!memory && size > 0 && !looking) {
        give_up();
    }
    return memory;
}

// Seen by the shared libraries too, as nothing else of the program is.
#pragma GCC visibility push(default)

void *malloc(size_t size) {
    return ready() ? had(next.malloc(size), size) : NULL;
}

void *calloc(size_t count, size_t size) {
    return ready() ? had(next.calloc(count, size), count != 0 ? size : 0) : NULL;
}

void *realloc(void *memory, size_t size) {
    return ready() ? had(next.realloc(memory, size), size) : NULL;
}

int posix_memalign(void **memory, size_t alignment, size_t size) {
    const int code = ready() ? next.posix_memalign(memory, alignment, size) : ENOMEM;
    if (code == ENOMEM && !looking) {
        give_up();
    }
    return code;
}

void *aligned_alloc(size_t alignment, size_t size) {
    return ready() ? had(next.aligned_alloc(alignment, size), size) : NULL;
}

#pragma GCC visibility pop

#endif

// --- A library that ends the program

enum { STACK_USED = 512 << 10, STACK_LEAST = 2 * STACK_USED }; // more than is used [bytes]

static bool done; // main has ended

// What else gives up, as OpenMP does when it gets no threads, says why and calls exit: with a code
// that means nothing to the caller.
static void at_exit(void) {
    if (!done) {
        interruption_clear_up();
        _exit(EXIT_CODE_MEMORY);
    }
}

// A stack grows as it is used, and no function can be told that it could not. Its far end is
// enough: the room between is then the program's, and its pages, half of the time that a start
// takes, come as they are used.
static void grow_stack(void) {
    volatile char deep[STACK_USED];
    deep[0] = 0;
    (void)deep[0];
}

void allocate_begin(void) {
    struct rlimit limit;
    if (getrlimit(RLIMIT_STACK, &limit) == 0 && limit.rlim_cur != RLIM_INFINITY &&
        limit.rlim_cur < STACK_LEAST) {
        give_up();
    }
    grow_stack();
    atexit(at_exit);
}

void allocate_end(void) {
    done = true;
}
