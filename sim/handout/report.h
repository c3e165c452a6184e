// SPDX-License-Identifier: MIT
// The report of a comparison or any study, as one HTML file. Knows no study by name: it is handed
// questions and the calls that answer them.
#pragma once

#include "study/study_job.h"

enum { REPORT_PARTS_MAX = 8, REPORT_ASKED_MAX = 32 };

struct report_part {
    bool each_trim;       // it answers about one trim at a time, and is asked for each of the job
    const char *question; // one sentence
    struct study_asked asked[REPORT_ASKED_MAX]; // its options, in its own order
    enum study_status (*answer)(struct study_job *job, const struct study_asked *asked,
                                struct answer *answer);
};

struct report {
    const char *command_line; // by which it is made again
    const char *question;     // of the comparison
    size_t parts;             // further studies; the first leads
    struct report_part part[REPORT_PARTS_MAX];
};

// Runs the trims of the job and all studies, and writes the report to a path.
enum study_status report_write(struct study_job *job, const struct report *report,
                               const char *path);
