// SPDX-License-Identifier: MIT
// Factors of a matrix most of which is a narrow band: the cells of a line, each of which knows its
// neighbours, and a border of a dozen rows and columns for what lies at their ends. Costs go with
// the length of the band, not with its cube.
//
//     | B  D |     B banded, eliminated in its order, without exchange of rows: I - c J of waves,
//     | C  A |     whose own growth is small beside their frequency, needs none;
//                  what is left of A, dense, with exchange of rows.
#pragma once

#include <stdbool.h>

struct bordered_shape {
    int count;        // rows and columns
    int banded;       // of which so many are banded,
    int below, above; // over so many below and above the diagonal;
    int more;         // rows behind them, of what drives nothing
    const int *order; // [count] which they are, and behind them the border. Copied.
};

struct bordered; // opaque

// NULL without memory, or for a band of more than 16 below the diagonal.
struct bordered *bordered_new(const struct bordered_shape *shape);
void bordered_free(struct bordered *factors); // NULL is fine

// Takes in row[count + more][count], which need not stay: only what is not zero is worked on from
// here.
void bordered_load(struct bordered *factors, const double *row);

// Factors of diagonal I + factor x row, as loaded. False when singular.
bool bordered_factor(struct bordered *factors, double diagonal, double factor);

// The first `count` of u become the solution, the others scale x (u + row x solution).
void bordered_solve(const struct bordered *factors, double scale, double *u);
