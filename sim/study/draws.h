// SPDX-License-Identifier: MIT
// A set of weighted draws: regulators that could be the one on site, each as the values of some
// fields and the share of belief in it. Kept in a CSV file (RFC 4180): a header row `weight` and
// field paths as --set takes them (`vessel.volume`, `trim.port`, `trims.full.port`), then one row a
// draw. A cell is the text that --set FIELD=CELL accepts; what the program writes is SI with 17
// digits, so that reading gives the same bits. Weights are 0 or more and sum to 1. A column `worth`
// may stand after the weights, the same number in each row: so many equal and unrelated draws these
// are worth. Without it that follows from the weights.
//
// Knows nothing of what the draws fit, nor of what is studied with them. Once filled it may be read
// on many threads at once.
#pragma once

#include "scenario/scenario.h"

struct draws_cell {
    const char *text;
    bool number; // then this is it, read once for all
    struct quantity quantity;
};

struct draws {
    size_t count; // of draws
    size_t field_count;
    const char **field;      // paths
    double *weight;          // [count]
    double worth;            // where draws are kin to each other; 0: they are not
    struct draws_cell *cell; // [count][field_count]
    struct arena memory;
};

// Read a file and check each draw against the scenario it is for. False after errors, each with its
// place, all of the file in one pass: unknown fields and those that this build or no trim has,
// values that cannot be, weights that are negative or no numbers or do not sum to 1, no rows at
// all. Free with draws_free whatever the outcome.
bool draws_read(const char *path, const struct scenario *scenario, struct draws *out,
                struct diagnostics *list);

// Change a scenario (a copy, see scenario_copy) into draw `index`. False when it cannot be, such as
// for a scenario without one of the fields; `list` then says why.
bool draws_apply(const struct draws *draws, size_t index, struct scenario *scenario,
                 struct diagnostics *list);

// Effective number of draws, 1 / sum of weight^2 and no more than `worth`: so many equally likely
// ones say as much.
// Source: L. Kish, Survey Sampling, 1965, as used in sequential Monte Carlo.
double draws_effective(const struct draws *draws);

// Room for draws to be filled in, all of weight 0. False without memory, or for a path of no field.
bool draws_start(struct draws *out, size_t count, size_t field_count, const char *const *field);

// Fill in a number: SI (absolute pressure, kg/s). False without memory.
bool draws_set(struct draws *draws, size_t index, size_t field, double si);

void draws_free(struct draws *draws);
