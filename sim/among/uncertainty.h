// SPDX-License-Identifier: MIT
// How sure is a verdict when some values of a scenario are only known roughly? Every uncertain
// value is drawn from its range, again and again, and every draw is simulated: the share of each
// verdict, and which value the answer depends on. Computes only; uncertainty_answer makes the
// answer of it.
//
// Uncertain are the values with a range {value: , low: , high: } and the guesses without one: by
// the table of hardware that exists (scenario/hardware.h) where it knows the field, else by a
// stated share either way. Draws are the same for every trim and flow, so that these differ by
// themselves alone.
#pragma once

#include "hardware/hardware.h"
#include "maths/sample_plan.h"
#include "run/severity.h"
#include "study/study_job.h"

// What a user may ask, in this order.
enum uncertainty_asked {
    UNCERTAINTY_DRAWS,
    UNCERTAINTY_SEED,
    UNCERTAINTY_GUESSES,
    UNCERTAINTY_SHAPE,
    UNCERTAINTY_TOGETHER,
    UNCERTAINTY_FLOWS,
    UNCERTAINTY_LIST,
    UNCERTAINTY_CHECKPOINT,
    UNCERTAINTY_MOST,
    UNCERTAINTY_ASKED_COUNT
};

enum {
    UNCERTAINTY_TRIMS_MAX = STUDY_TRIMS_MAX,
    UNCERTAINTY_FLOWS_MAX = 8,
    UNCERTAINTY_INPUTS_MAX = STUDY_CHANGES_MAX - 1, // one change is the flow
    UNCERTAINTY_PAIRS_MAX = 64,
};

struct uncertainty_input {
    char field[96]; // "section.name"
    const char *help;
    enum unit_kind kind;
    bool stated; // its range is, for at least one trim; else a guess
    // Row of the table of hardware whose range or shape it takes; NULL: none.
    const struct hardware_row *hardware;
    // By trim as in struct uncertainty; low == high: not uncertain in that trim, and left alone.
    struct sample_range range[UNCERTAINTY_TRIMS_MAX];
};

// Two inputs that are known to go together, or against each other.
struct uncertainty_pair {
    size_t a, b;        // inputs
    double correlation; // of ranks, -1 to 1 exclusive
    bool asked;         // for by the user; else geometry ties them
};

struct uncertainty {
    size_t trim_count, trim[UNCERTAINTY_TRIMS_MAX]; // of the scenario
    size_t flow_count;                              // 0: the scenario's own flow
    struct quantity flow[UNCERTAINTY_FLOWS_MAX];    // as asked: held whatever gas is drawn
    struct unit_context site;
    bool back_pressure;
    enum hardware_builds kind;
    // Whether guesses are taken from the table of hardware: ranges of those without one, the shape
    // of all that it knows, and what geometry ties.
    bool table_ranges, table_shapes, table_ties;
    size_t input_count;
    struct uncertainty_input input[UNCERTAINTY_INPUTS_MAX];
    size_t pair_count;
    struct uncertainty_pair pair[UNCERTAINTY_PAIRS_MAX];
    size_t draws;
    uint64_t seed;
    unsigned long fingerprint; // of the scenario; filled by uncertainty_collect
    double *probability;       // the plan, [draws][input_count]
    double *result;            // [trims][flows][draws][SEVERITY_COLUMNS]
};

// Collect the uncertain values of the trims already named, guesses that the table of hardware does
// not know, or is not asked for, by `share` either way (0: leave them alone); all of one shape but
// for those whose shape the table says. Returns false with a message of one line, such as when a
// value that reaches below zero cannot be log-uniform. What was left alone although it is a guess
// is told by uncertainty_left_alone.
bool uncertainty_collect(struct uncertainty *study, const struct scenario *scenario, double share,
                         enum sample_shape shape, char *message, size_t size);

// Give one input a shape of its own; false with a message.
bool uncertainty_shape(struct uncertainty *study, const char *field, enum sample_shape shape,
                       char *message, size_t size);

// Let two inputs go together, whatever geometry says of them; false with a message.
bool uncertainty_pair_add(struct uncertainty *study, const char *a, const char *b,
                          double correlation, char *message, size_t size);

// Whether field row `index` is a guess of one of the trims that no draw moves.
bool uncertainty_left_alone(const struct uncertainty *study, const struct scenario *scenario,
                            size_t index);

// Make the plan of the draws, once the inputs, pairs, draws and seed are set. STUDY_BAD_USAGE when
// the pairs contradict each other. Free with uncertainty_free whatever the outcome.
enum study_status uncertainty_plan(struct uncertainty *study, struct study_job *job);

// Simulate all draws of the plan.
enum study_status uncertainty_run(struct uncertainty *study, struct study_job *job,
                                  const char *checkpoint);
void uncertainty_free(struct uncertainty *study);

// Flows of a trim: those asked for, or the scenario's own.
size_t uncertainty_flow_count(const struct uncertainty *study);

// Value of an input in a draw for a trim, SI.
double uncertainty_drawn(const struct uncertainty *study, size_t trim, size_t draw, size_t input);

// Flow of a case [kg/s] in a draw, whose gas may itself be drawn; NaN: the scenario's own.
double uncertainty_flow(const struct uncertainty *study, size_t trim, size_t flow, size_t draw);

// First of the draws of a case: rows of SEVERITY_COLUMNS.
const double *uncertainty_rows(const struct uncertainty *study, size_t trim, size_t flow);

// All of it, as `lowlift uncertainty` answers.
enum study_status uncertainty_answer(struct study_job *job, const struct study_asked *asked,
                                     struct answer *answer);
