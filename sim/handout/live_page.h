// SPDX-License-Identifier: MIT
// The live page of a scenario: its model inside one HTML file, with what the program makes of it.
#pragma once

#include "study/study_job.h"

// Runs the trims of the job and writes the page to a path.
enum study_status live_page_write(struct study_job *job, const char *path);
