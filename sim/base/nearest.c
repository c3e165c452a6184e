// SPDX-License-Identifier: MIT
#include "base/nearest.h"

#include <ctype.h>
#include <string.h>

enum { NEAREST_LONGEST = 63, NEAREST_EDIT = 2, NEAREST_CASE = 1 };
enum { NEAREST_FAR = NEAREST_EDIT * (NEAREST_LONGEST + 1) };

static size_t nearest_min(size_t a, size_t b) {
    return a < b ? a : b;
}

static size_t nearest_change(char a, char b) {
    if (a == b) {
        return 0;
    }
    return tolower((unsigned char)a) == tolower((unsigned char)b) ? NEAREST_CASE : NEAREST_EDIT;
}

// The distance, or NEAREST_FAR once it cannot be below `limit`.
static size_t nearest_within(const char *a, const char *b, size_t limit) {
    const size_t length_a = strlen(a);
    const size_t length_b = strlen(b);
    if (length_a > NEAREST_LONGEST || length_b > NEAREST_LONGEST) {
        return NEAREST_FAR;
    }
    // Three rows of the edit table: a neighbour swap looks back two rows.
    size_t rows[3][NEAREST_LONGEST + 1];
    for (size_t j = 0; j <= length_b; j++) {
        rows[0][j] = NEAREST_EDIT * j;
    }
    size_t least_above = 0; // of the row above: what follows is at least as far, or a swap further
    for (size_t i = 1; i <= length_a; i++) {
        size_t *row = rows[i % 3];
        const size_t *above = rows[(i + 2) % 3];
        const size_t *two_above = rows[(i + 1) % 3];
        row[0] = NEAREST_EDIT * i;
        size_t least = row[0];
        for (size_t j = 1; j <= length_b; j++) {
            const size_t change = above[j - 1] + nearest_change(a[i - 1], b[j - 1]);
            row[j] = nearest_min(nearest_min(above[j], row[j - 1]) + NEAREST_EDIT, change);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                row[j] = nearest_min(row[j], two_above[j - 2] + NEAREST_EDIT);
            }
            least = nearest_min(least, row[j]);
        }
        if (nearest_min(least, least_above + NEAREST_EDIT) >= limit) {
            return NEAREST_FAR;
        }
        least_above = least;
    }
    return rows[length_a % 3][length_b];
}

size_t nearest_distance(const char *a, const char *b) {
    return nearest_within(a, b, NEAREST_FAR);
}

struct nearest nearest_start(const char *word) {
    // A third of the word may be wrong; a hint further off would only confuse.
    const size_t limit = NEAREST_EDIT * (strlen(word) / 3 + 2);
    return (struct nearest){word, NULL, limit};
}

void nearest_offer(struct nearest *search, const char *candidate) {
    const size_t word = strlen(search->word), length = strlen(candidate);
    // What is longer or shorter by so much is no nearer.
    if (NEAREST_EDIT * (word > length ? word - length : length - word) >= search->distance) {
        return;
    }
    const size_t distance = nearest_within(search->word, candidate, search->distance);
    if (distance < search->distance && distance < NEAREST_EDIT * length) {
        search->distance = distance;
        search->best = candidate;
    }
}
