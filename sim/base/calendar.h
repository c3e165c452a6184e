// SPDX-License-Identifier: MIT
// Calendar dates as counted days: the Gregorian calendar, also before it was introduced. Knows no
// time of day, no time zone and no clock: what day it is today must be said.
#pragma once

enum { CALENDAR_TEXT_SIZE = 16, CALENDAR_MESSAGE_SIZE = 96 };

// A year of decline calculations [d].
#define CALENDAR_YEAR 365.25

// Days from 1970-01-01 to a day of the years 1 to 9999, which must exist.
long calendar_day(int year, int month, int day);

// Number of days of a month, 1 to 12.
int calendar_month_length(int year, int month);

// Reads "YYYY-MM-DD" (ISO 8601). Returns NULL and fills the day, or returns what is allowed
// instead, written into message (CALENDAR_MESSAGE_SIZE bytes).
const char *calendar_parse(const char *text, long *day, char *message);

// Writes the day that a number of days falls in as "YYYY-MM-DD"; "-" outside the years 1 to 9999.
void calendar_format(double day, char text[CALENDAR_TEXT_SIZE]);

// First day of the month that follows the one of a day.
long calendar_next_month(long day);
