// SPDX-License-Identifier: MIT
// Which strength of a remedy is its best, what it comes to, and the order in which they are told.
#pragma once

#include "remedy/remedies.h"

// Fill best, slightest, effect and too_much of every entry, and sort: without parts first, then by
// effect, lowest steady flow and severity. Singles and pairs are sorted apart.
void remedies_rank(struct remedies *remedies);
