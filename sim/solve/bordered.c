// SPDX-License-Identifier: MIT
// With B = L U: the border's columns become Y = L^-1 D, its rows Z = C U^-1, and S = A - Z Y is
// factored with exchange of rows. A solve is then L, S and U in turn.
//
// Column c of the band holds its rows c - above to c + below, and vectors have room at both ends,
// so that the elimination need not look where the matrix ends. Solves, of which there are more, go
// by rows (band_rows.h).
#include "solve/bordered.h"

#include "solve/band_rows.h"
#include "solve/dense_lu.h"
#include "solve/pair.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { BELOW_MAX = 16 };

struct bordered {
    int count, banded, border, below, above, more;
    int width;          // of a column of the band, even
    int length;         // of a column of the border, with its room
    int *order;         // [count]
    int *pivot;         // [border]
    int *first_row;     // [border] first place at which a column of the border is not zero,
    int *first_left;    // [border] and a row
    int *top;           // [banded] row at which a column of U begins
    int *totals;        // [more + 1] where the entries of those rows begin
    int *total_place;   // [more x count] columns of these entries
    double *slope_band; // as loaded, like `band`, `right`, `left`, `rest` below
    double *slope_right, *slope_left, *slope_rest;
    double *total;         // [more x count]
    double *band;          // [banded][width]
    struct band_rows rows; // L and U by rows
    double *inverse;       // [border] of the rest's pivots
    double *right;         // Y, by column [border][length]
    double *left;          // Z, by row [border][length]
    double *rest;          // S, by column [border][border]
    double *work;          // [length + border]
};

void bordered_free(struct bordered *b) {
    if (b) {
        free(b->order);
        free(b->slope_band);
        free(b);
    }
}

static bool reserve(struct bordered *b) {
    const size_t n = (size_t)b->banded, m = (size_t)b->border, count = (size_t)b->count;
    const size_t more = (size_t)b->more, length = (size_t)b->length;
    const struct {
        int **at;
        size_t size;
    } ints[] = {{&b->order, count},  {&b->pivot, m},         {&b->first_row, m},
                {&b->first_left, m}, {&b->rows.first, n},    {&b->top, n},
                {&b->rows.last, n},  {&b->totals, more + 1}, {&b->total_place, more * count}};
    const size_t band = n * (size_t)b->width, border = m * length;
    const struct {
        double **at;
        size_t size;
    } doubles[] = {{&b->slope_band, band},
                   {&b->slope_right, border},
                   {&b->slope_left, border},
                   {&b->slope_rest, m * m},
                   {&b->total, more * count},
                   {&b->band, band},
                   {&b->rows.lower, (n + (size_t)b->below) * (size_t)b->below},
                   {&b->rows.upper, n * (size_t)b->above},
                   {&b->rows.inverse, n},
                   {&b->inverse, m},
                   {&b->right, border},
                   {&b->left, border},
                   {&b->rest, m * m},
                   {&b->work, length + m}};
    enum { INTS = sizeof ints / sizeof ints[0], DOUBLES = sizeof doubles / sizeof doubles[0] };
    size_t all_ints = 0, all_doubles = 0;
    for (size_t i = 0; i < INTS; i++) {
        all_ints += ints[i].size;
    }
    for (size_t i = 0; i < DOUBLES; i++) {
        all_doubles += doubles[i].size;
    }
    int *next_int = calloc(all_ints, sizeof *next_int);
    double *next = calloc(all_doubles, sizeof *next);
    for (size_t i = 0; i < INTS && next_int; i++) {
        *ints[i].at = next_int;
        next_int += ints[i].size;
    }
    for (size_t i = 0; i < DOUBLES && next; i++) {
        *doubles[i].at = next;
        next += doubles[i].size;
    }
    return b->order && b->slope_band;
}

struct bordered *bordered_new(const struct bordered_shape *shape) {
    struct bordered *b = shape->below <= BELOW_MAX ? calloc(1, sizeof *b) : NULL;
    if (!b) {
        return NULL;
    }
    const int room = shape->below + shape->above;
    *b = (struct bordered){
        .count = shape->count,
        .banded = shape->banded,
        .border = shape->count - shape->banded,
        .below = shape->below,
        .above = shape->above,
        .more = shape->more,
        .rows = {.count = shape->banded, .below = shape->below, .above = shape->above},
        .width = (room + 2) / 2 * 2,
        .length = shape->banded + room + 1};
    if (!reserve(b)) {
        bordered_free(b);
        return NULL;
    }
    memcpy(b->order, shape->order, (size_t)shape->count * sizeof *b->order);
    return b;
}

// --- What is loaded

static void load_banded_row(struct bordered *b, int i, const double *row) {
    const int n = b->banded;
    const int from = i > b->below ? i - b->below : 0, to = i + b->above < n ? i + b->above : n - 1;
    double *place = b->slope_band + from * b->width + i - from + b->above;
    for (int c = from; c <= to; c++) {
        const double value = row[b->order[c]];
        *place = value;
        place += b->width - 1;
        if (value != 0.0) {
            b->rows.first[i] = c < b->rows.first[i] ? c : b->rows.first[i];
            b->top[c] = i < b->top[c] ? i : b->top[c];
        }
    }
    for (int j = 0; j < b->border; j++) {
        const double value = row[b->order[n + j]];
        b->slope_right[j * b->length + b->above + i] = value;
        if (value != 0.0 && b->first_row[j] > i) {
            b->first_row[j] = i;
        }
    }
}

static void load_border_row(struct bordered *b, int i, const double *row) {
    const int n = b->banded, m = b->border;
    double *left = b->slope_left + i * b->length + b->above;
    for (int k = 0; k < n; k++) {
        left[k] = row[b->order[k]];
        if (left[k] != 0.0 && b->first_left[i] > k) {
            b->first_left[i] = k;
        }
    }
    for (int j = 0; j < m; j++) {
        b->slope_rest[j * m + i] = row[b->order[n + j]];
    }
}

static void load_totals(struct bordered *b, const double *row) {
    int place = 0;
    for (int i = 0; i < b->more; i++) {
        for (int k = 0; k < b->count; k++) {
            const double value = row[i * b->count + k];
            b->total[place] = value;
            b->total_place[place] = k;
            place += value != 0.0;
        }
        b->totals[i + 1] = place;
    }
}

void bordered_load(struct bordered *b, const double *row) {
    const int n = b->banded, m = b->border;
    for (int j = 0; j < m; j++) {
        b->first_row[j] = b->first_left[j] = n;
    }
    for (int i = 0; i < n; i++) {
        b->rows.first[i] = b->top[i] = i;
    }
    for (int i = 0; i < n; i++) {
        load_banded_row(b, i, row + b->order[i] * b->count);
    }
    for (int i = 0; i < m; i++) {
        load_border_row(b, i, row + b->order[n + i] * b->count);
    }
    load_totals(b, row + b->count * b->count);
    for (int r = 0, c = 0; r < n; r++) { // a later column may begin before an earlier one
        const int reach = r + b->above < n ? r + b->above : n - 1;
        for (b->rows.last[r] = r, c = r + 1; c <= reach; c++) {
            b->rows.last[r] = b->top[c] <= r ? c : b->rows.last[r];
        }
    }
    band_rows_look(&b->rows);
    memset(b->right, 0, (size_t)m * (size_t)b->length * sizeof *b->right);
    memset(b->left, 0, (size_t)m * (size_t)b->length * sizeof *b->left);
}

// to = factor x from.
static void scale(int count, double factor, const double *restrict from, double *restrict to) {
    int i = 0;
    for (; i + 1 < count; i += 2) {
        *pair_at(to, i) = factor * pair_of(from, i);
    }
    for (; i < count; i++) {
        to[i] = factor * from[i];
    }
}

static void begin(struct bordered *b, double diagonal, double factor) {
    const int n = b->banded, m = b->border;
    scale(n * b->width, factor, b->slope_band, b->band);
    for (int i = 0; i < n; i++) {
        b->band[i * b->width + b->above] += diagonal;
    }
    for (int j = 0; j < m; j++) {
        const int row = b->first_row[j], left = b->first_left[j], at = j * b->length + b->above;
        scale(n - row, factor, b->slope_right + at + row, b->right + at + row);
        scale(n - left, factor, b->slope_left + at + left, b->left + at + left);
    }
    scale(m * m, factor, b->slope_rest, b->rest);
    for (int i = 0; i < m; i++) {
        b->rest[i * m + i] += diagonal;
    }
}

// --- Factors. Written once for any width and compiled for the two there are.

#define INLINE static inline __attribute__((always_inline))

// Rows behind the last are zero, and stay so.
INLINE bool factor_band(struct bordered *b, const int below, const int above, const int width) {
    const int n = b->banded, pairs = (below + 1) / 2;
    double lower[BELOW_MAX] = {0.0};
    for (int k = 0; k < n; k++) {
        double *own = b->band + k * width + above;
        if (!(fabs(own[0]) > 0.0)) {
            return false;
        }
        const double inverse = 1.0 / own[0];
        b->rows.inverse[k] = inverse;
        double *of_lower = b->rows.lower + (k + 1) * below + below - 1;
        for (int t = 0; t < below; t++) {
            lower[t] = own[t + 1] *= inverse;
            of_lower[t * (below - 1)] = lower[t];
        }
        double *of_upper = b->rows.upper + (k + 1) * above - 1;
        for (int c = k + 1; c <= k + above && c < n; c++) {
            double *restrict other = b->band + c * width + above - (c - k);
            const double value = *of_upper-- = other[0];
            if (value != 0.0) {
                for (int t = 0; t < pairs; t++) {
                    *pair_at(other, 1 + 2 * t) -= value * pair_of(lower, 2 * t);
                }
            }
        }
    }
    return true;
}

INLINE void turn_right(const struct bordered *b, int from, double *v, const int below,
                       const int above, const int width) {
    for (int k = from; k < b->banded; k++) {
        const double value = v[k], *lower = b->band + k * width + above + 1;
        for (int t = 0; t < below; t++) {
            v[k + 1 + t] -= value * lower[t];
        }
    }
}

INLINE void turn_left(const struct bordered *b, int from, double *z, const int above,
                      const int width) {
    for (int k = from; k < b->banded; k++) {
        const double *upper = b->band + k * width;
        double sum = z[k];
        for (int t = 0; t < above; t++) {
            sum -= z[k - above + t] * upper[t];
        }
        z[k] = sum * b->rows.inverse[k];
    }
}

INLINE bool eliminate_band(struct bordered *b, const int below, const int above, const int width) {
    if (!factor_band(b, below, above, width)) {
        return false;
    }
    for (int j = 0; j < b->border; j++) {
        double *right = b->right + j * b->length + above, *left = b->left + j * b->length + above;
        turn_right(b, b->first_row[j], right, below, above, width);
        memset(right + b->banded, 0, (size_t)below * sizeof *right);
        turn_left(b, b->first_left[j], left, above, width);
    }
    return true;
}

static void take_from_rest(struct bordered *b) {
    const int m = b->border;
    for (int j = 0; j < m; j++) {
        const double *right = b->right + j * b->length + b->above;
        for (int i = 0; b->first_row[j] < b->banded && i < m; i++) {
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

bool bordered_factor(struct bordered *b, double diagonal, double factor) {
    begin(b, diagonal, factor);
    const bool thermal = b->below == 8 && b->above == 7, cold = b->below == 4 && b->above == 4;
    const bool fine = thermal ? eliminate_band(b, 8, 7, 16)
                      : cold  ? eliminate_band(b, 4, 4, 10)
                              : eliminate_band(b, b->below, b->above, b->width);
    if (!fine) {
        return false;
    }
    take_from_rest(b);
    return dense_lu_factor(b->border, b->rest, b->inverse, b->pivot);
}

// --- A solve

void bordered_solve(const struct bordered *b, double scale, double *u) {
    const int n = b->banded, m = b->border;
    double *v = b->work + b->below, *s = b->work + b->length;
    for (int k = 0; k < n; k++) {
        v[k] = u[b->order[k]];
    }
    band_rows_forward(&b->rows, v);
    for (int j = 0; j < m; j++) {
        const double *left = b->left + j * b->length + b->above;
        double sum = u[b->order[n + j]];
        for (int k = b->first_left[j]; k < n; k++) {
            sum -= left[k] * v[k];
        }
        s[j] = sum;
    }
    dense_lu_solve(m, b->rest, b->inverse, b->pivot, s);
    for (int j = 0; j < m; j++) {
        const double *right = b->right + j * b->length + b->above;
        for (int k = b->first_row[j]; k < n; k++) {
            v[k] -= right[k] * s[j];
        }
        u[b->order[n + j]] = s[j];
    }
    band_rows_back(&b->rows, v);
    for (int k = 0; k < n; k++) {
        u[b->order[k]] = v[k];
    }
    for (int i = 0; i < b->more; i++) {
        double sum = 0.0;
        for (int k = b->totals[i]; k < b->totals[i + 1]; k++) {
            sum += b->total[k] * u[b->total_place[k]];
        }
        u[b->count + i] = scale * (u[b->count + i] + sum);
    }
}
