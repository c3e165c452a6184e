// SPDX-License-Identifier: MIT
#include "field/seen.h"

#include "base/nearest.h"

#include <string.h>

// Synonyms stand beside each other; more may be added at any time.
static const struct {
    const char *word;
    enum observed_seen seen;
} table[] = {
    {"quiet", SEEN_QUIET},          {"steady", SEEN_QUIET},
    {"still", SEEN_QUIET},          {"calm", SEEN_QUIET},
    {"does not move", SEEN_QUIET},  {"settles", SEEN_SETTLES},
    {"rings", SEEN_SETTLES},        {"swings and settles", SEEN_SETTLES},
    {"moves", SEEN_MOVES},          {"moving", SEEN_MOVES},
    {"cycles", SEEN_MOVES},         {"cycling", SEEN_MOVES},
    {"not steady", SEEN_MOVES},     {"pressure swings", SEEN_MOVES},
    {"hunts", SEEN_SWINGS},         {"hunting", SEEN_SWINGS},
    {"swings", SEEN_SWINGS},        {"swinging", SEEN_SWINGS},
    {"hits its seat", SEEN_HITS},   {"swings without hitting", SEEN_SWINGS},
    {"slams", SEEN_HITS},           {"slamming", SEEN_HITS},
    {"bangs", SEEN_HITS},           {"banging", SEEN_HITS},
    {"hammers", SEEN_HITS},         {"hammering", SEEN_HITS},
    {"knocks", SEEN_HITS},          {"knocking", SEEN_HITS},
    {"chatters", SEEN_CHATTERS},    {"chatter", SEEN_CHATTERS},
    {"chattering", SEEN_CHATTERS},  {"rattles", SEEN_CHATTERS},
    {"rattling", SEEN_CHATTERS},    {"buzzes", SEEN_CHATTERS},
    {"buzzing", SEEN_CHATTERS},     {"shut", SEEN_SHUT},
    {"stays shut", SEEN_SHUT},      {"wide open", SEEN_WIDE_OPEN},
    {"stays open", SEEN_WIDE_OPEN}, {"fully open", SEEN_WIDE_OPEN},
    {"silent", SEEN_QUIET},         {"closed", SEEN_SHUT},
    {"stays closed", SEEN_SHUT},    {"slams shut", SEEN_HITS},
    {"vibrates", SEEN_MOVES},       {"vibrating", SEEN_MOVES},
    {"oscillates", SEEN_MOVES},     {"oscillating", SEEN_MOVES},
    {"surges", SEEN_MOVES},         {"surging", SEEN_MOVES},
};

enum { WORDS = sizeof table / sizeof table[0] };

const char *seen_word(size_t index, enum observed_seen *seen) {
    if (index >= WORDS) {
        return NULL;
    }
    *seen = table[index].seen;
    return table[index].word;
}

bool seen_find(const char *text, enum observed_seen *seen, const char **nearest) {
    struct nearest search = nearest_start(text);
    for (size_t i = 0; i < WORDS; i++) {
        if (strcmp(text, table[i].word) == 0) {
            *seen = table[i].seen;
            return true;
        }
        nearest_offer(&search, table[i].word);
    }
    *nearest = search.best;
    return false;
}
