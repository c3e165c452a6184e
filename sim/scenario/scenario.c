// SPDX-License-Identifier: MIT
// What a scenario holds, once it is read.
#include "scenario/scenario_data.h"

#include "base/nearest.h"

#include <stdlib.h>
#include <string.h>

void scenario_free(struct scenario *scenario) {
    if (!scenario) {
        return;
    }
    arena_free(&scenario->memory);
    free(scenario);
}

const struct scenario_trim *scenario_trim_at(const struct scenario *scenario, size_t index) {
    const struct scenario_trim *trim = scenario->trims;
    while (trim && index-- > 0) {
        trim = trim->next;
    }
    return trim;
}

size_t scenario_trim_count(const struct scenario *scenario) {
    size_t count = 0;
    for (const struct scenario_trim *trim = scenario->trims; trim; trim = trim->next) {
        count++;
    }
    return count ? count : 1;
}

const char *scenario_trim_name(const struct scenario *scenario, size_t index) {
    const struct scenario_trim *trim = scenario_trim_at(scenario, index);
    return trim ? trim->name : "trim";
}

size_t scenario_trim_find(const struct scenario *scenario, const char *name,
                          struct diagnostics *out) {
    const size_t count = scenario_trim_count(scenario);
    struct nearest search = nearest_start(name);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(scenario_trim_name(scenario, i), name) == 0) {
            return i;
        }
        nearest_offer(&search, scenario_trim_name(scenario, i));
    }
    if (!out) {
        return count;
    }
    const struct place place = {scenario->name, 0, 0};
    if (search.best) {
        diagnostics_error(out, place, "no trim '%s'; did you mean %s?", name, search.best);
    } else {
        diagnostics_error(out, place, "no trim '%s'; it has %s%s", name,
                          scenario_trim_name(scenario, 0), count > 1 ? " and others" : "");
    }
    return count;
}

const char *scenario_name(const struct scenario *scenario) {
    return scenario->name;
}

const char *scenario_title(const struct scenario *scenario) {
    return scenario->values[field_index("", "title")].text;
}

const char *scenario_teaches(const struct scenario *scenario) {
    return scenario->values[field_index("", "teaches")].text;
}

size_t scenario_expect_count(const struct scenario *scenario) {
    return scenario->expect_count;
}

const struct scenario_expect *scenario_expect_at(const struct scenario *scenario, size_t index) {
    return index < scenario->expect_count ? &scenario->expects[index] : NULL;
}

const struct field_value *scenario_value(const struct scenario *scenario,
                                         const struct scenario_trim *trim, size_t index) {
    if (trim && index >= scenario->trim_first &&
        index < scenario->trim_first + scenario->trim_rows) {
        const struct field_value *own = &trim->values[index - scenario->trim_first];
        if (own->provenance != PROVENANCE_NONE) {
            return own;
        }
    }
    return &scenario->values[index];
}

size_t scenario_observed_count(const struct scenario *scenario) {
    return scenario->observed_count;
}

const struct scenario_observed *scenario_observed_at(const struct scenario *scenario,
                                                     size_t index) {
    return index < scenario->observed_count ? &scenario->observed[index] : NULL;
}
