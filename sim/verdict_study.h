// SPDX-License-Identifier: MIT
// The working state of one judgement, shared by the files that make it: verdict.c (order of the
// questions), verdict_rest.c (does it come to rest), verdict_motion.c (what keeps moving). Not for
// anybody else.
#pragma once

#include "turning.h"
#include "verdict.h"

struct view {
    struct series series; // after `from`
    double rest;          // swing that counts as rest
    double swing;         // in the quiet window
    double slope;         // in the quiet window [1/s]
    struct trend trend;
    bool holds;         // the trend is one
    size_t cycle_count; // cycles in the later half of the record
};

struct study {
    const struct verdict_input *input;
    const struct verdict_limits *limits;
    struct verdict_result *result;
    struct view pressure;
    struct view travel;
    double start;
    double end;
    double quiet; // length of the quiet window [s]
    bool at_limit;
    bool coarse; // samples too wide apart for the cycles seen
};

// Measure both signals after `from`: quiet window, swing, slope, trend.
void study_begin(struct study *study);

// Set verdict, decided and reason; always true.
bool study_say(struct study *study, enum verdict verdict, bool decided, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

// Figures from the given time to the end of the record, and those of a trend.
void study_measure(struct study *study, double from);
void study_set_trend(struct study *study, const struct trend *trend);

size_t study_contacts_since(const struct study *study, double from);

// The signal with the larger swing, measured in swings of rest: the one that tells the story.
struct view *study_leading(struct study *study);
bool view_decays(const struct view *view);

// The motion after `from`.
struct motion study_motion(const struct study *study);

// Say what keeps moving in the window the figures were measured in. With contact the words are
// slamming and chatter, whatever the motion; without, `quiet_seat`. Always true.
bool study_say_motion(struct study *study, enum verdict quiet_seat, const char *how);

// The questions. Each is true when it has answered.
bool study_rest(struct study *study);  // at rest for long enough?
bool study_decay(struct study *study); // clear exponential decay, whose end is known early?
bool study_cycle(struct study *study, struct view *view); // limit cycle by the rises of a signal?
bool study_irregular(struct study *study); // motion that neither repeats nor develops?
