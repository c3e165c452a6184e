// SPDX-License-Identifier: MIT
// Pilot: a small relay that loads the chamber. Areas of its seats and the force on its diaphragm.
#pragma once

// Flow area [m2] of a flat seat of diameter d at lift y: curtain and port in series,
// pi d^2/4 s/sqrt(1+s^2), s = 4y/d. Shut below zero lift.
double pilot_seat_area(double diameter, double lift);

struct pilot_forces {
    double sign;           // +1 opens on rising sensed pressure (back-pressure), -1 on falling
    double diaphragm_area; // A_p [m2]
    double feedback_area;  // A_fb [m2]
    double spring_rate;    // k_p [N/m]
    double unbalance_area; // supply seat area on which its drop pushes open [m2]
};

struct pilot_pressures {
    double sensed, atmosphere, chamber, exhaust, supply; // [Pa]
};

// Net force [N] opening the pilot, without damping, friction, stops:
// sign [(p_sense - p_atm) A_p - F_set] - (p_ch - p_exh) A_fb - k_p y + (p_sup - p_ch) A_u.
double pilot_force(const struct pilot_forces *pilot, const struct pilot_pressures *pressures,
                   double set_force, double lift);
