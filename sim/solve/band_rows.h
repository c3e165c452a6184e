// SPDX-License-Identifier: MIT
// Solves with the factors of a band, by rows. A third of a line's band is nothing: a mass knows two
// flows, and no more. A row of L begins where that of the band does, a column of U likewise;
// between, zeros fill up. Of the usual lines it is known where, and the loops have a known length.
#pragma once

struct band_rows {
    int count, below, above; // rows, and how far they reach
    int usual;               // 0, or which of the usual lines it is
    int *first, *last;       // [count] column at which a row of L begins, one of U ends
    double *lower;           // [count][below] L left of its diagonal of ones, which comes last
    double *upper;           // [count][above] U right of its diagonal, which comes last
    double *inverse;         // [count] of U's diagonal
};

// To be called when `first` and `last` have changed.
void band_rows_look(struct band_rows *rows);

// L v = v, then U v = v; v has room for `below` numbers before it and `above` behind it.
void band_rows_forward(const struct band_rows *rows, double *v);
void band_rows_back(const struct band_rows *rows, double *v);
