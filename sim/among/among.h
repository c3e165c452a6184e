// SPDX-License-Identifier: MIT
// Among all regulators that it could be: a study done again for each of many draws, and its answers
// as shares with intervals and as quantiles. The draws are those of a file, such as `lowlift match`
// keeps, or are drawn from the ranges of the scenario's guesses, when nothing was observed. And
// which of the drawn values would, once measured, change the choice most.
//
// A study says what it asks of one draw: items between which one chooses (trims, remedies), and for
// each some metrics. Everything else is here and the same for all.
#pragma once

#include "study/draws.h"
#include "study/study_job.h"

// Rows for a command's table of options.
#define AMONG_DRAWS_HELP                                                                           \
    "answer with shares and intervals over many regulators: those of a FILE of weighted draws, "   \
    "as `lowlift match` writes it; or N (10 to "                                                   \
    "100000) of them drawn from the ranges of the guesses"

enum { AMONG_METRICS_MAX = 6, AMONG_GUESSED_MIN = 10, AMONG_GUESSED_MAX = 100000 };

// How sure an interval is to hold the true share, and the quantiles told of a number.
#define AMONG_CONFIDENCE 0.95
#define AMONG_LOW 0.05
#define AMONG_HIGH 0.95

struct among {
    struct draws draws; // those taken; weights sum to 1
    const char *file;   // NULL: drawn from ranges
    size_t offered;     // draws there were
    size_t left_out;    // of them: no regulator, or one that cannot hold its pressure today
    double effective;   // number of equal draws worth as much as those taken
};

enum among_form {
    AMONG_SHARE,  // yes or no of each draw: 1 or 0
    AMONG_NUMBER, // of a unit kind, SI
    AMONG_DATE,   // years of a decline
};

struct among_metric {
    const char *key;  // member in JSON
    const char *name; // such as "steady over the envelope"; of a share "in 88 %" may follow
    enum among_form form;
    enum unit_kind kind;
    const char *unit;  // of a plain number; NULL: none
    const char *below; // what minus infinity means; NULL: does not happen
    const char *above; // what infinity means
    bool rare;         // a share that is told only where it happens, and not drawn
};

struct among_study {
    const char *label; // of the progress
    const char *item;  // "trim", "remedy": heading of what is chosen between
    size_t items;
    const char *const *name; // [items]
    size_t metrics;
    const struct among_metric *metric; // the first is a share: what one wants of an item
    // Fill trim and changes of an item for a draw; on any thread, pure. NULL: item i is trim i of
    // the job.
    void (*describe)(void *context, size_t item, size_t draw, struct study_point *point);
    // Metrics of an item; NaN: unknown, which they are before. The case is of that draw and point.
    void (*evaluate)(void *context, size_t item, const struct scenario_case *scenario,
                     double *metric);
    // All items of one draw, [items][metrics], to be put against each other; NULL: not needed.
    void (*settle)(void *context, double *metric);
    void *context;
    // Date of a metric; NULL: there is none.
    const char *(*date)(void *context, struct answer *answer, double years);
    const char *const *overrides; // of the scenario; NULL: those of the job
    size_t override_count;
    const char *checkpoint; // NULL: none
    bool choice; // one takes one item, so that the best share counts; else each by itself
};

// Take the draws that were asked for, at most `most` (or `usual` where that was not asked), by
// systematic resampling. Free with among_close whatever the outcome.
enum study_status among_open(struct study_job *job, const struct study_asked *draws,
                             const struct study_asked *most, size_t usual, struct among *out);
void among_close(struct among *among);

// Whether somebody asked for a number of draws, and not for a file; the number, 0 if it cannot be;
// and what is said then.
bool among_is_number(const struct study_asked *draws);
size_t among_count(const struct study_asked *draws);
enum study_status among_refuse(struct study_job *job, const struct study_asked *draws);

// So many draws from the ranges of the scenario's guesses, all of one weight. Free with draws_free.
enum study_status among_guess(struct study_job *job, const struct study_asked *asked,
                              struct draws *out);

// Do the study for every draw: result[draws][items][metrics], of the caller's.
enum study_status among_run(struct study_job *job, const struct among *among,
                            const struct among_study *study, double **result);

// Run and tell. The answer is begun in the units of the first trim of the job.
enum study_status among_answer(struct study_job *job, const struct among *among,
                               const struct among_study *study, struct answer *answer);

// Both for the usual case, that one chooses between the trims of the job: take the draws, run,
// tell. `study` says what is asked of a trim; label, items and names are filled in here.
enum study_status among_trims(struct study_job *job, const struct study_asked *draws,
                              const struct study_asked *most, size_t usual,
                              struct among_study study, struct answer *answer);

// SI value of a drawn field; NaN for what is no number.
double among_drawn(const struct among *among, const struct unit_context *site, size_t draw,
                   size_t field);

// Path in the field table of a drawn one: "trim.x" of "trims.NAME.x".
enum { AMONG_PATH_SIZE = 96 };
const char *among_path(const char *field, char path[AMONG_PATH_SIZE]);

// --- Parts of the answer

struct among_told {
    const struct among *among;
    const struct among_study *study;
    const struct scenario_case *scenario; // of the first trim, as it stands
    const double *result;
    const size_t *order; // of the items
};

// One metric of one item over the draws, into value[draws].
void among_column(const struct among_told *told, size_t item, size_t metric, double *value);

// Number of equal draws that those are worth of which a value is known.
double among_worth(const struct among_told *told, const double *value);

// "in 88 % (82-92)", "in all of 100 draws, so in at least 96 %".
const char *among_share_words(struct answer *answer, const struct among_told *told,
                              const double *value);

// A quantile of a metric in words: number with unit, date, or what lies beyond every number.
const char *among_quantile_words(struct answer *answer, const struct among_told *told,
                                 size_t metric, double value);

void among_told_picture(struct answer *answer, const struct among_told *told);
void among_told_tables(struct answer *answer, const struct among_told *told);
void among_told_measure(struct answer *answer, const struct among_told *told);
