// SPDX-License-Identifier: MIT
// Until when each trim of a scenario serves: windows, decline and the dates that follow. Computes
// only; decline_study_answer makes the answer of it.
#pragma once

#include "steady/trim_window.h"
#include "study/study_job.h"
#include "trims/outlook.h"

// What a user may ask, in this order.
enum decline_asked {
    DECLINE_UNTIL, // date up to which to look; not given: 30 years ahead
    DECLINE_KICK,
    DECLINE_DRAWS,
    DECLINE_MOST,
    DECLINE_CHECKPOINT,
    DECLINE_ASKED_COUNT
};

enum { DECLINE_DRAWS_USUAL = 40 };

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
    struct decline_trim trim[STUDY_TRIMS_MAX];
};

// Resolve, fit, and search the windows (not with draws, which are many regulators). Free with
// decline_study_close whatever the outcome.
enum study_status decline_study_open(struct study_job *job, const struct study_asked *asked,
                                     struct decline_study *out);
void decline_study_close(struct decline_study *study);

// Rate at a time [yr] and its bounds [kg/s], which a stated decline has not: NaN.
void decline_study_rate(const struct decline_study *study, double years, double rate[3]);

// All of it, as `lowlift decline` answers.
enum study_status decline_study_answer(struct study_job *job, const struct study_asked *asked,
                                       struct answer *answer);

// The same for the draws asked for, of a study opened with them.
enum study_status decline_among(struct study_job *job, const struct study_asked *asked,
                                const struct decline_study *study, struct answer *answer);

// Parts of it: the picture; a time [yr] as a date, NULL for none; the last date looked at; the
// outlook of a trim in one sentence. Texts live as long as the answer.
void decline_study_picture(const struct decline_study *study, struct answer *answer);
const char *decline_study_date(struct answer *answer, const struct decline_study *study,
                               double years);
const char *decline_study_end(struct answer *answer, const struct decline_study *study);
const char *decline_study_sentence(struct answer *answer, const struct decline_study *study,
                                   const struct decline_trim *trim);
