// SPDX-License-Identifier: MIT
// The working state of one judgement, shared by the files that make it: verdict.c (order of the
// questions), verdict_rest.c (does it come to rest), verdict_motion.c (what keeps moving). Not for
// anybody else.
#pragma once

#include "judge/turning.h"
#include "judge/verdict.h"

struct view {
    struct series series; // after `from`
    double rest;          // swing that counts as rest
    double swing;         // in the quiet window
    double slope;         // in the quiet window [1/s]
    struct trend trend;
    bool holds;             // the trend is one
    double cycle_frequency; // mean over the cycles kept [Hz]
    size_t cycle_count;     // cycles in the later half of the record
};

struct verdict_study {
    const struct verdict_input *input;
    const struct verdict_limits *limits;
    struct verdict_result *result;
    struct view pressure;
    struct view travel;
    double start;
    double end;
    double quiet; // length of the quiet window [s]
    bool at_limit;
    bool last_chance; // and what is not decided now never will be
    bool coarse;      // samples too wide apart for the cycles seen
};

// Measure both signals after `from`: quiet window, swing, slope, trend.
void verdict_study_begin(struct verdict_study *study);

// Set verdict, decided and reason; always true.
bool verdict_study_say(struct verdict_study *study, enum verdict verdict, bool decided,
                       const char *format, ...) __attribute__((format(printf, 4, 5)));

// Figures from the given time to the end of the record, and those of a trend.
void verdict_study_measure(struct verdict_study *study, double from);
void verdict_study_set_trend(struct verdict_study *study, const struct trend *trend);

// Whether pressure or plug drift, slowly, out of what counts as rest.
bool verdict_study_is_creeping(const struct verdict_study *study);

size_t verdict_study_contacts_since(const struct verdict_study *study, double from);

// The signal with the larger swing, measured in swings of rest: the one that tells the story.
struct view *verdict_study_leading(struct verdict_study *study);
bool view_decays(const struct view *view);

// The motion after `from`.
struct motion verdict_study_motion(const struct verdict_study *study);

// Say what keeps moving in the window the figures were measured in. With contact the words are
// slamming and chatter, whatever the motion; without, `quiet_seat`. Always true.
bool verdict_study_say_motion(struct verdict_study *study, enum verdict quiet_seat,
                              const char *how);

// The questions. Each is true when it has answered.
bool verdict_study_rest(struct verdict_study *study); // at rest for long enough?
bool verdict_study_decay(
    struct verdict_study *study); // clear exponential decay, whose end is known early?
bool verdict_study_cycle(struct verdict_study *study,
                         struct view *view); // limit cycle by the rises of a signal?
bool verdict_study_irregular(
    struct verdict_study *study); // motion that neither repeats nor develops?
