// SPDX-License-Identifier: MIT
// The tables of a match: rows, values before and after, what trades off, and the draws themselves.
#include "site/match_inside.h"

#include "answer/column.h"
#include "run/severity.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// A value whose spread in its range shrinks below the first share is pinned down, below the second
// narrowed. Or its middle has moved by so much of the range.
#define PINNED 0.5
#define NARROWED 0.8
#define MOVED 0.1
// Standard deviation of a place drawn evenly from 0 to 1.
#define EVEN_SPREAD 0.28867513459481287
// Beyond so many standard errors of chance.
#define BEYOND_CHANCE 2.5
// There are hundreds of pairs.
#define PAIR_BEYOND_CHANCE 3.5
#define TRADE_LEAST 0.35
// Of fewer effective draws the spread tells nothing: that of two is below a fifth of an even one in
// a quarter of all cases, by chance.
#define LEARN_LEAST 8.0
enum { TRADES_SHOWN = 6 };

double match_quantile(const double *value, const double *weight, size_t count, double share) {
    size_t *order = malloc((count + 1) * sizeof *order);
    double found = (double)NAN;
    if (order && statistics_order(value, count, order) == 0) {
        double sum = 0.0;
        for (size_t i = 0; i < count; i++) {
            found = value[order[i]];
            sum += weight[order[i]];
            if (sum >= share) {
                break;
            }
        }
    }
    free(order);
    return found;
}

// Places of the draws in the range of an input, 0 to 1.
static void places_of(const struct match *match, size_t input, double *place) {
    for (size_t i = 0; i < match->count; i++) {
        place[i] = match_probability(match, &match->score[i * match->space.input_count], input);
    }
}

struct match_learnt match_tables_learnt(const struct match *match, size_t input) {
    struct match_learnt l = {0};
    double *place = malloc((match->count + 1) * sizeof *place);
    if (!place) {
        return l;
    }
    places_of(match, input, place);
    double mean = 0.0;
    double square = 0.0;
    for (size_t i = 0; i < match->count; i++) {
        mean += match->weight[i] * place[i];
        square += match->weight[i] * place[i] * place[i];
    }
    const double effective = fmax(match_effective(match), 2.0);
    l.mean = mean;
    l.spread = sqrt(fmax(square - mean * mean, 0.0)) / EVEN_SPREAD;
    l.low = match_space_place(place, match, 0.05);
    l.middle = match_space_place(place, match, 0.5);
    l.high = match_space_place(place, match, 0.95);
    // Of an even spread, the mean of n scatters by 0.289/sqrt(n), the spread by about 0.45/sqrt(n).
    const double moved = fabs(mean - 0.5) / (EVEN_SPREAD / sqrt(effective));
    const double shrunk = (1.0 - l.spread) / (0.45 / sqrt(effective));
    const bool sure = effective >= LEARN_LEAST && (moved > BEYOND_CHANCE || shrunk > BEYOND_CHANCE);
    l.kind = !sure                                             ? MATCH_UNTOUCHED
             : l.spread < PINNED                               ? MATCH_PINNED
             : l.spread < NARROWED || fabs(mean - 0.5) > MOVED ? MATCH_NARROWED
                                                               : MATCH_UNTOUCHED;
    free(place);
    return l;
}

// --- What each row says

static void outcomes_of(struct answer *answer, const struct match *match, size_t r,
                        struct answer_table *table) {
    double share[SEVERITY_OUTCOMES] = {0.0};
    for (size_t i = 0; i < match->count; i++) {
        const double outcome =
            match->result[(i * match->row_count + r) * MATCH_COLUMNS + MATCH_OUTCOME];
        if (outcome >= 0.0 && outcome < SEVERITY_OUTCOMES) {
            share[(int)outcome] += match->weight[i];
        }
    }
    const char *text = "";
    for (size_t k = 0; k < SEVERITY_OUTCOMES; k++) {
        if (share[k] >= 1.0 - 1e-9) { // no share of draws is called all there is
            text = answer_keep(answer, "%s: in all %zu", severity_outcome_name(k), match->count);
        } else if (share[k] >= 0.005) {
            text = answer_keep(answer, "%s%s%s %.0f %%", text, text[0] ? ", " : "",
                               severity_outcome_name(k), fmin(100.0 * share[k], 99.0));
        }
    }
    answer_word(table, text[0] ? text : "-");
}

void match_tables_rows(struct answer *answer, const struct match_told *told) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("conditions", "flow"),
        COLUMN_WORD("seen", "seen"),
        COLUMN_WORD("since", "since"),
        COLUMN_COUNT("looked_at", "looked at"),
        COLUMN_COUNT("against", "speak against it"),
        COLUMN_WORD("fitting_do", "those that fit"),
    };
    const struct match *match = told->match;
    if (match->row_count == 0) {
        return;
    }
    struct answer_table *table = answer_table(answer, "rows",
                                              "what was seen, and how many drawn "
                                              "regulators speak against it:",
                                              columns, sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_CSV;
    for (size_t r = 0; r < match->row_count; r++) {
        const struct match_row *row = &match->row[r];
        answer_word(table, answer_keep(answer, "%s", row->name));
        answer_word(table, answer_keep(answer, "%s%s", row->seen ? row->seen->said : "recorded",
                                       row->seen && row->recorded ? ", and recorded" : ""));
        answer_word(table, row->seen && row->seen->since[0]
                               ? answer_keep(answer, "%s", row->seen->since)
                               : "-");
        answer_put(table, (double)match->looked[r]);
        answer_put(table, (double)match->against[r]);
        outcomes_of(answer, match, r, table);
    }
}

// --- Values before and after

static const char *kind_name(enum match_learning kind) {
    static const char *const names[] = {"nothing", "narrowed", "pinned down"};
    return names[kind];
}

// Chambers and cavities are not read in cubic feet [m3].
#define SMALL_VOLUME 0.01

static const char *unit_of(const struct answer *answer, const struct uncertainty_input *input) {
    const char *usual = answer_unit(answer, input->kind);
    const bool small = input->kind == UNIT_VOLUME && input->range[0].high < SMALL_VOLUME;
    return !small                      ? usual
           : strcmp(usual, "ft3") == 0 ? "in3"
           : answer->units == UNITS_SI ? usual
                                       : "cm3";
}

static double shown(const struct answer *answer, const struct uncertainty_input *input, double si) {
    const bool plain = input->kind == UNIT_NONE || input->kind == UNIT_FRACTION;
    return plain ? si : units_from_si(&answer->site, input->kind, unit_of(answer, input), si);
}

// Three digits, and whole numbers above.
static const char *digits(struct answer *answer, double number) {
    return answer_keep(answer, fabs(number) < 999.5 ? "%.3g" : "%.0f", number);
}

// "20.8 to 50.4 in2", or without the unit.
static const char *range_text(struct answer *answer, const struct uncertainty_input *input,
                              double low, double high, bool unit) {
    const bool plain = !unit || input->kind == UNIT_NONE || input->kind == UNIT_FRACTION;
    return answer_keep(answer, "%s to %s%s%s", digits(answer, shown(answer, input, low)),
                       digits(answer, shown(answer, input, high)), plain ? "" : " ",
                       plain ? "" : unit_of(answer, input));
}

static void put_value(struct answer *answer, struct answer_table *table, const struct match *match,
                      size_t index, const struct match_learnt *l) {
    const struct uncertainty_input *input = &match->space.input[index];
    const struct sample_range *range = &input->range[0];
    const double low = sample_quantile(range, l->low);
    const double high = sample_quantile(range, l->high);
    const double middle = sample_quantile(range, l->middle);
    answer_word(table, answer_keep(answer, "%s", input->field));
    answer_word(table, kind_name(l->kind));
    answer_word(table, range_text(answer, input, sample_quantile(range, 0.05),
                                  sample_quantile(range, 0.95), true));
    answer_word(table, range_text(answer, input, low, high, false));
    answer_word(table, digits(answer, shown(answer, input, middle)));
    answer_put(table, 100.0 * l->spread);
    answer_put(table, 100.0 * l->middle);
    answer_put(table, low);
    answer_put(table, middle);
    answer_put(table, high);
}

void match_tables_values(struct answer *answer, const struct match_told *told) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("value", "value"),
        COLUMN_WORD("learnt", "learnt"),
        COLUMN_WORD("before", "before, 90 %"),
        COLUMN_WORD("after", "after, 90 %"),
        COLUMN_WORD("after_middle", "middle"),
        {.key = "spread", .name = "spread", .unit = "%", .digits = 3},
        {.key = "place", .name = "middle in its range", .unit = "%", .hidden = ANSWER_TERMINAL},
        {.key = "low_si", .name = "5 %, SI", .hidden = ANSWER_TERMINAL},
        {.key = "middle_si", .name = "50 %, SI", .hidden = ANSWER_TERMINAL},
        {.key = "high_si", .name = "95 %, SI", .hidden = ANSWER_TERMINAL},
    };
    const struct match *match = told->match;
    struct answer_table *table = answer_table(
        answer, "values",
        "values: 90 % of the draws before and after, and the spread that is left:", columns,
        sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_CSV;
    for (int kind = MATCH_PINNED; kind >= MATCH_UNTOUCHED; kind--) {
        for (size_t i = 0; i < match->space.input_count; i++) {
            const struct match_learnt l = match_tables_learnt(match, i);
            const struct sample_range *range = &match->space.input[i].range[0];
            if ((int)l.kind == kind && range->low < range->high) {
                put_value(answer, table, match, i, &l);
            }
        }
    }
}

// --- What trades off

struct trade {
    size_t a, b;
    double correlation;
};

// Rank correlation of weighted places: of their weighted ranks.
static double correlation_of(const struct match *match, const double *x, const double *y) {
    double mx = 0.0;
    double my = 0.0;
    double xx = 0.0;
    double yy = 0.0;
    double xy = 0.0;
    for (size_t i = 0; i < match->count; i++) {
        mx += match->weight[i] * x[i];
        my += match->weight[i] * y[i];
    }
    for (size_t i = 0; i < match->count; i++) {
        xx += match->weight[i] * (x[i] - mx) * (x[i] - mx);
        yy += match->weight[i] * (y[i] - my) * (y[i] - my);
        xy += match->weight[i] * (x[i] - mx) * (y[i] - my);
    }
    return xx > 0.0 && yy > 0.0 ? xy / sqrt(xx * yy) : 0.0;
}

// Weighted mid-ranks of values, 0 to 1.
static bool ranks_of(const struct match *match, const double *value, double *rank, size_t *order) {
    if (statistics_order(value, match->count, order) != 0) {
        return false;
    }
    double sum = 0.0;
    for (size_t i = 0; i < match->count; i++) {
        rank[order[i]] = sum + 0.5 * match->weight[order[i]];
        sum += match->weight[order[i]];
    }
    return true;
}

static double tied_before(const struct match *match, size_t a, size_t b) {
    for (size_t i = 0; i < match->space.pair_count; i++) {
        const struct uncertainty_pair *p = &match->space.pair[i];
        if ((p->a == a && p->b == b) || (p->a == b && p->b == a)) {
            return p->correlation;
        }
    }
    return 0.0;
}

// The pairs whose correlation moved most from what geometry gives it; how many.
static size_t find_trades(const struct match *match, struct trade *trade) {
    const size_t width = match->space.input_count;
    const double chance = PAIR_BEYOND_CHANCE / sqrt(fmax(match_effective(match), 4.0) - 1.0);
    double *rank = malloc((width * match->count + 1) * sizeof *rank);
    double *place = malloc((match->count + 1) * sizeof *place);
    size_t *order = malloc((match->count + 1) * sizeof *order);
    size_t count = 0;
    bool fine = rank && place && order;
    for (size_t i = 0; i < width && fine; i++) {
        places_of(match, i, place);
        fine = ranks_of(match, place, &rank[i * match->count], order);
    }
    for (size_t a = 0; a < width && fine; a++) {
        for (size_t b = a + 1; b < width; b++) {
            const double r =
                correlation_of(match, &rank[a * match->count], &rank[b * match->count]);
            if (fabs(r - tied_before(match, a, b)) < fmax(chance, TRADE_LEAST)) {
                continue;
            }
            size_t at = count < TRADES_SHOWN ? count++ : TRADES_SHOWN;
            for (; at > 0 && fabs(trade[at - 1].correlation) < fabs(r); at--) {
                if (at < TRADES_SHOWN) {
                    trade[at] = trade[at - 1];
                }
            }
            if (at < TRADES_SHOWN) {
                trade[at] = (struct trade){a, b, r};
            }
        }
    }
    free(rank);
    free(place);
    free(order);
    return count;
}

void match_tables_pairs(struct answer *answer, const struct match_told *told) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("first", "value"),
        COLUMN_WORD("second", "trades off against"),
        {.key = "correlation", .name = "rank correlation", .digits = 2},
    };
    const struct match *match = told->match;
    struct trade trade[TRADES_SHOWN];
    const size_t count = find_trades(match, trade);
    if (count == 0) {
        return;
    }
    struct answer_table *table =
        answer_table(answer, "trade_offs", "values that the evidence knows together only:", columns,
                     sizeof columns / sizeof columns[0]);
    table->hidden = ANSWER_CSV;
    for (size_t i = 0; i < count; i++) {
        answer_word(table, match->space.input[trade[i].a].field);
        answer_word(table, match->space.input[trade[i].b].field);
        answer_put(table, trade[i].correlation);
    }
}

void match_tables_words(struct answer *answer, const struct match_told *told) {
    const struct match *match = told->match;
    const char *text[MATCH_PINNED + 1] = {"", "", ""};
    if (match_effective(match) < LEARN_LEAST) {
        answer_say(answer, ANSWER_FINDING,
                   "too few draws to say which values the evidence pins down");
        return;
    }
    for (size_t i = 0; i < match->space.input_count; i++) {
        const enum match_learning kind = match_tables_learnt(match, i).kind;
        text[kind] = answer_keep(answer, "%s%s%s", text[kind], text[kind][0] ? ", " : "",
                                 match->space.input[i].field);
    }
    if (text[MATCH_PINNED][0]) {
        answer_label(answer, ANSWER_FINDING, "pinned down: ", "%s", text[MATCH_PINNED]);
    }
    if (text[MATCH_NARROWED][0]) {
        answer_label(answer, ANSWER_FINDING, "narrowed: ", "%s", text[MATCH_NARROWED]);
    }
    if (text[MATCH_UNTOUCHED][0]) {
        answer_label(answer, ANSWER_FINDING, "nothing said about: ", "%s", text[MATCH_UNTOUCHED]);
    }
}

// --- The draws

bool match_tables_draws(struct answer *answer, const struct match_told *told) {
    struct draws draws;
    if (!match_draws(told->match, told->scenario, &draws)) {
        draws_free(&draws);
        return false;
    }
    const bool kin = draws.worth > 0.0;
    const size_t before = kin ? 2 : 1;
    struct answer_column *column = answer_columns(answer, draws.field_count + before);
    if (!column) {
        draws_free(&draws);
        return false;
    }
    column[0] = (struct answer_column)COLUMN_WORD("weight", "weight");
    if (kin) {
        column[1] = (struct answer_column)COLUMN_WORD("worth", "worth");
    }
    for (size_t k = 0; k < draws.field_count; k++) {
        const char *path = answer_keep(answer, "%s", draws.field[k]);
        column[k + before] = (struct answer_column)COLUMN_WORD(path, path);
    }
    struct answer_table *table =
        answer_table(answer, "draws", NULL, column, draws.field_count + before);
    table->hidden = ANSWER_TERMINAL | ANSWER_JSON;
    for (size_t i = 0; i < draws.count; i++) {
        answer_words(table, "%.17g", draws.weight[i]);
        if (kin) {
            answer_words(table, "%.17g", draws.worth);
        }
        for (size_t k = 0; k < draws.field_count; k++) {
            answer_words(table, "%s", draws.cell[i * draws.field_count + k].text);
        }
    }
    draws_free(&draws);
    return true;
}
