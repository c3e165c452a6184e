// SPDX-License-Identifier: MIT
// The picture of a match: each value before and after, and the record against the model.
#include "site/match_inside.h"

#include "answer/picture.h"

#include <math.h>
#include <stdlib.h>

// Each value in its own range: place of the ends and the middle, 0 to 1 (evenly likely before).
static size_t add_values(struct answer *answer, const struct match *match) {
    struct picture_data *data = picture_data(answer, 4);
    size_t shown = 0;
    for (int kind = MATCH_PINNED; kind >= MATCH_UNTOUCHED; kind--) {
        for (size_t i = 0; i < match->space.input_count; i++) {
            const struct match_learnt l = match_tables_learnt(match, i);
            const struct uncertainty_input *input = &match->space.input[i];
            if ((int)l.kind != kind || !(input->range[0].low < input->range[0].high)) {
                continue;
            }
            const double row[] = {l.low, l.middle, l.high, (double)l.kind};
            picture_row(data,
                        answer_keep(answer, "%s (%s .. %s)", input->field,
                                    answer_text(answer, input->kind, input->range[0].low),
                                    answer_text(answer, input->kind, input->range[0].high)),
                        row);
            shown++;
        }
    }
    return shown;
}

// One phase: record with the band of its cycles, the draws' band, the nearest wave.
static void add_wave(struct answer *answer, const struct match_told *told, size_t row) {
    const struct match *match = told->match;
    struct picture_data *data = picture_data(answer, 8);
    double *at = malloc((match->count + 1) * sizeof *at);
    for (int k = 0; k < MATCH_PHASES && at; k++) {
        for (size_t i = 0; i < match->count; i++) {
            at[i] = match->result[(i * match->row_count + row) * MATCH_COLUMNS + MATCH_FEATURES +
                                  FEATURE_WAVE + (size_t)k];
        }
        const double mean = match->record.judged.motion.mean;
        const double *w = match->weight;
        const double wave[] = {match->record.feature[FEATURE_WAVE + k],
                               match->record.low[k],
                               match->record.high[k],
                               match_quantile(at, w, match->count, 0.05),
                               match_quantile(at, w, match->count, 0.5),
                               match_quantile(at, w, match->count, 0.95),
                               told->best->found
                                   ? told->best->result[MATCH_FEATURES + FEATURE_WAVE + k]
                                   : (double)NAN};
        double shown[8] = {100.0 * ((double)k + 0.5) / MATCH_PHASES};
        for (int c = 0; c < 7; c++) {
            shown[c + 1] = answer_shown(answer, UNIT_PRESSURE_LEVEL, mean + wave[c]);
        }
        picture_row(data, NULL, shown);
    }
    free(at);
}

void match_picture_add(struct answer *answer, const struct match_told *told) {
    const struct match *match = told->match;
    size_t row = 0;
    while (row < match->row_count && !match->row[row].recorded) {
        row++;
    }
    const bool recorded = row < match->row_count;
    picture_begin(answer, "match.gp", answer->title);
    const size_t shown = add_values(answer, match);
    if (recorded) {
        add_wave(answer, told, row);
        picture_title(answer, "record, %.3g Hz", match->record.feature[FEATURE_FREQUENCY]);
        double *f = malloc((match->count + 1) * sizeof *f);
        for (size_t i = 0; i < match->count && f; i++) {
            f[i] = match->result[(i * match->row_count + row) * MATCH_COLUMNS + MATCH_FEATURES +
                                 FEATURE_FREQUENCY];
        }
        picture_title(answer, "regulators that fit, %.3g to %.3g Hz",
                      f ? match_quantile(f, match->weight, match->count, 0.05) : (double)NAN,
                      f ? match_quantile(f, match->weight, match->count, 0.95) : (double)NAN);
        picture_title(answer, "nearest wave, %.3g Hz",
                      told->best->result[MATCH_FEATURES + FEATURE_FREQUENCY]);
        free(f);
    }
    picture_axis(answer, "controlled pressure", UNIT_PRESSURE_LEVEL);
    picture_number(answer, (double)shown);
    picture_number(answer, recorded ? 1.0 : 0.0);
    picture_number(answer, told->best->found ? 1.0 : 0.0);
    picture_number(answer, match_effective(match));
}
