// SPDX-License-Identifier: MIT
// The table of what drives a motion, read out for somebody who reads no table of growths.
#pragma once

#include "answer/answer.h"

#include <stdio.h>

// A paragraph for each trim whose small swings grow, from the table of drivers in an answer of
// stability_answer: what, frozen alone, makes them die out. Texts are kept in `own`.
void report_drivers_words(FILE *out, struct answer *own, const struct answer *stability);
