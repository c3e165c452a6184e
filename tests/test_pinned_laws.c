// SPDX-License-Identifier: MIT
// Whether each law of the model still says what it said, with its slopes, on a grid that goes to
// both sides of each of its corners and onto them. Figures of our own (fixture_pinned.h): they show
// a change, and no more. Invented data.
#include "fixture_pinned.h"

#include "models/contact.h"
#include "models/damper.h"
#include "models/fittings.h"
#include "models/flow.h"
#include "models/flow_slope.h"
#include "models/friction.h"
#include "models/gas.h"
#include "models/inflow.h"
#include "models/line.h"
#include "models/liquid.h"
#include "models/pilot.h"
#include "models/pipe.h"
#include "models/schedule.h"
#include "models/seat.h"
#include "models/trim.h"

static struct digest d;

static void say(double value, double unit) {
    digest_add(&d, value, unit);
}

static void close_law(const char *name) {
    pin_digest(name, &d, 1e-8);
    d = (struct digest){0};
}

static void test_parts_that_move(void **state) {
    (void)state;
    static const double depth[] = {-1e-5, 0.0, 1e-7, 2e-5}, rate[] = {-3.0, -0.1, 0.0, 0.2, 2.0};
    for (int law = CONTACT_NONE; law <= CONTACT_RIGID; law++) {
        for (int i = 0; i < 40; i++) {
            const struct contact_parameters c = {
                (enum contact_law)law, 5e7, i < 20 ? 1.0 : 1.5, 0.5, 0.3, 1e-3};
            double slope[2] = {0.0};
            say(contact_force(&c, depth[i % 4], rate[i / 4 % 5]), 1e-3);
            contact_force_slopes(&c, depth[i % 4], rate[i / 4 % 5], slope);
            digest_add_all(&d, slope, 2, 1e-3);
            say(contact_peak_force(&c, 2.0, 0.1 * i), 1e-3);
        }
    }
    close_law("contact");
    static const double speed[] = {-1.0, -1e-3, -1e-9, 0.0, 1e-9, 1e-4, 2e-3, 1.0};
    for (int i = 0; i < 32; i++) {
        const struct friction_parameters f = {i < 16 ? 26.0 : 20.0, 20.0, 2e-3, 2e6, 2e3, 3.0};
        double slope[2];
        const double bristle = 1e-6 * (i % 4 - 1.5);
        const struct friction_result r = friction_lugre(&f, speed[i % 8], bristle);
        friction_lugre_slopes(&f, speed[i % 8], bristle, slope);
        digest_add_all(&d, (const double[]){r.force, r.bristle_rate, slope[0], slope[1]}, 4, 1e-6);
    }
    close_law("friction");
    for (int i = 0; i < 40; i++) {
        const struct oil_damper_parameters oil = {
            i == 39 ? 0.0 : 0.01, 0.004, 0.02, 870.0, 0.05, 0.7, 0.001 * (i % 6)};
        say(damper_fill(&oil), 1e-3);
        say(damper_oil_force(&oil, speed[i % 8]), 1e-6);
        say(damper_oil_slope(&oil, speed[i % 8]), 1e-6);
        say(damper_oil_mass(&oil), 1e-6);
    }
    close_law("damper");
}

static void test_pilot(void **state) {
    (void)state;
    const double lap = 4e-4, diameter = 2e-3;
    const double lift[] = {-1e-5, 0.0,  1e-6,       1e-4, 0.98 * lap,
                           lap,   3e-4, 1.02 * lap, 5e-4, 1.2 * lap};
    for (int i = 0; i < 40; i++) {
        const double y = lift[i % 10];
        const struct pilot_forces f = {
            i % 2 ? 1.0 : -1.0,  2.4e-3, 4.9e-4, 5.8e5, diameter, 1.5e-6, 2.5e-3,
            i < 20 ? 0.0 : 2e-6, lap};
        const struct pilot_pressures p = {4.5e5 + 2e3 * i, 1.01e5, 3e5, 1.2e5, 4.6e5};
        say(pilot_seat_area(diameter, y), 1e-9);
        say(pilot_seat_slope(diameter, y), 1e-6);
        say(pilot_exhaust_lift(lap, y), 1e-9);
        say(pilot_exhaust_slope(lap, y), 1e-6);
        say(pilot_force(&f, &p, 800.0, y), 1e-3);
        say(pilot_rest_lift(&f, &p, 400.0 + 40.0 * i, 7e-4), 1e-9);
        const struct pilot_slopes s = pilot_force_slopes(&f, &p, y);
        digest_add_all(&d, (const double[]){s.sensed, s.chamber, s.exhaust, s.supply, s.lift}, 5,
                       1e-9);
    }
    say(pilot_seat_area(0.0, 1e-4) + pilot_seat_slope(0.0, 1e-4), 1e-9); // no seat
    close_law("pilot");
}

static void add_slopes(const struct flow_slope *s) {
    digest_add_all(&d,
                   (const double[]){s->flow, s->area, s->from_pressure, s->from_density,
                                    s->to_pressure, s->to_density, s->choking},
                   7, 1e-9);
}

// Drops either way, none at all, a choked one, and one that chokes exactly.
static void test_flow(void **state) {
    (void)state;
    static const double low[] = {5e5, 4.99999e5, 4.9e5, 3e5, 2.7e5, 1e5, 6e5, 2e6};
    const struct nozzle nozzle = nozzle_prepare(1.27);
    digest_add_all(&d, nozzle.coefficient, NOZZLE_TERMS, 1e-9);
    digest_add_all(&d, (const double[]){nozzle.critical_ratio, nozzle.choked_square}, 2, 1e-3);
    for (int i = 0; i < 60; i++) {
        double slope = 0.0;
        say(nozzle_quotient(&nozzle, nozzle.critical_ratio + 0.009 * (i % 50)), 1e-3);
        say(nozzle_quotient_slope(&nozzle, 1.0 - 0.007 * i, &slope), 1e-3);
        say(slope, 1e-3);
    }
    close_law("nozzle");
    for (int i = 0; i < 48; i++) {
        const double choked = i / 8 == 5 ? nozzle.critical_ratio * 5e5 : low[i % 8];
        const struct flow_side a = {5e5, 4.0}, b = {choked, 3.1 - 0.2 * (i % 3)};
        const struct flow_side from = i / 8 % 2 ? a : b, to = i / 8 % 2 ? b : a;
        const double drop = from.pressure - to.pressure, laminar = i < 24 ? 50.0 : 5e3;
        const double limit = i % 5 == 0 ? 0.4 : 0.6;
        say(flow_nozzle(&nozzle, 1e-4, from, to, laminar), 1e-9);
        say(flow_nozzle_square(&nozzle, 1e-4, from, to), 1e-12);
        say(flow_signed_root(drop, laminar), 1e-6);
        say(flow_two_regime(drop, 1e-8 * (i % 4), 1e-7 * (1 + i % 2)), 1e-9);
        say(flow_orifice_liquid(1e-4, 900.0, drop, laminar), 1e-6);
        say(flow_trim_gas(1e-4, limit, from, to, laminar), 1e-9);
        say(flow_trim_liquid(1e-4, 900.0, drop, i % 7 == 0 ? fabs(drop) : 1.5e5, laminar), 1e-6);
        double slope = 0.0;
        say(flow_slope_root(drop, laminar, &slope), 1e-6);
        say(slope, 1e-9);
        const struct flow_slope all[] = {
            flow_slope_nozzle(&nozzle, 1e-4, from, to, laminar),
            flow_slope_orifice_liquid(1e-4, 900.0, drop, laminar),
            flow_slope_trim_gas(1e-4, limit, from, to, laminar),
            flow_slope_trim_liquid(1e-4, 900.0, drop, i % 7 == 0 ? fabs(drop) : 1.5e5, laminar)};
        for (int k = 0; k < 4; k++) {
            add_slopes(&all[k]);
        }
        for (int k = 0; k < 4; k++) {
            const struct line line = {.laminar = k % 2,
                                      .gas = k / 2,
                                      .flow_area = 3e-6,
                                      .creep = i < 24 ? 1e7 : 1e9,
                                      .conductance = 1e-9,
                                      .inertance = 2e5};
            const struct flow_slope law = flow_slope_line(&line, &nozzle, from, to);
            const double flow = i % 3 == 0 ? 0.0 : 1e-4 * (i - 20);
            const struct flow_slope rate = flow_slope_line_rate(&line, from, to, flow);
            say(line_flow(&line, &nozzle, from, to), 1e-9);
            say(line_flow_rate(&line, from, to, flow), 1e-6);
            add_slopes(&law);
            add_slopes(&rate);
        }
    }
    say(flow_creep(2e-3, 0.0, 1e-5) + flow_creep(2e-3, 0.1, 1e-5), 1.0);
    say(flow_laminar_gas_conductance(2e-3, 0.5, 1.1e-5, 0.0188, 280.0), 1e-18);
    say(flow_laminar_liquid_conductance(2e-3, 0.5, 1e-3, 900.0), 1e-12);
    close_law("flow");
}

static void test_trim(void **state) {
    (void)state;
    static const struct trim_table table = {
        .count = 5, .position = {0.0, 0.25, 0.5, 0.75, 1.0}, .value = {0.0, 0.1, 0.1, 0.9, 0.8}};
    static const double place[] = {-0.1, 0.0, 1e-3, 0.05, 0.1, 0.25, 0.3, 0.5, 0.9, 1.0, 1.2};
    const struct nozzle nozzle = nozzle_prepare(1.27);
    for (int i = 0; i < 24; i++) {
        struct trim_parameters p = {.port_diameter = 0.05,
                                    .rated_travel = 0.02,
                                    .rated_area = i % 3 == 0 ? 2e-3 : 0.0,
                                    .discharge_coefficient = 0.75,
                                    .characteristic = (enum trim_characteristic)(i % 6),
                                    .rangeability = 40.0,
                                    .shutoff_travel = i < 12 ? 1e-3 : 2e-3,
                                    .slot_width = 0.02,
                                    .flow_table = table,
                                    .seat_leak = i % 2 ? 0.0 : 1e-3};
        const struct trim trim = trim_prepare(&p);
        digest_add_all(&d,
                       (const double[]){trim.rated_area, trim.nozzle_area, trim.port_area,
                                        trim.curtain_rated, trim.log_rangeability},
                       5, 1e-6);
        for (int k = 0; k < 11; k++) {
            const double x = place[k] * 0.02, opening = trim_opening(&trim, x);
            const double s = k % 2 ? trim_curtain_ratio(&trim, opening) : 0.4 * k;
            const double ratio[] = {0.1, nozzle.critical_ratio, 0.7, 0.999, 1.0};
            digest_add_all(&d,
                           (const double[]){opening, trim_opening_slope(&trim, x),
                                            trim_curtain_ratio(&trim, opening),
                                            trim_curtain_slope(&trim, opening),
                                            trim_table_value(&trim.parameters.flow_table, place[k]),
                                            trim_table_slope(&trim.parameters.flow_table, place[k]),
                                            trim_drop_share_liquid(s)},
                           7, 1e-6);
            for (int n = 0; n < 10 && i < 6; n++) {
                double slope[2] = {0.0};
                say(trim_drop_share_gas(&nozzle, s, ratio[n / 2], n % 2), 1e-6);
                say(trim_drop_share_slopes(&nozzle, s, ratio[n / 2], n % 2, slope), 1e-6);
                digest_add_all(&d, slope, 2, 1e-6);
            }
        }
    }
    pin_digest("trim", &d, 1e-6); // shares are searched for
    d = (struct digest){0};
    static const double gap[] = {-1e-4, 0.0, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2};
    for (int i = 0; i < 56; i++) {
        const struct seat seat = seat_prepare(0.05, i < 42 ? 1.5e-3 : 0.0, i % 3 ? 1e-5 : 1e-3);
        const struct seat_flow flow = {5e5, i % 4 ? 1e5 * (i % 4) : 5e5, i % 2 ? 4.0 : 900.0,
                                       i % 2 ? 0.55 : 0.0, i % 5 < 2};
        double slope[4] = {0.0};
        say(seat_land_pressure(&seat, gap[i % 7], &flow), 1.0);
        say(seat_land_slopes(&seat, gap[i % 7], &flow, slope), 1.0);
        digest_add_all(&d, slope, 4, 1e-3);
    }
    close_law("seat");
}

static void test_surroundings(void **state) {
    (void)state;
    const struct nozzle nozzle = nozzle_prepare(1.27);
    for (int i = 0; i < 21; i++) {
        const double p = i == 20 ? 4.95e5 : 1e5 + 4e4 * i;
        say(inflow_productivity(2.0, p, 4e5, i % 2 ? 6e5 : 9e5), 1e-6);
        say(inflow_constant_demand(2.0, p, 5e5, i % 3 ? 1.2e5 : 4.8e5), 1e-6);
        say(inflow_orifice_demand(&nozzle, 2.0, p, 5e5, 1.2e5, 50.0), 1e-6);
        say(inflow_orifice_demand_liquid(2.0, p, 5e5, 1.2e5, 50.0), 1e-6);
    }
    for (int i = -1; i < 10; i++) { // in the fading of a constant demand, at its ends and beyond
        say(inflow_constant_demand(2.0, 1.2e5 + 19e3 * 0.125 * i, 5e5, 1.2e5), 1e-6);
    }
    close_law("inflow");
    static const double when[] = {0.0, 1.0, 1.5, 2.0, 2.5}, what[] = {1.0, 3.0, 2.0, 2.0, 5.0};
    static const double step_when[] = {1.0, 1.0, 2.0}, step_what[] = {1.0, 4.0, 2.0};
    const struct schedule all[] = {
        schedule_constant(3.0),
        {.kind = SCHEDULE_POINTS, .count = 5, .time = when, .value = what},
        {.kind = SCHEDULE_POINTS, .count = 3, .time = step_when, .value = step_what},
        {.kind = SCHEDULE_SLUG, .base = 1, .peak = 4, .start = 0.5, .period = 1, .duration = 0.25},
        {.kind = SCHEDULE_SINE, .base = 1, .peak = 4, .start = 0.5, .period = 0.8}};
    for (int i = 0; i < 5; i++) {
        for (int k = -2; k < 26; k++) {
            const double time = 0.125 * k;
            const size_t piece = schedule_piece(&all[i], time);
            say((double)piece, 1.0);
            say(schedule_value(&all[i], piece, time), 1e-3);
            say(schedule_slope(&all[i], piece, time), 1e-3);
            say(schedule_piece_end(&all[i], piece), 1e-3);
        }
    }
    close_law("schedule");
    for (int i = 0; i < 40; i++) {
        const double gravity = 0.56 + 0.01 * i, pr = 0.02 + 0.4 * i, tr = 1.02 + 0.05 * i;
        const struct gas_pseudocritical c = gas_pseudocritical_sutton(gravity);
        const struct gas_properties gas = {0.016 + 2e-4 * i, 1.3, 0.9, 1e-5};
        digest_add_all(
            &d,
            (const double[]){c.pressure, c.temperature, gas_compressibility_dranchuk(pr, tr),
                             gas_compressibility_gravity(gravity, 2e5 * (i + 1), 300.0),
                             gas_viscosity_lee(0.02, 2.0 * i, 300.0), gas_density(&gas, 5e5, 300.0),
                             gas_heat_capacity_volume(&gas)},
            7, 1e-6);
        const struct fittings_parameters ends = {0.05, i % 3 ? 0.05 + 1e-3 * i : 0.0,
                                                 i % 4 ? 0.04 + 2e-3 * i : 0.0};
        const struct fittings f = fittings_prepare(&ends);
        digest_add_all(&d,
                       (const double[]){fittings_loss_coefficient(&ends),
                                        fittings_piping_factor(&f, 1e-4 * i),
                                        fittings_choking_ratio(&f, 1e-4 * i, 0.7),
                                        fittings_recovery(&f, 1e-4 * i, 0.9)},
                       4, 1e-6);
        const struct liquid_properties liquid = {900.0, 1.5e9, 5e4 * i, 2e7, 1e-3};
        say(liquid_critical_ratio_factor(&liquid), 1e-3);
        say(liquid_surge_pressure(900.0, 1200.0, 0.1 * i), 1.0);
    }
    close_law("fluid");
}

static void test_pipe(void **state) {
    (void)state;
    for (int i = 0; i < 24; i++) {
        const bool liquid = i % 2;
        const struct pipe_fluid fluid = {liquid, !liquid && i % 3, 1.27, 1.3e5, 4e5, 900.0,
                                         1.5e9,  1.01e5,           1e-5, 300.0};
        const struct pipe_parameters p = {.length = 1.0 + i,
                                          .bore = 0.05,
                                          .far_length = i % 4 ? 0.0 : 2.0,
                                          .far_bore = 0.08,
                                          .roughness = 4e-5,
                                          .friction = 0.02,
                                          .entrance_loss = 0.5,
                                          .bend_loss = 0.3 * (i % 3),
                                          .wall_conductance = 10.0,
                                          .elbow = i % 5 ? 0.4 * i : 0.0,
                                          .cells = 1 + i % 7};
        static struct pipe pipe;
        static struct pipe_view view;
        pipe_prepare(&pipe, &p, &fluid);
        digest_add_all(&d,
                       (const double[]){pipe.wave_speed, pipe.cells, pipe.stride, pipe.far_volume,
                                        pipe.wall, pipe.total_length,
                                        pipe.length_from_far_to_elbow},
                       7, 1e-6);
        const double *part[] = {pipe.span,     pipe.area,    pipe.drag,
                                pipe.slow,     pipe.volume,  pipe.per_area,
                                pipe.per_span, pipe.slender, pipe.per_volume};
        for (int k = 0; k < 9; k++) {
            digest_add_all(&d, part[k], (size_t)pipe.cells, 1e-6);
        }
        static const double flow_of[] = {0.0, 1e-6, 0.3, -0.3, 2.0, 40.0};
        for (int k = 0; k < 6; k++) {
            double y[24] = {0.0};
            say(pipe_rest(&pipe, 5e5, flow_of[k], y, &view), 1.0);
            digest_add_all(&d, y, (size_t)pipe.cells * (size_t)pipe.stride, 1e-6);
            int node = 0;
            double share = 0.0;
            pipe_locate(&pipe, 0.21 * k * (1.0 + i), &node, &share);
            say(node, 1.0);
            say(share, 1e-3);
            say(pipe_mass(&pipe, y) + pipe_energy(&pipe, y), 1e-6);
        }
        double passes = 0.0, chokes = 1e3; // the largest flow that the pipe passes
        for (int k = 0; k < 60; k++) {
            const double flow = 0.5 * (passes + chokes);
            *(isnan(pipe_rest(&pipe, 5e5, flow, NULL, NULL)) ? &chokes : &passes) = flow;
        }
        say(passes, 1e-6);
        say(pipe_cells(0.3 * i * i, 400.0, 0.5 * i), 1.0);
        say(pipe_cells(3.0, 400.0, 3.0 * i), 1.0);
        say(pipe_friction_factor(2000.0 * (i + 1) * i, 1e-4 * i), 1e-6);
        pipe_widen(&pipe, pipe.cells - 1, 1e-3);
        say(pipe.volume[pipe.cells - 1] + pipe.per_volume[pipe.cells - 1], 1e-6);
    }
    pin_digest("pipe", &d, 1e-7);
    d = (struct digest){0};
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_parts_that_move),
        cmocka_unit_test(test_pilot),
        cmocka_unit_test(test_flow),
        cmocka_unit_test(test_trim),
        cmocka_unit_test(test_surroundings),
        cmocka_unit_test(test_pipe),
        cmocka_unit_test(pinned_close),
    };
    pinned_name = "laws";
    return cmocka_run_group_tests(tests, pinned_open, NULL);
}
