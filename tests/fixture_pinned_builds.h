// SPDX-License-Identifier: MIT
// The shared builds with and without lines, for the tests of pinned figures. Invented data.
#pragma once

#include "fixture_pinned.h"
#include "fixtures.h"

enum { NO_LINES, SIDE_LINES, ALL_LINES, TAPPED_LINES, LINES_COUNT };

static const struct pipe_parameters fixture_run_of_pipe = {.length = 3.0,
                                                           .bore = 0.08,
                                                           .friction = 0.02,
                                                           .roughness = 4e-5,
                                                           .entrance_loss = 0.5,
                                                           .bend_loss = 1.0,
                                                           .elbow = 1.2,
                                                           .wall_conductance = 20.0};
static const struct pipe_parameters fixture_tube = {
    .length = 2.0, .bore = 0.01, .friction = 0.03, .wall_conductance = 2.0, .cells = 3};

static inline struct regulator_parameters with_lines(int variant, int lines) {
    struct regulator_parameters p = fixture_variant(variant);
    if (lines == NO_LINES) {
        return p;
    }
    p.line[LINE_BEFORE] = fixture_run_of_pipe;
    p.line[LINE_BEFORE].cells = variant % 3 == 0 ? 1 : 3;
    p.line[LINE_AFTER] = fixture_run_of_pipe;
    p.line[LINE_AFTER].far_length = 1.0;
    p.line[LINE_AFTER].far_bore = 0.1;
    p.line[LINE_AFTER].cells = 4;
    if (lines == ALL_LINES) {
        p.line[LINE_SENSE] = fixture_tube;
        p.line[LINE_LOADING] = fixture_tube;
        p.line[LINE_LOADING].length = 5.0;
        p.line[variant % 2 ? LINE_BEFORE : LINE_AFTER].length = 0.0;
    }
    if (lines == TAPPED_LINES) {
        p.sense.tap_on_line = true;
        p.sense.tap_distance = 0.3 * (variant % 4) * fixture_run_of_pipe.length;
        p.sense.passage = variant % 3 == 2 ? SENSE_IDEAL : p.sense.passage;
        p.line[LINE_SENSE] = variant % 4 == 1 ? fixture_tube : p.line[LINE_SENSE];
    }
    return p;
}
