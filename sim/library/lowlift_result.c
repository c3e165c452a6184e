// SPDX-License-Identifier: MIT
#include "library/lowlift_result.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void result_add_figure(struct lowlift_result *result, const char *name, double value,
                       const char *unit, const char *per) {
    assert(result->figure_count < RESULT_FIGURES_MAX);
    struct result_figure *f = &result->figure[result->figure_count++];
    f->name = name;
    f->value = value;
    snprintf(f->unit, sizeof f->unit, "%s%s", unit, per);
}

double *result_add_channel(struct lowlift_result *result, const char *name, const char *unit,
                           size_t count) {
    assert(result->channel_count < RESULT_CHANNELS_MAX);
    struct result_channel *c = &result->channel[result->channel_count++];
    c->name = name;
    c->unit = unit;
    c->value = count > 0 ? malloc(count * sizeof *c->value) : NULL;
    c->count = c->value ? count : 0;
    return c->value;
}

void result_free_run(struct result_run *run) {
    if (run) {
        simulation_free(&run->simulation);
        scenario_case_free(&run->scenario);
        free(run);
    }
}

const char *lowlift_verdict(const struct lowlift_result *result) {
    return result ? result->verdict : NULL;
}

const char *lowlift_reason(const struct lowlift_result *result) {
    return result ? result->reason : NULL;
}

size_t lowlift_figure_count(const struct lowlift_result *result) {
    return result ? result->figure_count : 0;
}

const char *lowlift_figure_name(const struct lowlift_result *result, size_t figure) {
    return figure < lowlift_figure_count(result) ? result->figure[figure].name : NULL;
}

double lowlift_figure(const struct lowlift_result *result, const char *name, const char **unit) {
    const struct result_figure *found = NULL;
    for (size_t i = 0; name && i < lowlift_figure_count(result); i++) {
        found = strcmp(result->figure[i].name, name) == 0 ? &result->figure[i] : found;
    }
    if (unit) {
        *unit = found ? found->unit : NULL;
    }
    return found ? found->value : (double)NAN;
}

size_t lowlift_channel_count(const struct lowlift_result *result) {
    return result ? result->channel_count : 0;
}

const char *lowlift_channel_name(const struct lowlift_result *result, size_t channel) {
    return channel < lowlift_channel_count(result) ? result->channel[channel].name : NULL;
}

const double *lowlift_channel(const struct lowlift_result *result, const char *name, size_t *count,
                              const char **unit) {
    const struct result_channel *found = NULL;
    for (size_t i = 0; name && i < lowlift_channel_count(result); i++) {
        found = strcmp(result->channel[i].name, name) == 0 ? &result->channel[i] : found;
    }
    if (count) {
        *count = found ? found->count : 0;
    }
    if (unit) {
        *unit = found ? found->unit : NULL;
    }
    return found ? found->value : NULL;
}

void lowlift_free(struct lowlift_result *result) {
    if (result) {
        for (size_t i = 0; i < result->channel_count; i++) {
            free(result->channel[i].value);
        }
        result_free_run(result->run);
        free(result);
    }
}
