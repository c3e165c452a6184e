// SPDX-License-Identifier: MIT
// What a logger recorded beside the controlled pressure, as a match needs it: chamber pressure and
// travel over a typical cycle of the pressure, with where they stand. The same is measured of a
// run.
#pragma once

#include "site/match_record.h"

#include "models/regulator.h"

// Take the channels that the logger has, at the even times of the pressure. Those that do not move
// are left out. False after a report of one that cannot be read: a travel of an unknown unit.
bool match_beside_take(struct match_record *record, const struct logger *logger,
                       const double *pressure, size_t count, double begin,
                       struct diagnostics *list);

// The pressure of a run at even times, from sample `first` of its record on.
struct match_beside_clock {
    const double *pressure;
    size_t count, first;
};

// The same of a run.
void match_beside_run(const struct match_record *record, const struct simulation *run,
                      const struct regulator_parameters *model,
                      const struct match_beside_clock *clock, double *feature);

// Logarithm of how well the features fit, 0: as well as they could; `distance` in tolerances, of
// the worst of them. 0 without such channels.
double match_beside_fit(const struct match_record *record, const double *feature, double *distance);

// Channels used.
size_t match_beside_count(const struct match_record *record);
