// SPDX-License-Identifier: MIT
// An uncertainty study in plain words, as a table (CSV), as a summary (JSON) and as a picture.
// Reads a finished study.
#pragma once

#include "command/study_request.h"
#include "study/uncertainty_summary.h"

#include <stdio.h>

// Everything the words and files are made from. `scenario` is any trim of the scenario, resolved:
// it gives units and title.
struct uncertainty_report {
    const struct study_request *request;
    const struct uncertainty *study;
    const struct scenario_case *scenario;
    const struct uncertainty_summary *summary; // [trims][flows]
    double share;                              // of a guess, either way
};

// What was drawn, how often each verdict came out, and what to measure first. With `full` every
// uncertain value is listed with its range.
void uncertainty_report_print(FILE *out, const struct uncertainty_report *report, bool full);

// "trim full at 0.15 MMscf/d": a case as it is named in words and pictures.
void uncertainty_report_case(const struct uncertainty_report *report, size_t trim, size_t flow,
                             char *text, size_t size);

// What the values of a case are ranked by, in words.
const char *uncertainty_report_measure(enum severity_column measure);

// Files and picture as the request asks for. Exit code.
int uncertainty_report_write(const struct uncertainty_report *report);

// The picture alone. Exit code.
int uncertainty_report_draw(const struct uncertainty_report *report);
