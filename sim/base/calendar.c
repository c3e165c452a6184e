// SPDX-License-Identifier: MIT
#include "base/calendar.h"

#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>

enum { YEAR_MAX = 9999, MONTHS = 12 };

// Days from 0001-01-01 to 1970-01-01.
#define EPOCH 719162L

static bool leap(int year) {
    return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

// Days from 0001-01-01 to the first day of a year.
static long days_before_year(int year) {
    const long past = year - 1;
    return 365 * past + past / 4 - past / 100 + past / 400;
}

int calendar_month_length(int year, int month) {
    static const int length[MONTHS] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return length[month - 1] + (month == 2 && leap(year));
}

long calendar_day(int year, int month, int day) {
    long days = days_before_year(year) + day - 1;
    for (int m = 1; m < month; m++) {
        days += calendar_month_length(year, m);
    }
    return days - EPOCH;
}

// Two or four digits; -1 if there is anything else.
static int digits(const char *text, int count) {
    int value = 0;
    for (int i = 0; i < count; i++) {
        if (!isdigit((unsigned char)text[i])) {
            return -1;
        }
        value = 10 * value + (text[i] - '0');
    }
    return value;
}

const char *calendar_parse(const char *text, long *day, char *message) {
    const int year = digits(text, 4);
    const int month = year >= 0 && text[4] == '-' ? digits(text + 5, 2) : -1;
    const int number = month >= 0 && text[7] == '-' ? digits(text + 8, 2) : -1;
    if (number < 0 || text[10] != '\0' || year == 0) {
        return "allowed a date as YYYY-MM-DD, such as 2026-03-31";
    }
    if (month < 1 || month > MONTHS) {
        return "allowed months 01 to 12, in YYYY-MM-DD";
    }
    const int length = calendar_month_length(year, month);
    if (number < 1 || number > length) {
        snprintf(message, CALENDAR_MESSAGE_SIZE, "allowed days 01 to %d in that month", length);
        return message;
    }
    *day = calendar_day(year, month, number);
    return NULL;
}

struct date {
    int year, month, day;
};

// Of a number of days from 0001-01-01.
static struct date date_of(long days) {
    struct date d = {.year = (int)((double)days / 365.2425) + 1, .month = 1}; // right, or one off
    d.year += days_before_year(d.year + 1) <= days;
    d.year -= days_before_year(d.year) > days;
    long rest = days - days_before_year(d.year);
    for (; rest >= calendar_month_length(d.year, d.month); d.month++) {
        rest -= calendar_month_length(d.year, d.month);
    }
    d.day = (int)rest + 1;
    return d;
}

void calendar_format(double day, char text[CALENDAR_TEXT_SIZE]) {
    const double first = (double)-EPOCH;
    const double end = (double)(days_before_year(YEAR_MAX + 1) - EPOCH);
    if (!(day >= first && day < end)) {
        snprintf(text, CALENDAR_TEXT_SIZE, "-");
        return;
    }
    const struct date d = date_of((long)floor(day) + EPOCH);
    snprintf(text, CALENDAR_TEXT_SIZE, "%04d-%02d-%02d", d.year % 10000, d.month % 100,
             d.day % 100);
}

long calendar_next_month(long day) {
    const struct date d = date_of(day + EPOCH);
    return d.month == MONTHS ? calendar_day(d.year + 1, 1, 1)
                             : calendar_day(d.year, d.month + 1, 1);
}
