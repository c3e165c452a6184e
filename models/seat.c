// SPDX-License-Identifier: MIT
#include "seat.h"

#include "either.h"

#include <math.h>

#define PI 3.141592653589793

// Friction factor of turbulent flow between smooth plates, on the hydraulic diameter 2h: the middle
// of Blasius' 0.316/Re^(1/4) between Re 4e3 (0.040) and 3e4 (0.024). Sharp changes of the factor
// with Re would hardly show: the gap at which it counts is a hundredth of the land's width.
#define FRICTION_FACTOR 0.03

// A choking gap turns from free to choked within this share of the critical drop, so that the
// force keeps a slope (width: our own).
#define CHOKE_CORNER 0.1

//            inward (over the plug)                       outward (from under it)
//
//            plug                                         plug
//      =====================  h                     =====================
//      p_entry -> | land | -> p_exit         p_exit <- | land | <- p_entry
//      -----------+      +-----  port        ----------+      +-----  port
//                 b      a                             b      a
//
// Mean radial speed u(r) in a gap h between a = D/2 and b = D/2 + width; mass: u r = constant.
// Momentum, over the gap's height, along the flow (s = the way along the flow):
//
//     dp/ds = - rho u du/ds - 12 mu u/h^2 - f rho u^2/(4h)
//             (speed)         (laminar)    (turbulent, hydraulic diameter 2h)
//
// Source: radial flow between parallel discs, D. Geiger, H. D. Fara, N. Street, ASME J. Appl. Mech.
// 31 (1964) 354; P. S. Moller, Aeronaut. Quart. 14 (1963) 163; the change of sign of the force with
// the gap: R. Willis, Trans. Cambridge Philos. Soc. 3 (1828) 121. Entry from rest without loss
// (rounded corner), uniform profile. With e the exit radius (a inward, b outward), u_e the speed
// there, and L = ln(b/a), the drop from the entry space to the exit is
//
//     p_entry - p_exit = rho u_e^2/2 (1 + fast_gap/h) + slow_drag u_e/h^2
//     fast_gap = f (b-a)/2 x (a/b inward, b/a outward),   slow_drag = 12 mu e L
//
// a quadratic in u_e. Its three parts fall differently over the land; their means over its area:
//
//     speed      p - p_exit = rho u_e^2/2 (1 - e^2/r^2)     inward  1 - 2 a^2 L/(b^2-a^2)
//                                                           outward 1 - 2 b^2 L/(b^2-a^2) < 0
//     turbulent  goes as 1/a - 1/r from the inner edge      inward  b/(a+b), outward a/(a+b)
//     laminar    goes as ln(r/a)/L from the inner edge      inward  b^2/(b^2-a^2) - 1/(2L),
//                                                           outward 1 - that
//
// So a narrow land carries almost its exit pressure where inertia rules (inward: the pressure under
// the plug, a little more; outward: the space outside, a little less: it sucks), and the middle of
// the two pressures where friction rules, which is at gaps below some hundredths of its width.
static struct seat_direction direction(double a, double b, double viscosity, bool inward) {
    double span = b * b - a * a, log_ratio = log(b / a);
    double inner_slow = b * b / span - 0.5 / log_ratio; // share when the inner edge is the exit
    double exit = inward ? a : b;
    return (struct seat_direction){
        .slow_share = inward ? inner_slow : 1.0 - inner_slow,
        .fast_share = (inward ? b : a) / (a + b),
        .inertia_share = 1.0 - 2.0 * exit * exit * log_ratio / span,
        .fast_gap = 0.5 * FRICTION_FACTOR * (b - a) * (inward ? a / b : b / a),
        .slow_drag = 12.0 * viscosity * exit * log_ratio,
    };
}

struct seat seat_prepare(double port_diameter, double land, double viscosity) {
    double a = 0.5 * port_diameter, b = a + land;
    struct seat seat = {.inner_area = PI * a * a, .land_area = PI * (b * b - a * a)};
    if (land > 0.0) {
        seat.inward = direction(a, b, viscosity, true);
        seat.outward = direction(a, b, viscosity, false);
    }
    return seat;
}

// Drop of a gas that accelerates in the gap: all of it, but no more than to the critical pressure;
// the corner between is a parabola.
static double unchoked(double drop, const struct seat_flow *flow) {
    double most = (1.0 - flow->critical_ratio) * flow->entry, corner = CHOKE_CORNER * most;
    double beyond = drop - most + corner;
    if (flow->critical_ratio <= 0.0 || beyond <= 0.0) {
        return drop;
    }
    return beyond >= 2.0 * corner ? most : drop - beyond * beyond / (4.0 * corner);
}

double seat_land_pressure(const struct seat *seat, double gap, const struct seat_flow *flow) {
    const struct seat_direction *d = flow->inward ? &seat->inward : &seat->outward;
    double h = either_larger(gap, 0.0), drop = flow->entry - flow->exit;
    double fast_drop = unchoked(drop, flow);
    // Share of the drop that is laminar friction, from the quadratic; the rest is shared by
    // turbulent friction and velocity head as fast_gap to h.
    double reach = 2.0 * flow->density * fast_drop * (h + d->fast_gap) * h * h * h;
    double root = d->slow_drag + sqrt(d->slow_drag * d->slow_drag + reach);
    double slow = root > 0.0 ? 2.0 * d->slow_drag / root : 1.0;
    double fast = (d->fast_gap * d->fast_share + h * d->inertia_share) / (d->fast_gap + h);
    // A slow gas falls as p^2 along the gap, which lifts its mean (exact for a narrow land).
    double sum = flow->entry + flow->exit;
    double bend = flow->critical_ratio > 0.0 ? drop / (6.0 * sum) : 0.0;
    return slow * (flow->exit + drop * (d->slow_share + bend)) +
           (1.0 - slow) * (flow->entry - fast_drop * (1.0 - fast));
}

// `unchoked` and its slopes over entry and exit.
static double unchoked_slopes(double drop, const struct seat_flow *flow, double *entry,
                              double *exit) {
    double share = 1.0 - flow->critical_ratio, corner_share = CHOKE_CORNER * share;
    double most = share * flow->entry, corner = corner_share * flow->entry;
    double beyond = drop - most + corner;
    *entry = 1.0;
    *exit = -1.0;
    if (flow->critical_ratio <= 0.0 || beyond <= 0.0) {
        return drop;
    }
    if (beyond >= 2.0 * corner) {
        *entry = share;
        *exit = 0.0;
        return most;
    }
    double bend = beyond / (2.0 * corner);
    *entry = 1.0 - bend * (1.0 - share + corner_share) + bend * bend * corner_share;
    *exit = -1.0 + bend;
    return drop - beyond * beyond / (4.0 * corner);
}

double seat_land_slopes(const struct seat *seat, double gap, const struct seat_flow *flow,
                        double slope[4]) {
    const struct seat_direction *d = flow->inward ? &seat->inward : &seat->outward;
    double h = either_larger(gap, 0.0), drop = flow->entry - flow->exit;
    double fast_entry, fast_exit;
    double fast_drop = unchoked_slopes(drop, flow, &fast_entry, &fast_exit);
    double cube = h * h * h, wide = h + d->fast_gap;
    double reach = 2.0 * flow->density * fast_drop * wide * cube;
    double square = sqrt(d->slow_drag * d->slow_drag + reach), root = d->slow_drag + square;
    double slow = root > 0.0 ? 2.0 * d->slow_drag / root : 1.0;
    double by_reach = root > 0.0 && square > 0.0 ? -0.5 * slow / (root * square) : 0.0;
    double fast = (d->fast_gap * d->fast_share + h * d->inertia_share) / wide;
    double fast_h = d->fast_gap * (d->inertia_share - d->fast_share) / (wide * wide);
    double sum = flow->entry + flow->exit;
    bool gas = flow->critical_ratio > 0.0;
    double bend = gas ? drop / (6.0 * sum) : 0.0;
    double bend_entry = gas ? flow->exit / (3.0 * sum * sum) : 0.0;
    double bend_exit = gas ? -flow->entry / (3.0 * sum * sum) : 0.0;
    double share = d->slow_share + bend;
    double by_slow = flow->exit + drop * share - (flow->entry - fast_drop * (1.0 - fast));
    double by_fast_drop =
        by_slow * by_reach * 2.0 * flow->density * wide * cube - (1.0 - slow) * (1.0 - fast);
    slope[0] = gap < 0.0 ? 0.0
                         : by_slow * by_reach * 2.0 * flow->density * fast_drop *
                                   (cube + 3.0 * h * h * wide) +
                               (1.0 - slow) * fast_drop * fast_h;
    slope[1] = slow * (share + drop * bend_entry) + (1.0 - slow) + by_fast_drop * fast_entry;
    slope[2] = slow * (1.0 - share + drop * bend_exit) + by_fast_drop * fast_exit;
    slope[3] = by_slow * by_reach * 2.0 * fast_drop * wide * cube;
    return slow * (flow->exit + drop * share) +
           (1.0 - slow) * (flow->entry - fast_drop * (1.0 - fast));
}
