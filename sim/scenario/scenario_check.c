// SPDX-License-Identifier: MIT
// Fields of a resolved scenario against each other.
#include "scenario/scenario_resolution.h"

#include "models/actuator.h"

#include <math.h>
#include <stdio.h>

// So many samples of all channels and what they are drawn from take about 1 GB.
enum { SAMPLES_MAX = 5000000, BDF_ORDER_MAX = 5 };

static double check_first(const struct schedule *schedule) {
    return schedule_value(schedule, schedule_piece(schedule, 0.0), 0.0);
}

enum { CHECK_TEXT_SIZE = 96 };

// The quantity that a schedule begins with; NULL if nobody gave one.
static const struct quantity *check_written(const struct scenario_resolution *r, const char *path) {
    const struct schedule_input *input = resolution_value(r, path)->schedule;
    if (!input || !resolution_given(r, path)) {
        return NULL;
    }
    return input->shape == SHAPE_POINTS ? &input->value[0] : &input->base;
}

// A pressure for a message: as it was typed, else gauge or absolute like the other one.
static const char *check_pressure(const struct scenario_resolution *r, const char *path,
                                  const char *other, double pressure, char text[CHECK_TEXT_SIZE]) {
    const struct quantity *written = check_written(r, path);
    const struct schedule_input *input = resolution_value(r, path)->schedule;
    if (written && input->shape == SHAPE_CONSTANT) {
        return scenario_shown(r->memory, resolution_value(r, path)->text);
    }
    if (!written) {
        written = check_written(r, other);
    }
    const bool us = r->scenario->written_us >= r->scenario->written_metric;
    const bool gauge = written && written->basis == BASIS_GAUGE;
    const char *unit = us ? (gauge ? "psig" : "psia") : (gauge ? "kPa(g)" : "kPa(a)");
    snprintf(text, CHECK_TEXT_SIZE, "%.6g %s",
             units_from_si(&r->site, UNIT_PRESSURE_LEVEL, unit, pressure), unit);
    return text;
}

static void check_against_set(struct scenario_resolution *r, const char *path, double boundary,
                              double set, const char *side) {
    char found[CHECK_TEXT_SIZE];
    char held[CHECK_TEXT_SIZE];
    resolution_error(r, path, "found %s; must be %s the set pressure, %s",
                     check_pressure(r, path, "set.pressure", boundary, found), side,
                     check_pressure(r, "set.pressure", path, set, held));
}

// Nothing flows out of the vessel into a pressure that is not below its own.
static void check_outlet(struct scenario_resolution *r) {
    const struct regulator_parameters *model = &r->values.model;
    char found[CHECK_TEXT_SIZE];
    char held[CHECK_TEXT_SIZE];
    resolution_error(
        r, "demand.outlet_pressure", "found %s; must be below demand.at_pressure, %s",
        check_pressure(r, "demand.outlet_pressure", "set.pressure", model->demand_outlet, found),
        check_pressure(r, "demand.at_pressure", "set.pressure", model->flow_reference, held));
}

static void check_trim(struct scenario_resolution *r) {
    const struct trim_parameters *trim = &r->values.model.trim;
    const bool coefficient = resolution_given(r, "trim.coefficient");
    if (trim->seat_land >= 0.5 * trim->port_diameter) {
        resolution_error(r, "trim.seat_land", "must be less than half the port");
    }
    if (coefficient && trim->flow_law == TRIM_FLOW_NOZZLE) {
        resolution_error(r, "trim.coefficient", "trim.flow_law nozzle works from trim.discharge");
    } else if (coefficient && resolution_given(r, "trim.discharge")) {
        resolution_error(r, "trim.discharge", "give this or trim.coefficient, not both");
    }
    if (trim->shutoff_travel >= trim->rated_travel) {
        resolution_error(r, "trim.shutoff_travel", "must be less than the travel");
    }
}

static void check_pipe(struct scenario_resolution *r, const char *path, double bore) {
    if (bore > 0.0 && bore < r->values.model.fittings.body) {
        resolution_error(r, path, "must not be less than body.bore");
    }
}

static void check_fittings(struct scenario_resolution *r) {
    const struct regulator_parameters *model = &r->values.model;
    const struct fittings_parameters *fittings = &model->fittings;
    if (fittings->body <= 0.0) {
        return;
    }
    check_pipe(r, "inlet_pipe.bore", fittings->inlet);
    check_pipe(r, "outlet_pipe.bore", fittings->outlet);
    if (model->trim.port_diameter > fittings->body) {
        resolution_error(r, "body.bore", "must not be less than the port");
    }
    const bool wider = fittings->inlet > fittings->body || fittings->outlet > fittings->body;
    if (wider && resolution_given(r, "trim.piping_factor")) {
        resolution_error(r, "trim.piping_factor", "give this or body.bore, not both");
    }
    if (wider && model->trim.flow_law == TRIM_FLOW_NOZZLE) {
        resolution_error(r, "body.bore", "trim.flow_law nozzle knows no reducers beside the body");
    }
}

static void check_line(struct scenario_resolution *r, enum regulator_line index) {
    static const char *const cells[LINE_COUNT] = {"line_before.cells", "line_after.cells",
                                                  "line_sense.cells", "line_loading.cells",
                                                  "line_supply.cells"};
    static const char *const elbow[LINE_SIDES] = {"line_before.elbow", "line_after.elbow"};
    const struct regulator_parameters *model = &r->values.model;
    const struct pipe_parameters *line = &model->line[index];
    const int most = regulator_line_cells_most(model, index);
    const bool both = model->line[LINE_BEFORE].length > 0.0 && model->line[LINE_AFTER].length > 0.0;
    const bool tubes = model->line[LINE_SENSE].length > 0.0 ||
                       model->line[LINE_LOADING].length > 0.0 ||
                       model->line[LINE_SUPPLY].length > 0.0;
    const bool beside = index < LINE_SIDES && (both || tubes);
    if (index < LINE_SIDES && line->length > 0.0 && line->elbow > line->length + line->far_length) {
        resolution_error(r, elbow[index], "must not be more than the length of the line");
    }
    if (line->cells > most) {
        const char *why = !beside ? "of this gas"
                          : both  ? "with a line on either side"
                                  : "with a line to diaphragm or pilot";
        resolution_error(r, cells[index], "found %d; %s %d at most", line->cells, why, most);
    }
}

// A tap lies on a line that is there, and within its length.
static void check_tap(struct scenario_resolution *r) {
    const struct regulator_parameters *model = &r->values.model;
    if (model->line[LINE_SENSE].length > 0.0 && model->sense.tap_bore > 0.0) {
        resolution_error(r, "sense.tap_bore",
                         "not with line_sense, which takes the static pressure at its tap");
    }
    const bool back = model->duty == DUTY_BACK_PRESSURE;
    const struct pipe_parameters *line = &model->line[back ? LINE_BEFORE : LINE_AFTER];
    const char *const name = back ? "line_before" : "line_after";
    if (!model->sense.tap_on_line) {
        return;
    }
    if (!(line->length > 0.0)) {
        resolution_error(r, "sense.tap_distance", "needs %s.length", name);
    } else if (model->sense.tap_distance > line->length + line->far_length) {
        resolution_error(r, "sense.tap_distance", "must not be more than the length of %s", name);
    }
    if (model->sense.tap_bore > 0.0) {
        resolution_error(r, "sense.tap_bore", "give this or sense.tap_distance, not both");
    }
}

// Largest value that a schedule has.
static double check_highest(const struct schedule *schedule) {
    double highest = schedule->base;
    if (schedule->kind == SCHEDULE_SLUG || schedule->kind == SCHEDULE_SINE) {
        const double base = schedule->kind == SCHEDULE_SINE ? schedule->base : 0.0;
        highest = fmax(highest, base + fabs(schedule->peak));
    }
    for (size_t i = 0; i < schedule->count; i++) {
        highest = i == 0 ? schedule->value[0] : fmax(highest, schedule->value[i]);
    }
    return highest;
}

static const double TAP_BORE_LEAST = 1e-3; // [m]

// What is the bore of no pipe; and one in which the flow's velocity head w^2/(2 rho A^2) would
// leave nothing of the set pressure to be sensed.
static void check_tap_bore(struct scenario_resolution *r) {
    const struct regulator_parameters *model = &r->values.model;
    const double bore = model->sense.tap_bore, set = check_first(&model->set_point);
    if (bore > 0.0 && bore < TAP_BORE_LEAST) {
        resolution_error(r, "sense.tap_bore", "allowed 0 mm, tapped at the vessel, or 1 mm to 2 m");
    } else if (bore > 0.0 && set > 0.0) {
        const double area = 0.7853981633974483 * bore * bore;
        const double density = model->phase == FLUID_LIQUID
                                   ? model->liquid.density
                                   : gas_density(&model->gas, set, model->temperature);
        const double flow = check_highest(&model->flow) / area;
        if (0.5 * flow * flow / density >= set) {
            resolution_error(r, "sense.tap_bore",
                             "too narrow: the largest flow's velocity head there is more than the "
                             "set pressure");
        }
    }
}

static void check_friction(struct scenario_resolution *r) {
    const struct regulator_parameters *model = &r->values.model;
    const struct friction_parameters *stem = &model->actuator.friction;
    const struct friction_parameters *pilot = &model->pilot.friction;
    if (stem->static_force < stem->kinetic_force) {
        resolution_error(r, "friction.static", "must not be less than friction.kinetic");
    }
    if (model->actuation == ACTUATION_PILOT && pilot->static_force < pilot->kinetic_force) {
        resolution_error(r, "pilot_friction.static",
                         "must not be less than pilot_friction.kinetic");
    }
}

static void check_pressures(struct scenario_resolution *r) {
    const struct regulator_parameters *model = &r->values.model;
    const double set = check_first(&model->set_point);
    const double boundary = check_first(&model->boundary);
    if (!(set > 0.0)) {
        resolution_error(r,
                         resolution_given(r, "set.pressure") ? "set.pressure" : "actuator.preload",
                         "gives a set pressure of nothing or less");
        return;
    }
    if (model->duty == DUTY_BACK_PRESSURE && set <= boundary) {
        check_against_set(r, "downstream.pressure", boundary, set, "below");
    }
    if (model->duty == DUTY_REDUCING && set >= boundary) {
        check_against_set(r, "inlet.pressure", boundary, set, "above");
    }
    if (model->duty == DUTY_REDUCING && model->demand_outlet >= model->flow_reference) {
        check_outlet(r);
    }
    if (model->well_pressure > 0.0 && model->well_pressure <= model->flow_reference) {
        resolution_error(r, "inflow.well_pressure", "must be above the set pressure");
    }
    if (r->values.raw.pressure_limit <= set) {
        resolution_error(r, "vessel.pressure_limit", "must be above the set pressure");
    }
    if (model->phase == FLUID_LIQUID &&
        model->liquid.vapour_pressure >= model->liquid.critical_pressure) {
        resolution_error(r, "fluid.vapour_pressure", "must be below fluid.critical_pressure");
    }
}

// Rising liquid may not take all of the vessel at any time.
static void check_level(struct scenario_resolution *r) {
    const struct schedule *level = &r->values.model.level;
    const double room = r->values.model.controlled.volume;
    double most = fmax(level->base, level->peak);
    for (size_t i = 0; i < level->count; i++) {
        most = fmax(most, level->value[i]);
    }
    if (most >= 0.99 * room) {
        resolution_error(r, "vessel.level", "must leave 1 %% of vessel.volume free");
    }
}

static void check_room(struct scenario_resolution *r, const char *path, double volume,
                       double swept) {
    if (volume > swept) {
        return;
    }
    const bool us = r->scenario->written_us >= r->scenario->written_metric;
    const char *unit = us ? "in3" : "cm3";
    resolution_error(r, path, "must be more than the %.4g %s that the moving parts take from it",
                     units_from_si(&r->site, UNIT_VOLUME, unit, swept), unit);
}

// What moving parts sweep at full travel must fit into the volume they shrink.
static void check_sweep(struct scenario_resolution *r) {
    const struct regulator_parameters *model = &r->values.model;
    const struct actuator_parameters *actuator = &model->actuator;
    if (!actuator->swept_volume) {
        return;
    }
    const bool reducing = model->duty == DUTY_REDUCING;
    const bool pilot = model->actuation == ACTUATION_PILOT;
    const double travel = model->trim.rated_travel;
    const double swept =
        actuator_sweep(actuator->diaphragm_area, actuator->area_loss, travel, travel);
    if (actuator->spring_case.volume > 0.0 && (pilot || !reducing)) {
        check_room(r, "actuator.case_volume", actuator->spring_case.volume, swept);
    }
    if (!reducing) {
        return;
    }
    const double sensed = pilot ? model->pilot.diaphragm_area * model->pilot.travel : swept;
    if (model->sense.passage == SENSE_IDEAL) {
        check_room(r, "vessel.volume", model->controlled.volume, sensed);
    } else {
        check_room(r, "sense.cavity_volume", model->sense.cavity.volume, sensed);
    }
}

// A push may empty the vessel, but not beyond.
static void check_kick(struct scenario_resolution *r) {
    const struct start_options *start = &r->values.start;
    const double held =
        start->from == START_SHUT ? start->pressure : check_first(&r->values.model.set_point);
    if (held > 0.0 && held + start->kick_pressure <= 0.0) {
        const bool us = r->scenario->written_us >= r->scenario->written_metric;
        const char *unit = us ? "psi" : "kPa";
        resolution_error(r, "start.kick_pressure",
                         "found '%s'; leaves the vessel less than nothing: allowed above -%.6g %s",
                         resolution_value(r, "start.kick_pressure")->text,
                         units_from_si(&r->site, UNIT_PRESSURE_DROP, unit, held), unit);
    }
}

static void check_run(struct scenario_resolution *r) {
    const struct run_options *run = &r->values.run;
    if (run->minimum_duration > run->duration) {
        resolution_error(r, "run.minimum_duration", "must not be more than run.duration");
    }
    if (run->sample_interval > run->duration) {
        resolution_error(r, "run.sample_interval", "must not be more than run.duration");
    } else if (run->duration / run->sample_interval > SAMPLES_MAX) {
        resolution_error(r, "run.sample_interval",
                         "makes more than %d samples of run.duration; allowed %.6g s or more",
                         SAMPLES_MAX, run->duration / SAMPLES_MAX);
    }
    if (run->method == RUN_BDF && run->max_order > BDF_ORDER_MAX) {
        resolution_error(r, "run.max_order", "bdf has at most order %d", BDF_ORDER_MAX);
    }
}

void resolution_check(struct scenario_resolution *r) {
    check_trim(r);
    check_fittings(r);
    check_line(r, LINE_BEFORE);
    check_line(r, LINE_AFTER);
    check_line(r, LINE_SENSE);
    check_line(r, LINE_LOADING);
    check_line(r, LINE_SUPPLY);
    check_tap(r);
    check_tap_bore(r);
    check_friction(r);
    check_pressures(r);
    check_level(r);
    check_sweep(r);
    check_kick(r);
    check_run(r);
    resolution_check_outlook(r);
}

// Size of a port as written; NaN where there is none.
static double check_port(const struct field_value *value) {
    const bool given = value->provenance != PROVENANCE_NONE && !value->wrong;
    return given ? value->quantity.value : (double)NAN;
}

// A body takes no larger port than its own, which is most likely the one named first.
void scenario_warn(const struct scenario *scenario, struct diagnostics *out) {
    const size_t index = field_index_of("trim.port");
    const struct field_value *first = scenario_value(scenario, NULL, index);
    const bool common = isfinite(check_port(first));
    if (!common) {
        first = scenario_value(scenario, scenario->trims, index);
    }
    for (const struct scenario_trim *trim = scenario->trims; trim; trim = trim->next) {
        const struct field_value *port = scenario_value(scenario, trim, index);
        if (port != first && check_port(port) > 1.01 * check_port(first)) {
            diagnostics_warn(out, port->place,
                             "trims.%s.port: found '%s'; larger than %s, '%s': does the body take "
                             "it?",
                             trim->name, port->text, common ? "trim.port" : "the first trim's",
                             first->text);
        }
    }
    scenario_warn_plausible(scenario, out);
}
