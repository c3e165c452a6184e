// SPDX-License-Identifier: MIT
// Is a trim steady at a flow: left alone, or after a kick? And from which flow upward? The answers
// behind stability plots, maps, trim tables and remedies. Draws and prints nothing.
//
// The subject is one trim of a scenario whose set screw has been turned and is then left alone: a
// set pressure meant at flow is adjusted once, at the scenario's own first flow. Inflow (demand
// when reducing) is held at the flow asked about, every other schedule at its value at time 0.
// A subject may be read on many threads at once.
#pragma once

#include "judge/verdict.h"
#include "scenario/scenario.h"
#include "solve/linearise.h"

#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>

struct steadiness {
    struct scenario_case held; // refers to the memory of the case it was made from; never freed
    struct nozzle nozzle;      // of its gas, for each flow that is asked about
    double flow;               // the scenario's own first flow [kg/s]
    double set_gauge;          // size of the set pressure above atmosphere [Pa]
    atomic_bool *no_memory;    // set when an answer lacked memory, which then says little; NULL
                               // (so steadiness_prepare leaves it): nobody asks
    bool patient; // follow each kick to the end, even where it is known before (fate.h)
};

// Turn the screw and hold the schedules. Returns false when no travel holds the set pressure at the
// scenario's first flow: the screw is then left where it begins to open at the set pressure, and
// the subject is complete all the same. The case must outlive the subject.
bool steadiness_prepare(const struct scenario_case *scenario, struct steadiness *out);

// --- Left alone

enum steadiness_rest {
    STEADINESS_STEADY,      // rests open and every small motion dies out
    STEADINESS_UNSTEADY,    // rests open, but some small motion grows
    STEADINESS_SHUT,        // rests on its seat: what flows passes elsewhere
    STEADINESS_WIDE_OPEN,   // rests at its stop: the trim does not hold the pressure at this flow
    STEADINESS_CANNOT_OPEN, // rests on its seat though the pressure asks it to open
    STEADINESS_CANNOT_SHUT, // the build cannot close against its pressure drop, at any flow
    STEADINESS_NO_REST,     // no travel balances the flow within 100 times the pressures named
    STEADINESS_FAILED,      // the eigenvalues could not be computed, or memory is lacking
};

struct steadiness_settled {
    enum steadiness_rest rest;
    double growth;    // of the fastest-growing (slowest-decaying) mode [1/s]; NaN unless open
    double frequency; // of that mode [Hz]; 0: it creeps
    double damping;   // lowest damping ratio of the oscillating modes [-]; NaN if none oscillates
    double ringing;   // frequency of the mode with that damping [Hz]; NaN if none oscillates
    double swing_damping;   // damping ratio of the swing, see steadiness_swing [-]; NaN if none
    double swing_frequency; // [Hz]; NaN if none
    double travel;          // [m]; NaN without a point of rest
    double pressure;        // controlled, absolute [Pa]; NaN without a point of rest
    size_t points;          // open points of rest; above 1, the first restoring one was taken.
                            // steadiness_settled looks for no others
};

// What small motions about the point of rest do at a flow [kg/s]. Friction and contact play no part
// (see linearise.h). A real eigenvalue below 1e-8 of the largest in size is the temperature of a
// dead-ended volume, which keeps what it has, and counts as neither growing nor decaying.
struct steadiness_settled steadiness_settled(const struct steadiness *subject, double flow);

// The same, with the modes themselves (count 0 unless open) and all points of rest counted.
struct steadiness_settled steadiness_modes(const struct steadiness *subject, double flow,
                                           struct linear_modes *modes);

// Whether some travel would pass a flow at the set pressure, if only the plug got there.
bool steadiness_passes(const struct steadiness *subject, double flow);

// The swing that a person sees: the fastest-growing oscillation of a damping ratio below 0.7 (above
// that a step overshoots by less than 5 %); failing that, of any; NULL when nothing oscillates.
const struct linear_mode *steadiness_swing(const struct linear_modes *modes);

// "steady", "unsteady", "shut", "wide open", "cannot open", "cannot shut", "no point of rest",
// "failed".
const char *steadiness_rest_name(enum steadiness_rest rest);

// --- Kicked

enum steadiness_motion {
    STEADINESS_DIES_OUT,     // comes to rest, open
    STEADINESS_KEEPS_MOVING, // hunts, slams, chatters ...; comes to rest shut or wide open; or,
                             // undecided at the end, its swing has grown to three times the kick
    STEADINESS_TOO_SLOW,     // else undecided, even after four times the scenario's longest run
    STEADINESS_NO_RUN,       // no open point of rest to kick, or the solver gave up
};

// How such runs are judged: as any other, but a wide swing that decays slowly is not taken to come
// to rest (as the verdict `ringing` does) before it nearly has: it may decay to a small cycle only.
struct verdict_limits steadiness_limits(const struct scenario_case *scenario);

// Spacing of their samples [s], by the period of the swing at a flow [s; NaN: none], so that the
// scenario's own spacing, which is for its trace, changes no answer.
double steadiness_interval(const struct steadiness *subject, double period);

// A run from the open point of rest at a flow [kg/s], the controlled pressure moved by a kick [Pa],
// positive up, with friction and contact in force: contact on the way is allowed, moving at the end
// is not. Only STEADINESS_DIES_OUT is steady. Costs one simulation, 10 to 100 ms.
enum steadiness_motion steadiness_kicked_once(const struct steadiness *subject, double flow,
                                              double kick);

// A run from shut in: vessel at a pressure [Pa], plug shut, chamber exhausted, then the flow comes
// on at once. Fills what becomes of it when verdict is not NULL.
enum steadiness_motion steadiness_restart(const struct steadiness *subject, double flow,
                                          double pressure, enum verdict *verdict);

// The worse of a kick up and the same kick down. True when small motions die out and the kick does
// so too, both ways; a kick of 0 asks about small motions alone, without a run.
bool steadiness_kicked(const struct steadiness *subject, double flow, double kick);

// The same of one kick alone [Pa, positive up, not 0].
bool steadiness_kicked_way(const struct steadiness *subject, double flow, double kick);

struct steadiness_kick {
    enum steadiness_rest rest; // left alone; STEADINESS_UNSTEADY with a size above 0: friction
                               // holds it until it is disturbed
    double size;               // smallest kick found that does not die out [Pa]; 0: it moves if
                               // left alone; INFINITY: none up to `largest`; NaN: nothing to kick
    double largest;            // the largest tried [Pa]
    bool upward;               // the pressure was kicked up (else down)
    size_t runs;               // simulations spent
};

// Smallest kick at a flow that does not die out: the largest is tried first, then bisection between
// 0 and it to 3 %, or to a thousandth of the largest. Kicks are taken to get worse with size: a
// smaller one that fails below a larger one that dies out can be missed.
struct steadiness_kick steadiness_smallest_kick(const struct steadiness *subject, double flow,
                                                double largest);

// --- From which flow upward

#define STEADINESS_NEUTRAL_MAX 16

enum steadiness_range {
    STEADINESS_EVERYWHERE, // steady at every flow from `low` to `top`; lowest is `low`
    STEADINESS_FROM,       // steady from `lowest` to `top`
    STEADINESS_NOWHERE,    // not steady at any flow looked at
    STEADINESS_NOT_AT_TOP, // not steady at `top` itself, though steady at some lower flow
    STEADINESS_NOT_PASSED, // not even `low` is passed with the plug below its stop
};

// In words that follow "steady": "at every flow", "from a flow upward", "at no flow", "in part, but
// not at the highest flow"; or "wide open at every flow".
const char *steadiness_range_name(enum steadiness_range range);

// A flow at which the answer changes: a neutral flow where both sides rest open.
struct steadiness_change {
    double flow;                       // middle of the bracket [kg/s]
    enum steadiness_rest below, above; // how it rests on either side
    double frequency;                  // of the worst mode on the open side [Hz]
};

struct steadiness_window {
    enum steadiness_range range;
    double low, high; // as asked [kg/s]
    double top;       // highest flow looked at: `high`, or the largest at which the plug rests
                      // below its stop if that is less [kg/s]
    bool high_passed; // top is `high`
    double lowest;    // lowest flow from which upward everything up to `top` is steady [kg/s];
                      // NaN unless EVERYWHERE or FROM
    bool monotone;    // one change at most, and that to steady above
    size_t count;     // of changes, ascending; those beyond the array are not kept
    struct steadiness_change change[STEADINESS_NEUTRAL_MAX];
};

// Scan the flow between low and high [kg/s, 0 < low < high] evenly in its logarithm (24 flows a
// decade, at least 24) for what small motions do, then bisect every change to 1e-5 of the flow. A
// pocket narrower than a step of the scan is missed.
struct steadiness_window steadiness_lowest_flow(const struct steadiness *subject, double low,
                                                double high);

// Flows in a row that are steady left alone [kg/s]; NaN: none.
struct steadiness_stretch {
    double from, to;
};

// Of a scan's: the one that holds a flow, else the next above.
struct steadiness_stretch steadiness_settled_stretch(const struct steadiness_window *window,
                                                     double near);

// Within flows low to high that are steady left alone [kg/s]: from which flow upward each stands a
// kick [Pa], in the range that holds `near`, else the next above; NaN: neither. `low` where all
// down to it do. Looked at are the flows that divide a decade in 8, wherever the ends lie; then the
// change is found to a 256th of a decade (0.9 %). So the ends and `near` choose the range, and do
// not move its end; a pocket narrower than a step is missed. Costs two simulations a flow.
double steadiness_kicked_from(const struct steadiness *subject, double low, double high,
                              double near, double kick);

// --- Largest flow passed

// A trim passes a flow when it rests there within this share of its travel, and the controlled
// pressure within the vessel limit where one is given. Beyond that share a trim is not relied on to
// control: common practice, no source.
#define STEADINESS_TRAVEL_SHARE 0.9

enum steadiness_bound {
    STEADINESS_BOUND_TRAVEL, // the stated share of travel is reached first
    STEADINESS_BOUND_LIMIT,  // the pressure limit is reached first
    STEADINESS_BOUND_NONE,   // neither, up to the ceiling given
    STEADINESS_BOUND_ALWAYS, // already beyond, or no point of rest, at the lowest flow given
};

struct steadiness_capacity {
    double flow;     // largest flow passed, to 1e-5 [kg/s]; NaN when ALWAYS
    double travel;   // at that flow [m]
    double pressure; // at that flow [Pa]
    enum steadiness_bound bound;
};

// Largest flow between low and ceiling [kg/s] at which the plug rests at or below `share` of its
// rated travel and the controlled pressure at or below `limit` [Pa absolute; NaN: no limit].
struct steadiness_capacity steadiness_largest_flow(const struct steadiness *subject, double low,
                                                   double ceiling, double share, double limit);

// The flows worth a look when nobody says which: from a twentieth of the scenario's own flow to the
// largest flow passed within the pressure limit [as above], at least twice the scenario's [kg/s].
void steadiness_default_range(const struct steadiness *subject, double limit, double *low,
                              double *high);
