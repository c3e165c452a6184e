// SPDX-License-Identifier: MIT
// A logger's record as a match needs it: how often, how far, and the wave of a typical cycle. The
// same is measured of a run as the logger would have seen it: at its times, in its last digits, and
// with its noise.
#pragma once

#include "models/regulator.h"
#include "run/simulate.h"
#include "site/logger.h"
#include "site/match_wave.h"
#include "site/site_record.h"

// Channels beside the controlled pressure (match_beside.h), and numbers of each.
enum match_beside { BESIDE_CHAMBER, BESIDE_TRAVEL, BESIDES };
enum match_beside_feature {
    BESIDE_SWING, // of a typical cycle [Pa], [m] or [-]
    BESIDE_MEAN,
    BESIDE_WAVE, // about the mean, at phases of a cycle of the pressure
    BESIDE_FEATURES = BESIDE_WAVE + MATCH_PHASES
};

// Numbers of a record or a run, from MATCH_FEATURES of a row of results on.
enum match_feature {
    FEATURE_FREQUENCY, // [Hz]
    FEATURE_SWING,     // of a typical cycle [Pa]
    FEATURE_WAVE,      // pressure about its mean at phases of a cycle from a rising crossing [Pa]
    FEATURE_BESIDE = FEATURE_WAVE + MATCH_PHASES,
    MATCH_RECORD_FEATURES = FEATURE_BESIDE + BESIDES * BESIDE_FEATURES
};

struct match_record {
    bool enough; // there is a record, and it can be matched
    const char *path;
    struct record_judgement judged;
    double interval, noise, quantum;              // of its samples [s], [Pa], [Pa]
    double feature[MATCH_RECORD_FEATURES];        // NaN where it cannot be said
    double low[MATCH_PHASES], high[MATCH_PHASES]; // 10 % and 90 % of its cycles [Pa]
    size_t cycles;
    bool us;               // written in US units
    double set_gauge;      // of the scenario, above the atmosphere [Pa]
    bool beside[BESIDES];  // channels there are
    double level[BESIDES]; // to which the mean of each is known, at least
    bool travel_share;     // travel is a share of the full travel, else [m]
};

// How the record is to be read.
struct match_record_asked {
    const char *path;
    const char *column, *unit;
    const char *chamber, *travel; // columns; NULL: none
    struct unit_context site;
    double set_pressure; // of the scenario, absolute [Pa]
};

// Read and judge. False when it is no witness for a match: `why` then says what is wrong with it
// (or `list` does): it does not move, is sampled too slowly, or is of a pressure that is not this
// regulator's.
bool match_record_read(struct match_record *record, const struct match_record_asked *asked,
                       char *why, size_t size, struct diagnostics *list);

// Features of an even signal; false with fewer than two whole cycles.
bool match_record_measure(const double *even, size_t count, double interval,
                          struct match_record *out);

// The same of a run, as the logger would have recorded it.
void match_record_measure_run(const struct match_record *record, const struct simulation *run,
                              const struct regulator_parameters *model, size_t seed,
                              double feature[MATCH_RECORD_FEATURES]);

// Logarithm of how well features fit the record, 0: as well as they could; `distance` in
// tolerances, of the worst of them.
double match_record_fit(const struct match_record *record, const double *feature, double *distance);

// How far the waves lie apart: root of the mean square over the swing of the record [-].
double match_record_apart(const struct match_record *record, const double *feature);
