// SPDX-License-Identifier: MIT
// Staggered cells. Nodes hold mass and energy, faces between them hold the flow:
//
//     vessel      1         2         3         N   regulator
//       0 ----w1---o----w2---o----w3---o-- ... --o--> out
//       |<-- dx -->|<-- dx ->|                   node N: half a piece, at the opening itself
//
// The states are what is conserved. A node's mass m changes by the flows at its faces; the momentum
// of a face's piece is w dx, whatever the density, so w itself is the state; a node's energy E is
// internal and kinetic together:
//
//     dm_i/dt    = w_i - w_(i+1) - taken_i
//     dE_i/dt    = w_i h_(i-1/2) - w_(i+1) h_(i+1/2) - power_i + wall
//     dx dw_i/dt = A_i (p_(i-1) - p_i) + flux_(i-1) - flux_i - losses
//
// Sums of neighbours cancel, so mass and energy balances are linear in the states and close to
// rounding whatever the step; across a steep front momentum is conserved too, which is what makes
// its speed and its jump right. flux_i = (mean w)^2 <1/A>_i/rho_i is the momentum that passes a
// node: <1/A>, the mean of both sides, turns into Bernoulli's equation across a change of area.
//
// All means are central: a small wave is neither damped nor driven by them (the matrix of the
// uniform pipe is i times a real one), and its frequency is low by (pi/(4 N))^2/6 with N cells a
// quarter wave. A pressure q is added in the nodes, which only ever takes energy out of the motion,
// into heat. Where gas is squeezed it is 2 rho (closing speed)^2: a steep front must lose energy,
// and a central scheme alone would ring instead (J. von Neumann, R. D. Richtmyer, J. Appl. Phys. 21
// (1950) 232); of second order in the amplitude, it is not felt by small motions. The other part
// acts on waves of two or three cells, which are wrong anyway and which an integration would have
// to follow: its damping ratio is PIPE_GRID_DAMPING/2 (pi/(2 N))^3, 6e-6 at ten cells a quarter
// wave.
#include "pipe.h"

#include "pipe_inside.h"

#include <math.h>
#include <stddef.h>

#define QUARTER_PI 0.7853981633974483
#define CELLS_A_QUARTER_WAVE 10.0

double pipe_wave_speed(const struct pipe_fluid *f) {
    if (f->liquid) {
        return sqrt(f->modulus / f->density);
    }
    return sqrt((f->thermal ? f->exponent : 1.0) * f->pressure_per_density);
}

int pipe_cells(double length, double wave_speed, double frequency) {
    double quarters = 4.0 * length * frequency / wave_speed;
    double own = fmin(CELLS_A_QUARTER_WAVE, 10.0 * CELLS_A_QUARTER_WAVE * quarters);
    double wanted = ceil(fmax(CELLS_A_QUARTER_WAVE * quarters, own));
    return (int)fmin(fmax(wanted, 1.0), (double)PIPE_CELLS_MAX);
}

double pipe_friction_factor(double reynolds, double relative_roughness) {
    double root = -1.8 * log10(pow(relative_roughness / 3.7, 1.11) + 6.9 / fmax(reynolds, 4000.0));
    return 1.0 / (root * root);
}

double pipe_friction_beside_laminar(double reynolds, double relative_roughness) {
    double turbulent = fmax(reynolds, 4000.0);
    return pipe_friction_factor(turbulent, relative_roughness) - 64.0 / turbulent;
}

double pipe_wall_conductance(double length, double conductivity) {
    return 3.66 * 4.0 * QUARTER_PI * length * conductivity;
}

// Cells go to both pieces by their lengths, at least one to each.
static void share_cells(const struct pipe_parameters *p, int cells, int *far) {
    *far = 0;
    if (p->far_length > 0.0) {
        double share = p->far_length / (p->length + p->far_length);
        *far = (int)fmin(fmax(floor(share * cells + 0.5), 1.0), fmax(1.0, cells - 1.0));
    }
}

void pipe_prepare(struct pipe *pipe, const struct pipe_parameters *p,
                  const struct pipe_fluid *fluid) {
    *pipe = (struct pipe){.fluid = *fluid, .entrance_loss = p->entrance_loss};
    pipe->wave_speed = pipe_wave_speed(fluid);
    int far, n = p->cells;
    n = p->far_length > 0.0 && n < 2 ? 2 : n;
    share_cells(p, n, &far);
    pipe->cells = n;
    pipe->stride = fluid->thermal ? 3 : 2;
    pipe->total_length = p->length + p->far_length;
    pipe->length_from_far_to_elbow =
        p->elbow > 0.0 ? fmax(0.0, pipe->total_length - p->elbow) : 0.0;
    pipe->wall = p->wall_conductance / n;
    for (int i = 0; i < n; i++) {
        bool beyond = i < far;
        double bore = beyond ? p->far_bore : p->bore;
        pipe->span[i] = beyond ? p->far_length / far : p->length / (n - far);
        pipe->area[i] = QUARTER_PI * bore * bore;
        pipe->drag[i] = 0.5 * (p->friction / bore + p->bend_loss / pipe->total_length);
        pipe->slow[i] = 32.0 / (bore * bore);
        pipe->per_area[i] = 1.0 / pipe->area[i];
        pipe->per_span[i] = 1.0 / pipe->span[i];
    }
    pipe->far_volume = 0.5 * pipe->span[0] * pipe->area[0];
    for (int i = 0; i < n; i++) {
        int next = i + 1 < n ? i + 1 : i;
        double here = 0.5 * pipe->span[i] * pipe->area[i];
        pipe->volume[i] = i + 1 < n ? here + 0.5 * pipe->span[next] * pipe->area[next] : here;
        pipe->slender[i] = 0.5 * (1.0 / pipe->area[i] + 1.0 / pipe->area[next]);
        pipe->per_volume[i] = 1.0 / pipe->volume[i];
    }
}

void pipe_widen(struct pipe *pipe, int node, double volume) {
    pipe->volume[node] += volume;
    pipe->per_volume[node] = 1.0 / pipe->volume[node];
}

// Mean flow through node i; at the near end that of its one face.
static double node_flow(const struct pipe *pipe, const double *state, int i) {
    double left = state[i * pipe->stride];
    return i + 1 < pipe->cells ? 0.5 * (left + state[(i + 1) * pipe->stride]) : left;
}

// Divisions take most of the time here: one a node, and one a face, is what is left of them.
int pipe_read(const struct pipe *pipe, const double *state, struct pipe_view *view) {
    const struct pipe_fluid *f = &pipe->fluid;
    for (int i = 0; i < pipe->cells; i++) {
        const double *cell = state + (ptrdiff_t)i * pipe->stride;
        double volume = pipe->volume[i], per_volume = pipe->per_volume[i];
        if (f->liquid) {
            view->density[i] = f->density;
            view->specific[i] = 1.0 / f->density;
            view->pressure[i] = f->atmosphere + (cell[1] - view->room[i]) * f->modulus * per_volume;
            continue;
        }
        if (view->room[i] != 0.0) {
            volume += view->room[i];
            per_volume = 1.0 / volume;
        }
        if (!(cell[1] > 0.0) || !(volume > 0.0)) {
            return 1;
        }
        double per_mass = 1.0 / cell[1];
        view->density[i] = cell[1] * per_volume;
        view->specific[i] = volume * per_mass;
        if (!f->thermal) {
            view->pressure[i] = f->pressure_per_density * view->density[i];
            continue;
        }
        double mass_flux = node_flow(pipe, state, i) * pipe->slender[i];
        double moving = 0.5 * mass_flux * mass_flux * volume * view->specific[i];
        double inner = cell[2] - moving;
        if (!(inner > 0.0)) {
            return 1;
        }
        view->pressure[i] = (f->exponent - 1.0) * inner * per_volume;
        view->enthalpy[i] = (cell[2] + view->pressure[i] * volume) * per_mass;
    }
    return 0;
}

// Momentum that enters the pipe at its far end [N]: from rest half of w^2/(A rho), since the other
// half is what the pressure has to make, less the loss of the edge; into the vessel all of it,
// since a jet recovers nothing.
static double far_flux(const struct pipe *pipe, double flow, double far_density, double density) {
    double square = flow * flow / pipe->area[0];
    return flow >= 0.0 ? 0.5 * square * (1.0 - pipe->entrance_loss) / far_density
                       : square / density;
}

// Loss to the wall, in bends and by slow flow [N].
static double face_loss(const struct pipe *pipe, int i, double flow, double specific) {
    double speed = fabs(flow) * pipe->per_area[i];
    return pipe->span[i] * flow * specific *
           (pipe->drag[i] * speed + pipe->slow[i] * pipe->fluid.viscosity);
}

// Specific volume at a face, of the mean density.
static double face_specific(const struct pipe_view *view, double far, int i) {
    return 2.0 / ((i > 0 ? view->density[i - 1] : far) + view->density[i]);
}

// Pressure q of each node: 2 rho times the square of the speed at which volume closes in on it,
// and, between whole nodes, what flattens a change of `gaining`, the speed at which more flows in
// than out. A steady flow gains nothing and must feel nothing, so the first counts one of the two
// speeds as closing and one as gaining: in a front they are alike.
static void added_pressure(const struct pipe *pipe, const double *state,
                           const struct pipe_view *view, const struct pipe_ends *ends,
                           const double *face, double *q) {
    const int n = pipe->cells;
    double gaining[PIPE_CELLS_MAX];
    double volume = state[0] * face[0];
    for (int i = 0; i < n; i++) {
        const double *cell = state + (ptrdiff_t)i * pipe->stride;
        double slender = pipe->slender[i];
        double next = i + 1 < n ? cell[pipe->stride] : ends->out;
        double next_volume = next * (i + 1 < n ? face[i + 1] : view->specific[i]);
        double closing = (volume - next_volume) * slender;
        gaining[i] = (cell[0] - next) * slender * view->specific[i];
        bool front = !pipe->fluid.liquid && closing > 0.0 && gaining[i] > 0.0;
        q[i] = front ? PIPE_FRONT_PRESSURE * view->density[i] * closing * gaining[i] : 0.0;
        volume = next_volume;
    }
    for (int i = 0; i + 2 < n; i++) { // the last node is half a one, and stays out
        double bend = PIPE_GRID_DAMPING * pipe->wave_speed * (gaining[i + 1] - gaining[i]);
        q[i] -= view->density[i] * bend;
        q[i + 1] += view->density[i + 1] * bend;
    }
}

// Energy that a node takes up from the walls [W].
static double warmed(const struct pipe *pipe, const struct pipe_view *view, int i) {
    const struct pipe_fluid *f = &pipe->fluid;
    if (pipe->wall == 0.0) {
        return 0.0;
    }
    double temperature =
        view->pressure[i] * view->specific[i] / f->pressure_per_density * f->temperature;
    return pipe->wall * (f->temperature - temperature);
}

// Rates of energy: what passes a face is the mean of the total enthalpies on its sides.
static void energy_rates(const struct pipe *pipe, const double *state, const struct pipe_view *view,
                         struct pipe_ends *ends, const double *q, double *rate) {
    const double *h = view->enthalpy;
    double power = state[0] * (state[0] >= 0.0 ? ends->far_enthalpy : h[0]);
    ends->far_power = power;
    for (int i = 0; i < pipe->cells; i++) {
        double onward = 0.0;
        if (i + 1 < pipe->cells) {
            double work = q[i] * view->specific[i] + q[i + 1] * view->specific[i + 1];
            onward = state[(ptrdiff_t)(i + 1) * pipe->stride] * 0.5 * (h[i] + h[i + 1] + work);
        }
        double heat = warmed(pipe, view, i);
        rate[(ptrdiff_t)i * pipe->stride + 2] = power - onward - ends->power[i] + heat;
        ends->heat += heat;
        power = onward;
    }
}

void pipe_rates(const struct pipe *pipe, const double *state, const struct pipe_view *view,
                struct pipe_ends *ends, double *rate) {
    const int n = pipe->cells, stride = pipe->stride;
    const double per_density = pipe->fluid.liquid ? 1.0 / pipe->fluid.density : 1.0;
    double q[PIPE_CELLS_MAX], face[PIPE_CELLS_MAX]; // specific volume of faces [m3/kg]
    double pressure = ends->far.pressure, flow = state[0];
    double flux = far_flux(pipe, flow, ends->far.density, view->density[0]);
    double place = 0.0; // of the face's far end, from the vessel
    ends->far_flow = flow;
    ends->far_power = ends->heat = ends->shaking_force = 0.0;
    face[0] = face_specific(view, ends->far.density, 0);
    for (int i = 1; i < n; i++) {
        face[i] = face_specific(view, 0.0, i);
    }
    added_pressure(pipe, state, view, ends, face, q);
    for (int i = 0; i < n; i++) {
        bool last = i + 1 == n;
        double next_flow = last ? ends->out : state[(ptrdiff_t)(i + 1) * stride];
        double through = last ? next_flow : 0.5 * (flow + next_flow);
        double node_flux = through * through * pipe->slender[i] * view->specific[i];
        double push = pipe->area[i] * (pressure - view->pressure[i] - q[i]) + flux - node_flux -
                      face_loss(pipe, i, flow, face[i]);
        double *out = rate + (ptrdiff_t)i * stride;
        out[0] = push * pipe->per_span[i];
        out[1] = (flow - (last ? 0.0 : next_flow) - ends->taken[i]) * per_density;
        double beyond = place + pipe->span[i] - pipe->length_from_far_to_elbow;
        ends->shaking_force += fmin(fmax(beyond * pipe->per_span[i], 0.0), 1.0) * push;
        place += pipe->span[i];
        pressure = view->pressure[i] + q[i];
        flux = node_flux;
        flow = next_flow;
    }
    if (pipe->fluid.thermal) {
        energy_rates(pipe, state, view, ends, q, rate);
    }
}

double pipe_mass(const struct pipe *pipe, const double *state) {
    double sum = 0.0;
    for (int i = 0; i < pipe->cells; i++) {
        sum += state[i * pipe->stride + 1];
    }
    return pipe->fluid.liquid ? sum * pipe->fluid.density : sum;
}

double pipe_energy(const struct pipe *pipe, const double *state) {
    double sum = 0.0;
    for (int i = 0; i < pipe->cells && pipe->fluid.thermal; i++) {
        sum += state[i * pipe->stride + 2];
    }
    return sum;
}

// Density of gas that passes a node at a pressure: at the stream's total enthalpy,
// h rho^2 - k/(k-1) p rho - (w/A)^2/2 = 0.
static double rest_density(const struct pipe *pipe, int i, double pressure, double flow) {
    const struct pipe_fluid *f = &pipe->fluid;
    if (f->liquid || !f->thermal) {
        return f->liquid ? f->density : pressure / f->pressure_per_density;
    }
    double b = f->exponent / (f->exponent - 1.0) * pressure, flux = flow * pipe->slender[i];
    return (b + sqrt(b * b + 2.0 * f->total_enthalpy * flux * flux)) / (2.0 * f->total_enthalpy);
}

// What is left of the forces on face i, per area [Pa], with the pressure behind it.
static double rest_miss(const struct pipe *pipe, int i, const double before[3], double pressure,
                        double flow) {
    double density = rest_density(pipe, i, pressure, flow);
    double flux = flow * flow * pipe->slender[i] / density;
    double in = i == 0 ? far_flux(pipe, flow, before[1], density) : before[2];
    return before[0] - pressure +
           (in - flux - face_loss(pipe, i, flow, 2.0 / (before[1] + density))) / pipe->area[i];
}

// Pressure at node i by Newton's iteration from that before it; NaN where none balances. In
// `before`: pressure, density and momentum flux of the node before.
static double rest_node(const struct pipe *pipe, int i, double before[3], double flow) {
    double pressure = before[0], scale = fabs(before[0]), moved = scale;
    for (int round = 0; round < 40 && moved > 4e-16 * scale; round++) {
        double step = 1e-6 * scale;
        double miss = rest_miss(pipe, i, before, pressure, flow);
        double slope = (rest_miss(pipe, i, before, pressure + step, flow) -
                        rest_miss(pipe, i, before, pressure - step, flow)) /
                       (2.0 * step);
        if (!(slope < 0.0)) { // at the speed of sound the slope turns round
            return (double)NAN;
        }
        double next = pressure - miss / slope;
        if (!pipe->fluid.liquid && !(next > 0.0)) {
            return (double)NAN;
        }
        moved = fabs(next - pressure);
        pressure = next;
    }
    if (!(moved <= 1e-12 * scale)) { // more than the speed of sound passes
        return (double)NAN;
    }
    before[0] = pressure;
    before[1] = rest_density(pipe, i, pressure, flow);
    before[2] = flow * flow * pipe->slender[i] / before[1];
    return pressure;
}

double pipe_rest(const struct pipe *pipe, double far_pressure, double flow, double *state,
                 struct pipe_view *view) {
    const struct pipe_fluid *f = &pipe->fluid;
    double far_density = f->liquid ? f->density : far_pressure / f->pressure_per_density;
    double before[3] = {far_pressure, far_density, 0.0};
    for (int i = 0; i < pipe->cells; i++) {
        double pressure = rest_node(pipe, i, before, flow);
        if (isnan(pressure)) {
            return pressure;
        }
        if (view) {
            view->pressure[i] = pressure;
            view->density[i] = before[1];
        }
        if (!state) {
            continue;
        }
        double *cell = state + (ptrdiff_t)i * pipe->stride, volume = pipe->volume[i];
        cell[0] = flow;
        if (f->liquid) {
            cell[1] = (pressure - f->atmosphere) * volume / f->modulus;
            continue;
        }
        cell[1] = before[1] * volume;
        if (f->thermal) {
            double flux = flow * pipe->slender[i];
            cell[2] = volume * (pressure / (f->exponent - 1.0) + 0.5 * flux * flux / before[1]);
        }
    }
    return before[0];
}

void pipe_locate(const struct pipe *pipe, double distance, int *node, double *share) {
    double place = pipe->total_length - distance;
    *node = -1;
    for (int i = 0; i < pipe->cells; i++) {
        if (place <= pipe->span[i] || i + 1 == pipe->cells) {
            *node = i - 1;
            *share = fmin(fmax(place / pipe->span[i], 0.0), 1.0);
            return;
        }
        place -= pipe->span[i];
    }
    *share = 0.0;
}
