// SPDX-License-Identifier: MIT
// The envelope and the decline of a resolved scenario: whole, in order, and not said twice.
#include "base/calendar.h"
#include "scenario/scenario_resolution.h"

#include <math.h>

// First of some fields that a user gave, NULL if none.
static const char *outlook_given(const struct scenario_resolution *r, const char *const *paths) {
    for (size_t i = 0; paths[i]; i++) {
        if (resolution_given(r, paths[i])) {
            return paths[i];
        }
    }
    return NULL;
}

static void outlook_need(struct scenario_resolution *r, const char *path, const char *why) {
    if (!resolution_given(r, path)) {
        resolution_error(r, path, "is missing; %s", why);
    }
}

static void outlook_flows(struct scenario_resolution *r) {
    const struct envelope_options *e = &r->values.envelope;
    outlook_need(r, "envelope.lowest", "an envelope goes from a lowest to a peak flow");
    outlook_need(r, "envelope.peak", "an envelope goes from a lowest to a peak flow");
    if (e->lowest >= e->peak) {
        resolution_error(r, "envelope.peak", "found '%s'; must be above envelope.lowest, '%s'",
                         resolution_value(r, "envelope.peak")->text,
                         resolution_value(r, "envelope.lowest")->text);
        // The same flow in two units differs in the last digit.
    } else if (e->normal < (1.0 - 1e-12) * e->lowest || e->normal > (1.0 + 1e-12) * e->peak) {
        resolution_error(r, "envelope.normal",
                         "found '%s'; allowed from envelope.lowest, '%s', to envelope.peak, '%s'",
                         resolution_value(r, "envelope.normal")->text,
                         resolution_value(r, "envelope.lowest")->text,
                         resolution_value(r, "envelope.peak")->text);
    }
}

// The same as a run asks of its own set and line pressure.
static void outlook_pressure(struct scenario_resolution *r, const char *path, double pressure) {
    const struct regulator_parameters *model = &r->values.model;
    const bool set = r->values.envelope.pressure_of == ENVELOPE_SET;
    const struct schedule *other = set ? &model->boundary : &model->set_point;
    const double against = schedule_value(other, schedule_piece(other, 0.0), 0.0);
    const bool above = set == (model->duty == DUTY_BACK_PRESSURE);
    if (above ? pressure <= against : pressure >= against) {
        resolution_error(r, path, "found '%s'; must be %s the %s pressure",
                         resolution_value(r, path)->text, above ? "above" : "below",
                         !set                                ? "set"
                         : model->duty == DUTY_BACK_PRESSURE ? "downstream"
                                                             : "inlet");
    } else if (set && r->values.raw.pressure_limit <= pressure) {
        resolution_error(r, path, "found '%s'; must be below vessel.pressure_limit",
                         resolution_value(r, path)->text);
    }
}

static void outlook_pressures(struct scenario_resolution *r) {
    const struct envelope_options *e = &r->values.envelope;
    if (isnan(e->pressure_low) && isnan(e->pressure_high)) {
        return;
    }
    outlook_need(r, "envelope.pressure_low", "pressure_low and pressure_high go together");
    outlook_need(r, "envelope.pressure_high", "pressure_low and pressure_high go together");
    if (e->pressure_low > e->pressure_high) {
        resolution_error(r, "envelope.pressure_high",
                         "found '%s'; must not be below envelope.pressure_low, '%s'",
                         resolution_value(r, "envelope.pressure_high")->text,
                         resolution_value(r, "envelope.pressure_low")->text);
        return;
    }
    if (!isnan(e->pressure_low)) {
        outlook_pressure(r, "envelope.pressure_low", e->pressure_low);
    }
    if (!isnan(e->pressure_high)) {
        outlook_pressure(r, "envelope.pressure_high", e->pressure_high);
    }
}

static void outlook_date(struct scenario_resolution *r) {
    char message[CALENDAR_MESSAGE_SIZE];
    long day;
    const char *error = calendar_parse(r->values.decline.start, &day, message);
    if (error) {
        resolution_error(r, "decline.start", "found '%s'; %s", r->values.decline.start, error);
    }
}

static void outlook_stated(struct scenario_resolution *r) {
    const struct decline_options *d = &r->values.decline;
    static const char *const whole = "a decline is a kind, a start, a rate_start, an annual "
                                     "decline and its basis, or a record to fit";
    if (d->kind == DECLINE_BEST) {
        resolution_error(r, "decline.kind",
                         "'best' needs decline.record; allowed exponential, hyperbolic, harmonic");
    }
    outlook_need(r, "decline.start", whole);
    outlook_need(r, "decline.rate_start", whole);
    outlook_need(r, "decline.annual", whole);
    outlook_need(r, "decline.basis",
                 "say whether the annual decline is effective (share lost after one year) or "
                 "nominal (slope at the start)");
    if (resolution_given(r, "decline.basis") && d->basis == DECLINE_EFFECTIVE && d->annual >= 1.0) {
        resolution_error(r, "decline.annual",
                         "found '%s'; an effective decline is less than 100 %%; is it nominal?",
                         resolution_value(r, "decline.annual")->text);
    }
    if (d->kind == DECLINE_HYPERBOLIC) {
        outlook_need(r, "decline.exponent", "a hyperbolic decline has one");
    } else if (d->kind != DECLINE_BEST && resolution_given(r, "decline.exponent")) {
        resolution_error(r, "decline.exponent", "belongs to a hyperbolic decline");
    }
    if (d->kind == DECLINE_HYPERBOLIC && d->exponent == 0.0) {
        resolution_error(r, "decline.exponent", "found '%s'; 0 is an exponential decline",
                         resolution_value(r, "decline.exponent")->text);
    }
}

static void above(struct scenario_resolution *r, const char *path, double value, const char *other,
                  double than) {
    if (resolution_given(r, path) && resolution_given(r, other) && value <= than) {
        resolution_error(r, path, "found '%s'; must be above %s, '%s'",
                         resolution_value(r, path)->text, other, resolution_value(r, other)->text);
    }
}

// What only makes sense together.
static void outlook_readings(struct scenario_resolution *r) {
    static const char *const together[][3] = {
        {"readings.low_flow", "readings.held_at_low_flow", "readings.high_flow"},
        {"readings.high_flow", "readings.held_at_high_flow", "readings.low_flow"},
        {"readings.held_at_low_flow", "readings.low_flow", "readings.high_flow"},
        {"readings.held_at_high_flow", "readings.high_flow", "readings.low_flow"},
        {"readings.rise", "readings.rise_time", "readings.rise_time"},
        {"readings.rise_time", "readings.rise", "readings.rise"},
        {"readings.rise_flow", "readings.rise", "readings.rise_time"},
    };
    for (size_t i = 0; i < sizeof together / sizeof together[0]; i++) {
        for (size_t k = 1; k < 3 && resolution_given(r, together[i][0]); k++) {
            if (!resolution_given(r, together[i][k])) {
                resolution_error(r, together[i][k], "is missing; %s says nothing without it",
                                 together[i][0]);
            }
        }
    }
    const struct readings_options *o = &r->values.readings;
    above(r, "readings.high_flow", o->high_flow, "readings.low_flow", o->low_flow);
    above(r, "readings.full_travel", o->full_travel, "readings.first_movement", o->first_movement);
    above(r, "readings.leaves_full_travel", o->leaves_full_travel, "readings.last_movement",
          o->last_movement);
}

void resolution_check_outlook(struct scenario_resolution *r) {
    static const char *const envelope[] = {"envelope.lowest",
                                           "envelope.normal",
                                           "envelope.peak",
                                           "envelope.pressure_low",
                                           "envelope.pressure_high",
                                           "envelope.pressure_of",
                                           NULL};
    static const char *const stated[] = {"decline.rate_start", "decline.annual", "decline.basis",
                                         "decline.exponent", NULL};
    static const char *const either[] = {"decline.start", "decline.kind", "decline.residual", NULL};
    if (outlook_given(r, envelope)) {
        outlook_flows(r);
        outlook_pressures(r);
    }
    const char *path = outlook_given(r, stated);
    // An empty name takes back the record of the file: --set decline.record=
    const bool record = r->values.decline.record[0] != '\0';
    if (record && path) {
        resolution_error(r, path, "give this or decline.record, not both");
    } else if (!record && (path || outlook_given(r, either))) {
        outlook_stated(r);
    }
    if (r->values.decline.start[0]) {
        outlook_date(r);
    }
    outlook_readings(r);
}
