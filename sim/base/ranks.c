// SPDX-License-Identifier: MIT
#include "base/ranks.h"

#ifdef LOWLIFT_MPI

#include <mpi.h>
#include <stdio.h>
#include <stdlib.h>

// Bytes that one message carries at most; MPI counts in int.
#define MESSAGE_MAX ((size_t)1 << 24)

static bool together;
static int own, count = 1;
static int alone; // exit code of a failure that only one rank may have

// Set by the launchers of the usual MPI libraries. Started without one, MPI would only cost time.
static bool is_launched(void) {
    static const char *const signs[] = {"OMPI_COMM_WORLD_SIZE", "PMIX_RANK", "PMI_RANK",
                                        "PMI_SIZE"};
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        if (getenv(signs[i])) {
            return true;
        }
    }
    return false;
}

void ranks_begin(int *argc, char ***argv, int output_failed) {
    int granted;
    if (!is_launched() ||
        MPI_Init_thread(argc, argv, MPI_THREAD_FUNNELED, &granted) != MPI_SUCCESS) {
        return;
    }
    together = true;
    alone = output_failed;
    MPI_Comm_rank(MPI_COMM_WORLD, &own);
    MPI_Comm_size(MPI_COMM_WORLD, &count);
    if (own > 0 && (!freopen("/dev/null", "w", stdout) || !freopen("/dev/null", "w", stderr))) {
        MPI_Abort(MPI_COMM_WORLD, output_failed);
    }
}

void ranks_end(int code) {
    if (together && code == alone && count > 1) {
        MPI_Abort(MPI_COMM_WORLD, code);
    }
    if (together) {
        MPI_Finalize();
        together = false;
    }
}

size_t ranks_count(void) {
    return (size_t)count;
}

size_t ranks_own(void) {
    return (size_t)own;
}

void ranks_share(void *bytes, size_t size) {
    for (size_t at = 0; together && at < size; at += MESSAGE_MAX) {
        size_t part = size - at < MESSAGE_MAX ? size - at : MESSAGE_MAX;
        MPI_Bcast((char *)bytes + at, (int)part, MPI_BYTE, 0, MPI_COMM_WORLD);
    }
}

void ranks_join(void *bytes, size_t size) {
    for (size_t at = 0; together && at < size; at += MESSAGE_MAX) {
        size_t part = size - at < MESSAGE_MAX ? size - at : MESSAGE_MAX;
        MPI_Allreduce(MPI_IN_PLACE, (char *)bytes + at, (int)part, MPI_BYTE, MPI_BOR,
                      MPI_COMM_WORLD);
    }
}

int ranks_largest(int number) {
    int largest = number;
    if (together) {
        MPI_Allreduce(&number, &largest, 1, MPI_INT, MPI_MAX, MPI_COMM_WORLD);
    }
    return largest;
}

#else

void ranks_begin(int *argc, char ***argv, int output_failed) {
    (void)output_failed;
    (void)argc;
    (void)argv;
}

void ranks_end(int code) {
    (void)code;
}

size_t ranks_count(void) {
    return 1;
}

size_t ranks_own(void) {
    return 0;
}

void ranks_share(void *bytes, size_t size) {
    (void)bytes;
    (void)size;
}

void ranks_join(void *bytes, size_t size) {
    (void)bytes;
    (void)size;
}

int ranks_largest(int number) {
    return number;
}

#endif

bool ranks_first(void) {
    return ranks_own() == 0;
}
