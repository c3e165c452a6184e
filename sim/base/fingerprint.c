// SPDX-License-Identifier: MIT
#include "base/fingerprint.h"

#include <stdint.h>

_Static_assert(sizeof(unsigned long) == sizeof(uint64_t), "a fingerprint has 64 bits");

unsigned long fingerprint_bytes(unsigned long start, const void *bytes, size_t size) {
    const unsigned char *at = bytes;
    unsigned long hash = start;
    for (size_t i = 0; i < size; i++) {
        hash = (hash ^ at[i]) * 1099511628211UL;
    }
    return hash;
}
