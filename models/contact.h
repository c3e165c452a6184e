// SPDX-License-Identifier: MIT
// Contact of a moving part with its seat or stop: a compliant law and a rigid one.
#pragma once

enum contact_law {
    CONTACT_NONE,      // no seat or stop at all
    CONTACT_COMPLIANT, // Hunt-Crossley spring and damper
    CONTACT_RIGID,     // restitution at the instant of contact, then held
};

struct contact_parameters {
    enum contact_law law;
    double stiffness;   // k [N/m^n]; also used by the rigid law to estimate the peak force
    double index;       // n [-], 1 for a flat seat, 1.5 for a sphere
    double damping;     // c [s/m] of F = k d^n (1 + 1.5 c d'); restitution is about 1 - c v
    double restitution; // e [-] of the rigid law, 0..1
    double rest_speed;  // rigid law: rebound below this speed becomes held [m/s]
};

// Compliant contact force [N], never negative, for penetration [m] and its rate [m/s].
// Source: K. H. Hunt, F. R. E. Crossley, ASME J. Appl. Mech. 42 (1975).
double contact_force(const struct contact_parameters *contact, double penetration, double rate);

// Peak force [N] of an undamped compliant seat struck by a mass [kg] at a speed [m/s], from the
// energy balance k d^(n+1)/(n+1) = m v^2/2. An estimate: damping raises the early force a little.
double contact_peak_force(const struct contact_parameters *contact, double mass, double speed);

// Slopes of that force over penetration [N/m] and rate [N s/m].
void contact_force_slopes(const struct contact_parameters *contact, double penetration, double rate,
                          double slope[2]);
