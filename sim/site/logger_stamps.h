// SPDX-License-Identifier: MIT
// Times of a logger's file as a whole: in which order its dates are written, the newest row first,
// and many rows of one second.
#pragma once

#include "site/logger_reading.h"

// Order of day and month by the first date in the time's column that can be read in one way only;
// DATES_UNKNOWN when there is none. Reads ahead and changes nothing.
enum logger_dates logger_stamps_order(const struct logger_reading *r);

// Turns rows round that stand newest first, and spreads those that share a time evenly up to the
// next one, when half of all do. Says so in the logger.
void logger_stamps_mend(struct logger *logger);
