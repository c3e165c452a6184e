// SPDX-License-Identifier: MIT
// Ready-made regulators for the tests, a record of what a run reports, and an equilibrium and a
// linearisation made independently of the program's own. Invented data unless a source is named.
#pragma once

#include "models/regulator.h"
#include "solve/integrate.h"

#define FIXTURE_EVENTS_MAX 4000
#define FIXTURE_SAMPLES_MAX 60000

// Everything ideal, still and at atmospheric pressure: direct-acting, liquid, balanced slot trim,
// no inflow, no seat, no stop. The set force is `preload`: it opens a reducing build and closes a
// back-pressure one. Tests add the one force they are about.
struct regulator_parameters fixture_still(enum regulator_duty duty);

// A ball of 1 kg under 9.81 N on a rigid seat, e 0.8, that comes to rest below `rest_speed` [m/s].
// Pressure does not reach it, so any inflow is free to vary. The bounces shrink without end, so
// travel is scaled in tenths of a millimetre: absolute tolerances follow the rated travel, and one
// of 1 m would swallow the last thirty bounces.
struct regulator_parameters fixture_ball(double rest_speed);

// The relief valve in its SI instance, through the liquid direct-acting
// back-pressure build. Scales: lift 1 mm, time 1 ms, pressure 1 bar, flow 3.16227766e-4 m3/s.
struct regulator_parameters fixture_relief_valve(double beta, double kappa, double flow);

// The direct-acting gas regulator at rest at 2 bar(a) and 1 mm of travel.
// load_follows: the demand is a choked orifice (K_p > 0) rather than constant (K_p = 0).
struct regulator_parameters fixture_routh(double damping, bool load_follows);

// Pilot-operated back-pressure gas build: which slams, with a port [m], stem friction [N]
// (kinetic; static is 1.3 times that) and a compliant seat. Its set screw holds 50 psig at flow.
struct regulator_parameters fixture_pilot_gas(double port, double stem_friction);

// Builds that between them carry every optional part: both duties, actuations and phases, every
// volume, each sense passage, inertance, three-way exhaust, backlash, oil, level and gas cap.
#define FIXTURE_VARIANTS 12
struct regulator_parameters fixture_variant(int index);

// A state that such a build might pass through: pressures, travels and speeds at random.
struct regulator_mode fixture_random_state(const struct regulator *regulator,
                                           unsigned long long *seed, double *state);

// Mode and state at rest for travel [m] with every volume at one pressure [Pa].
struct regulator_mode fixture_rest(const struct regulator *regulator, double travel,
                                   double pressure, double *state);

// Turn the set screw of a pilot build so that it rests at the controlled pressure [Pa], and give
// that state. Bisection on the balances reported by regulator_observe.
void fixture_settle_pilot(struct regulator *regulator, double pressure, double *state);

// Eigenvalues and eigenvectors of a central-difference Jacobian over the states that drive
// anything (all before the running totals). Returns the index of the largest real part with an
// imaginary part above `least_frequency` [rad/s].
struct fixture_modes {
    int count;
    double real[REGULATOR_STATES_MAX], imaginary[REGULATOR_STATES_MAX];
    double vector[REGULATOR_STATES_MAX * REGULATOR_STATES_MAX]; // LAPACK dgeev, row-major
};
int fixture_linearise(const struct regulator *regulator, const struct regulator_mode *mode,
                      const double *state, double least_frequency, struct fixture_modes *modes);

struct fixture_event {
    double time;
    struct regulator_transition transition;
    double before_travel, before_speed;
};

// What a run reported. Events and samples beyond the room are counted, not kept.
struct fixture_record {
    const struct regulator *regulator;
    int event_count, sample_count, step_count;
    struct fixture_event event[FIXTURE_EVENTS_MAX];
    double time[FIXTURE_SAMPLES_MAX], travel[FIXTURE_SAMPLES_MAX], speed[FIXTURE_SAMPLES_MAX];
    double controlled[FIXTURE_SAMPLES_MAX]; // first state of the controlled volume
};

// Options of a run with a fixed first step of 10 ns, by CVODE or, while this is set, by the
// one-step method.
extern bool fixture_rosenbrock;
struct integrate_options fixture_options(double end, double relative_tolerance);

// Integrate and record; `record` may be NULL.
struct integrate_result fixture_run(const struct regulator *regulator, struct regulator_mode *mode,
                                    double *state, const struct integrate_options *options,
                                    struct fixture_record *record);

int fixture_count(const struct fixture_record *record, enum regulator_event event);
// The last event of a kind, NULL if there was none.
const struct fixture_event *fixture_last(const struct fixture_record *record,
                                         enum regulator_event event);

// Small deterministic generator, uniform in [0, 1): tests must give the same bits everywhere.
double fixture_random(unsigned long long *seed);
