// SPDX-License-Identifier: MIT
// One run of one trim: from the start to the verdict, with everything recorded in memory. Knows
// nothing of files, pictures or commands.
#pragma once

#include "judge/verdict.h"
#include "run/channel.h"
#include "run/start.h"
#include "solve/integrate.h"
#include "solve/linearise.h"

// A row of the record where something jumped or happened, with both of its sides.
struct simulation_event {
    double time; // [s]
    const char *name;
    double before[CHANNEL_COUNT], after[CHANNEL_COUNT];
};

enum simulation_outcome {
    SIMULATION_DONE,
    SIMULATION_INTERRUPTED, // by a signal; the record up to there is whole
    SIMULATION_FAILED,      // the solver gave up; the record up to there is whole
    SIMULATION_NO_MEMORY,
};

// Where a run is in full: what it takes to go on from there.
struct simulation_state {
    struct regulator_mode mode;
    double state[REGULATOR_STATES_MAX];
};

struct simulation {
    struct start start;
    struct simulation_state end;
    enum simulation_outcome outcome;
    char message[256]; // of a failure

    size_t count, capacity; // samples
    double step;            // [s]
    double *channel[CHANNEL_COUNT];
    struct simulation_event *event;
    size_t event_count, event_capacity;
    bool events_cut; // more events happened than are kept
    struct contact_event *seat, *stop;
    size_t seat_count, seat_capacity, stop_count, stop_capacity;

    struct integrate_statistics statistics;
    struct verdict_result judged;
    struct verdict_input input;      // what was judged, with the arrays above ...
    struct verdict_limits limits;    // ... and by what
    struct linear_modes modes;       // at the point of rest started from; count 0 without one
    enum equilibrium_kind last_kind; // point of rest under the last schedule values
    bool last_exists;
    bool set_out_of_reach; // no travel holds the set pressure at the first flow
    bool passes_at_set;    // some travel would pass the first flow at the set pressure
    bool peak_not_passed;  // the largest scheduled flow leaves only a wide-open point of rest
    double mass_error;     // of the balance, share of throughput [-]
    double energy_error;   // the same of energy; NaN when isothermal or liquid
    double seat_force;     // peak at the hardest contact, estimated from seat stiffness [N]
    double choked_share;   // liquid: largest drop, share of that at which the trim chokes [-]
};

struct simulation_run; // one under way

// A run that does not decide in the scenario's own time gets this many times as long where a study
// asks for its verdict.
#define SIMULATION_PATIENCE 4.0

// How a run is made; all zeros: as the scenario says.
struct simulation_manner {
    const struct verdict_limits *limits; // NULL: the scenario's. With others, what takes fewer
                                         // cycles to be decided ends sooner
    const struct simulation_state *from; // NULL: its own start; else where another run of the same
                                         // build ended, with its flow or any other schedule changed
                                         // since. The totals of the balance begin anew
    bool brief; // for a verdict alone: of the record only controlled pressure, travel and counted
                // contacts are kept, in half the time
};

// Run a case. Free with simulation_free whatever the outcome.
void simulate(const struct scenario_case *scenario, struct simulation *out);
void simulate_so(const struct scenario_case *scenario, const struct simulation_manner *manner,
                 struct simulation *out);
void simulation_free(struct simulation *simulation);

// The same in slices, for whoever wants to look in between: open, continue as often as wanted until
// a simulated time [s], close. Record and verdict are the same bytes wherever the slices end. Until
// the close the scenario must live, and of `out` only `start`, the samples, events and contacts are
// there. Lack of memory gives NULL, which the others take.
struct simulation_run *simulation_open(const struct scenario_case *scenario,
                                       const struct simulation_manner *manner, // NULL: all zeros
                                       struct simulation *out);
bool simulation_continue(struct simulation_run *run, double until); // false: it has ended
double simulation_time(const struct simulation_run *run);           // reached so far [s]
void simulation_close(struct simulation_run *run);

// Judge a run that has reached a time [s] as if it had ended there, into `judged` of its
// simulation. It may then go on: a longer run need not begin again.
void simulation_judge_at(struct simulation_run *run, double time);

// Judge with the limits of a scenario (its chatter rate).
struct verdict_limits simulation_limits(const struct scenario_case *scenario);
