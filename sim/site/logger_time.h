// SPDX-License-Identifier: MIT
// Times as loggers write them: plain seconds, a clock (12:30:05.5), or a date with a clock, in ISO
// order or, when it is said which comes first, as 3/4/2025.
#pragma once

#include <stdbool.h>

enum logger_dates { DATES_UNKNOWN, DATES_MONTH_FIRST, DATES_DAY_FIRST };

enum logger_time_kind { TIME_NUMBER, TIME_CLOCK, TIME_DATED, TIME_BAD, TIME_AMBIGUOUS };

// Read one time. A number stays a number; a clock is seconds since midnight; a dated one seconds
// since 1970-01-01 of whatever clock the logger has. TIME_AMBIGUOUS: 3/4/2025 may be two days.
enum logger_time_kind logger_time_read(const char *text, enum logger_dates dates, double *time);

// Which comes first in a date such as 3/14/2025, where only one can; DATES_UNKNOWN of any other.
enum logger_dates logger_time_order(const char *text);
