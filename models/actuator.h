// SPDX-License-Identifier: MIT
// Diaphragm and spring of the moving assembly: effective area and what it sweeps.
#pragma once

// Effective area [m2] at travel x: A(x) = A0 (1 - a x/x_r); it shrinks as a diaphragm rolls up.
static inline double actuator_area(double area, double loss, double rated_travel, double travel) {
    return area * (1.0 - loss * travel / rated_travel);
}

// Volume swept [m3] from zero travel: the integral of the area, A0 (x - a x^2/(2 x_r)), so that
// pressure times rate of change of volume is exactly force times speed.
static inline double actuator_sweep(double area, double loss, double rated_travel, double travel) {
    return area * travel * (1.0 - 0.5 * loss * travel / rated_travel);
}
