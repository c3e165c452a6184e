// SPDX-License-Identifier: MIT
// How the flow of a scenario will decline: stated in its `decline` section, or fitted to a record
// of dates and rates named there. Flows are those of the model [kg/s]; years are counted from
// `day`.
#pragma once

#include "base/arena.h"
#include "base/diagnostic.h"
#include "maths/arps_fit.h"
#include "scenario/scenario.h"

struct decline {
    struct arps curve; // [kg/s]
    long day;          // of year 0, from 1970-01-01 (sim/base/calendar.h)
    double today;      // from when on the outlook counts: year 0, or the last rate of a record [yr]
    bool fitted;       // the rest holds only then
    enum arps_model model;
    struct arps_fit fit[ARPS_MODEL_COUNT];
    struct arps_record record; // rates that took part
    size_t skipped;            // rates of nothing: the well was shut in
    size_t earlier;            // rates before decline.start
    char reason[320];          // why this law
    struct arena memory;
};

// Fill from the scenario a case was resolved from. Returns false after an error in the list, such
// as a record that does not decline. Free with decline_free either way.
bool decline_prepare(struct scenario *scenario, const struct scenario_case *resolved,
                     struct decline *out, struct diagnostics *list);
void decline_free(struct decline *decline);

// The date of a time [yr], as sim/base/calendar.h writes it.
void decline_date(const struct decline *decline, double years, char *text);

// The law in words, such as "hyperbolic, b 0.52, 48 % in the first year (nominal 0.93 a year)".
void decline_words(const struct decline *decline, char *text, size_t size);
