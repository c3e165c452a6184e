// SPDX-License-Identifier: MIT
// What a line feels in a run. Peaks are those of the samples: choose run.sample_interval
// accordingly.
#pragma once

#include "run/simulate.h"

// Swing of the pressure at the regulator's end of a line [Pa], in the part that is judged. All of
// these are NaN without the line.
double pipe_figure_swing(const struct simulation *simulation, enum regulator_line line);

// Wave that stopping the largest flow of the run at once would make, mass flow over area times the
// speed of sound [Pa] (N. Joukowsky, 1898).
double pipe_figure_stop(const struct simulation *simulation, enum regulator_line line);

// Quarter wave of the line, shut at the regulator and open at its far end [Hz].
double pipe_figure_quarter(const struct simulation *simulation, enum regulator_line line);

// Lowest pressure at the pilot's end of its supply line [Pa], in the part that is judged.
double pipe_figure_low_supply(const struct simulation *simulation);

// Largest shaking force on the run between elbow and regulator [N]: the change of momentum in it,
// which its supports, or its weight, have to take.
double pipe_figure_shaking(const struct simulation *simulation, enum regulator_line line);

// Mass of pipe [kg] that this force would shake, without supports, at a velocity of which a
// guideline says "concern": a heavier or well held one is likely to be well. An order of magnitude.
// v_rms = 10^((log10 f + 0.48017)/2.127612) mm/s: Energy Institute, Guidelines for the avoidance of
// vibration induced fatigue failure in process pipework (coefficients from memory).
double pipe_figure_concern(const struct simulation *simulation, enum regulator_line line);

// Velocity of concern [m/s] at a frequency [Hz].
double pipe_figure_concern_speed(double frequency);
