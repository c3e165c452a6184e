// SPDX-License-Identifier: MIT
// Pressure along the lines of one trim over time: what runs to and fro in them while it moves.
#pragma once

#include "study/study_job.h"

// What a user may ask, in this order.
enum waves_asked { WAVES_FROM, WAVES_TO, WAVES_ASKED_COUNT };

// As `lowlift waves` answers.
enum study_status waves_answer(struct study_job *job, const struct study_asked *asked,
                               struct answer *answer);
