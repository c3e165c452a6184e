// SPDX-License-Identifier: MIT
#include "contact.h"

#include <math.h>

double contact_force(const struct contact_parameters *contact, double penetration, double rate) {
    if (penetration <= 0.0) {
        return 0.0;
    }
    double elastic = contact->stiffness *
                     (contact->index == 1.0 ? penetration : pow(penetration, contact->index));
    return elastic * fmax(0.0, 1.0 + 1.5 * contact->damping * rate);
}

double contact_peak_force(const struct contact_parameters *contact, double mass, double speed) {
    double n = contact->index;
    double penetration =
        pow(0.5 * (n + 1.0) * mass * speed * speed / contact->stiffness, 1.0 / (n + 1.0));
    return contact->stiffness * pow(penetration, n);
}

void contact_force_slopes(const struct contact_parameters *contact, double penetration, double rate,
                          double slope[2]) {
    double n = contact->index, brake = 1.0 + 1.5 * contact->damping * rate;
    slope[0] = slope[1] = 0.0;
    if (penetration > 0.0 && brake > 0.0) {
        double steep = n == 1.0 ? 1.0 : pow(penetration, n - 1.0);
        slope[0] = contact->stiffness * n * steep * brake;
        slope[1] = contact->stiffness * steep * penetration * 1.5 * contact->damping;
    }
}
