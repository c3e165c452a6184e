// SPDX-License-Identifier: MIT
#include "run/expect.h"

#include "base/clean.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void say(FILE *out, struct expect_tally *tally, const struct scenario_expect *e, bool met,
                const char *found) {
    if (met) {
        tally->met++;
    } else {
        tally->missed++;
    }
    clean_say(out, "%s:%d:%d: %s: %s%s%s = %s, expected %s%s%s", e->place.file, e->place.line,
              e->place.column, met ? "met" : "MISSED", e->trim, e->trim[0] ? " " : "", e->quantity,
              found, e->value, e->tolerance[0] ? " within " : "", e->tolerance);
}

// "1 %" of the expected value, or an amount with a unit. Returns NaN for anything else.
static double tolerance_si(const struct scenario_expect *e, const struct scenario_case *c,
                           enum unit_kind kind, double expected) {
    char message[UNIT_MESSAGE_SIZE];
    struct quantity q;
    double si;
    if (e->tolerance[0] == '\0') {
        return (double)NAN;
    }
    if (strchr(e->tolerance, '%') && !units_parse(e->tolerance, UNIT_FRACTION, &q, message)) {
        return q.value * fabs(expected);
    }
    // The tolerance of a pressure level is a difference.
    enum unit_kind own = kind == UNIT_PRESSURE_LEVEL ? UNIT_PRESSURE_DROP : kind;
    if (units_parse(e->tolerance, own, &q, message) || units_to_si(&c->site, &q, &si)) {
        return (double)NAN;
    }
    return si;
}

static void check_figure(FILE *out, struct expect_tally *tally, const struct scenario_expect *e,
                         const struct scenario_case *c, const struct simulation *s) {
    const struct figure *f = figure_find(e->quantity);
    char message[UNIT_MESSAGE_SIZE], found[160];
    struct quantity q;
    double expected, tolerance;
    if (!f) {
        say(out, tally, e, false, "no such figure (see lowlift fields --figures)");
        return;
    }
    const char *problem = units_parse(e->value, f->kind, &q, message);
    if (problem || (problem = units_to_si(&c->site, &q, &expected))) {
        snprintf(found, sizeof found, "unreadable value; allowed %.*s", clean_whole(problem, 120),
                 problem);
        say(out, tally, e, false, found);
        return;
    }
    double value = f->value(s, c);
    tolerance = tolerance_si(e, c, f->kind, expected);
    struct scenario_case as_row = *c; // in the unit of the row, beside which it stands
    if (q.token && q.token[0] != '\0') {
        as_row.site.own[f->kind] = q.token;
    }
    figure_text(f, value, &as_row, found, sizeof found);
    bool met = isfinite(value) && isfinite(tolerance) && fabs(value - expected) <= tolerance;
    if (!isfinite(tolerance)) {
        snprintf(found, sizeof found, "unreadable tolerance");
    }
    say(out, tally, e, met, found);
}

static void check_row(FILE *out, struct expect_tally *tally, const struct scenario_expect *e,
                      const struct scenario_case *c, const struct simulation *s) {
    if (s->outcome != SIMULATION_DONE) {
        say(out, tally, e, false, s->message[0] ? s->message : "no run");
    } else if (strcmp(e->quantity, "verdict") == 0) {
        const char *name = verdict_name(s->judged.verdict);
        say(out, tally, e, strcmp(name, e->value) == 0, name);
    } else {
        check_figure(out, tally, e, c, s);
    }
}

static size_t trim_of(const struct scenario *scenario, const struct scenario_expect *e) {
    return e->trim[0] ? scenario_trim_find(scenario, e->trim, NULL) : 0;
}

// How a trim is run where nobody says otherwise; the context is the scenario.
static bool run_here(void *context, size_t trim, struct scenario_case *c, struct simulation *s) {
    struct diagnostics list = {0};
    const bool fine = scenario_resolve(context, trim, c, &list);
    diagnostics_free(&list);
    if (fine) {
        simulate(c, s);
    }
    return fine;
}

struct runner {
    expect_run run;
    void *context;
};

static void check_trim(FILE *out, struct expect_tally *tally, const struct scenario *scenario,
                       size_t trim, const struct runner *runner) {
    struct scenario_case c = {0};
    struct simulation *s = calloc(1, sizeof *s);
    if (s && runner->run(runner->context, trim, &c, s)) {
        for (size_t i = 0; i < scenario_expect_count(scenario); i++) {
            const struct scenario_expect *e = scenario_expect_at(scenario, i);
            if (trim_of(scenario, e) == trim && strcmp(e->quantity, "refusal") != 0) {
                check_row(out, tally, e, &c, s);
            }
        }
    } else {
        clean_say(out, "%s: trim %s: out of memory", scenario_name(scenario),
                  scenario_trim_name(scenario, trim));
        tally->missed++;
    }
    if (s) {
        simulation_free(s);
    }
    scenario_case_free(&c);
    free(s);
}

struct expect_tally expect_check(FILE *out, const struct scenario *scenario, expect_run run,
                                 void *context) {
    const struct runner runner = {run ? run : run_here, run ? context : (void *)scenario};
    struct expect_tally tally = {0};
    for (size_t t = 0; t < scenario_trim_count(scenario); t++) {
        bool wanted = false;
        for (size_t i = 0; i < scenario_expect_count(scenario); i++) {
            wanted = wanted || trim_of(scenario, scenario_expect_at(scenario, i)) == t;
        }
        if (wanted) {
            check_trim(out, &tally, scenario, t, &runner);
        }
    }
    for (size_t i = 0; i < scenario_expect_count(scenario); i++) {
        const struct scenario_expect *e = scenario_expect_at(scenario, i);
        if (strcmp(e->quantity, "refusal") == 0) {
            say(out, &tally, e, false, "read without an error");
        } else if (trim_of(scenario, e) >= scenario_trim_count(scenario)) {
            say(out, &tally, e, false, "no such trim");
        }
    }
    return tally;
}

bool expect_wants_refusal(const struct scenario *scenario) {
    for (size_t i = 0; i < scenario_expect_count(scenario); i++) {
        if (strcmp(scenario_expect_at(scenario, i)->quantity, "refusal") == 0) {
            return true;
        }
    }
    return false;
}

// The error, without its place, that holds these words; false when there is none.
static bool find_error(const char *errors, const char *words, char *line, size_t size) {
    for (const char *at = errors; *at;) {
        const char *message = strstr(at, ": ");
        at = message ? message + 2 : at;
        const size_t length = strcspn(at, "\n");
        snprintf(line, size, "%.*s", (int)length, at);
        if (strstr(line, words)) {
            return true;
        }
        at += length + (at[length] == '\n');
    }
    return false;
}

struct expect_tally expect_refusal(FILE *out, const struct scenario *scenario, const char *errors) {
    struct expect_tally tally = {0};
    char line[1024];
    for (size_t i = 0; i < scenario_expect_count(scenario); i++) {
        const struct scenario_expect *e = scenario_expect_at(scenario, i);
        if (strcmp(e->quantity, "refusal") == 0) {
            const bool met = find_error(errors, e->value, line, sizeof line);
            say(out, &tally, e, met, met ? line : "no error with these words");
        }
    }
    return tally;
}
