// SPDX-License-Identifier: MIT
#include "steady/driver.h"

#include "maths/derivative.h"

#include <lapacke.h>

#include <math.h>
#include <string.h>

#define NEAR_FREQUENCY 10.0
#define N_MAX REGULATOR_STATES_MAX
#define FAST_MAX REGULATOR_TUBE_STATES_MAX

// One point of rest and its linear system.
struct point {
    const struct steadiness *subject;
    struct regulator regulator;
    struct regulator_mode mode;
    struct equilibrium rest;
    int n;
    double jacobian[N_MAX * N_MAX];
    double push[N_MAX];        // gradient of the fluid's force over the states [N/...]
    double chamber[N_MAX];     // the same of the chamber pressure [Pa/...]
    double push_travel;        // dF/dx at constant pressures [N/m]
    double pass_travel[N_MAX]; // change of each rate with travel at constant pressures
};

static bool place(struct point *p, double flow) {
    struct regulator_parameters parameters = p->subject->held.model;
    parameters.flow = schedule_constant(flow);
    linearise_prepare(&p->regulator, &parameters);
    p->mode = regulator_mode_at(&p->regulator, 0.0);
    struct equilibria found = equilibrium_find(&p->regulator, &p->mode, 0.0);
    const struct equilibrium *at = equilibrium_choose(&found);
    if (!at || at->kind != EQUILIBRIUM_OPEN) {
        return false;
    }
    p->rest = *at;
    p->n = linearise_jacobian(&p->regulator, &p->mode, 0.0, at->state, p->jacobian);
    return true;
}

// Force of the fluid and chamber pressure as functions of one state.
struct seen {
    const struct point *point;
    double state[N_MAX];
    int slot;
};

static int see(void *context, double x, double *value) {
    struct seen *s = context;
    struct regulator_observation o;
    s->state[s->slot] = x;
    int status = regulator_observe(&s->point->regulator, &s->point->mode, 0.0, s->state, &o);
    value[0] = o.fluid_force;
    value[1] = o.pressure[NODE_CHAMBER];
    return status;
}

static void gradients(struct point *p) {
    struct seen seen = {.point = p};
    const struct derivative_of two = {see, &seen, 2};
    memcpy(seen.state, p->rest.state, sizeof seen.state);
    for (int c = 0; c < p->n; c++) {
        double slope[2];
        seen.slot = c;
        derivative_find(&two, p->rest.state[c], linearise_step(&p->regulator, p->rest.state, c),
                        slope, NULL);
        seen.state[c] = p->rest.state[c];
        p->push[c] = slope[0];
        p->chamber[c] = slope[1];
    }
}

// Rates, and behind them the force of the fluid, with the plug alone moved.
static int moved_rates(void *context, double travel, double *value) {
    const struct point *p = context;
    struct regulator_observation o;
    double state[N_MAX];
    const struct regulator_rest rest = {travel, p->rest.pilot_travel, p->rest.pressure};
    regulator_rest_state_flowing(&p->regulator, &p->mode, 0.0, &rest, p->rest.line_flow, state);
    int status = regulator_derivatives(&p->regulator, &p->mode, 0.0, state, value);
    status |= regulator_observe(&p->regulator, &p->mode, 0.0, state, &o);
    value[p->regulator.layout.count] = o.fluid_force;
    return status;
}

// Move the plug alone: every pressure stays what it is.
static void move_plug(struct point *p) {
    int all = p->regulator.layout.count;
    const struct derivative_of rates = {moved_rates, p, (size_t)all + 1};
    double step = linearise_step(&p->regulator, p->rest.state, p->regulator.layout.travel);
    double slope[N_MAX + 1];
    derivative_find(&rates, p->rest.travel, step, slope, NULL);
    p->push_travel = slope[all];
    memcpy(p->pass_travel, slope, (size_t)p->n * sizeof *slope);
}

static void freeze_force(const struct point *p, bool with_travel, double *j) {
    const struct regulator_layout *l = &p->regulator.layout;
    for (int c = 0; c < p->n; c++) {
        double own = c == l->travel ? p->push_travel : 0.0;
        double part = with_travel ? own : p->push[c] - own;
        j[l->speed * p->n + c] -= part / p->regulator.moving_mass;
    }
}

static void freeze_feedback(const struct point *p, double *j) {
    const struct regulator_layout *l = &p->regulator.layout;
    const struct pilot_parameters *pilot = &p->regulator.parameters.pilot;
    int row = l->pilot_speed >= 0 ? l->pilot_speed : l->pilot_travel;
    double inertia = l->pilot_speed >= 0 ? pilot->moving_mass : pilot->damping;
    for (int c = 0; c < p->n; c++) {
        j[row * p->n + c] += pilot->feedback_area * p->chamber[c] / inertia;
    }
}

static void freeze_capacity(const struct point *p, double share, double *j) {
    const struct regulator_layout *l = &p->regulator.layout;
    for (int node = 0; node < NODE_VOLUMES; node++) {
        const int rows[] = {l->mass[node], l->energy[node]};
        for (int k = 0; k < 2; k++) {
            if (rows[k] >= 0) {
                j[rows[k] * p->n + l->travel] -= share * p->pass_travel[rows[k]];
            }
        }
    }
}

// Some states of the system: `count` from `first` on.
struct block {
    int first, count;
};

// Rows and columns that stay, in order; returns their number.
static int keep_all_but(int n, struct block out, int *kept) {
    int count = 0;
    for (int i = 0; i < n; i++) {
        if (i < out.first || i >= out.first + out.count) {
            kept[count++] = i;
        }
    }
    return count;
}

static int leave_out(int n, struct block out, double *j) {
    int kept[N_MAX], count = keep_all_but(n, out, kept);
    for (int i = 0; i < count; i++) {
        for (int c = 0; c < count; c++) {
            j[i * count + c] = j[kept[i] * n + kept[c]]; // never ahead of what is still to be read
        }
    }
    return count;
}

// With 0 = J_fs s + J_ff f for the states f of a block the rest follows J_ss - J_sf J_ff^-1 J_fs.
// Returns the new size, 0 when J_ff has no inverse.
static int eliminate(int n, struct block fast, double *j) {
    int kept[N_MAX], count = keep_all_but(n, fast, kept), size = fast.count;
    double inner[FAST_MAX * FAST_MAX], follow[FAST_MAX * N_MAX], rest[N_MAX * N_MAX];
    lapack_int pivot[FAST_MAX];
    for (int i = 0; i < size; i++) {
        for (int c = 0; c < size; c++) {
            inner[i * size + c] = j[(fast.first + i) * n + fast.first + c];
        }
        for (int c = 0; c < count; c++) {
            follow[i * count + c] = j[(fast.first + i) * n + kept[c]];
        }
    }
    if (LAPACKE_dgesv(LAPACK_ROW_MAJOR, size, count, inner, size, pivot, follow, count) != 0) {
        return 0;
    }
    for (int i = 0; i < count; i++) {
        for (int c = 0; c < count; c++) {
            double value = j[kept[i] * n + kept[c]];
            for (int k = 0; k < size; k++) {
                value -= j[kept[i] * n + fast.first + k] * follow[k * count + c];
            }
            rest[i * count + c] = value;
        }
    }
    memcpy(j, rest, (size_t)(count * count) * sizeof *j);
    return count;
}

// The system with one thing frozen by changing the regulator itself.
static int variant(const struct point *p, enum driver driver, double *j) {
    struct regulator_parameters changed = p->regulator.parameters;
    if (driver == DRIVER_SENSE_LAG) {
        changed.sense.passage = SENSE_IDEAL;
    } else if (driver == DRIVER_SWEPT_VOLUME) {
        changed.actuator.swept_volume = false;
    } else if (driver == DRIVER_SEAT_LAND) {
        changed.trim.seat_land = 0.0;
    } else {
        changed.pilot.moving_mass = 0.0;
    }
    struct regulator regulator;
    regulator_prepare(&regulator, &changed);
    struct regulator_mode mode = regulator_mode_at(&regulator, 0.0);
    double state[N_MAX];
    const struct regulator_rest rest = {p->rest.travel, p->rest.pilot_travel, p->rest.pressure};
    regulator_rest_state_flowing(&regulator, &mode, 0.0, &rest, p->rest.line_flow, state);
    return linearise_jacobian(&regulator, &mode, 0.0, state, j);
}

static bool applies(const struct point *p, enum driver driver) {
    const struct regulator *r = &p->regulator;
    switch (driver) {
    case DRIVER_FORCE_TRAVEL:
    case DRIVER_FORCE_PRESSURE:
        return r->parameters.trim.force_law != TRIM_FORCE_BALANCED;
    case DRIVER_CHAMBER_LAG:
        return r->layout.mass[NODE_CHAMBER] >= 0;
    case DRIVER_SENSE_LAG:
        return r->parameters.sense.passage != SENSE_IDEAL;
    case DRIVER_SUPPLY_LAG:
        return r->has_line[LINE_SUPPLY];
    case DRIVER_SWEPT_VOLUME:
        return r->parameters.actuator.swept_volume;
    case DRIVER_PILOT_INERTIA: // without damping a massless pilot has no speed
        return r->layout.pilot_speed >= 0 && r->parameters.pilot.damping > 0.0;
    case DRIVER_PILOT_FEEDBACK:
        return r->has_pilot && r->parameters.pilot.feedback_area > 0.0;
    case DRIVER_PILOT_GAIN:
        return r->has_pilot;
    case DRIVER_SEAT_LAND:
        return r->seat.land_area > 0.0 && r->parameters.trim.force_law != TRIM_FORCE_BALANCED;
    default:
        return true;
    }
}

// The linear system with one thing frozen; its size, 0 when there is none.
static int freeze(const struct point *p, enum driver driver, double *j) {
    const struct regulator_layout *l = &p->regulator.layout;
    memcpy(j, p->jacobian, (size_t)(p->n * p->n) * sizeof *j);
    switch (driver) {
    case DRIVER_FORCE_TRAVEL:
    case DRIVER_FORCE_PRESSURE:
        freeze_force(p, driver == DRIVER_FORCE_TRAVEL, j);
        return p->n;
    case DRIVER_CHAMBER_LAG:
        return eliminate(
            p->n, (struct block){l->mass[NODE_CHAMBER], l->energy[NODE_CHAMBER] < 0 ? 1 : 2}, j);
    case DRIVER_SUPPLY_LAG:
        return eliminate(p->n, (struct block){l->line[LINE_SUPPLY], l->line_states[LINE_SUPPLY]},
                         j);
    case DRIVER_SENSE_LAG:
    case DRIVER_SWEPT_VOLUME:
    case DRIVER_PILOT_INERTIA:
    case DRIVER_SEAT_LAND:
        return variant(p, driver, j);
    case DRIVER_PILOT_FEEDBACK:
        freeze_feedback(p, j);
        return p->n;
    case DRIVER_PILOT_GAIN:
        return leave_out(p->n, (struct block){l->pilot_travel, l->pilot_speed < 0 ? 1 : 2}, j);
    case DRIVER_HALF_GAIN:
    case DRIVER_CAPACITY_GAIN:
        freeze_capacity(p, driver == DRIVER_HALF_GAIN ? 0.5 : 1.0, j);
        return p->n;
    default:
        return p->n;
    }
}

// See driver_find; frequency 0 accepts every oscillation.
static struct driver_growth follow(const struct linear_modes *modes, double frequency) {
    struct driver_growth out = {true, false, (double)NAN, (double)NAN};
    double zero = linearise_zero(modes);
    for (size_t i = 0; i < modes->count && !out.swings; i++) {
        const struct linear_mode *m = &modes->at[i]; // by falling growth
        bool near =
            m->frequency > 0.0 && (frequency == 0.0 || (m->frequency < NEAR_FREQUENCY * frequency &&
                                                        m->frequency > frequency / NEAR_FREQUENCY));
        if (m->growth > zero || near) {
            out = (struct driver_growth){true, true, m->growth, m->frequency};
        }
    }
    return out;
}

bool driver_find(const struct steadiness *subject, double flow,
                 struct driver_growth growth[DRIVER_COUNT]) {
    struct point p = {.subject = subject};
    double j[N_MAX * N_MAX];
    struct linear_modes modes;
    memset(growth, 0, DRIVER_COUNT * sizeof *growth);
    if (!place(&p, flow) || !linearise_eigenvalues(freeze(&p, DRIVER_NONE, j), j, &modes) ||
        !steadiness_swing(&modes)) {
        return false;
    }
    const struct linear_mode swing = *steadiness_swing(&modes);
    gradients(&p);
    move_plug(&p);
    for (int i = 0; i < DRIVER_COUNT; i++) {
        enum driver driver = (enum driver)i;
        int n = applies(&p, driver) ? freeze(&p, driver, j) : 0;
        if (n > 0 && linearise_eigenvalues(n, j, &modes)) {
            growth[i] = follow(&modes, swing.frequency);
        }
    }
    growth[DRIVER_NONE] = (struct driver_growth){true, true, swing.growth, swing.frequency};
    return true;
}

const char *driver_name(enum driver driver) {
    static const char *const name[] = {
        "as-it-is",   "force-by-travel", "force-by-pressure", "chamber-lag",    "sense-lag",
        "supply-lag", "swept-volume",    "pilot-inertia",     "pilot-feedback", "pilot-gain",
        "seat-land",  "half-trim-gain",  "capacity-gain"};
    return name[driver];
}

const char *driver_words(enum driver driver) {
    static const char *const words[] = {
        "as it is",
        "the push of the flow on the plug did not change with travel",
        "the push of the flow on the plug did not change with pressure",
        "the chamber filled and emptied at once",
        "the pressure were sensed at once",
        "the pilot's supply line answered at once",
        "moving parts displaced nothing",
        "the pilot had no mass",
        "the chamber did not push back on the pilot",
        "the pilot stood still",
        "the seat had no land",
        "the trim had half its gain (flow against travel)",
        "the trim had no gain (this only opens the loop)",
    };
    return words[driver];
}
