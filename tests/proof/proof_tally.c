// SPDX-License-Identifier: MIT
#include "proof_tally.h"

void proof_tally_coverage(struct tally *tally, const struct match *match, const double *truth) {
    for (size_t i = 0; i < match->space.input_count; i++) {
        const struct match_learnt l = match_tables_learnt(match, i);
        const double place = match_probability(match, truth, i);
        const bool held = place >= l.low && place <= l.high;
        tally->held += held;
        tally->values++;
        tally->learnt_held += held && l.kind != MATCH_UNTOUCHED;
        tally->learnt_values += l.kind != MATCH_UNTOUCHED;
    }
}

size_t proof_tally_places(const struct match *match, const double *truth, size_t name, FILE *out) {
    size_t held = 0;
    for (size_t i = 0; i < match->space.input_count; i++) {
        const struct match_learnt l = match_tables_learnt(match, i);
        const double place = match_probability(match, truth, i);
        double below = 0.0;
        for (size_t k = 0; k < match->count; k++) {
            const double *score = &match->score[k * match->space.input_count];
            below += match_probability(match, score, i) < place ? match->weight[k] : 0.0;
        }
        held += place >= l.low && place <= l.high;
        if (out) {
            fprintf(out, "%zu,%s,%.4f,%.4f,%.4f,%.4f,%.4f,%d,%.1f\n", name,
                    match->space.input[i].field, place, below, l.low, l.high, l.spread, (int)l.kind,
                    match_effective(match));
        }
    }
    if (out) {
        fflush(out);
    }
    return held;
}

void proof_tally_cure(struct tally *tally, const double share[TRIMS], const double cured[TRIMS]) {
    for (size_t t = 0; t < TRIMS; t++) {
        tally->brier[t] += (share[t] - cured[t]) * (share[t] - cured[t]);
        tally->cured[t] += cured[t];
    }
}

void proof_tally_tell(const struct tally *tally) {
    const double n = (double)(tally->truths - tally->nothing);
    printf("%s: %zu truths, nothing fits for %zu, %zu would fall by their eigenvalues\n",
           tally->name, tally->truths, tally->nothing, tally->dropped);
    if (!(n > 0.0)) {
        return;
    }
    printf("  the 90 %% intervals hold %zu of %zu values, %.1f %%; of those learnt %zu of %zu\n",
           tally->held, tally->values, 100.0 * (double)tally->held / (double)tally->values,
           tally->learnt_held, tally->learnt_values);
    for (size_t t = 0; t < TRIMS; t++) {
        const double rate = tally->cured[t] / n;
        printf("  trim %zu: steady in %.0f %% of the truths; Brier score %.3f, base rate %.3f\n", t,
               100.0 * rate, tally->brier[t] / n, rate * (1.0 - rate));
    }
    printf("  a match takes %.1f s of CPU on the mean, %.1f s at most; mean effective number "
           "%.0f\n",
           tally->seconds / (double)tally->truths, tally->longest, tally->effective / n);
}
