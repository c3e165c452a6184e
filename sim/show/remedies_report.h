// SPDX-License-Identifier: MIT
// Remedies side by side: in plain words, as a table (CSV), as a summary (JSON) and as a picture.
// Reads finished tries.
#pragma once

#include "command/study_request.h"
#include "study/remedies.h"

#include <stdio.h>

struct remedies_report {
    const struct study_request *request;
    const struct remedies *remedies;
};

enum { REMEDIES_TEXT_SIZE = 200 };

// Short name of an entry, such as "bleed-smaller", "trim reduced" or "bleed-smaller + band-wider".
void remedies_report_name(const struct remedies *remedies, const struct remedies_entry *entry,
                          char text[REMEDIES_TEXT_SIZE]);

// What a try changes, such as "pilot.bleed 0.056 in -> 0.028 in".
void remedies_report_change(const struct remedies *remedies, const struct remedies_try *attempt,
                            char text[REMEDIES_TEXT_SIZE]);

// "steady from 0.1 MMscf/d", "steady at every flow looked at" ..., and what it passes if that is
// less than the highest flow looked at.
void remedies_report_range(const struct remedies *remedies, const struct remedies_try *attempt,
                           char text[REMEDIES_TEXT_SIZE]);

// "at every flow", "from a flow upward", "at no flow" ...; "" if the set pressure is out of reach.
const char *remedies_report_range_name(const struct remedies_try *attempt);

// "slamming, swing 11 psi, 23 seat contacts a minute".
void remedies_report_day(const struct remedies *remedies, const struct remedies_try *attempt,
                         char text[REMEDIES_TEXT_SIZE]);

// What it comes to as it stands, before anything is tried; and when that is steady, what to look at
// on site if it hunts there all the same.
void remedies_report_standing(FILE *out, const struct remedies *remedies);

// Everything in words.
void remedies_report_print(FILE *out, const struct remedies_report *report);

// Files and picture as the request asks for. Exit code.
int remedies_report_write(const struct remedies_report *report);

// The picture alone. Exit code.
int remedies_report_draw(const struct remedies_report *report);
