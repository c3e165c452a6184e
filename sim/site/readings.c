// SPDX-License-Identifier: MIT
// Readings against parts. The equations stand in models/README.md.
#include "site/readings.h"

#include "models/actuator.h"
#include "models/flow.h"
#include "scenario/shown.h"
#include "site/readings_droop.h"
#include "site/readings_stroke.h"
#include "steady/steadiness.h"

#include <math.h>
#include <string.h>

// How well a gauge and a watch are read when nobody says; common practice, no source.
#define GAUGE_SHARE 0.02
#define WATCH 0.3
// A stroke by hand: the pilot is not opened at once, the travel not seen to its end.
#define STROKE_SHARE 0.1
// Of the gas that fills a vessel: it may warm up (factor k) or not.
#define VOLUME_SHARE 0.08
// A volume that was stated, and what somebody calls just open and fully open.
#define STATED_SHARE 0.03
#define DROOP_SHARE 0.1

const char *readings_name(enum readings_quantity quantity) {
    static const char *const names[READINGS_COUNT] = {
        "chamber pressure of the preload",
        "chamber pressure of preload and friction",
        "chamber pressure of the spring over the travel",
        "chamber pressure of the friction",
        "droop from just open to fully open",
        "full stroke open",
        "full stroke shut",
        "rise of the held pressure between the two flows",
        "gas volume"};
    return names[quantity];
}

enum unit_kind readings_kind(enum readings_quantity quantity) {
    return quantity == READINGS_STROKE_OPEN || quantity == READINGS_STROKE_SHUT ? UNIT_TIME
           : quantity == READINGS_VOLUME                                        ? UNIT_VOLUME
                                         : UNIT_PRESSURE_DROP;
}

static void add(struct readings *r, enum readings_quantity quantity, const char *name, double value,
                double sigma) {
    struct readings_value *v = &r->of[quantity];
    if (isfinite(value) && sigma > 0.0 && v->count < READINGS_SOURCES_MAX) {
        v->source[v->count++] = (struct readings_source){name, value, sigma};
    }
}

// A reading and how sure it is: by its own range, else by the gauge.
struct seen {
    double value, sigma;
};

static struct seen look(const struct scenario *scenario, const char *path, double value,
                        double otherwise) {
    double low;
    double high;
    // A range holds nearly all: two standard deviations either way.
    return scenario_get_range(scenario, 0, path, &low, &high) && low < high
               ? (struct seen){value, 0.25 * (high - low)}
               : (struct seen){value, otherwise};
}

static struct seen look_pressure(const struct scenario *scenario, const char *path, double value,
                                 double gauge) {
    return look(scenario, path, value, isnan(gauge) ? GAUGE_SHARE * fabs(value) : 0.5 * gauge);
}

static double both(struct seen a, struct seen b) {
    return sqrt(a.sigma * a.sigma + b.sigma * b.sigma);
}

static void take_chamber(struct readings *r, const struct scenario *scenario,
                         const struct readings_options *o) {
    const struct seen up =
        look_pressure(scenario, "readings.first_movement", o->first_movement, o->gauge);
    const struct seen full =
        look_pressure(scenario, "readings.full_travel", o->full_travel, o->gauge);
    const struct seen leaves =
        look_pressure(scenario, "readings.leaves_full_travel", o->leaves_full_travel, o->gauge);
    const struct seen down =
        look_pressure(scenario, "readings.last_movement", o->last_movement, o->gauge);
    add(r, READINGS_FRICTION, "first_movement and last_movement", 0.5 * (up.value - down.value),
        0.5 * both(up, down));
    add(r, READINGS_FRICTION, "full_travel and leaves_full_travel",
        0.5 * (full.value - leaves.value), 0.5 * both(full, leaves));
    add(r, READINGS_SPAN, "first_movement and full_travel", full.value - up.value, both(up, full));
    add(r, READINGS_SPAN, "last_movement and leaves_full_travel", leaves.value - down.value,
        both(leaves, down));
    if (isfinite(up.value) && isfinite(down.value)) {
        add(r, READINGS_PRELOAD, "first_movement and last_movement", 0.5 * (up.value + down.value),
            0.5 * both(up, down));
    } else if (isfinite(up.value)) {
        add(r, READINGS_FIRST, "first_movement", up.value, up.sigma);
    }
}

static void take_strokes(struct readings *r, const struct scenario *scenario,
                         const struct readings_options *o) {
    const double watch = isnan(o->watch) ? WATCH : o->watch;
    struct seen s = look(scenario, "readings.stroke_open", o->stroke_open,
                         hypot(watch, STROKE_SHARE * o->stroke_open));
    add(r, READINGS_STROKE_OPEN, "stroke_open", s.value, s.sigma);
    s = look(scenario, "readings.stroke_shut", o->stroke_shut,
             hypot(watch, STROKE_SHARE * o->stroke_shut));
    add(r, READINGS_STROKE_SHUT, "stroke_shut", s.value, s.sigma);
}

static void take_held(struct readings *r, const struct scenario *scenario,
                      const struct scenario_case *c) {
    const struct readings_options *o = &c->readings;
    if (c->model.actuation == ACTUATION_DIRECT) {
        const struct seen s = look_pressure(scenario, "readings.droop", o->droop, o->gauge);
        add(r, READINGS_DROOP, "droop", s.value, hypot(s.sigma, DROOP_SHARE * s.value));
    }
    const double atmosphere = c->site.atmosphere;
    struct seen low = look(scenario, "readings.held_at_low_flow", o->held_at_low_flow,
                           isnan(o->gauge) ? 0.25 * GAUGE_SHARE * (o->held_at_low_flow - atmosphere)
                                           : 0.5 * o->gauge);
    struct seen high = low;
    high.value = o->held_at_high_flow;
    add(r, READINGS_BUILD_UP, "held_at_low_flow and held_at_high_flow", high.value - low.value,
        both(low, high));
    r->low_flow = o->low_flow;
    r->high_flow = o->high_flow;
}

static void take_volume(struct readings *r, const struct scenario *scenario,
                        const struct scenario_case *c) {
    const struct readings_options *o = &c->readings;
    const struct regulator_parameters *m = &c->model;
    const double own = schedule_value(&m->flow, schedule_piece(&m->flow, 0.0), 0.0);
    const double flow = isnan(o->rise_flow) ? own : o->rise_flow;
    const double k = m->isothermal ? 1.0 : m->gas.exponent;
    const double volume = k * m->gas.compressibility * GAS_CONSTANT * m->temperature * flow *
                          o->rise_time / (m->gas.molar_mass * o->rise);
    const struct seen rise = look_pressure(scenario, "readings.rise", o->rise, o->gauge);
    const double time = (isnan(o->watch) ? WATCH : o->watch) / o->rise_time;
    if (m->phase != FLUID_GAS || m->duty != DUTY_BACK_PRESSURE || isnan(volume)) {
        return;
    }
    add(r, READINGS_VOLUME, "rise", volume,
        volume * hypot(hypot(rise.sigma / rise.value, time), VOLUME_SHARE));
    struct scenario_entry entry;
    double low;
    double high;
    if (scenario_provenance(scenario, 0, field_index_of("vessel.volume"), &entry) &&
        entry.provenance == PROVENANCE_GIVEN &&
        !scenario_get_range(scenario, 0, "vessel.volume", &low, &high)) {
        add(r, READINGS_VOLUME, "vessel.volume", m->controlled.volume,
            STATED_SHARE * m->controlled.volume);
    }
}

static void contradict(struct diagnostics *list, const struct scenario *scenario,
                       const struct scenario_case *c, enum readings_quantity quantity,
                       const struct readings_source *a, const struct readings_source *b) {
    const enum unit_kind kind = readings_kind(quantity);
    char one[64];
    char other[64];
    shown_text(c, kind, a->value, one, sizeof one);
    shown_text(c, kind, b->value, other, sizeof other);
    // A friction below zero there is none, and one that is much the larger is less likely true.
    const struct readings_source *odd = fmin(a->value, b->value) < 0.0
                                            ? (a->value < b->value ? a : b)
                                            : (a->value > b->value ? a : b);
    diagnostics_error(list, (struct place){scenario_name(scenario), 0, 0},
                      "readings: %s contradict %s: the %s is %s by the one and %s by the other, "
                      "%.1f standard deviations apart; look at %s again%s",
                      a->name, b->name, readings_name(quantity), one, other,
                      fabs(a->value - b->value) / hypot(a->sigma, b->sigma),
                      quantity == READINGS_FRICTION ? odd->name : "both",
                      quantity == READINGS_FRICTION ? " first" : "");
}

// What cannot be below zero is by far: the two readings it is the difference of are the wrong way
// round.
static bool falls_below(const struct readings_source *a, struct diagnostics *list,
                        const struct scenario *scenario) {
    if (a->value > -READINGS_APART * a->sigma) {
        return false;
    }
    diagnostics_error(list, (struct place){scenario_name(scenario), 0, 0},
                      "readings: %s contradict each other: rising lies below falling, which no "
                      "friction does; look at both again",
                      a->name);
    return true;
}

// Weighted least squares of one unknown: the weighted mean. False when two do not agree.
static bool reconcile(struct readings_value *v, enum readings_quantity quantity,
                      const struct scenario *scenario, const struct scenario_case *c,
                      struct diagnostics *list) {
    double weights = 0.0;
    double sum = 0.0;
    bool fine = true;
    for (size_t i = 0; i < v->count; i++) {
        const struct readings_source *a = &v->source[i];
        const double w = 1.0 / (a->sigma * a->sigma);
        weights += w;
        sum += w * a->value;
        fine = !(quantity == READINGS_FRICTION && falls_below(a, list, scenario)) && fine;
        // The two of a span differ by twice what those of a friction do: told once, there.
        for (size_t k = 0; k < i && fine && quantity != READINGS_SPAN; k++) {
            const struct readings_source *b = &v->source[k];
            if (fabs(a->value - b->value) > READINGS_APART * hypot(a->sigma, b->sigma)) {
                contradict(list, scenario, c, quantity, a, b);
                fine = false;
            }
        }
    }
    v->value = sum / weights;
    v->sigma = sqrt(1.0 / weights);
    return fine;
}

bool readings_take(struct readings *out, const struct scenario *scenario,
                   const struct scenario_case *resolved, struct diagnostics *list) {
    memset(out, 0, sizeof *out);
    // Fields of another build are no readings.
    if (resolved->model.actuation == ACTUATION_PILOT) {
        take_chamber(out, scenario, &resolved->readings);
        take_strokes(out, scenario, &resolved->readings);
    }
    take_held(out, scenario, resolved);
    take_volume(out, scenario, resolved);
    bool fine = true;
    for (int q = 0; q < READINGS_COUNT; q++) {
        if (out->of[q].count > 0) {
            out->count++;
            fine =
                reconcile(&out->of[q], (enum readings_quantity)q, scenario, resolved, list) && fine;
        }
    }
    return fine;
}

// Held pressure at the high flow less that at the low one, the screw left alone.
static double build_up(const struct readings *readings, const struct scenario_case *c) {
    struct steadiness subject;
    steadiness_prepare(c, &subject);
    const struct steadiness_settled low = steadiness_settled(&subject, readings->low_flow);
    const struct steadiness_settled high = steadiness_settled(&subject, readings->high_flow);
    return high.pressure - low.pressure;
}

double readings_of_case(const struct readings *readings, enum readings_quantity quantity,
                        const struct scenario_case *c) {
    const struct actuator_parameters *a = &c->model.actuator;
    const double travel = c->model.trim.rated_travel;
    const double open = actuator_area(a->diaphragm_area, a->area_loss, travel, travel);
    switch (quantity) {
    case READINGS_PRELOAD:
        return a->preload / a->diaphragm_area;
    case READINGS_FIRST:
        return (a->preload + a->friction.static_force) / a->diaphragm_area;
    case READINGS_SPAN:
        return (a->preload + a->spring_rate * travel) / open - a->preload / a->diaphragm_area;
    case READINGS_FRICTION:
        // A stroke by hand is far slower than the speed over which static friction gives way.
        return a->friction.static_force / a->diaphragm_area;
    case READINGS_DROOP:
        return readings_droop(c);
    case READINGS_STROKE_OPEN:
        return readings_stroke(c, true);
    case READINGS_STROKE_SHUT:
        return readings_stroke(c, false);
    case READINGS_BUILD_UP:
        return build_up(readings, c);
    case READINGS_VOLUME:
        return c->model.controlled.volume;
    default:
        return (double)NAN;
    }
}

double readings_fit(const struct readings *readings, const struct scenario_case *c) {
    double fit = 0.0;
    for (int q = 0; q < READINGS_COUNT; q++) {
        const struct readings_value *v = &readings->of[q];
        if (v->count > 0) {
            const double off =
                (readings_of_case(readings, (enum readings_quantity)q, c) - v->value) / v->sigma;
            fit -= isfinite(off) ? 0.5 * fmin(off * off, 1e4) : 5e3;
        }
    }
    return fit;
}
