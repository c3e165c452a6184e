// SPDX-License-Identifier: MIT
#include "trims/decline.h"

#include "base/calendar.h"
#include "scenario/scenario_data.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

// Difference of the Akaike criterion below which two laws count as equally good: K. P. Burnham,
// D. R. Anderson, "Model Selection and Multimodel Inference" (2002), section 2.6.
#define HARDLY_BETTER 2.0

static const char *const record_label = "decline.record";

static struct place field_place(const struct scenario *scenario, const char *path) {
    const struct field_value *value = scenario_value(scenario, NULL, field_index_of(path));
    return value->place.line > 0 ? value->place : (struct place){scenario->name, 1, 1};
}

static bool stated(const struct scenario_case *resolved, struct decline *out) {
    const struct decline_options *d = &resolved->decline;
    char message[CALENDAR_MESSAGE_SIZE];
    // Read before, when the scenario was resolved.
    if (calendar_parse(d->start, &out->day, message)) {
        return false;
    }
    const double exponent = d->kind == DECLINE_EXPONENTIAL ? 0.0
                            : d->kind == DECLINE_HARMONIC  ? 1.0
                                                           : d->exponent;
    out->model = (enum arps_model)(d->kind - DECLINE_EXPONENTIAL);
    out->curve = (struct arps){.rate = d->rate_start, .exponent = exponent};
    out->curve.nominal =
        d->basis == DECLINE_NOMINAL ? d->annual : arps_nominal(d->annual, exponent);
    return true;
}

// The rates that take part: those from decline.start on, without shut-in days.
static bool take_rates(const struct scenario *scenario, const struct scenario_case *resolved,
                       const struct schedule_input *input, struct decline *out,
                       struct diagnostics *list) {
    const struct place place = field_place(scenario, record_label);
    double *years = arena_alloc(&out->memory, input->count * sizeof *years);
    double *rate = arena_alloc(&out->memory, input->count * sizeof *rate);
    if (!years || !rate) {
        diagnostics_no_memory(list);
        return false;
    }
    char message[CALENDAR_MESSAGE_SIZE];
    long from = (long)input->time[0];
    if (resolved->decline.start[0] && calendar_parse(resolved->decline.start, &from, message)) {
        return false;
    }
    size_t count = 0;
    for (size_t i = 0; i < input->count; i++) {
        char date[CALENDAR_TEXT_SIZE];
        double si = (double)NAN;
        const char *error = units_to_si(&resolved->site, &input->value[i], &si);
        calendar_format(input->time[i], date);
        if (error || si < 0.0) {
            diagnostics_error(list, place, "%s: the rate of %s: %s", record_label, date,
                              error ? error : "found less than nothing");
            return false;
        }
        if (input->time[i] < (double)from) {
            out->earlier++;
        } else if (si == 0.0) {
            out->skipped++;
        } else {
            out->day = count == 0 ? (long)input->time[i] : out->day;
            years[count] = (input->time[i] - (double)out->day) / CALENDAR_YEAR;
            rate[count++] = si;
        }
    }
    out->record = (struct arps_record){count, years, rate};
    return true;
}

static void say_choice(struct decline *out) {
    size_t used = 0;
    const struct arps_fit *best = &out->fit[out->model];
    used += (size_t)snprintf(out->reason, sizeof out->reason, "lowest corrected Akaike criterion");
    const struct arps_fit *close = NULL;
    for (int i = 0; i < ARPS_MODEL_COUNT; i++) {
        const struct arps_fit *fit = &out->fit[i];
        if (fit == best) {
            continue;
        }
        if (fit->status != ARPS_FITTED) {
            used += (size_t)snprintf(out->reason + used, sizeof out->reason - used, "; %s: no fit",
                                     arps_model_name(fit->model));
            continue;
        }
        used +=
            (size_t)snprintf(out->reason + used, sizeof out->reason - used, "; %s is %.3g higher",
                             arps_model_name(fit->model), fit->score - best->score);
        if (fit->score - best->score < HARDLY_BETTER && (!close || fit->score < close->score)) {
            close = fit;
        }
    }
    if (close) {
        snprintf(out->reason + used, sizeof out->reason - used,
                 "; the record hardly tells it from %s", arps_model_name(close->model));
    }
}

static bool choose(const struct scenario_case *resolved, struct decline *out,
                   struct diagnostics *list, struct place place) {
    const enum decline_kind kind = resolved->decline.kind;
    const size_t best = arps_fit_best(out->fit, ARPS_MODEL_COUNT);
    out->model = kind == DECLINE_BEST ? (enum arps_model)(best % ARPS_MODEL_COUNT)
                                      : (enum arps_model)(kind - DECLINE_EXPONENTIAL);
    const struct arps_fit *fit = &out->fit[out->model];
    switch (fit->status) {
    case ARPS_FITTED:
        break;
    case ARPS_TOO_FEW:
        diagnostics_error(list, place,
                          "%s: found %zu rates above nothing; allowed %zu or more, not all of one "
                          "day",
                          record_label, out->record.count, fit->parameters + 3);
        return false;
    case ARPS_NOT_DECLINING:
        diagnostics_error(list, place,
                          "%s: the rates do not fall; allowed a record of a well in decline "
                          "(decline.start leaves out what came before)",
                          record_label);
        return false;
    case ARPS_NOT_CONVERGED:
        diagnostics_error(list, place, "%s: the %s fit does not converge; name another kind",
                          record_label, arps_model_name(out->model));
        return false;
    }
    out->curve = fit->curve;
    if (kind == DECLINE_BEST) {
        say_choice(out);
    } else {
        snprintf(out->reason, sizeof out->reason, "named in the scenario");
    }
    return true;
}

static bool fitted(struct scenario *scenario, const struct scenario_case *resolved,
                   struct decline *out, struct diagnostics *list) {
    const struct place place = field_place(scenario, record_label);
    struct schedule_input input = {0};
    if (!scenario_read_dated_record(scenario, record_label, resolved->decline.record, place, &input,
                                    list) ||
        !take_rates(scenario, resolved, &input, out, list)) {
        return false;
    }
    out->fitted = true;
    const enum arps_residual residual =
        resolved->decline.residual == DECLINE_OF_RATE ? ARPS_RATE : ARPS_LOG_RATE;
    for (int i = 0; i < ARPS_MODEL_COUNT; i++) {
        arps_fit(&out->record, (enum arps_model)i, residual, &out->fit[i]);
    }
    out->today = out->record.count > 0 ? out->record.years[out->record.count - 1] : 0.0;
    return choose(resolved, out, list, place);
}

bool decline_prepare(struct scenario *scenario, const struct scenario_case *resolved,
                     struct decline *out, struct diagnostics *list) {
    *out = (struct decline){0};
    if (resolved->decline.record[0]) {
        return fitted(scenario, resolved, out, list);
    }
    if (resolved->decline.kind == DECLINE_BEST) {
        diagnostics_error(list, (struct place){scenario->name, 1, 1},
                          "decline: is missing; allowed a section with kind, start, rate_start, "
                          "annual and basis, or with record: FILE.csv");
        return false;
    }
    return stated(resolved, out);
}

void decline_free(struct decline *decline) {
    arena_free(&decline->memory);
}

void decline_date(const struct decline *decline, double years, char *text) {
    calendar_format((double)decline->day + years * CALENDAR_YEAR, text);
}

void decline_words(const struct decline *decline, char *text, size_t size) {
    char exponent[32] = "";
    if (decline->model == ARPS_HYPERBOLIC) {
        snprintf(exponent, sizeof exponent, ", b %.3g", decline->curve.exponent);
    }
    snprintf(text, size, "%s%s, %.3g %% in the first year (nominal %.3g a year)",
             arps_model_name(decline->model), exponent,
             100.0 * arps_effective(decline->curve.nominal, decline->curve.exponent),
             decline->curve.nominal);
}
