// SPDX-License-Identifier: MIT
// Pilot: a small relay that loads the chamber. Areas of its seats and the force on its member.
#pragma once

// Flow area [m2] of a flat seat of diameter d at lift y: curtain and port in series,
// pi d^2/4 s/sqrt(1+s^2), s = 4y/d. Shut below zero lift.
double pilot_seat_area(double diameter, double lift);

// Three-way pilot: lift [m] of its exhaust seat when the pilot stands at `lift` [m]: lap - lift,
// and shut beyond the lap. The corner is rounded over a fiftieth of the lap either side (our own),
// so that areas and forces keep a slope where the exhaust shuts between the pilot's stops.
double pilot_exhaust_lift(double lap, double lift);

struct pilot_forces {
    double sign;             // +1 opens on rising sensed pressure (back-pressure), -1 on falling
    double diaphragm_area;   // A_p [m2]
    double feedback_area;    // A_fb [m2]
    double spring_rate;      // k_p [N/m]
    double supply_diameter;  // [m]
    double supply_area;      // of the supply seat, unbalanced part [m2]
    double exhaust_diameter; // of a three-way pilot's exhaust seat [m]
    double exhaust_area;     // of that seat, unbalanced part; 0 with a fixed bleed [m2]
    double lap;              // pilot travel at which the exhaust seat shuts [m]
};

struct pilot_pressures {
    double sensed, atmosphere, chamber, exhaust, supply; // [Pa]
};

// Net force [N] opening the pilot's supply, without damping, friction, stops:
// sign [(p_sense - p_atm) A_p - F_set] - (p_ch - p_exh) A_fb - k_p y
//     + (p_sup - p_ch) A_supply/(1 + s_s^2) + (p_ch - p_exh) A_exhaust/(1 + s_e^2).
double pilot_force(const struct pilot_forces *pilot, const struct pilot_pressures *pressures,
                   double set_force, double lift);

// Lift at which that force is zero [m]; beyond [0, travel] when it holds the pilot on a stop.
double pilot_rest_lift(const struct pilot_forces *pilot, const struct pilot_pressures *pressures,
                       double set_force, double travel);

// Slopes of the seat's area over its lift [m], and of the exhaust's lift over the pilot's.
double pilot_seat_slope(double diameter, double lift);
double pilot_exhaust_slope(double lap, double lift);

// Slopes of pilot_force over the pressures [m2] and the lift [N/m].
struct pilot_slopes {
    double sensed, chamber, exhaust, supply, lift;
};
struct pilot_slopes pilot_force_slopes(const struct pilot_forces *pilot,
                                       const struct pilot_pressures *pressures, double lift);
