// SPDX-License-Identifier: MIT
// What a crew can expect of a trim at three flows: from runs with its set screw as it was turned at
// today's flow, kicked as the scenario says.
#pragma once

#include "answer/answer.h"
#include "study/study_job.h"

enum { JOB_CARD_FLOWS = 3 };

struct job_card_flows {
    const char *name[JOB_CARD_FLOWS]; // such as "today's flow"
    double flow[JOB_CARD_FLOWS];      // [kg/s]
    bool envelope;                    // the outer two are of the envelope, or were asked for
};

// Lowest, today's and largest: those asked for, else of the envelope, else half and twice today's.
enum study_status job_card_flows(struct study_job *job, const struct study_asked *lowest,
                                 const struct study_asked *peak, struct job_card_flows *out);

// Run trim `index` of the job at the flows: a table under the key, and a warning for each flow at
// which it does not come to rest or exceeds what the vessel stands.
enum study_status job_card_expect(struct study_job *job, size_t index,
                                  const struct job_card_flows *flows, const char *key,
                                  struct answer *answer);
