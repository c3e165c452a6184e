// SPDX-License-Identifier: MIT
#include "site/logger_time.h"

#include "base/calendar.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DAY 86400.0

// "h:mm[:ss[.f]] [AM|PM]"; moved past. False when it is no clock.
static bool read_clock(const char **text, double *seconds) {
    const char *at = *text;
    char *end;
    const long hour = strtol(at, &end, 10);
    if (end == at || *end != ':' || hour < 0 || hour > 24) {
        return false;
    }
    at = end + 1;
    const long minute = strtol(at, &end, 10);
    if (end == at || minute < 0 || minute > 59) {
        return false;
    }
    double second = 0.0;
    if (*end == ':') {
        at = end + 1;
        if (!isdigit((unsigned char)*at)) {
            return false;
        }
        second = strtod(at, &end);
        if (!(second < 61.0)) {
            return false;
        }
    }
    if (hour == 24 && (minute > 0 || second > 0.0)) { // the day ends there
        return false;
    }
    at = end + strspn(end, " ");
    const bool afternoon = (at[0] == 'P' || at[0] == 'p') && (at[1] == 'M' || at[1] == 'm');
    const bool morning = (at[0] == 'A' || at[0] == 'a') && (at[1] == 'M' || at[1] == 'm');
    long whole = hour;
    if (afternoon || morning) {
        if (hour < 1 || hour > 12) {
            return false;
        }
        whole = hour % 12 + (afternoon ? 12 : 0);
        at += 2;
    }
    *seconds = 3600.0 * (double)whole + 60.0 * (double)minute + second;
    *text = at;
    return true;
}

// "2025-03-04", "2025/3/4", or in another order; moved past.
static enum logger_time_kind read_date(const char **text, enum logger_dates dates, long *day) {
    int part[3];
    int used = 0;
    char mark[2];
    if (sscanf(*text, "%4d%1[-/.]%2d%*1[-/.]%4d%n", &part[0], mark, &part[1], &part[2], &used) !=
            4 ||
        used == 0) {
        return TIME_BAD;
    }
    int year = part[0];
    int month = part[1];
    int date = part[2];
    if (part[0] < 32) { // the year comes last
        year = part[2];
        const bool day_first = part[0] > 12 || (part[1] <= 12 && dates == DATES_DAY_FIRST);
        if (part[0] <= 12 && part[1] <= 12 && part[0] != part[1] && dates == DATES_UNKNOWN) {
            return TIME_AMBIGUOUS;
        }
        month = day_first ? part[1] : part[0];
        date = day_first ? part[0] : part[1];
    }
    if (year < 1900 || year > 9999 || month < 1 || month > 12 || date < 1 ||
        date > calendar_month_length(year, month)) {
        return TIME_BAD;
    }
    *day = calendar_day(year, month, date);
    *text += used;
    return TIME_DATED;
}

enum logger_time_kind logger_time_read(const char *text, enum logger_dates dates, double *time) {
    const char *at = text + strspn(text, " ");
    char *end;
    long day;
    double clock = 0.0;
    const double number = strtod(at, &end);
    if (end != at && end[strspn(end, " ")] == '\0') {
        *time = number;
        return isfinite(number) ? TIME_NUMBER : TIME_BAD;
    }
    if (read_clock(&at, &clock)) {
        *time = clock;
        return at[strspn(at, " ")] == '\0' ? TIME_CLOCK : TIME_BAD;
    }
    const enum logger_time_kind kind = read_date(&at, dates, &day);
    if (kind != TIME_DATED) {
        return kind;
    }
    at += strspn(at, " T,");
    if (*at && !read_clock(&at, &clock)) {
        return TIME_BAD;
    }
    // A zone at the end changes nothing of the times between samples.
    if (*at == 'Z' || *at == '+' || (*at == '-' && isdigit((unsigned char)at[1]))) {
        at += strlen(at);
    }
    *time = DAY * (double)day + clock;
    return at[strspn(at, " ")] == '\0' ? TIME_DATED : TIME_BAD;
}

enum logger_dates logger_time_order(const char *text) {
    const char *at = text;
    long day;
    int part[2];
    // A date of one meaning is read alike in either order.
    if (read_date(&at, DATES_UNKNOWN, &day) != TIME_DATED ||
        sscanf(text, "%4d%*1[-/.]%4d", &part[0], &part[1]) != 2 || part[0] > 31 ||
        part[0] == part[1]) {
        return DATES_UNKNOWN;
    }
    return part[0] > 12 ? DATES_DAY_FIRST : DATES_MONTH_FIRST;
}
