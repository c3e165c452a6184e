// SPDX-License-Identifier: MIT
// Until when each trim of a scenario serves: windows, decline and the dates that follow, for the
// command `decline`. sim/show prints and draws it, by the last functions below.
#pragma once

#include "command/study_request.h"
#include "steady/trim_window.h"
#include "study/outlook.h"

struct decline_trim {
    const char *name;
    double adjusted; // flow at which the set screw was turned [kg/s]; NaN: none holds the pressure
    struct trim_window window;
    struct outlook outlook;
};

struct decline_study {
    struct scenario_case scenario; // of the first trim: units and decline are common
    struct decline decline;
    struct trim_window_search search;
    double horizon; // dates are looked for up to here [yr of the decline]
    size_t count;
    struct decline_trim trim[STUDY_REQUEST_TRIMS_MAX];
    const char *flow_unit;
};

// Resolve, fit, and search the windows. `until` is the date up to which to look (NULL: 30 years
// ahead), `kick` the size of the kick (NULL: trim_window_kick), both as a user writes them. Returns
// an exit code, after a message unless EXIT_CODE_DONE. Free with decline_study_close either way.
int decline_study_open(const struct study_request *request, const char *until, const char *kick,
                       struct decline_study *out);
void decline_study_close(struct decline_study *study);

// A flow in the unit shown.
double decline_study_flow(const struct decline_study *study, double flow);

// Rate at a time [yr] and its bounds [kg/s], which a stated decline has not: NaN.
void decline_study_rate(const struct decline_study *study, double years, double rate[3]);

// The answer in a table and one sentence a trim.
void decline_study_print(const struct decline_study *study);

// Tables, summary and picture, as far as the request asks for them, and the picture alone; exit
// codes.
int decline_study_write(const struct study_request *request, const struct decline_study *study);
int decline_study_draw(const struct study_request *request, const struct decline_study *study);
