// SPDX-License-Identifier: MIT
#include "run/screening.h"

#include <math.h>
#include <string.h>

#define TOLERANCE_FACTOR 30.0
#define TOLERANCE_MOST 3e-5
// One clear run in so many is run again.
#ifndef SAMPLE_EVERY
#define SAMPLE_EVERY 32
#endif
#define SEED 0x9e3779b97f4a7c15ULL
// By how much a limit may be off before a verdict hangs on it.
#define MARGIN 1.25

bool screening_applies(const struct scenario_case *scenario) {
    return scenario->run.screened && scenario->run.screening && scenario->run.method == RUN_BDF;
}

struct scenario_case screening_quick(const struct scenario_case *scenario) {
    struct scenario_case quick = *scenario;
    quick.run.method = RUN_ROSENBROCK;
    quick.run.relative_tolerance =
        fmax(scenario->run.relative_tolerance,
             fmin(TOLERANCE_FACTOR * scenario->run.relative_tolerance, TOLERANCE_MOST));
    return quick;
}

static struct verdict_limits moved(const struct verdict_limits *limits, double by) {
    struct verdict_limits out = *limits;
    out.steady_pressure *= by;
    out.steady_travel *= by;
    out.ringing_damping *= by;
    out.cycle_tolerance *= by;
    out.chatter_rate *= by;
    out.open_travel = 1.0 - (1.0 - out.open_travel) * by;
    out.shut_travel *= by;
    return out;
}

// The verdict of the motion alone, as what rests shut or wide open has been told apart from it.
static bool holds(const struct simulation *s) {
    struct verdict_result own;
    if (!verdict_judge(&s->input, &s->limits, &own)) {
        return false;
    }
    for (int way = -1; way <= 1; way += 2) {
        const struct verdict_limits limits = moved(&s->limits, pow(MARGIN, way));
        struct verdict_result other;
        if (!verdict_judge(&s->input, &limits, &other) ||
            (other.decided && other.verdict != own.verdict)) {
            return false;
        }
    }
    return true;
}

// Bits that depend on what is run alone, so that any number of threads draws the same sample.
static unsigned long long bits_of(const struct scenario_case *c) {
    const double told[] = {c->model.flow.base,
                           c->start.kick_pressure,
                           c->start.pressure,
                           c->set_pressure,
                           c->model.set_offset,
                           c->model.trim.port_diameter,
                           c->model.trim.rated_area,
                           c->model.actuator.friction.kinetic_force,
                           c->model.actuator.chamber.volume,
                           c->model.controlled.volume,
                           c->model.sense.bore,
                           c->model.pilot.bleed_diameter,
                           c->model.boundary.base};
    unsigned long long hash = SEED;
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++) {
        unsigned long long bits;
        memcpy(&bits, &told[i], sizeof bits);
        hash = (hash ^ bits) * 0xbf58476d1ce4e5b9ULL; // of the mixer of splitmix64 (S. Vigna)
        hash ^= hash >> 29;
    }
    return hash ^ hash >> 32;
}

static enum screening_next keep_or_sample(const struct scenario_case *scenario) {
    if (bits_of(scenario) % SAMPLE_EVERY == 0) {
        atomic_fetch_add(&scenario->run.screening->sampled, 1);
        return SCREENING_SAMPLE;
    }
    return SCREENING_KEEP;
}

enum screening_next screening_after(const struct scenario_case *scenario,
                                    const struct simulation *quick, bool sure) {
    struct screening *s = scenario->run.screening;
    atomic_fetch_add(&s->runs, 1);
    // That a motion never repeats itself hangs on its smallest differences.
    if (!sure || quick->outcome != SIMULATION_DONE || !quick->judged.decided ||
        quick->judged.verdict == VERDICT_IRREGULAR || !holds(quick)) {
        atomic_fetch_add(&s->again, 1);
        return SCREENING_AGAIN;
    }
    return keep_or_sample(scenario);
}

enum screening_next screening_after_told(const struct scenario_case *scenario) {
    atomic_fetch_add(&scenario->run.screening->runs, 1);
    return keep_or_sample(scenario);
}

void screening_compare(const struct scenario_case *scenario, bool same) {
    if (!same) {
        atomic_fetch_add(&scenario->run.screening->differing, 1);
    }
}

void screening_run(const struct scenario_case *scenario, const struct simulation_manner *manner,
                   struct simulation *out) {
    if (!screening_applies(scenario)) {
        simulate_so(scenario, manner, out);
        return;
    }
    const struct scenario_case quick = screening_quick(scenario);
    simulate_so(&quick, manner, out);
    if (out->outcome == SIMULATION_INTERRUPTED || out->outcome == SIMULATION_NO_MEMORY) {
        return;
    }
    const enum screening_next next = screening_after(scenario, out, true);
    if (next == SCREENING_KEEP) {
        return;
    }
    const enum verdict verdict = out->judged.verdict;
    simulation_free(out);
    simulate_so(scenario, manner, out);
    if (next == SCREENING_SAMPLE) {
        screening_compare(scenario, out->judged.verdict == verdict);
    }
}
