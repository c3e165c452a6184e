// SPDX-License-Identifier: MIT
// The ranges as a space of independent normal scores: geometry's ties are a Gaussian copula, so
// that a walk in the scores keeps the ranges as they are.
#include "site/match_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// A walk never leaves the ranges: probabilities stay inside.
#define EDGE 1e-9

double match_probability(const struct match *match, const double *score, size_t input) {
    const size_t width = match->space.input_count;
    double sum = 0.0;
    for (size_t k = 0; k <= input; k++) {
        sum += match->factor[input * width + k] * score[k];
    }
    return fmin(fmax(0.5 * erfc(-sum / sqrt(2.0)), EDGE), 1.0 - EDGE);
}

double match_value(const struct match *match, const double *score, size_t input, size_t trim) {
    return sample_quantile(&match->space.input[input].range[trim],
                           match_probability(match, score, input));
}

// Lower Cholesky factor in place of a symmetric matrix; false when it is not positive definite.
static bool factorise(double *a, size_t n) {
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k <= i; k++) {
            double sum = a[i * n + k];
            for (size_t j = 0; j < k; j++) {
                sum -= a[i * n + j] * a[k * n + j];
            }
            if (i == k && !(sum > 1e-9)) {
                return false;
            }
            a[i * n + k] = i == k ? sqrt(sum) : sum / a[k * n + k];
        }
        for (size_t k = i + 1; k < n; k++) {
            a[i * n + k] = 0.0;
        }
    }
    return true;
}

bool match_space_factor(struct match *match) {
    const size_t width = match->space.input_count;
    match->factor = calloc(width * width + 1, sizeof *match->factor);
    if (!match->factor) {
        return false;
    }
    double *a = match->factor;
    for (size_t pass = 0; pass < 2; pass++) {
        memset(a, 0, width * width * sizeof *a);
        for (size_t i = 0; i < width; i++) {
            a[i * width + i] = 1.0;
        }
        for (size_t i = 0; pass == 0 && i < match->space.pair_count; i++) {
            const struct uncertainty_pair *p = &match->space.pair[i];
            // Of normal scores, so that the ranks correlate as asked (K. Pearson, 1907).
            const double s = 2.0 * sin(acos(-1.0) / 6.0 * p->correlation);
            a[p->a * width + p->b] = a[p->b * width + p->a] = s;
        }
        if (factorise(a, width)) {
            break; // ties that contradict each other are dropped, all of them
        }
    }
    return true;
}

void match_space_draw(const struct match *match, uint64_t branch, double *score) {
    struct statistics_stream stream = statistics_stream_open(match->seed, branch);
    for (size_t i = 0; i < match->space.input_count; i++) {
        const double unit = statistics_stream_unit(&stream);
        score[i] = statistics_normal_quantile(fmin(fmax(unit, EDGE), 1.0 - EDGE));
    }
}

// Preconditioned Crank-Nicolson: the ranges are its rest. Source: S. L. Cotter et al., Statist.
// Sci. 28 (2013) 424-446.
void match_space_step(const struct match *match, uint64_t branch, double step, const double *from,
                      double *to) {
    match_space_draw(match, branch, to);
    const double keep = sqrt(1.0 - step * step);
    for (size_t i = 0; i < match->space.input_count; i++) {
        to[i] = keep * from[i] + step * to[i];
    }
}

size_t match_space_change(const struct match *match, const double *score, size_t trim,
                          struct study_change *change) {
    size_t count = 0;
    size_t t = 0;
    while (t < match->space.trim_count && match->space.trim[t] != trim) {
        t++;
    }
    for (size_t i = 0; i < match->space.input_count; i++) {
        const struct uncertainty_input *input = &match->space.input[i];
        if (input->range[t].low < input->range[t].high) {
            change[count++] = (struct study_change){input->field, match_value(match, score, i, t)};
        }
    }
    return count;
}

double match_effective(const struct match *match) {
    double squares = 0.0;
    for (size_t i = 0; i < match->count; i++) {
        squares += match->weight[i] * match->weight[i];
    }
    const double number = match->count > 0 ? 1.0 / squares : 0.0;
    return match->kin > 0.0 ? fmin(match->kin, number) : number;
}

double match_space_place(const double *place, const struct match *match, double share) {
    const double worth = match_effective(match);
    size_t *order = malloc((match->count + 1) * sizeof *order);
    double found = (double)NAN;
    if (order && statistics_order(place, match->count, order) == 0) {
        double from = 0.0;
        double below = 0.0; // weight of the draws passed
        double reached = 0.0;
        size_t i = 0;
        for (; i < match->count; i++) {
            const double weight = match->weight[order[i]];
            const double next = (worth * (below + 0.5 * weight) + 0.5) / (worth + 1.0);
            if (next >= share) {
                found = from + (place[order[i]] - from) * (share - reached) / (next - reached);
                break;
            }
            from = place[order[i]];
            reached = next;
            below += weight;
        }
        found =
            i < match->count ? found : from + (1.0 - from) * (share - reached) / (1.0 - reached);
    }
    free(order);
    return found;
}
