// SPDX-License-Identifier: MIT
// The lesson: six steps and six questions about one scenario, and what the program makes of it in
// all the variants that they speak of. Every number in the lesson, and which answer is right, comes
// from these runs.
#pragma once

#include "study/study_job.h"

// A variant: a name by which the page finds it, and the fields it changes.
enum { LESSON_CHANGES_MAX = 3 };
struct lesson_variant {
    const char *key;
    const char *change[LESSON_CHANGES_MAX]; // "section.name=value"; NULL: no more
};

// By index; NULL beyond the last. The first is the scenario as it stands.
const struct lesson_variant *lesson_variant_at(size_t index);

// Runs all variants of the job's scenario, its first two trims each, and writes the lesson; and,
// where `picture` is no NULL, a moving picture (gif) of the scenario as it stands.
enum study_status lesson_write(struct study_job *job, const char *path, const char *picture);
