// SPDX-License-Identifier: MIT
// What each remedy would do to one trim of a scenario: the verdict at today's flow, and the lowest
// flow from which upward it is steady. Each is tried at a few strengths, one at a time, and the
// best few in pairs. Computes only; remedies_answer makes the answer of it.
#pragma once

#include "remedy/remedy.h"
#include "run/severity.h"
#include "steady/steadiness.h"
#include "study/study_job.h"

// What a user may ask, in this order.
enum remedies_asked {
    REMEDIES_KICK,
    REMEDIES_STEPS,
    REMEDIES_FROM,
    REMEDIES_TO,
    REMEDIES_CHECKPOINT,
    REMEDIES_DRAWS,
    REMEDIES_MOST,
    REMEDIES_ASKED_COUNT
};

enum {
    REMEDIES_STEPS_MAX = 9,
    REMEDIES_ENTRIES_MAX = 80,
    REMEDIES_DRAWS_USUAL = 30,
    REMEDIES_PAIRED_FREE = 3,  // best so many without parts, and ...
    REMEDIES_PAIRED_PARTS = 2, // ... with parts, go into pairs
};

// Numbers of one try, after those of enum severity_column, which are of today's flow.
enum remedies_column {
    REMEDIES_RANGE = SEVERITY_COLUMNS, // enum steadiness_range; NaN if there is no such regulator
    REMEDIES_LOWEST, // steady from here, in the window that holds today's flow, or
                     // the next above (steady/trim_window.h) [kg/s]
    REMEDIES_TOP,    // to here: passed, and up to the highest looked at [kg/s]
    REMEDIES_COLUMNS,
};

// One change, or two.
struct remedies_try {
    size_t trim;  // of the scenario
    size_t count; // of changes; 0: as it stands, but for the trim
    const struct remedy *remedy[2];
    double strength;           // of a single change, 0 the slightest to 1 the strongest
    double today[2], value[2]; // of the fields [SI]; NaN for a choice
    double row[REMEDIES_COLUMNS];
};

enum remedies_effect {
    REMEDIES_CURES,   // it moves by itself today; with this it does not, and today's flow lies in
                      // the steady range
    REMEDIES_HELPS,   // a lower lowest steady flow, or a better day, and neither is worse
    REMEDIES_MIXED,   // one is better, the other worse
    REMEDIES_NOTHING, // neither moves by more than the margins of the source file
    REMEDIES_WORSE,   // one is worse, the other no better
    REMEDIES_IMPOSSIBLE, // no strength of it makes a regulator that holds the set pressure
    REMEDIES_EFFECTS,
};

// One remedy, one pair, or another trim.
struct remedies_entry {
    size_t count; // of remedies; 0: another trim
    const struct remedy *remedy[2];
    size_t trim; // of the scenario
    bool pair;   // of two remedies, or of a remedy and another trim
    bool parts;
    size_t first, tries; // its tries
    size_t best;         // of all tries
    size_t slightest;    // first of its tries that cures, else the best
    enum remedies_effect effect;
    bool too_much; // a stronger change than the best is worse again
};

struct remedies {
    const struct scenario *scenario;
    size_t trim; // in place today
    struct scenario_case resolved;
    double flow;      // today's [kg/s]
    double low, high; // range of flows [kg/s]
    double kick;      // 0: left alone [Pa]
    size_t steps;     // strengths tried of each
    size_t try_count; // the first is today's
    struct remedies_try *tries;
    size_t entry_count;
    struct remedies_entry entry[REMEDIES_ENTRIES_MAX]; // sorted: no parts, then by effect
    size_t single_count;                               // of them, before pairs were added
};

// Take what was asked: trim, range of flows, kick; and plan. Free with remedies_free either way.
enum study_status remedies_open(struct remedies *remedies, struct study_job *job,
                                const struct study_asked *asked);

// List everything to be tried. False without memory.
bool remedies_plan(struct remedies *remedies);

// Try it, then the pairs of the best, and sort. The checkpoint, if any, is of the single remedies.
enum study_status remedies_run(struct remedies *remedies, struct study_job *job,
                               const char *checkpoint);
void remedies_free(struct remedies *remedies);

// "cures", "helps", "mixed", "no clear effect", "makes it worse", "not possible".
const char *remedies_effect_name(enum remedies_effect effect);

// Whether the range of steady flows is too narrow to be of use.
bool remedies_is_narrow(const struct remedies_try *attempt);

// The lowest steady flow of a try [kg/s]; INFINITY when there is none, or in a narrow range only.
double remedies_lowest(const struct remedies_try *attempt);

// What a try is against another: the effect of changing from one to the other.
enum remedies_effect remedies_compare(const struct remedies *remedies,
                                      const struct remedies_try *before,
                                      const struct remedies_try *after);

// What is planned, at today's flow only, for the draws asked for.
enum study_status remedies_among(struct study_job *job, const struct study_asked *asked,
                                 const struct remedies *remedies, struct answer *answer);

// Fill trim and changes of a study's point for a try; today's values and those it leads to are of
// the regulator at hand.
void remedies_point(const struct scenario *scenario, const struct remedies_try *attempt,
                    struct study_point *point);

// All of it, as `lowlift remedies` answers.
enum study_status remedies_answer(struct study_job *job, const struct study_asked *asked,
                                  struct answer *answer);
