// SPDX-License-Identifier: MIT
// A number that tells things apart by their bytes: the 64-bit hash FNV-1a of Fowler, Noll and Vo.
// Good against chance, not against somebody who wants two things to look alike.
#pragma once

#include <stddef.h>

#define FINGERPRINT_START 1469598103934665603UL

// Chained: begin with FINGERPRINT_START, then hand each answer on.
unsigned long fingerprint_bytes(unsigned long start, const void *bytes, size_t size);
