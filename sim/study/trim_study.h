// SPDX-License-Identifier: MIT
// The trims of a scenario over an envelope: window, openings, pressures, verdicts and advice, for
// the command `trims`. sim/show prints and draws it, by the last functions below.
#pragma once

#include "command/study_request.h"
#include "steady/trim_point.h"
#include "steady/trim_window.h"
#include "study/envelope.h"
#include "study/trim_choice.h"

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
    struct trim_record trim[STUDY_REQUEST_TRIMS_MAX];
    struct trim_choice choice;
    double today; // the scenario's own first flow [kg/s]
};

// Resolve, run and rank. `present` names the trim in place (NULL: the first of the file), `kick`
// the size of the kick as a user writes it (NULL: trim_window_kick). Returns an exit code, after a
// message unless EXIT_CODE_DONE. Free with trim_study_close either way.
int trim_study_open(const struct study_request *request, const char *present, const char *kick,
                    struct trim_study *out);
void trim_study_close(struct trim_study *study);

// The largest pressure at rest at the peak [Pa]; NaN without a point of rest.
double trim_study_peak_pressure(const struct trim_study *study, const struct trim_record *trim);

// The answer as a table and in words.
void trim_study_print(const struct trim_study *study);

// Table, summary and picture, as far as the request asks for them; an exit code.
int trim_study_write(const struct study_request *request, const struct trim_study *study);
