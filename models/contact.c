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

double contact_rebound_speed(const struct contact_parameters *contact, double approach_speed) {
    double l = 1.5 * contact->damping;
    if (l <= 0.0) {
        return approach_speed;
    }
    // With a = L vi and b = L vo: a - ln(1 + a) = -b - ln(1 - b). Newton from the small-c limit;
    // the right side is convex in b on [0, 1), so clamping below 1 keeps the iteration inside.
    double a = l * approach_speed;
    double target = a - log1p(a);
    double b = a / (1.0 + a);
    for (int i = 0; i < 100; i++) {
        double miss = -b - log1p(-b) - target;
        double slope = b / (1.0 - b);
        double next = slope > 0.0 ? b - miss / slope : b;
        next = fmin(fmax(next, 0.5 * b), 0.5 * (1.0 + b));
        if (fabs(next - b) <= 1e-15 * b) {
            break;
        }
        b = next;
    }
    return b / l;
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
