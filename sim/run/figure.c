// SPDX-License-Identifier: MIT
#include "run/figure.h"

#include "run/blow.h"
#include "run/pipe_figure.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const struct equilibrium *rest(const struct simulation *s) {
    return equilibrium_choose(&s->start.rest);
}

static double rest_pressure(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return rest(s) ? rest(s)->pressure[NODE_CONTROLLED] : (double)NAN;
}

static double rest_travel(const struct simulation *s, const struct scenario_case *c) {
    return rest(s) ? rest(s)->travel / c->model.trim.rated_travel : (double)NAN;
}

static double rest_chamber(const struct simulation *s, const struct scenario_case *c) {
    bool pilot = c->model.actuation == ACTUATION_PILOT;
    return rest(s) && pilot ? rest(s)->pressure[NODE_CHAMBER] : (double)NAN;
}

static double mode_frequency(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    const struct linear_mode *m = linearise_leading(&s->modes);
    return m ? m->frequency : (double)NAN;
}

static double mode_damping(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    const struct linear_mode *m = linearise_leading(&s->modes);
    return m ? m->damping_ratio : (double)NAN;
}

#define JUDGED(field)                                                                              \
    static double judged_##field(const struct simulation *s, const struct scenario_case *c) {      \
        (void)c;                                                                                   \
        return s->judged.figures.field;                                                            \
    }
JUDGED(pressure_swing)
JUDGED(pressure_mean)
JUDGED(pressure_peak)
JUDGED(travel_swing)
JUDGED(travel_mean)
JUDGED(travel_worn)
JUDGED(frequency)
JUDGED(damping_ratio)
JUDGED(growth_rate)
JUDGED(settling_time)
JUDGED(seat_rate)
JUDGED(seat_speed)
JUDGED(seat_energy)
JUDGED(stop_rate)

static double seat_contacts(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return (double)s->judged.figures.seat_contacts;
}

static double seat_force(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return s->seat_force > 0.0 ? s->seat_force : (double)NAN;
}

static double travel_high(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    const double start = s->judged.figures.window_start;
    double high = (double)NAN;
    for (size_t i = 0; i < s->count; i++) {
        if ((double)i * s->step >= start) {
            high = fmax(high, s->channel[CHANNEL_TRAVEL][i]);
        }
    }
    return high;
}

static double travel_low(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    const double start = s->judged.figures.window_start;
    double low = (double)NAN;
    for (size_t i = 0; i < s->count; i++) {
        if ((double)i * s->step >= start) {
            low = fmin(low, s->channel[CHANNEL_TRAVEL][i]);
        }
    }
    return fabs(low) < 1e-9 * c->model.trim.rated_travel ? 0.0 : low; // rounding on the seat
}

static double limit_margin(const struct simulation *s, const struct scenario_case *c) {
    return c->pressure_limit - s->judged.figures.pressure_peak;
}

// Joukowsky's surge in the pipe before the regulator, whose stream the trim stops. Its bore is the
// pipe's: stated, or that of the pipe at the tap, which a back-pressure regulator has before it. A
// guess from the port would be far too high, as a port is narrower than its pipe.
static double surge(const struct simulation *s, const struct scenario_case *c) {
    const struct regulator_parameters *p = &c->model;
    bool tapped = p->duty == DUTY_BACK_PRESSURE && p->fittings.inlet <= 0.0;
    double bore = tapped ? p->sense.tap_bore : p->fittings.inlet;
    if (p->phase != FLUID_LIQUID || bore <= 0.0) {
        return (double)NAN;
    }
    double flow = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        flow = fmax(flow, s->channel[CHANNEL_TRIM_FLOW][i]);
    }
    double area = 0.7853981633974483 * bore * bore, density = p->liquid.density;
    // The modulus is that of liquid and walls together, so this is Korteweg's speed.
    double wave = sqrt(p->liquid.bulk_modulus / density);
    return liquid_surge_pressure(density, wave, flow / density / area);
}

static double seat_load(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return blow_load(s);
}

static double seat_blow(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return blow_share(s);
}

static double seat_speed_run(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return blow_fastest(s);
}

static double seat_share(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return blow_seated(s);
}

static double plug_frequency(const struct simulation *s, const struct scenario_case *c) {
    return s->start.regulator.has_lines ? regulator_plug_frequency(&c->model) : (double)NAN;
}

#define LINE_FIGURE(what)                                                                          \
    static double line_##what##_before(const struct simulation *s,                                 \
                                       const struct scenario_case *c) {                            \
        (void)c;                                                                                   \
        return pipe_figure_##what(s, LINE_BEFORE);                                                 \
    }                                                                                              \
    static double line_##what##_after(const struct simulation *s, const struct scenario_case *c) { \
        (void)c;                                                                                   \
        return pipe_figure_##what(s, LINE_AFTER);                                                  \
    }
LINE_FIGURE(swing)
LINE_FIGURE(stop)
LINE_FIGURE(quarter)
LINE_FIGURE(shaking)
LINE_FIGURE(concern)

static double line_quarter_sense(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return pipe_figure_quarter(s, LINE_SENSE);
}

static double line_quarter_loading(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return pipe_figure_quarter(s, LINE_LOADING);
}

static double line_quarter_supply(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return pipe_figure_quarter(s, LINE_SUPPLY);
}

static double line_low_supply(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return pipe_figure_low_supply(s);
}

static double choked_share(const struct simulation *s, const struct scenario_case *c) {
    // A liquid that boils before the trim chokes at no drop at all: of nothing there is no share.
    const bool chokes = c->model.phase == FLUID_LIQUID && isfinite(s->choked_share);
    return chokes ? s->choked_share : (double)NAN;
}

// Factor Z of the gas, in the row that says where it comes from.
static double z_from(const struct scenario_case *c, enum compressibility_source source) {
    bool here = c->model.phase == FLUID_GAS && c->compressibility_from == source;
    return here ? c->model.gas.compressibility : (double)NAN;
}

static double z_given(const struct simulation *s, const struct scenario_case *c) {
    (void)s;
    return z_from(c, COMPRESSIBILITY_GIVEN);
}

static double z_correlation(const struct simulation *s, const struct scenario_case *c) {
    (void)s;
    return z_from(c, COMPRESSIBILITY_CORRELATION);
}

static double z_ideal(const struct simulation *s, const struct scenario_case *c) {
    (void)s;
    return z_from(c, COMPRESSIBILITY_IDEAL);
}

static double run_time(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return s->statistics.end_time;
}

static double mass_error(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return s->mass_error;
}

static double energy_error(const struct simulation *s, const struct scenario_case *c) {
    (void)c;
    return s->energy_error;
}

static const struct figure figures[] = {
    {"rest_pressure", "controlled pressure at rest", UNIT_PRESSURE_LEVEL, FIGURE_REST, "",
     rest_pressure},
    {"rest_opening", "opening at rest, share of travel", UNIT_FRACTION, FIGURE_REST, "",
     rest_travel},
    {"rest_chamber_pressure", "chamber pressure at rest", UNIT_PRESSURE_LEVEL, FIGURE_REST, "",
     rest_chamber},
    {"mode_frequency", "slowest small motion to die out, frequency", UNIT_FREQUENCY, FIGURE_REST,
     "", mode_frequency},
    {"mode_damping", "slowest small motion to die out, damping ratio", UNIT_NONE, FIGURE_REST, "",
     mode_damping},
    {"z_given", "compressibility factor Z, as given", UNIT_NONE, FIGURE_REST, "", z_given},
    {"z_correlation", "compressibility factor Z, by correlation", UNIT_NONE, FIGURE_REST, "",
     z_correlation},
    {"z_ideal", "compressibility factor Z, taken as ideal", UNIT_NONE, FIGURE_REST, "", z_ideal},
    {"pressure_swing", "pressure swing", UNIT_PRESSURE_DROP, FIGURE_MOTION, "",
     judged_pressure_swing},
    {"pressure_offset", "mean pressure less the set pressure", UNIT_PRESSURE_DROP, FIGURE_MOTION,
     "", judged_pressure_mean},
    {"pressure_peak", "highest pressure", UNIT_PRESSURE_LEVEL, FIGURE_MOTION, "",
     judged_pressure_peak},
    {"limit_margin", "vessel limit less the highest pressure", UNIT_PRESSURE_DROP, FIGURE_MOTION,
     "", limit_margin},
    {"travel_swing", "travel swing", UNIT_LENGTH, FIGURE_MOTION, "", judged_travel_swing},
    {"travel_mean", "mean travel", UNIT_LENGTH, FIGURE_MOTION, "", judged_travel_mean},
    {"travel_high", "largest travel", UNIT_LENGTH, FIGURE_MOTION, "", travel_high},
    {"travel_low", "smallest travel", UNIT_LENGTH, FIGURE_MOTION, "", travel_low},
    {"frequency", "frequency of the motion", UNIT_FREQUENCY, FIGURE_MOTION, "", judged_frequency},
    {"damping_ratio", "damping ratio of the motion", UNIT_NONE, FIGURE_MOTION, "",
     judged_damping_ratio},
    {"growth_rate", "growth rate of the motion", UNIT_NONE, FIGURE_MOTION, "1/s",
     judged_growth_rate},
    {"settling_time", "settling time", UNIT_TIME, FIGURE_MOTION, "", judged_settling_time},
    {"travel_worn", "distance the plug travels", UNIT_LENGTH, FIGURE_MOTION, "/day",
     judged_travel_worn},
    {"choked_share", "largest drop, share of that which chokes", UNIT_FRACTION, FIGURE_MOTION, "",
     choked_share},
    {"seat_rate", "seat contacts a minute", UNIT_NONE, FIGURE_SEAT, "1/min", judged_seat_rate},
    {"seat_contacts", "seat contacts in the whole run", UNIT_NONE, FIGURE_SEAT, "", seat_contacts},
    {"seat_speed", "approach speed at the seat, largest", UNIT_SPEED, FIGURE_SEAT, "",
     judged_seat_speed},
    {"seat_speed_run", "the same with the first kick, of the whole run", UNIT_SPEED, FIGURE_SEAT,
     "", seat_speed_run},
    {"seat_energy", "energy of the hardest contact", UNIT_ENERGY, FIGURE_SEAT, "",
     judged_seat_energy},
    {"seat_force", "peak force at the seat, estimate", UNIT_FORCE, FIGURE_SEAT, "", seat_force},
    {"seat_load", "load on the seat, shut and still", UNIT_FORCE, FIGURE_SEAT, "", seat_load},
    {"seat_blow", "peak force over that load; below 1 a touch", UNIT_NONE, FIGURE_SEAT, "",
     seat_blow},
    {"seat_share", "time on the seat, share of a cycle", UNIT_FRACTION, FIGURE_SEAT, "",
     seat_share},
    {"stop_rate", "contacts with the upper stop a minute", UNIT_NONE, FIGURE_SEAT, "1/min",
     judged_stop_rate},
    {"surge", "surge in the inlet pipe, largest flow stopped", UNIT_PRESSURE_DROP, FIGURE_SEAT, "",
     surge},
    {"plug_frequency", "plug on its spring alone, frequency", UNIT_FREQUENCY, FIGURE_LINE, "",
     plug_frequency},
    {"quarter_wave_before", "line before: quarter wave", UNIT_FREQUENCY, FIGURE_LINE, "",
     line_quarter_before},
    {"line_swing_before", "line before: pressure swing at the regulator", UNIT_PRESSURE_DROP,
     FIGURE_LINE, "", line_swing_before},
    {"stop_wave_before", "line before: wave of the largest flow stopped", UNIT_PRESSURE_DROP,
     FIGURE_LINE, "", line_stop_before},
    {"shaking_before", "line before: shaking force up to the elbow", UNIT_FORCE, FIGURE_LINE, "",
     line_shaking_before},
    {"concern_mass_before", "line before: free pipe shaken to a concern", UNIT_MASS, FIGURE_LINE,
     "", line_concern_before},
    {"quarter_wave_after", "line after: quarter wave", UNIT_FREQUENCY, FIGURE_LINE, "",
     line_quarter_after},
    {"line_swing_after", "line after: pressure swing at the regulator", UNIT_PRESSURE_DROP,
     FIGURE_LINE, "", line_swing_after},
    {"stop_wave_after", "line after: wave of the largest flow stopped", UNIT_PRESSURE_DROP,
     FIGURE_LINE, "", line_stop_after},
    {"shaking_after", "line after: shaking force up to the elbow", UNIT_FORCE, FIGURE_LINE, "",
     line_shaking_after},
    {"concern_mass_after", "line after: free pipe shaken to a concern", UNIT_MASS, FIGURE_LINE, "",
     line_concern_after},
    {"quarter_wave_sense", "line to the diaphragm: quarter wave", UNIT_FREQUENCY, FIGURE_LINE, "",
     line_quarter_sense},
    {"quarter_wave_loading", "line from pilot to chamber: quarter wave", UNIT_FREQUENCY,
     FIGURE_LINE, "", line_quarter_loading},
    {"quarter_wave_supply", "pilot's supply line: quarter wave", UNIT_FREQUENCY, FIGURE_LINE, "",
     line_quarter_supply},
    {"supply_low", "pilot's supply line: lowest pressure", UNIT_PRESSURE_LEVEL, FIGURE_LINE, "",
     line_low_supply},
    {"run_time", "time simulated", UNIT_TIME, FIGURE_RUN, "", run_time},
    {"mass_error", "mass balance error, share of throughput", UNIT_NONE, FIGURE_RUN, "",
     mass_error},
    {"energy_error", "energy balance error, share of throughput", UNIT_NONE, FIGURE_RUN, "",
     energy_error},
};

const struct figure *figure_at(size_t index) {
    return index < sizeof figures / sizeof figures[0] ? &figures[index] : NULL;
}

const struct figure *figure_find(const char *name) {
    for (size_t i = 0; figure_at(i); i++) {
        if (strcmp(figures[i].name, name) == 0) {
            return &figures[i];
        }
    }
    return NULL;
}

double figure_number(const struct figure *figure, double value,
                     const struct scenario_case *scenario, const char **unit) {
    *unit = units_shown(&scenario->site, figure->kind, scenario->units);
    if (!isfinite(value)) {
        return (double)NAN;
    }
    if (figure->kind == UNIT_NONE) {
        return value;
    }
    return units_from_si(&scenario->site, figure->kind, *unit, value);
}

void figure_text(const struct figure *figure, double value, const struct scenario_case *scenario,
                 char *text, size_t size) {
    const char *unit;
    double number = figure_number(figure, value, scenario, &unit);
    if (!isfinite(number)) {
        snprintf(text, size, "-");
        return;
    }
    bool both = unit[0] != '\0';
    snprintf(text, size, "%.4g%s%s%s", number, both || figure->per[0] ? " " : "", unit,
             figure->per);
}
