// SPDX-License-Identifier: MIT
// Dry friction with memory (LuGre): a stiff bristle that holds, slips and recovers.
// Source: C. Canudas de Wit, H. Olsson, K. J. Astrom, P. Lischinsky, IEEE TAC 40 (1995).
#pragma once

struct friction_parameters {
    double static_force;      // Fs [N]; 0 leaves the bristle state out
    double kinetic_force;     // Fc [N]
    double stribeck_speed;    // vs [m/s]
    double bristle_stiffness; // sigma0 [N/m]
    double bristle_damping;   // sigma1 [N s/m]
    double viscous;           // sigma2 [N s/m]
};

struct friction_result {
    double force;        // opposes positive speed [N]
    double bristle_rate; // dz/dt [m/s]
};

// Friction force and bristle rate for speed v [m/s] and bristle deflection z [m].
struct friction_result friction_lugre(const struct friction_parameters *friction, double speed,
                                      double bristle);

// Slopes of the bristle rate over speed and bristle [-], [1/s].
void friction_lugre_slopes(const struct friction_parameters *friction, double speed, double bristle,
                           double slope[2]);
