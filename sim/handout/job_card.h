// SPDX-License-Identifier: MIT
// The job card: for the crew that changes a trim, as one HTML file. What is changed, what was seen,
// what to expect at three flows, what to read and write down, how to stay unhurt, and what to try
// if it still hunts. Part numbers, torques and readings are blanks.
#pragma once

#include "study/study_job.h"

struct job_card_asked {
    const char *command_line; // by which it is made again
    struct study_asked lowest, peak, kick;
    bool brief; // without what to try if it still hunts
};

// From the first to the second trim of the job.
enum study_status job_card_write(struct study_job *job, const struct job_card_asked *asked,
                                 const char *path);
