// SPDX-License-Identifier: MIT
// Files of loggers, and what is judged of their pressure. The first byte says what the user tells
// of the file.
#include "fuzz.h"

#include "site/logger.h"
#include "site/site_record.h"

#include <math.h>

static void check(const struct logger *logger) {
    fuzz_require(logger->time);
    for (size_t i = 0; i < logger->count; i++) {
        fuzz_require(isfinite(logger->time[i]));
        for (size_t c = 0; c < LOGGER_CHANNELS; c++) {
            fuzz_require(!logger->value[c] || !isinf(logger->value[c][i]));
        }
    }
}

static void judge(const struct logger *logger) {
    const size_t count = logger->count;
    double *time = malloc((count + 1) * sizeof *time);
    double *value = malloc((count + 1) * sizeof *value);
    double *work = malloc(3 * (count + 1) * sizeof *work);
    struct record_judgement judged;
    fuzz_require(time && value && work);
    memcpy(time, logger->time, count * sizeof *time);
    memcpy(value, logger->value[LOGGER_PRESSURE], count * sizeof *value);
    record_judge(time, value, count, 1000.0, work, &judged);
    fuzz_require(judged.verdict < RECORD_VERDICT_COUNT);
    fuzz_require(judged.confidence >= 0.0 && judged.confidence <= 1.0);
    free(time);
    free(value);
    free(work);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static struct fuzz_file file;
    if (size == 0) {
        return 0;
    }
    struct logger_asked asked = {
        .dates = (data[0] & 1)   ? "day-first"
                 : (data[0] & 2) ? "month-first"
                                 : NULL,
        .unit = (data[0] & 4) ? "psig" : NULL,
        .time = (data[0] & 8) ? "1" : NULL,
        .site = {101325.0, 101325.0, 288.15, 0.0188, (double)NAN, false, {0}}};
    asked.column[LOGGER_PRESSURE] = (data[0] & 16) ? "2" : NULL;
    asked.column[LOGGER_TRAVEL] = (data[0] & 32) ? "3" : NULL;
    fuzz_file_fill(&file, data + 1, size - 1);
    struct diagnostics list = {0};
    struct logger logger;
    const bool fine = logger_read(file.path, &asked, &logger, &list);
    fuzz_require(fine || list.errors > 0);
    if (fine) {
        check(&logger);
        judge(&logger);
    }
    logger_free(&logger);
    diagnostics_free(&list);
    return 0;
}
