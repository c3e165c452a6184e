// SPDX-License-Identifier: MIT
// Short ways to call lowlift.h and to compare all that it says.
#pragma once

#include "fixture_scenario.h"
#include "support.h"

#include "lowlift.h"

#include <stdlib.h>

static inline struct lowlift_scenario *open_pilot(void) {
    return lowlift_open_text("test.yaml", pilot_scenario, strlen(pilot_scenario));
}

static inline void assert_says(const struct lowlift_scenario *scenario, const char *words) {
    if (!strstr(lowlift_errors(scenario), words)) {
        print_error("errors are '%s', expected '%s'\n", lowlift_errors(scenario), words);
        fail();
    }
}

// Everything a result says, as one text with all bits of its numbers.
static inline char *everything(const struct lowlift_result *result) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    fprintf(out, "%s: %s\n", lowlift_verdict(result), lowlift_reason(result));
    for (size_t i = 0; i < lowlift_figure_count(result); i++) {
        const char *unit;
        double value = lowlift_figure(result, lowlift_figure_name(result, i), &unit);
        fprintf(out, "%s %a %s\n", lowlift_figure_name(result, i), value, unit);
    }
    for (size_t i = 0; i < lowlift_channel_count(result); i++) {
        size_t count;
        const char *unit;
        const double *value =
            lowlift_channel(result, lowlift_channel_name(result, i), &count, &unit);
        fprintf(out, "%s [%s] %zu", lowlift_channel_name(result, i), unit, count);
        for (size_t k = 0; k < count; k++) {
            fprintf(out, " %a", value[k]);
        }
        fputc('\n', out);
    }
    assert_int_equal(fclose(out), 0);
    return text;
}

// Both texts as one; they are freed.
static inline char *join(char *one, char *two) {
    char *both = malloc(strlen(one) + strlen(two) + 1);
    assert_non_null(both);
    strcat(strcpy(both, one), two);
    free(one);
    free(two);
    return both;
}
