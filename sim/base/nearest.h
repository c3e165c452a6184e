// SPDX-License-Identifier: MIT
// The name someone probably meant: smallest number of single-letter edits, within reason.
#pragma once

#include <stddef.h>

// Cost of the insertions, deletions, replacements and neighbour swaps that turn a into b: 2 each, 1
// for a change of case. Words longer than 63 bytes count as far from everything.
size_t nearest_distance(const char *a, const char *b);

struct nearest {
    const char *word; // what was written
    const char *best; // NULL until something is near enough
    size_t distance;
};

// Starts a search; then offer every candidate and read `best`.
struct nearest nearest_start(const char *word);
void nearest_offer(struct nearest *search, const char *candidate);
