// SPDX-License-Identifier: MIT
// Inside of the model only: preparation of the lines.
#pragma once

#include "regulator.h"

// Which lines there are, from the parameters; before the nodes are mapped.
void regulator_lines_find(struct regulator *regulator);

// Cells and ends, once the nodes are mapped; before the states are laid out.
void regulator_lines_prepare(struct regulator *regulator);

// Their states.
void regulator_lines_lay_out(struct regulator *regulator, double pressure);

static inline int regulator_line_near(int line) {
    static const int near[LINE_COUNT] = {NODE_INLET, NODE_OUTLET, NODE_SENSE, NODE_LOADING,
                                         NODE_FEED};
    return near[line];
}

// The line on the side whose pressure is held.
static inline int regulator_line_held(const struct regulator_parameters *p) {
    return p->duty == DUTY_BACK_PRESSURE ? LINE_BEFORE : LINE_AFTER;
}

// Whether a line may begin at a place on another one: at a tap, or where that one ends.
static inline bool regulator_line_branches(int line) {
    return line == LINE_SENSE || line == LINE_SUPPLY;
}

// The line on which one begins, whose far end is no volume and nothing held.
static inline int regulator_line_beneath(const struct regulator *r, int line) {
    int far = r->line_far[line];
    return far == NODE_TAP     ? regulator_line_held(&r->parameters)
           : far == NODE_INLET ? LINE_BEFORE
                               : LINE_AFTER;
}

// Whether the sensed pressure is taken between two cells of a line.
static inline bool regulator_line_taps(const struct regulator *r, int line) {
    return r->source[NODE_TAP] == NODE_TAP && line == regulator_line_held(&r->parameters);
}

// Number of states of all lines.
static inline int regulator_line_states(const struct regulator *r) {
    int sum = 0;
    for (int line = 0; line < LINE_COUNT; line++) {
        sum += r->layout.line_states[line];
    }
    return sum;
}
