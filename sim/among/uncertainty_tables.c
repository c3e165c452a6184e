// SPDX-License-Identifier: MIT
// Tables of an uncertainty study.
#include "among/uncertainty_told.h"
#include "answer/column.h"

#include <math.h>
#include <string.h>

enum { LISTED_MAX = 5 };

#define COLUMN_VALUE COLUMN_WORD("field", "value") // an uncertain one, by its field
#define COLUMN_SHARE(KEY, NAME) COLUMN_OF(KEY, NAME, UNIT_FRACTION)

static bool is_uncertain(const struct uncertainty *study, size_t input, size_t trim) {
    return study->input[input].range[trim].low < study->input[input].range[trim].high;
}

static size_t trim_of(const struct uncertainty_told *told, size_t index) {
    return index / uncertainty_flow_count(told->study);
}

// --- Cases

size_t uncertainty_told_cases(const struct uncertainty_told *told) {
    return told->study->trim_count * uncertainty_flow_count(told->study);
}

const char *uncertainty_told_trim(const struct uncertainty_told *told, size_t index) {
    return scenario_trim_name(told->scenario, told->study->trim[trim_of(told, index)]);
}

double uncertainty_told_flow(const struct uncertainty_told *told, size_t index) {
    const struct uncertainty *study = told->study;
    double si;
    return study->flow_count == 0 ||
                   units_to_si(&study->site, &study->flow[index % study->flow_count], &si)
               ? (double)NAN
               : si;
}

const char *uncertainty_told_name(struct answer *answer, const struct uncertainty_told *told,
                                  size_t index) {
    const char *trim = uncertainty_told_trim(told, index);
    const double flow = uncertainty_told_flow(told, index);
    return isnan(flow)
               ? trim
               : answer_keep(answer, "%s at %s", trim, answer_text(answer, UNIT_FLOW, flow));
}

const char *uncertainty_told_measure(enum severity_column measure) {
    return measure == SEVERITY_ORDER    ? "severity (the verdict, then the pressure swing)"
           : measure == SEVERITY_GROWTH ? "how slowly small motions die out"
                                        : "nothing that varies";
}

const char *uncertainty_told_measures(const struct uncertainty_told *told) {
    for (size_t i = 1; i < uncertainty_told_cases(told); i++) {
        if (told->summary[i].measure != told->summary[0].measure) {
            return "severity; where that hardly varies, with how slowly small motions die out";
        }
    }
    return uncertainty_told_measure(told->summary[0].measure);
}

// A table whose first columns name the case: the flow only where several are asked about.
static struct answer_table *table_of(struct answer *answer, const struct uncertainty_told *told,
                                     const char *key, const struct answer_column *own,
                                     size_t count) {
    static const struct answer_column of_case[] = {COLUMN_TRIM, COLUMN_FLOW};
    const size_t first = told->study->flow_count > 0 ? 2 : 1;
    struct answer_column *all = arena_alloc(&answer->memory, (first + count) * sizeof *all);
    memcpy(all, of_case, first * sizeof *all);
    memcpy(all + first, own, count * sizeof *all);
    return answer_table(answer, key, NULL, all, first + count);
}

static void put_case(struct answer_table *table, const struct uncertainty_told *told,
                     size_t index) {
    answer_word(table, uncertainty_told_trim(told, index));
    if (told->study->flow_count > 0) {
        answer_put(table, uncertainty_told_flow(told, index));
    }
}

// --- What was drawn

// What goes together, and by how much.
static void add_pairs(struct answer *answer, const struct uncertainty *study) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("a", "value"), COLUMN_WORD("b", "goes with"),
        COLUMN_IN("rank_correlation", "rank correlation", NULL), COLUMN_WORD("because", "because")};
    if (study->pair_count == 0) {
        return;
    }
    struct answer_table *table =
        answer_table(answer, "together", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_CSV | ANSWER_TERMINAL;
    for (size_t i = 0; i < study->pair_count; i++) {
        const struct uncertainty_pair *pair = &study->pair[i];
        answer_word(table, study->input[pair->a].field);
        answer_word(table, study->input[pair->b].field);
        answer_put(table, pair->correlation);
        answer_word(table, pair->asked ? "asked" : "hardware");
    }
}

void uncertainty_told_inputs(struct answer *answer, const struct uncertainty_told *told,
                             bool listed) {
    static const struct answer_column columns[] = {
        COLUMN_VALUE,
        COLUMN_TRIM,
        COLUMN_IN("low", "low", NULL),
        COLUMN_IN("stated", "stated", NULL),
        COLUMN_IN("high", "high", NULL),
        COLUMN_WORD("unit", "unit"),
        COLUMN_WORD("shape", "shape"),
        COLUMN_WORD("source", "source"),
    };
    const struct uncertainty *study = told->study;
    add_pairs(answer, study);
    struct answer_table *table =
        answer_table(answer, "uncertain", NULL, columns, sizeof columns / sizeof columns[0]);
    table->hidden = listed ? ANSWER_CSV : ANSWER_CSV | ANSWER_TERMINAL;
    for (size_t i = 0; i < study->input_count; i++) {
        const struct uncertainty_input *input = &study->input[i];
        for (size_t t = 0; t < study->trim_count; t++) {
            if (!is_uncertain(study, i, t)) {
                continue;
            }
            const struct sample_range *r = &input->range[t];
            answer_word(table, input->field);
            answer_word(table, scenario_trim_name(told->scenario, study->trim[t]));
            answer_put(table, answer_shown(answer, input->kind, r->low));
            answer_put(table, answer_shown(answer, input->kind, r->middle));
            answer_put(table, answer_shown(answer, input->kind, r->high));
            answer_word(table, answer_unit(answer, input->kind));
            answer_word(table, sample_shape_name(r->shape));
            answer_word(table, input->stated ? "range" : input->hardware ? "hardware" : "guess");
        }
    }
}

// --- Every draw, made into a row when it is written

static void fill_draw(const void *context, size_t row, struct answer_cell *cell) {
    const struct uncertainty_told *told = context;
    const struct uncertainty *study = told->study;
    const size_t index = row / study->draws, draw = row % study->draws;
    const size_t trim = trim_of(told, index);
    const double *result = &study->result[row * SEVERITY_COLUMNS];
    const struct answer_cell none = {(double)NAN, NULL};
    *cell++ = (struct answer_cell){none.number, uncertainty_told_trim(told, index)};
    if (study->flow_count > 0) {
        *cell++ = (struct answer_cell){uncertainty_told_flow(told, index), NULL};
    }
    *cell++ = (struct answer_cell){(double)(draw + 1), NULL};
    for (size_t i = 0; i < study->input_count; i++) {
        *cell++ = is_uncertain(study, i, trim)
                      ? (struct answer_cell){uncertainty_drawn(study, trim, draw, i), NULL}
                      : none;
    }
    *cell++ =
        (struct answer_cell){none.number, severity_outcome_name((size_t)result[SEVERITY_OUTCOME])};
    *cell++ = (struct answer_cell){result[SEVERITY_SWING], NULL};
    *cell++ = (struct answer_cell){result[SEVERITY_PEAK], NULL};
    *cell++ = (struct answer_cell){result[SEVERITY_CONTACTS], NULL};
    *cell = (struct answer_cell){result[SEVERITY_GROWTH], NULL};
}

// What the rows are made from must outlive the study.
static const struct uncertainty_told *keep(struct answer *answer,
                                           const struct uncertainty_told *told) {
    const struct uncertainty *from = told->study;
    struct uncertainty_told *kept = arena_alloc(&answer->memory, sizeof *kept);
    struct uncertainty *study = arena_alloc(&answer->memory, sizeof *study);
    const size_t inputs = from->draws * from->input_count * sizeof *study->probability;
    const size_t results =
        uncertainty_told_cases(told) * from->draws * SEVERITY_COLUMNS * sizeof *study->result;
    *kept = *told;
    *study = *from;
    study->probability = arena_alloc(&answer->memory, inputs);
    study->result = arena_alloc(&answer->memory, results);
    memcpy(study->probability, from->probability, inputs);
    memcpy(study->result, from->result, results);
    kept->study = study;
    kept->summary = NULL; // which does not
    return kept;
}

void uncertainty_told_draws(struct answer *answer, const struct uncertainty_told *told) {
    static const struct answer_column result[] = {
        COLUMN_VERDICT, COLUMN_PRESSURE_SWING, COLUMN_HIGHEST_PRESSURE, COLUMN_SEAT_RATE,
        COLUMN_IN("growth_of_small_motions", "growth of the slowest small motion", "1/s")};
    const size_t results = sizeof result / sizeof result[0];
    const struct uncertainty_told *kept = keep(answer, told);
    const struct uncertainty *study = kept->study;
    const size_t count = 1 + study->input_count + results;
    struct answer_column *own = arena_alloc(&answer->memory, count * sizeof *own);
    own[0] = (struct answer_column)COLUMN_COUNT("draw", "draw");
    for (size_t i = 0; i < study->input_count; i++) {
        const struct uncertainty_input *input = &study->input[i];
        own[1 + i] = (struct answer_column)COLUMN_OF(input->field, input->field, input->kind);
    }
    memcpy(own + 1 + study->input_count, result, sizeof result);
    struct answer_table *table = table_of(answer, told, "", own, count);
    table->hidden = ANSWER_TERMINAL | ANSWER_JSON;
    table->rows = uncertainty_told_cases(told) * study->draws;
    table->fill = fill_draw;
    table->context = kept;
}

// --- What the draws sum up to

static void add_cases(struct answer *answer, const struct uncertainty_told *told) {
    static const struct answer_column own[] = {
        COLUMN_COUNT("draws_that_count", "draws that count"),
        COLUMN_COUNT("set_pressure_out_of_reach", "set pressure out of reach"),
        COLUMN_COUNT("values_contradict", "values contradict each other"),
        COLUMN_WORD("ranked_by", "ranked by")};
    struct answer_table *table = table_of(answer, told, "cases", own, sizeof own / sizeof own[0]);
    table->hidden = ANSWER_TERMINAL | ANSWER_CSV;
    for (size_t i = 0; i < uncertainty_told_cases(told); i++) {
        const struct uncertainty_summary *s = &told->summary[i];
        put_case(table, told, i);
        answer_put(table, (double)s->draws);
        answer_put(table, (double)s->count[SEVERITY_OUT_OF_REACH]);
        answer_put(table, (double)s->count[SEVERITY_IMPOSSIBLE]);
        answer_word(table, uncertainty_told_measure(s->measure));
    }
}

// Guesses never make anything certain: no share is printed as 100 % or as nothing.
static void put_share(struct answer_table *table, double share) {
    if (share > 0.999) {
        answer_said(table, share, ">99.9");
    } else {
        answer_said(table, share, "%.1f", 100.0 * share);
    }
}

void uncertainty_told_outcomes(struct answer *answer, const struct uncertainty_told *told) {
    static const struct answer_column own[] = {
        COLUMN_VERDICT,
        COLUMN_COUNT("draws", "draws"),
        COLUMN_SHARE("share", "share"),
        COLUMN_SHARE("low", "at least"),
        COLUMN_SHARE("high", "at most"),
    };
    add_cases(answer, told);
    answer_gap(answer);
    answer_say(answer, ANSWER_LINE,
               "how often each verdict came out, and between which bounds its true share lies "
               "(%.0f %% sure):",
               100.0 * UNCERTAINTY_CONFIDENCE);
    struct answer_table *table =
        table_of(answer, told, "outcomes", own, sizeof own / sizeof own[0]);
    table->hidden = ANSWER_CSV;
    for (size_t i = 0; i < uncertainty_told_cases(told); i++) {
        const struct uncertainty_summary *s = &told->summary[i];
        for (size_t k = 0; k < SEVERITY_COUNTED; k++) {
            if (s->count[k] > 0) {
                put_case(table, told, i);
                answer_word(table, severity_outcome_name(k));
                answer_put(table, (double)s->count[k]);
                if (s->count[k] == s->draws) {
                    answer_said(table, 1.0, "all");
                } else {
                    put_share(table, (double)s->count[k] / (double)s->draws);
                }
                put_share(table, s->share[k].low);
                put_share(table, s->share[k].high);
            }
        }
    }
}

// The few values beyond chance that a person should know of, and how many there are besides.
static void add_telling(struct answer *answer, const struct uncertainty_told *told) {
    static const struct answer_column own[] = {
        COLUMN_VALUE, COLUMN_IN("rank_correlation", "rank correlation", NULL),
        COLUMN_WORD("more_of_it", "more of it makes it")};
    struct answer_table *table = table_of(answer, told, "telling", own, sizeof own / sizeof own[0]);
    table->hidden = ANSWER_FILES;
    for (size_t i = 0; i < uncertainty_told_cases(told); i++) {
        const struct uncertainty_summary *s = &told->summary[i];
        const size_t listed = s->telling < LISTED_MAX ? s->telling : LISTED_MAX;
        for (size_t k = 0; k < listed; k++) {
            const struct uncertainty_effect *e = &s->effect[k];
            put_case(table, told, i);
            answer_word(table, told->study->input[e->input].field);
            answer_said(table, e->leading, "%+.2f", e->leading);
            answer_word(table, e->leading > 0.0 ? "worse" : "better");
        }
        if (listed < s->effect_count) {
            put_case(table, told, i);
            answer_words(table, "%zu %s", s->effect_count - listed, listed > 0 ? "more" : "values");
            answer_put(table, (double)NAN);
            answer_word(table, listed > 0 ? "count for less, or cannot be told from chance"
                                          : "cannot be told from chance; more draws may tell");
        }
    }
}

static void put_effect(struct answer_table *table, const struct uncertainty_told *told,
                       const struct uncertainty_effect *e, bool beyond) {
    answer_word(table, told->study->input[e->input].field);
    answer_put(table, e->leading);
    answer_put(table, e->chance);
    answer_flag(table, beyond);
    answer_put(table, e->share);
    answer_put(table, e->severity);
    answer_put(table, e->swing);
    answer_put(table, e->growth);
}

void uncertainty_told_values(struct answer *answer, const struct uncertainty_told *told) {
    static const struct answer_column own[] = {
        COLUMN_VALUE,
        COLUMN_IN("rank_correlation", "rank correlation", NULL),
        COLUMN_IN("chance", "chance", NULL),
        COLUMN_FLAG("beyond_chance", "beyond chance"),
        COLUMN_IN("share_of_variance", "share of variance", NULL),
        COLUMN_IN("with_severity", "with severity", NULL),
        COLUMN_IN("with_pressure_swing", "with pressure swing", NULL),
        COLUMN_IN("with_growth_of_small_motions", "with growth of small motions", NULL),
    };
    answer_gap(answer);
    answer_say(answer, ANSWER_LINE, "rank correlation with %s:", uncertainty_told_measures(told));
    add_telling(answer, told);
    struct answer_table *table = table_of(answer, told, "values", own, sizeof own / sizeof own[0]);
    table->hidden = ANSWER_TERMINAL | ANSWER_CSV;
    for (size_t i = 0; i < uncertainty_told_cases(told); i++) {
        const struct uncertainty_summary *s = &told->summary[i];
        for (size_t k = 0; k < s->effect_count; k++) {
            put_case(table, told, i);
            put_effect(table, told, &s->effect[k], k < s->telling);
        }
    }
}
