// SPDX-License-Identifier: MIT
#include "maths/sample_plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char *const shape_names[SAMPLE_SHAPE_COUNT] = {"triangular", "uniform", "log-uniform"};

const char *sample_shape_name(enum sample_shape shape) {
    return shape_names[shape];
}

bool sample_shape_parse(const char *name, enum sample_shape *shape) {
    for (int i = 0; i < SAMPLE_SHAPE_COUNT; i++) {
        if (strcmp(name, shape_names[i]) == 0) {
            *shape = (enum sample_shape)i;
            return true;
        }
    }
    return false;
}

static double triangular(const struct sample_range *range, double probability) {
    double span = range->high - range->low, rise = range->middle - range->low;
    if (probability * span <= rise) {
        return range->low + sqrt(probability * span * rise);
    }
    return range->high - sqrt((1.0 - probability) * span * (range->high - range->middle));
}

double sample_quantile(const struct sample_range *range, double probability) {
    switch (range->shape) {
    case SAMPLE_UNIFORM:
        return range->low + probability * (range->high - range->low);
    case SAMPLE_LOG_UNIFORM:
        return range->low * pow(range->high / range->low, probability);
    case SAMPLE_TRIANGULAR:
        break;
    }
    return triangular(range, probability);
}

void sample_plan_fill(double *probability, size_t count, size_t width, uint64_t seed) {
    for (size_t column = 0; column < width; column++) {
        struct statistics_stream stream = statistics_stream_open(seed, column);
        for (size_t i = 0; i < count; i++) {
            double within = statistics_stream_unit(&stream);
            probability[i * width + column] = ((double)i + within) / (double)count;
        }
        for (size_t i = count; i > 1; i--) { // Fisher and Yates
            size_t j = (size_t)(statistics_stream_unit(&stream) * (double)i);
            double *a = &probability[(i - 1) * width + column],
                   *b = &probability[j * width + column];
            double kept = *a;
            *a = *b;
            *b = kept;
        }
    }
}

// Lower triangle L of matrix = L L'; false when it is not positive definite.
static bool cholesky(const double *matrix, size_t n, double *lower) {
    memset(lower, 0, n * n * sizeof *lower);
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j <= i; j++) {
            double rest = matrix[i * n + j];
            for (size_t k = 0; k < j; k++) {
                rest -= lower[i * n + k] * lower[j * n + k];
            }
            if (i == j && !(rest > 1e-12)) {
                return false;
            }
            lower[i * n + j] = i == j ? sqrt(rest) : rest / lower[j * n + j];
        }
    }
    return true;
}

// Scores of the draws' order: normal, mean 0, mean square 1.
static int scores_of(const double *probability, size_t count, size_t width, double *score) {
    double *column = malloc(2 * count * sizeof *column);
    if (!column) {
        return -1;
    }
    double *rank = column + count;
    int status = 0;
    for (size_t j = 0; j < width && status == 0; j++) {
        for (size_t i = 0; i < count; i++) {
            column[i] = probability[i * width + j];
        }
        status = statistics_ranks(column, count, rank);
        double square = 0.0;
        for (size_t i = 0; i < count && status == 0; i++) {
            double s = statistics_normal_quantile(rank[i] / ((double)count + 1.0));
            score[i * width + j] = s;
            square += s * s / (double)count;
        }
        for (size_t i = 0; i < count && status == 0; i++) {
            score[i * width + j] /= sqrt(square);
        }
    }
    free(column);
    return status;
}

// score := score times the matrix that turns correlations of `own` into those of `wanted`: rows
// solved against own's triangle, then multiplied by wanted's.
static void transform(double *score, size_t count, size_t n, const double *own,
                      const double *wanted) {
    for (size_t row = 0; row < count; row++) {
        double *s = &score[row * n];
        for (size_t i = 0; i < n; i++) {
            for (size_t k = 0; k < i; k++) {
                s[i] -= own[i * n + k] * s[k];
            }
            s[i] /= own[i * n + i];
        }
        for (size_t i = n; i-- > 0;) {
            double sum = 0.0;
            for (size_t k = 0; k <= i; k++) {
                sum += wanted[i * n + k] * s[k];
            }
            s[i] = sum;
        }
    }
}

// Each column of the plan in the order of its column of scores.
static int rearrange(double *probability, size_t count, size_t width, const double *score) {
    double *values = malloc(2 * count * sizeof *values);
    size_t *order = malloc(2 * count * sizeof *order);
    int status = values && order ? 0 : -1;
    for (size_t j = 0; j < width && status == 0; j++) {
        for (size_t i = 0; i < count; i++) {
            values[i] = probability[i * width + j];
            values[count + i] = score[i * width + j];
        }
        if (statistics_order(values, count, order) != 0 ||
            statistics_order(values + count, count, order + count) != 0) {
            status = -1;
        }
        for (size_t i = 0; i < count && status == 0; i++) {
            probability[order[count + i] * width + j] = values[order[i]];
        }
    }
    free(values);
    free(order);
    return status;
}

int sample_plan_correlate(double *probability, size_t count, size_t width, const double *wanted) {
    if (width == 0 || count <= width) {
        return width == 0 ? 0 : 1;
    }
    double *score = malloc((count * width + 3 * width * width) * sizeof *score);
    if (!score) {
        return -1;
    }
    double *own = score + count * width, *own_lower = own + width * width;
    double *wanted_lower = own_lower + width * width;
    int status = scores_of(probability, count, width, score);
    for (size_t j = 0; j < width * width && status == 0; j++) {
        own[j] = 0.0;
        for (size_t i = 0; i < count; i++) {
            own[j] += score[i * width + j / width] * score[i * width + j % width] / (double)count;
        }
    }
    if (status == 0 &&
        (!cholesky(wanted, width, wanted_lower) || !cholesky(own, width, own_lower))) {
        status = 1;
    }
    if (status == 0) {
        transform(score, count, width, own_lower, wanted_lower);
        status = rearrange(probability, count, width, score);
    }
    free(score);
    return status;
}
