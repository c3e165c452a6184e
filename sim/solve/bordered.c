// SPDX-License-Identifier: MIT
// With B = L U: the border's columns become Y = L^-1 D, its rows Z = C U^-1, and S = A - Z Y is
// factored with exchange of rows. A solve is then L, S and U in turn.
//
// Column c of the band holds its rows c - above to c + below. Vectors have room at both ends, so
// that no loop over a column has to look where the matrix ends.
#include "solve/bordered.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct bordered {
    int count, banded, border, below, above;
    int length;      // of a column of the border, with its room
    int *order;      // [count]
    int *pivot;      // [border]
    int *first_row;  // [border] first place at which a column of the border is not zero,
    int *first_left; // [border] and a row
    double *band;    // [banded][below + above + 1]
    double *lower;   // [banded][below]
    double *inverse; // [banded + border] of the pivots
    double *right;   // Y, by column [border][length]
    double *left;    // Z, by row [border][length]
    double *rest;    // S, by column [border][border]
    double *work;    // [length + border]
};

void bordered_free(struct bordered *b) {
    if (b) {
        free(b->order);
        free(b->band);
        free(b);
    }
}

struct bordered *bordered_new(const struct bordered_shape *shape) {
    struct bordered *b = calloc(1, sizeof *b);
    if (!b) {
        return NULL;
    }
    const int border = shape->count - shape->banded;
    const size_t n = (size_t)shape->banded, m = (size_t)border;
    const size_t width = (size_t)(shape->below + shape->above) + 1;
    const size_t length = n + (size_t)(shape->below + shape->above);
    *b = (struct bordered){.count = shape->count,
                           .banded = shape->banded,
                           .border = border,
                           .below = shape->below,
                           .above = shape->above,
                           .length = (int)length};
    b->order = calloc((size_t)shape->count + 3 * m, sizeof *b->order);
    b->band =
        calloc(n * width + n * (size_t)shape->below + n + m + 2 * m * length + m * m + length + m,
               sizeof *b->band);
    if (!b->order || !b->band) {
        bordered_free(b);
        return NULL;
    }
    memcpy(b->order, shape->order, (size_t)shape->count * sizeof *b->order);
    b->pivot = b->order + shape->count;
    b->first_row = b->pivot + border;
    b->first_left = b->first_row + border;
    b->lower = b->band + n * width;
    b->inverse = b->lower + n * (size_t)shape->below;
    b->right = b->inverse + n + m;
    b->left = b->right + m * length;
    b->rest = b->left + m * length;
    b->work = b->rest + m * m;
    return b;
}

// --- The matrix in its order

static void load_banded_row(struct bordered *b, int i, const double *row, double diagonal,
                            double factor) {
    const int n = b->banded, width = b->below + b->above + 1;
    const int from = i > b->below ? i - b->below : 0, to = i + b->above < n ? i + b->above : n - 1;
    for (int c = from; c <= to; c++) {
        b->band[c * width + i - c + b->above] = factor * row[b->order[c]];
    }
    b->band[i * width + b->above] += diagonal;
    for (int j = 0; j < b->border; j++) {
        const double value = factor * row[b->order[n + j]];
        b->right[j * b->length + b->above + i] = value;
        if (value != 0.0 && b->first_row[j] > i) {
            b->first_row[j] = i;
        }
    }
}

static void load(struct bordered *b, const double *row, double diagonal, double factor) {
    const int n = b->banded, m = b->border;
    for (int j = 0; j < m; j++) {
        b->first_row[j] = b->first_left[j] = n;
    }
    for (int i = 0; i < n; i++) {
        load_banded_row(b, i, row + b->order[i] * b->count, diagonal, factor);
    }
    for (int i = 0; i < m; i++) {
        const double *of = row + b->order[n + i] * b->count;
        double *left = b->left + i * b->length + b->above;
        for (int k = 0; k < n; k++) {
            left[k] = factor * of[b->order[k]];
            if (left[k] != 0.0 && b->first_left[i] > k) {
                b->first_left[i] = k;
            }
        }
        for (int j = 0; j < m; j++) {
            b->rest[j * m + i] = factor * of[b->order[n + j]];
        }
        b->rest[i * m + i] += diagonal;
    }
}

// --- Factors. Written once for any width and compiled for the two there are.

#define INLINE static inline __attribute__((always_inline))

INLINE bool factor_band(struct bordered *b, const int below, const int above) {
    const int n = b->banded, width = below + above + 1;
    for (int k = 0; k < n; k++) {
        const double *own = b->band + k * width + above;
        double *lower = b->lower + k * below;
        if (!(fabs(own[0]) > 0.0)) {
            return false;
        }
        const double inverse = 1.0 / own[0];
        b->inverse[k] = inverse;
        for (int t = 0; t < below; t++) {
            lower[t] = k + 1 + t < n ? own[t + 1] * inverse : 0.0;
        }
        for (int c = k + 1; c <= k + above && c < n; c++) {
            double *other = b->band + c * width + above - (c - k);
            const double value = other[0];
            if (value != 0.0) {
                for (int t = 0; t < below; t++) {
                    other[1 + t] -= value * lower[t];
                }
            }
        }
    }
    return true;
}

INLINE void forward(const struct bordered *b, int from, double *v, const int below) {
    for (int k = from; k < b->banded; k++) {
        const double value = v[k], *lower = b->lower + k * below;
        for (int t = 0; t < below; t++) {
            v[k + 1 + t] -= value * lower[t];
        }
    }
}

INLINE void backward(const struct bordered *b, double *v, const int below, const int above) {
    const int width = below + above + 1;
    for (int k = b->banded - 1; k >= 0; k--) {
        const double value = v[k] * b->inverse[k], *upper = b->band + k * width;
        v[k] = value;
        for (int t = 0; t < above; t++) {
            v[k - above + t] -= value * upper[t];
        }
    }
}

INLINE void turn_left(const struct bordered *b, int from, double *z, const int below,
                      const int above) {
    const int width = below + above + 1;
    for (int k = from; k < b->banded; k++) {
        const double *upper = b->band + k * width;
        double sum = z[k];
        for (int t = 0; t < above; t++) {
            sum -= z[k - above + t] * upper[t];
        }
        z[k] = sum * b->inverse[k];
    }
}

INLINE bool eliminate_band(struct bordered *b, const int below, const int above) {
    const int m = b->border;
    if (!factor_band(b, below, above)) {
        return false;
    }
    for (int j = 0; j < m; j++) {
        double *right = b->right + j * b->length, *left = b->left + j * b->length;
        forward(b, b->first_row[j], right + above, below);
        memset(right + above + b->banded, 0, (size_t)below * sizeof *right);
        turn_left(b, b->first_left[j], left + above, below, above);
    }
    return true;
}

static void take_from_rest(struct bordered *b) {
    const int m = b->border;
    for (int j = 0; j < m; j++) {
        const double *right = b->right + j * b->length + b->above;
        for (int i = 0; i < m; i++) {
            const double *left = b->left + i * b->length + b->above;
            const int from =
                b->first_row[j] > b->first_left[i] ? b->first_row[j] : b->first_left[i];
            double sum = 0.0;
            for (int k = from; k < b->banded; k++) {
                sum += left[k] * right[k];
            }
            b->rest[j * m + i] -= sum;
        }
    }
}

static bool factor_rest(struct bordered *b) {
    const int m = b->border;
    for (int k = 0; k < m; k++) {
        double *own = b->rest + k * m;
        int best = k;
        for (int r = k + 1; r < m; r++) {
            best = fabs(own[r]) > fabs(own[best]) ? r : best;
        }
        b->pivot[k] = best;
        if (!(fabs(own[best]) > 0.0)) {
            return false;
        }
        for (int c = 0; best != k && c < m; c++) {
            double *column = b->rest + c * m, kept = column[k];
            column[k] = column[best];
            column[best] = kept;
        }
        const double inverse = 1.0 / own[k];
        b->inverse[b->banded + k] = inverse;
        for (int r = k + 1; r < m; r++) {
            own[r] *= inverse;
        }
        for (int c = k + 1; c < m; c++) {
            double *other = b->rest + c * m;
            const double value = other[k];
            for (int r = k + 1; value != 0.0 && r < m; r++) {
                other[r] -= value * own[r];
            }
        }
    }
    return true;
}

bool bordered_factor(struct bordered *b, const double *row, double diagonal, double factor) {
    load(b, row, diagonal, factor);
    const bool thermal = b->below == 8 && b->above == 7, cold = b->below == 4 && b->above == 4;
    const bool fine = thermal ? eliminate_band(b, 8, 7)
                      : cold  ? eliminate_band(b, 4, 4)
                              : eliminate_band(b, b->below, b->above);
    if (!fine) {
        return false;
    }
    take_from_rest(b);
    return factor_rest(b);
}

// --- A solve

static void solve_rest(const struct bordered *b, double *s) {
    const int m = b->border;
    for (int k = 0; k < m; k++) {
        const double kept = s[b->pivot[k]];
        s[b->pivot[k]] = s[k];
        s[k] = kept;
    }
    for (int k = 0; k < m; k++) {
        const double *lower = b->rest + k * m, value = s[k];
        for (int r = k + 1; r < m; r++) {
            s[r] -= value * lower[r];
        }
    }
    for (int k = m - 1; k >= 0; k--) {
        const double *upper = b->rest + k * m, value = s[k] * b->inverse[b->banded + k];
        s[k] = value;
        for (int r = 0; r < k; r++) {
            s[r] -= value * upper[r];
        }
    }
}

INLINE void solve_as(const struct bordered *b, double *u, const int below, const int above) {
    const int n = b->banded, m = b->border;
    double *v = b->work + above, *s = b->work + b->length;
    for (int k = 0; k < n; k++) {
        v[k] = u[b->order[k]];
    }
    memset(v + n, 0, (size_t)below * sizeof *v);
    forward(b, 0, v, below);
    for (int j = 0; j < m; j++) {
        const double *left = b->left + j * b->length + above;
        double sum = u[b->order[n + j]];
        for (int k = b->first_left[j]; k < n; k++) {
            sum -= left[k] * v[k];
        }
        s[j] = sum;
    }
    solve_rest(b, s);
    for (int j = 0; j < m; j++) {
        const double *right = b->right + j * b->length + above;
        for (int k = b->first_row[j]; k < n; k++) {
            v[k] -= right[k] * s[j];
        }
        u[b->order[n + j]] = s[j];
    }
    backward(b, v, below, above);
    for (int k = 0; k < n; k++) {
        u[b->order[k]] = v[k];
    }
}

void bordered_solve(const struct bordered *b, const double *row, int length, double scale,
                    double *u) {
    if (b->below == 8 && b->above == 7) {
        solve_as(b, u, 8, 7);
    } else if (b->below == 4 && b->above == 4) {
        solve_as(b, u, 4, 4);
    } else {
        solve_as(b, u, b->below, b->above);
    }
    for (int i = b->count; i < length; i++) {
        const double *of = row + i * b->count;
        double sum = 0.0;
        for (int k = 0; k < b->count; k++) {
            sum += of[k] * u[k];
        }
        u[i] = scale * (u[i] + sum);
    }
}
