// SPDX-License-Identifier: MIT
// What readings give, in words a technician reads.
#include "site/readings.h"

#include "answer/column.h"

#include <math.h>

static void add_values(struct answer *answer, const struct readings *readings,
                       const struct scenario_case *c) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("quantity", "quantity"),
        COLUMN_WORD("from", "from"),
        COLUMN_WORD("read", "read"),
        COLUMN_WORD("either_way", "+-"),
        COLUMN_WORD("typical", "the scenario's own values give"),
    };
    struct answer_table *table = answer_table(answer, "readings", "what the readings say:", columns,
                                              sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_CSV;
    for (int q = 0; q < READINGS_COUNT; q++) {
        const struct readings_value *v = &readings->of[q];
        if (v->count == 0) {
            continue;
        }
        const enum unit_kind kind = readings_kind((enum readings_quantity)q);
        const char *from = "";
        const bool four = v->count > 1 && q != READINGS_VOLUME;
        for (size_t i = 0; i < v->count && !four; i++) {
            from = answer_keep(answer, "%s%s%s", from, i ? "; " : "", v->source[i].name);
        }
        answer_word(table, readings_name((enum readings_quantity)q));
        answer_word(table, four ? "all four chamber readings" : from);
        answer_word(table, answer_text(answer, kind, v->value));
        answer_word(table, answer_text(answer, kind, 2.0 * v->sigma));
        answer_word(table, answer_text(answer, kind,
                                       readings_of_case(readings, (enum readings_quantity)q, c)));
    }
}

// One part that follows from a quantity and the scenario's other values.
static void say_part(struct answer *answer, const char *field, enum unit_kind kind, double value,
                     double share, const char *how) {
    answer_label(answer, ANSWER_FINDING, answer_keep(answer, "%s: ", field), "%s, +- %.0f %% (%s)",
                 answer_text(answer, kind, value), 200.0 * share, how);
}

static double share_of(const struct readings_value *v) {
    return v->sigma / fabs(v->value);
}

static void say_actuator(struct answer *answer, const struct readings *r,
                         const struct scenario_case *c) {
    const struct actuator_parameters *a = &c->model.actuator;
    const struct readings_value *preload = &r->of[READINGS_PRELOAD];
    const struct readings_value *first = &r->of[READINGS_FIRST];
    const struct readings_value *droop = &r->of[READINGS_DROOP];
    const struct readings_value *span = &r->of[READINGS_SPAN];
    const struct readings_value *friction = &r->of[READINGS_FRICTION];
    if (preload->count > 0) {
        say_part(answer, "actuator.preload", UNIT_FORCE, preload->value * a->diaphragm_area,
                 share_of(preload), "that pressure times the diaphragm area, if the area is right");
    }
    if (first->count > 0) {
        const double force = first->value * a->diaphragm_area - a->friction.static_force;
        say_part(answer, "actuator.preload", UNIT_FORCE, force,
                 first->sigma * a->diaphragm_area / fabs(force),
                 "that pressure times the diaphragm area, less the friction, if both are right");
    }
    if (span->count > 0) {
        say_part(answer, "actuator.spring_rate", UNIT_STIFFNESS,
                 span->value * a->diaphragm_area / c->model.trim.rated_travel, share_of(span),
                 "that pressure times the diaphragm area, over the travel");
    }
    if (friction->count > 0) {
        say_part(answer, "friction.static", UNIT_FORCE, friction->value * a->diaphragm_area,
                 share_of(friction), "half the gap between rising and falling, times the area");
    }
    if (droop->count > 0) {
        // The flow pushes as it does whatever the spring is; the spring has the rest.
        const double per_pressure = a->diaphragm_area / c->model.trim.rated_travel;
        const double left = droop->value - readings_of_case(r, READINGS_DROOP, c);
        const double rate = a->spring_rate + left * per_pressure;
        say_part(answer, "actuator.spring_rate", UNIT_STIFFNESS, rate,
                 droop->sigma * per_pressure / fabs(rate),
                 "the droop times the diaphragm area over the travel, less the push of the flow");
    }
}

static void say_pilot(struct answer *answer, const struct readings *r,
                      const struct scenario_case *c) {
    const struct pilot_parameters *p = &c->model.pilot;
    static const char *const fields[] = {"pilot.supply_seat", "pilot.bleed"};
    for (int k = 0; k < 2; k++) {
        const enum readings_quantity q = k == 0 ? READINGS_STROKE_OPEN : READINGS_STROKE_SHUT;
        const double own = r->of[q].count > 0 ? readings_of_case(r, q, c) : (double)NAN;
        if (isfinite(own)) {
            // A hole passes as the square of its diameter.
            say_part(answer, fields[k], UNIT_LENGTH,
                     (k == 0 ? p->supply_diameter : p->bleed_diameter) * sqrt(own / r->of[q].value),
                     0.5 * share_of(&r->of[q]),
                     "a stroke takes as long as the hole is small, by its square; the rest as the "
                     "scenario has it");
        }
    }
    if (r->of[READINGS_BUILD_UP].count > 0) {
        answer_say(
            answer, ANSWER_FINDING,
            "the band: %s between the two flows; the scenario's values give %s. A wider one "
            "asks for more feedback area, a stiffer pilot spring or a stiffer main spring",
            answer_text(answer, UNIT_PRESSURE_DROP, r->of[READINGS_BUILD_UP].value),
            answer_text(answer, UNIT_PRESSURE_DROP, readings_of_case(r, READINGS_BUILD_UP, c)));
    }
}

// Parts whose stated values a reading checks, when none of them is a guess.
static const char *const checks[READINGS_COUNT][5] = {
    [READINGS_PRELOAD] = {"actuator.preload", "actuator.diaphragm_area"},
    [READINGS_FIRST] = {"actuator.preload", "actuator.diaphragm_area"},
    [READINGS_SPAN] = {"actuator.spring_rate", "trim.travel", "actuator.diaphragm_area"},
    [READINGS_DROOP] = {"actuator.spring_rate", "trim.travel", "actuator.diaphragm_area"},
    [READINGS_STROKE_OPEN] = {"pilot.supply_seat", "actuator.chamber_volume",
                              "actuator.spring_rate", "trim.travel"},
    [READINGS_STROKE_SHUT] = {"pilot.bleed", "actuator.chamber_volume", "actuator.spring_rate",
                              "trim.travel"},
};

static bool is_known(const struct scenario *scenario, const char *path) {
    struct scenario_entry entry;
    double low;
    double high;
    return scenario_provenance(scenario, 0, field_index_of(path), &entry) &&
           entry.provenance == PROVENANCE_GIVEN &&
           !scenario_get_range(scenario, 0, path, &low, &high);
}

// What was read against what is stated as known: one of them is wrong, and no range can help.
static void warn_of_stated(struct answer *answer, const struct readings *r,
                           const struct study_job *job, const struct scenario_case *c) {
    for (int q = 0; q < READINGS_COUNT; q++) {
        const struct readings_value *v = &r->of[q];
        const double own =
            v->count > 0 ? readings_of_case(r, (enum readings_quantity)q, c) : (double)NAN;
        const char *names = "";
        for (size_t i = 0; checks[q][i]; i++) {
            if (!is_known(job->scenario, checks[q][i])) {
                names = "";
                break;
            }
            names = answer_keep(answer, "%s%s%s", names, i ? ", " : "", checks[q][i]);
        }
        const double apart = fabs(own - v->value) / v->sigma;
        if (names[0] && apart > READINGS_APART) {
            answer_say(answer, ANSWER_WARNING,
                       "%s stand in the scenario as known, and give another %s than was read, %.0f "
                       "standard deviations apart: look at the reading and at them again",
                       names, readings_name((enum readings_quantity)q), apart);
        }
    }
}

enum study_status readings_answer(struct study_job *job, const struct study_asked *asked,
                                  struct answer *answer) {
    struct scenario_case resolved = {0};
    struct readings readings;
    (void)asked;
    enum study_status status = study_job_resolve(job, job->trim[0], &resolved);
    if (status == STUDY_DONE && !readings_take(&readings, job->scenario, &resolved, &job->list)) {
        status = STUDY_BAD_SCENARIO;
    } else if (status == STUDY_DONE && readings.count == 0) {
        status = study_job_fail(job, STUDY_BAD_USAGE,
                                "%s: nothing was read; `lowlift fields readings` lists what can be",
                                job->path);
    }
    if (status == STUDY_DONE) {
        study_job_answer(job, &resolved, answer);
        answer->cautions = true;
        answer_say(answer, ANSWER_HEADING, "%s", answer->title[0] ? answer->title : "scenario");
        add_values(answer, &readings, &resolved);
        say_actuator(answer, &readings, &resolved);
        say_pilot(answer, &readings, &resolved);
        warn_of_stated(answer, &readings, job, &resolved);
        if (readings.of[READINGS_VOLUME].count > 0) {
            say_part(answer, "vessel.volume", UNIT_VOLUME, readings.of[READINGS_VOLUME].value,
                     share_of(&readings.of[READINGS_VOLUME]),
                     "flow in over the rise, the gas taken to warm up as it is squeezed");
        }
        answer_say(
            answer, ANSWER_NOTE,
            "+- is two standard deviations of the reading alone; `lowlift match` puts all of "
            "it together with the ranges of the other parts");
    }
    scenario_case_free(&resolved);
    return status;
}
