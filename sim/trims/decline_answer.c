// SPDX-License-Identifier: MIT
// What `lowlift decline` answers: the windows of the trims with the dates, the rates month by month
// and the law behind them.
#include "base/calendar.h"
#include "study/inputs.h"
#include "study/observed_check.h"
#include "study/window_answer.h"
#include "trims/decline_study.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT_SIZE = 160 };

// Said in a sentence on the terminal.
#define HIDDEN(KEY, NAME) .key = (KEY), .name = (NAME), .hidden = ANSWER_TERMINAL

// --- The law

// From this correlation of successive residuals on, the stated intervals are too narrow: twice its
// standard error, 1/sqrt(n), without correlation.
static bool correlated(const struct decline *d) {
    const double n = (double)d->record.count;
    return d->fit[d->model].correlation > 2.0 / sqrt(n);
}

static void add_fits(struct answer *answer, const struct decline *d) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("law", "law"),
        COLUMN_IN("nominal_per_year", "nominal decline", NULL),
        COLUMN_IN("exponent", "exponent", NULL),
        COLUMN_IN("relative_error_of_nominal", "relative error of nominal", NULL),
        COLUMN_IN("error_of_exponent", "error of exponent", NULL),
        COLUMN_IN("corrected_akaike", "corrected Akaike criterion", NULL),
        COLUMN_IN("residual_correlation", "residual correlation", NULL),
    };
    struct answer_table *table =
        answer_table(answer, "fits", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_TERMINAL | ANSWER_CSV;
    for (int i = 0; i < ARPS_MODEL_COUNT; i++) {
        const struct arps_fit *fit = &d->fit[i];
        if (fit->status == ARPS_FITTED) {
            answer_word(table, arps_model_name(fit->model));
            answer_put(table, fit->curve.nominal);
            answer_put(table, fit->curve.exponent);
            answer_put(table, sqrt(fit->covariance[1][1]));
            answer_put(table, sqrt(fit->covariance[2][2]));
            answer_put(table, fit->score);
            answer_put(table, fit->correlation);
        }
    }
}

static void say_fit(struct answer *answer, const struct decline_study *s) {
    static const struct answer_column reason = {HIDDEN("reason", "why this law"),
                                                .form = ANSWER_WORD};
    const struct decline *d = &s->decline;
    const struct arps_fit *fit = &d->fit[d->model];
    char left_out[TEXT_SIZE] = "";
    if (d->skipped > 0) {
        snprintf(left_out, sizeof left_out, ", %zu without flow left out", d->skipped);
    }
    if (d->earlier > 0) {
        const size_t used = strlen(left_out);
        snprintf(left_out + used, sizeof left_out - used, ", %zu before decline.start left out",
                 d->earlier);
    }
    const char *scatter =
        fit->residual == ARPS_LOG_RATE
            ? answer_keep(answer, "%.3g %%", 100.0 * fit->scatter)
            : answer_keep(answer, "%.3g %s", answer_shown(answer, UNIT_FLOW, fit->scatter),
                          answer_unit(answer, UNIT_FLOW));
    answer_say(answer, ANSWER_LINE, "fitted to %zu rates from %s to %s%s; scatter %s",
               d->record.count, decline_study_date(answer, s, 0.0),
               decline_study_date(answer, s, d->today), left_out, scatter);
    answer_fact(answer, &reason, (double)NAN, d->reason);
    answer_label(answer, ANSWER_LINE, "why this law: ", "%s", d->reason);
    if (fit->at_bound) {
        answer_say(answer, ANSWER_NOTE,
                   "the exponent b stands at its bound; another law may fit better");
    }
    if (correlated(d)) {
        answer_say(answer, ANSWER_NOTE,
                   "the scatter is not independent (each rate goes with the next, correlation "
                   "%.2g): the true dates are less certain than the intervals say",
                   fit->correlation);
    }
}

static void add_law(struct answer *answer, const struct decline_study *s) {
    static const struct answer_column law = {HIDDEN("law", "law"), .form = ANSWER_WORD};
    static const struct answer_column rate = {HIDDEN("rate", "rate"), .kind = UNIT_FLOW};
    static const struct answer_column since = {HIDDEN("rate_date", "rate of"), .form = ANSWER_WORD};
    static const struct answer_column nominal = {HIDDEN("nominal_per_year", "nominal decline")};
    static const struct answer_column exponent = {HIDDEN("exponent", "exponent")};
    static const struct answer_column today = {HIDDEN("today", "today"), .form = ANSWER_WORD};
    static const struct answer_column end = {HIDDEN("horizon", "horizon"), .form = ANSWER_WORD};
    static const struct answer_column rates = {HIDDEN("rates_fitted", "rates fitted"),
                                               .form = ANSWER_COUNT};
    static const struct answer_column sure = {HIDDEN("confidence", "confidence")};
    const struct decline *d = &s->decline;
    char words[TEXT_SIZE];
    decline_words(d, words, sizeof words);
    answer_label(answer, ANSWER_LINE, "decline: ", "%s; %s on %s", words,
                 answer_text(answer, UNIT_FLOW, arps_rate(&d->curve, d->today)),
                 decline_study_date(answer, s, d->today));
    const double none = (double)NAN;
    answer_fact(answer, &law, none, arps_model_name(d->model));
    answer_fact(answer, &rate, d->curve.rate, NULL);
    answer_fact(answer, &since, none, decline_study_date(answer, s, 0.0));
    answer_fact(answer, &nominal, d->curve.nominal, NULL);
    answer_fact(answer, &exponent, d->curve.exponent, NULL);
    answer_fact(answer, &today, none, decline_study_date(answer, s, d->today));
    answer_fact(answer, &end, none, decline_study_date(answer, s, s->horizon));
    if (d->fitted) {
        say_fit(answer, s);
        answer_fact(answer, &rates, (double)d->record.count, NULL);
        answer_fact(answer, &sure, ARPS_CONFIDENCE, NULL);
        add_fits(answer, d);
    }
}

// --- Tables

static void put_date(struct answer *answer, struct answer_table *table,
                     const struct decline_study *s, double years) {
    const char *date = decline_study_date(answer, s, years);
    if (date) {
        answer_word(table, date);
    } else {
        answer_put(table, (double)NAN);
    }
}

static void put_crossing(struct answer *answer, struct answer_table *table,
                         const struct decline_study *s, const struct outlook_crossing *c) {
    answer_word(table, outlook_when_name(c->when));
    put_date(answer, table, s, c->years);
    put_date(answer, table, s, c->early);
    put_date(answer, table, s, c->late);
}

#define DATE(KEY, NAME)                                                                            \
    { HIDDEN(KEY, NAME), .form = ANSWER_WORD }
#define CROSSING(KEY, NAME)                                                                        \
    DATE(KEY, NAME), DATE(KEY "_date", NAME " date"), DATE(KEY "_earliest", NAME " earliest"),     \
        DATE(KEY "_latest", NAME " latest")

static void add_trims(struct answer *answer, const struct decline_study *s) {
    static const struct answer_column columns[] = {
        COLUMN_TRIM,
        DATE("today", "today"),
        WINDOW_COLUMNS,
        WINDOW_SCREW_COLUMN,
        CROSSING("passes_the_flow_from", "passes the flow from"),
        CROSSING("leaves_its_window", "leaves its window"),
        CROSSING("moves_by_itself", "moves by itself, or shuts"),
    };
    struct answer_table *table =
        answer_table(answer, "", NULL, columns, sizeof columns / sizeof columns[0]);
    for (size_t i = 0; i < s->count; i++) {
        const struct decline_trim *t = &s->trim[i];
        answer_word(table, t->name);
        answer_word(table, outlook_state_name(t->outlook.state));
        window_answer_put(answer, table, &t->window);
        answer_put(table, t->adjusted);
        put_crossing(answer, table, s, &t->outlook.passes);
        put_crossing(answer, table, s, &t->outlook.kicked);
        put_crossing(answer, table, s, &t->outlook.settled);
    }
}

// The amount that a flow unit counts, and how many of its times make a year.
struct amount {
    const char *unit;
    double year;
};

static struct amount amount_of(struct answer *answer) {
    char unit[UNIT_TOKEN_SIZE];
    const double seconds = units_amount(answer_unit(answer, UNIT_FLOW), unit);
    return (struct amount){answer_keep(answer, "%s", unit), CALENDAR_YEAR * 86400.0 / seconds};
}

static void add_rates(struct answer *answer, const struct decline_study *s) {
    const struct amount amount = amount_of(answer);
    const struct answer_column columns[] = {
        COLUMN_WORD("date", "date"),
        COLUMN_OF("rate", "rate", UNIT_FLOW),
        COLUMN_OF("rate_low", "rate low", UNIT_FLOW),
        COLUMN_OF("rate_high", "rate high", UNIT_FLOW),
        COLUMN_IN("produced", "produced since the first date", amount.unit),
    };
    // Its unit depends on the scenario's, so the columns live in the answer.
    struct answer_column *kept = answer_columns(answer, sizeof columns / sizeof columns[0]);
    if (!kept) {
        return;
    }
    memcpy(kept, columns, sizeof columns);
    struct answer_table *table =
        answer_table(answer, "rates", NULL, kept, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_TERMINAL | ANSWER_JSON;
    const struct decline *d = &s->decline;
    const double end = (double)d->day + s->horizon * CALENDAR_YEAR;
    for (long day = d->day; (double)day <= end; day = calendar_next_month(day)) {
        const double years = (double)(day - d->day) / CALENDAR_YEAR;
        double rate[3];
        decline_study_rate(s, years, rate);
        put_date(answer, table, s, years);
        for (int k = 0; k < 3; k++) {
            answer_put(table, rate[k]);
        }
        answer_put(table, answer_shown(answer, UNIT_FLOW, arps_cumulative(&d->curve, years)) *
                              amount.year);
    }
}

// --- All of it

static void tell(struct study_job *job, const struct decline_study *s, struct answer *answer) {
    bool shut = false;
    study_job_answer(job, &s->scenario, answer);
    answer->cautions = true;
    answer_say(answer, ANSWER_HEADING, "%s", answer->title[0] ? answer->title : "scenario");
    add_law(answer, s);
    window_answer_head(answer, &s->scenario, s->search.kick, false, (double)NAN);
    answer_gap(answer);
    answer_label(answer, ANSWER_LINE, "passed: ", "%s",
                 trim_window_bounds(!isnan(s->search.limit)));
    add_trims(answer, s);
    answer_gap(answer);
    inputs_alike_all(answer, job);
    observed_check_tell(job->scenario, answer);
    for (size_t i = 0; i < s->count; i++) {
        const struct decline_trim *t = &s->trim[i];
        window_answer_notes(answer, &s->scenario, t->name, t->adjusted, &t->window);
        shut = shut || window_answer_is_shut(&t->window);
    }
    if (shut) {
        window_answer_shut(answer, &s->scenario);
    }
    for (size_t i = 0; i < s->count; i++) {
        answer_label(answer, ANSWER_FINDING, answer_keep(answer, "%s: ", s->trim[i].name), "%s",
                     decline_study_sentence(answer, s, &s->trim[i]));
    }
    answer_say(answer, ANSWER_LINE, "looked as far as %s, when the flow is %s",
               decline_study_end(answer, s), answer_text(answer, UNIT_FLOW, s->search.lowest));
    add_rates(answer, s);
    decline_study_picture(s, answer);
}

enum study_status decline_study_answer(struct study_job *job, const struct study_asked *asked,
                                       struct answer *answer) {
    struct decline_study *study = malloc(sizeof *study);
    if (!study) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    enum study_status status = decline_study_open(job, asked, study);
    if (status == STUDY_DONE && asked[DECLINE_DRAWS].text) {
        status = decline_among(job, asked, study, answer);
    } else if (status == STUDY_DONE) {
        tell(job, study, answer);
    }
    decline_study_close(study);
    free(study);
    return status;
}
