// SPDX-License-Identifier: MIT
//
// Prints the table of the plain benchmark model: both cases, both ports, three friction levels.
// Optional arguments: kick of the vessel [psi], relative tolerance, and 1 for a pilot wound until
// the set pressure is held. It judges nothing.
#include "reference.h"

#include <stdio.h>
#include <stdlib.h>

static struct reference_result result;

static void print_row(char name, double port, double friction, const double *options) {
    const double kick = options[0], rtol = options[1];
    const double psi = 6894.757293168361;
    const double pound_force = 4.4482216152605;
    struct reference_parameters p = reference_case(name, port * 0.0254, friction * pound_force);
    p.kick_pressure = kick * psi;
    p.set_is_held = options[2] > 0.0;
    const int flag = reference_run(&p, 60.0, rtol, &result);
    if (flag != 0) {
        printf("(%c) port %.1f in, friction %4.1f lbf: failed, flag %d\n", name, port, friction,
               flag);
        return;
    }
    printf("(%c) %.1f in %4.1f lbf | rest %.2f psig %.4f in, chamber %5.2f psi, pilot %.4f in | "
           "swing %7.4f psi"
           " %.4f in | %7.1f contacts/min (whole run %ld) | %6.3f Hz | %6ld steps %7ld calls %7.1f"
           " ms %.2f us/call\n",
           name, port, friction, (result.equilibrium_vessel - p.atmospheric_pressure) / psi,
           result.equilibrium_travel / 0.0254,
           (result.equilibrium_chamber - p.downstream_pressure) / psi,
           result.equilibrium_pilot / 0.0254, result.pressure_swing / psi,
           result.travel_swing / 0.0254,
           60.0 * (double)result.window_contacts / result.window_seconds, result.contacts,
           result.frequency, result.steps, result.derivative_calls, 1e3 * result.wall_seconds,
           1e6 * result.wall_seconds / (double)result.derivative_calls);
}

int main(int argc, char **argv) {
    double options[3] = {3.0, 1e-6, 0.0};
    for (int i = 1; i < argc && i <= 3; i++) {
        options[i - 1] = strtod(argv[i], NULL);
    }
    const double frictions[] = {0.0, 5.0, 10.0};
    for (char name = 'a'; name <= 'b'; name++) {
        for (int i = 0; i < 3; i++) {
            print_row(name, 2.9, frictions[i], options);
            print_row(name, 1.8, frictions[i], options);
        }
    }
    return 0;
}
