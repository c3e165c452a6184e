// SPDX-License-Identifier: MIT
// One simulation as a result.
#include "base/decimal.h"
#include "library/lowlift_result.h"
#include "library/lowlift_scenario.h"
#include "run/figure.h"
#include "scenario/shown.h"

#include <stdio.h>
#include <stdlib.h>

_Static_assert((int)CHANNEL_COUNT < (int)RESULT_CHANNELS_MAX, "time and all channels fit");

static void take_verdict(struct lowlift_result *result, const struct simulation *s) {
    bool whole = s->outcome == SIMULATION_DONE;
    result->verdict = whole ? verdict_name(s->judged.verdict) : "failed";
    snprintf(result->reason, sizeof result->reason, "%s", whole ? s->judged.reason : s->message);
}

static void take_figures(struct lowlift_result *result, const struct result_run *run) {
    const struct figure *f;
    for (size_t i = 0; (f = figure_at(i)) != NULL; i++) {
        const char *unit;
        double value = f->value(&run->simulation, &run->scenario);
        value = figure_number(f, value, &run->scenario, &unit);
        result_add_figure(result, f->name, value, unit, f->per);
    }
}

// False without memory.
static bool take_channels(struct lowlift_result *result, const struct result_run *run) {
    const struct simulation *s = &run->simulation;
    const struct scenario_case *scenario = &run->scenario;
    double *time = result_add_channel(result, "time", "s", s->count);
    for (size_t i = 0; time && i < s->count; i++) {
        time[i] = (double)i * s->step;
    }
    bool whole = time || s->count == 0;
    for (int c = 0; c < CHANNEL_COUNT; c++) {
        const struct channel_row *row = channel_row((enum channel)c);
        if (!channel_applies(&s->start.regulator, (enum channel)c)) {
            continue;
        }
        const char *unit = shown_unit(scenario, row->kind);
        const struct units_scale scale = units_scale_of(&scenario->site, row->kind, unit);
        double *value = result_add_channel(result, row->name, unit, s->count);
        if (value) {
            units_scale_numbers(&scale, s->channel[c], s->count, value);
        }
        whole = whole && (value || s->count == 0);
    }
    return whole;
}

// NULL without memory. Whoever keeps the run reads the channels there.
static struct lowlift_result *result_of(const struct result_run *run, bool keeps) {
    struct lowlift_result *result = NULL;
    if (run->simulation.outcome != SIMULATION_NO_MEMORY) {
        result = calloc(1, sizeof *result);
    }
    if (!result) {
        return NULL;
    }
    take_verdict(result, &run->simulation);
    take_figures(result, run);
    if (!keeps && !take_channels(result, run)) {
        lowlift_free(result);
        return NULL;
    }
    return result;
}

struct lowlift_result *lowlift_run(struct lowlift_scenario *handle, size_t trim) {
    struct lowlift_result *result = NULL;
    struct decimal decimal = decimal_begin();
    struct result_run *run = calloc(1, sizeof *run);
    if (run && scenario_ready(handle, trim, &run->scenario)) {
        simulate(&run->scenario, &run->simulation);
        result = result_of(run, handle->keep_runs);
        if (!result) {
            scenario_keep_no_memory(handle);
        }
    } else if (!run) {
        scenario_keep_no_memory(handle);
    }
    if (result && handle->keep_runs) {
        result->run = run;
    } else {
        result_free_run(run);
    }
    decimal_end(decimal);
    return result;
}
