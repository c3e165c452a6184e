// SPDX-License-Identifier: MIT
// What the draws of one trim at one flow say: how often each verdict, and which uncertain value
// goes with the outcome. Reads a finished study, and prints nothing.
#pragma once

#include "among/uncertainty.h"

// How sure an interval is to hold the true share.
#define UNCERTAINTY_CONFIDENCE 0.95
// A correlation is beyond chance when its chance times the number of uncertain values is below
// this.
#define UNCERTAINTY_BEYOND_CHANCE 0.05

struct uncertainty_effect {
    size_t input;
    double severity; // Spearman's rank correlation of the value with the severity ...
    double swing;    // ... with the pressure swing ...
    double growth;   // ... and with the growth of the slowest small motion to die out. Above 0
                     // always means: more of it is worse. NaN where one of them does not vary
    double leading;  // that of the measure that decides, below
    double chance;   // probability of a leading one so strong by chance alone
    double share;    // of the variance of the measure's ranks that goes with this value alone; NaN
                     // for less than 20 draws
};

struct uncertainty_summary {
    size_t draws; // that count: those of all shares below
    size_t count[SEVERITY_OUTCOMES];
    struct statistics_interval share[SEVERITY_COUNTED];
    size_t moving; // draws worse than forced: they move by themselves, or fail
    struct statistics_interval moving_share;
    // What the values are ranked by: the severity, or the growth of small motions when more than
    // nine of ten draws are equally severe; SEVERITY_COLUMNS when neither varies.
    enum severity_column measure;
    size_t effect_count;
    struct uncertainty_effect effect[UNCERTAINTY_INPUTS_MAX]; // strongest first
    size_t telling;                                           // so many of them are beyond chance
};

// Returns false without memory.
bool uncertainty_summarise(const struct uncertainty *study, size_t trim, size_t flow,
                           struct uncertainty_summary *out);
