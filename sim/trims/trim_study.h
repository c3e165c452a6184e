// SPDX-License-Identifier: MIT
// The trims of a scenario over an envelope: window, openings, pressures, verdicts and advice.
// Computes only; trim_study_answer makes the answer of it.
#pragma once

#include "base/arena.h"
#include "steady/trim_point.h"
#include "steady/trim_window.h"
#include "study/study_job.h"
#include "trims/envelope.h"
#include "trims/trim_choice.h"

// What a user may ask, in this order. The first ones stand for fields of the envelope.
enum trims_asked {
    TRIMS_LOWEST,
    TRIMS_NORMAL,
    TRIMS_PEAK,
    TRIMS_PRESSURE_LOW,
    TRIMS_PRESSURE_HIGH,
    TRIMS_PRESSURE_OF,
    TRIMS_PRESENT, // the trim in place; not given: the first of the file
    TRIMS_KICK,
    TRIMS_DRAWS,
    TRIMS_MOST,
    TRIMS_CHECKPOINT,
    TRIMS_ASKED_COUNT
};
enum { TRIMS_FIELDS = TRIMS_PRESENT, TRIMS_DRAWS_USUAL = 100 };

struct trim_record {
    const char *name;
    int parts;       // 0: in place, or the same as what is
    double adjusted; // flow at which the set screw was turned [kg/s]; NaN: none holds the pressure
    struct trim_window window;                     // common to all pressures
    struct trim_window at[ENVELOPE_PRESSURES_MAX]; // one each
    struct trim_point point[ENVELOPE_FLOW_COUNT][ENVELOPE_PRESSURES_MAX];
    enum verdict worst;     // of the points
    double worst_swing;     // largest of the points [Pa]
    enum verdict today;     // of the scenario as it stands
    double today_swing;     // [Pa]
    double today_seat_rate; // seat contacts [1/min]
    size_t rank;            // 1: the best
    struct trim_rank judged;
};

struct trim_study {
    struct scenario_case scenario; // of the first trim
    struct envelope envelope;
    struct trim_window_search search;
    size_t count;
    struct trim_record trim[STUDY_TRIMS_MAX];
    struct trim_choice choice;
    double today; // the scenario's own first flow [kg/s]
    // The job's overrides and, after them, the fields asked for: what opens the scenario anew needs
    // both.
    const char **overrides;
    size_t override_count;
    struct arena memory;
};

// Take what was asked into the scenario of the job, resolve, run and rank; with draws, which are
// many regulators, only the first two. Free with trim_study_close whatever the outcome.
enum study_status trim_study_open(struct study_job *job, const struct study_asked *asked,
                                  struct trim_study *out);
void trim_study_close(struct trim_study *study);

// The largest pressure at rest at the peak [Pa]; NaN without a point of rest.
double trim_study_peak_pressure(const struct trim_study *study, const struct trim_record *trim);

// All of it, as `lowlift trims` answers.
enum study_status trim_study_answer(struct study_job *job, const struct study_asked *asked,
                                    struct answer *answer);

// The same for the draws asked for, of a study opened with them.
enum study_status trim_among(struct study_job *job, const struct study_asked *asked,
                             const struct trim_study *study, struct answer *answer);

// Parts of it: the picture, and the advice in a few words, with the name of a trim to fit.
void trim_study_picture(const struct trim_study *study, struct answer *answer);
const char *trim_study_advice(const struct trim_study *study, struct answer *answer);
