// SPDX-License-Identifier: MIT
#define _GNU_SOURCE // MAP_ANONYMOUS

#include "base/threads.h"

#ifdef _OPENMP

#include <omp.h>
#include <pthread.h>
#include <stdbool.h>
#include <stdlib.h>
#include <sys/mman.h>

// Besides its stack a thread needs room to work in, and so does the first, whose stack still grows.
#define ROOM ((size_t)16 << 20)

// All stay until the last is there, else the first would have made room for it.
static void *stay(void *gate) {
    pthread_mutex_lock(gate);
    pthread_mutex_unlock(gate);
    return NULL;
}

static bool room_for(int threads) {
    const size_t size = ROOM * ((size_t)threads + 1);
    void *room = mmap(NULL, size, PROT_NONE, MAP_PRIVATE | MAP_ANONYMOUS | MAP_NORESERVE, -1, 0);
    return room != MAP_FAILED && munmap(room, size) == 0;
}

int threads_to_be_had(int wanted) {
    const int asked = wanted > 0 ? wanted : omp_get_max_threads();
    const int most = asked < THREADS_MAX ? asked : THREADS_MAX;
    pthread_t *thread = most > 1 ? malloc((size_t)most * sizeof *thread) : NULL;
    pthread_mutex_t gate = PTHREAD_MUTEX_INITIALIZER;
    int had = 1; // the one that asks
    pthread_mutex_lock(&gate);
    while (thread && had < most && room_for(had) &&
           pthread_create(&thread[had], NULL, stay, &gate) == 0) {
        had++;
    }
    pthread_mutex_unlock(&gate);
    for (int i = 1; i < had; i++) {
        pthread_join(thread[i], NULL);
    }
    free(thread);
    return had;
}

#else

int threads_to_be_had(int wanted) {
    (void)wanted;
    return 1;
}

#endif
