// SPDX-License-Identifier: MIT
// How remedies and their tries read, in the units of an answer; and what is told of them at length.
// Texts live as long as the answer.
#pragma once

#include "remedy/remedies.h"

enum { REMEDIES_PAIRS_TOLD = 5 };

// Short name of an entry, such as "bleed-smaller", "trim reduced" or "bleed-smaller + band-wider".
const char *remedies_words_name(struct answer *answer, const struct remedies *remedies,
                                const struct remedies_entry *entry);

// What a try changes, such as "pilot.bleed 0.056 in -> 0.028 in"; "" if nothing but the trim.
const char *remedies_words_change(struct answer *answer, const struct remedies *remedies,
                                  const struct remedies_try *attempt);

// Unit of a field that a remedy changes: its own, or that of its kind.
const char *remedies_words_unit(struct answer *answer, const struct remedies *remedies,
                                const char *field);

// "slamming, swing 11 psi, 23 seat contacts/min": what comes of a try at today's flow.
const char *remedies_words_day(struct answer *answer, const struct remedies_try *attempt);

// The flows at which a try is steady, such as "steady from 100 Mscf/d upward", and what it passes
// if that is less than the highest flow looked at.
const char *remedies_words_range(struct answer *answer, const struct remedies *remedies,
                                 const struct remedies_try *attempt);

// The same in a few words of a table; "" if the set pressure is out of reach.
const char *remedies_words_range_name(const struct remedies_try *attempt);

// Whether entry `index` has a place in words and picture: every single remedy, and the best few
// pairs of those that are worth it.
bool remedies_words_told(const struct remedies *remedies, size_t index);

// The parts of the answer that stand in files of their own: tables, and picture.
void remedies_answer_tables(struct answer *answer, const struct remedies *remedies);
void remedies_answer_picture(struct answer *answer, const struct remedies *remedies);

// Lines: what to look at on site when the model is steady and the regulator is not.
void remedies_answer_looks(struct answer *answer, const struct remedies *remedies);

// All of it, once the answer is begun.
void remedies_answer_tell(struct answer *answer, const struct remedies *remedies);
