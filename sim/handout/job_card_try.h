// SPDX-License-Identifier: MIT
// "If it still hunts": what to look at, and what to try, cheapest first.
#pragma once

#include "answer/answer.h"
#include "study/study_job.h"

// Lines of what to look at, and a table "try" of what calms the new trim (the second of the job)
// or, where the model has nothing to calm there, the present one (the first); a finding says which.
// `kick` as of remedies; not given: 0.
enum study_status job_card_try(struct study_job *job, const struct study_asked *kick,
                               struct answer *answer);
