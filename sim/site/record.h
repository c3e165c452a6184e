// SPDX-License-Identifier: MIT
// What a logger's record shows of a regulator: `lowlift record`. Needs no scenario and no model.
#pragma once

#include "site/logger.h"
#include "study/study_job.h"

enum record_asked {
    RECORD_TIME,
    RECORD_PRESSURE,
    RECORD_UNIT,
    RECORD_CHAMBER,
    RECORD_TRAVEL,
    RECORD_FLOW,
    RECORD_DATES,
    RECORD_REST,
    RECORD_ALTITUDE,
    RECORD_ASKED_COUNT
};

// Fill the answer for a file. The job carries messages only.
enum study_status record_answer(struct study_job *job, const char *path,
                                const struct study_asked *asked, struct answer *answer);
