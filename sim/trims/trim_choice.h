// SPDX-License-Identifier: MIT
// Which trim to take, from what is known of each: a ranking by plain rules and the reason in words.
// Pure numbers; simulates nothing.
//
// The rules, in this order:
//   1. it passes the peak: within 90 % of its travel and, where one is given, the vessel limit;
//   2. it is steady when kicked over the whole envelope;
//   3. the larger margin: lowest flow of the envelope over its own lowest steady flow, where that
//      is less than enough;
//   4. of margins that are enough or hardly differ, fewer parts; then the larger margin.
// No trim that fails 1 or 2 is recommended.
#pragma once

#include <stdbool.h>
#include <stddef.h>

enum { TRIM_CHOICE_MAX = 16, TRIM_CHOICE_REASON = 1024 };

// Margins within this factor count as equal: what the search for the lowest steady flow and guessed
// values leave open. Common practice, no source.
#define TRIM_CHOICE_TIE 1.1
// A margin that is enough: a larger one is no reason to buy parts. Common practice, no source.
#define TRIM_CHOICE_ENOUGH 2.0

// What is to be served.
struct trim_demand {
    double lowest, peak; // flows [kg/s]
    bool limited;        // a vessel limit is given
};

struct trim_candidate {
    const char *name;
    double largest;       // flow passed within both bounds [kg/s]; NaN: none
    bool limit_first;     // the vessel limit bounds it, not the travel
    double lowest_steady; // when kicked [kg/s]; NaN: none
    bool at_some_lower;   // where there is none: it stands a kick at some flow all the same
    double top;           // flow up to which it stays steady [kg/s]; NaN: none
    const char *below;    // what it does below `lowest_steady`; NULL: not known
    bool steady_runs;     // every run at a flow of the envelope came to rest
    int parts;            // to be bought and fitted; 0: it is in place
};

struct trim_rank {
    size_t candidate; // index
    bool passes;      // rule 1
    bool steady;      // rule 2
    double margin;    // rule 3; 0: none
};

enum trim_advice {
    TRIM_ADVICE_LEAVE, // what is in place is the best
    TRIM_ADVICE_FIT,   // another trim
    TRIM_ADVICE_NONE,  // none of these
};

struct trim_choice {
    size_t count;
    struct trim_rank rank[TRIM_CHOICE_MAX]; // the best first
    enum trim_advice advice;
    char reason[TRIM_CHOICE_REASON]; // one or more sentences
};

// Rank 1 to TRIM_CHOICE_MAX candidates. Equal ones stay in their order.
void trim_choice_make(const struct trim_candidate *candidate, size_t count,
                      const struct trim_demand *demand, struct trim_choice *out);

// "leave it as it is", "fit", "none of these".
const char *trim_advice_name(enum trim_advice advice);
