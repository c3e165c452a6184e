// SPDX-License-Identifier: MIT
// The words people use for what a regulator is seen or heard to do, and what each means. One row of
// `observed` says one of them (scenario/scenario_observed.c); what verdict fits it is decided in
// site/match_rows.c.
#pragma once

#include <stdbool.h>
#include <stddef.h>

enum observed_seen {
    SEEN_QUIET,     // at rest, open
    SEEN_SETTLES,   // swings when disturbed, and comes to rest
    SEEN_MOVES,     // keeps moving; nobody says whether it hits its seat
    SEEN_SWINGS,    // keeps moving, and is not heard to hit its seat
    SEEN_HITS,      // keeps hitting its seat
    SEEN_CHATTERS,  // keeps hitting its seat many times a second
    SEEN_SHUT,      // stays on its seat
    SEEN_WIDE_OPEN, // stays fully open
    SEEN_COUNT
};

// The word that leads each meaning, for messages.
#define SEEN_ALLOWED "quiet, settles, moves, hunts, hits its seat, chatters, shut, wide open"

// Word `index` and what it means; NULL beyond the last.
const char *seen_word(size_t index, enum observed_seen *seen);

// What a text means; false for one that is no such word: `nearest` is then the likeliest, or NULL.
bool seen_find(const char *text, enum observed_seen *seen, const char **nearest);
