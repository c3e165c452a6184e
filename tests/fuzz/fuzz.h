// SPDX-License-Identifier: MIT
// What the targets of this folder share. Each fuzz_NAME.c reads hostile bytes with one reader of
// the program and holds it to what its header promises. Built by the preset `fuzz` a target is
// guided by libFuzzer; otherwise mutator.c drives it: fuzz_NAME ROUNDS SEED CORPUS...
#pragma once

#ifndef _GNU_SOURCE
#define _GNU_SOURCE // memfd_create
#endif

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

// A promise that was broken ends the program, as a crash does.
#define fuzz_require(promise)                                                                      \
    do {                                                                                           \
        if (!(promise)) {                                                                          \
            fprintf(stderr, "%s:%d: broken: %s\n", __FILE__, __LINE__, #promise);                  \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

// A copy that ends with NUL; free with free().
static inline char *fuzz_text(const uint8_t *data, size_t size) {
    char *text = malloc(size + 1);
    fuzz_require(text);
    if (size > 0) {
        memcpy(text, data, size);
    }
    text[size] = '\0';
    return text;
}

// libfyaml 0.7.12 loses memory, half a kilobyte or two, for each text in single quotes that has
// many quotes in it, written twice each (nine in a row). It would be found again and again.
static inline int fuzz_is_lossy(const char *text) {
    enum { DOUBLED_MAX = 4 };
    int doubled = 0;
    for (const char *at = text; (at = strstr(at, "''")) != NULL; at += 2) {
        doubled++;
    }
    return doubled > DOUBLED_MAX;
}

// A file that lies in memory and is there by its path.
struct fuzz_file {
    int handle;
    char path[40];
};

static inline void fuzz_file_fill(struct fuzz_file *file, const void *data, size_t size) {
    if (file->path[0] == '\0') {
        file->handle = memfd_create("fuzz", MFD_CLOEXEC);
        fuzz_require(file->handle >= 0);
        snprintf(file->path, sizeof file->path, "/proc/self/fd/%d", file->handle);
    }
    fuzz_require(ftruncate(file->handle, 0) == 0);
    fuzz_require(pwrite(file->handle, data, size, 0) == (ssize_t)size);
}
