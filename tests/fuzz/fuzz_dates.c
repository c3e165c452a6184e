// SPDX-License-Identifier: MIT
// Calendar dates, and times as loggers write them.
#include "fuzz.h"

#include "base/calendar.h"
#include "site/logger_time.h"

#include <math.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char *text = fuzz_text(data, size);
    char message[CALENDAR_MESSAGE_SIZE], shown[CALENDAR_TEXT_SIZE];
    long day;
    const char *wrong = calendar_parse(text, &day, message);
    if (wrong) {
        fuzz_require(wrong[0] != '\0');
    } else { // a day is written as it was read
        calendar_format((double)day, shown);
        fuzz_require(strcmp(shown, text) == 0);
        const long next = calendar_next_month(day);
        fuzz_require(next > day && next <= day + 31);
        calendar_format((double)next, shown);
        fuzz_require(strcmp(shown + 7, "-01") == 0 || strcmp(shown, "-") == 0);
    }
    for (int dates = DATES_UNKNOWN; dates <= DATES_DAY_FIRST; dates++) {
        double time = (double)NAN;
        const enum logger_time_kind kind = logger_time_read(text, (enum logger_dates)dates, &time);
        fuzz_require(kind <= TIME_AMBIGUOUS);
        if (kind != TIME_BAD && kind != TIME_AMBIGUOUS) {
            fuzz_require(isfinite(time));
        }
        fuzz_require(kind != TIME_CLOCK || (time >= 0.0 && time <= 86401.0));
        fuzz_require(kind != TIME_AMBIGUOUS || dates == DATES_UNKNOWN);
    }
    if (size >= sizeof(double)) { // any number of days at all
        double days;
        memcpy(&days, data, sizeof days);
        calendar_format(days, shown);
        fuzz_require(strlen(shown) < sizeof shown);
    }
    free(text);
    return 0;
}
