// SPDX-License-Identifier: MIT
//
// Equations and integration of the plain benchmark model. Nothing here is tuned for speed: powers
// are calls of pow(), the Jacobian is CVODE's difference quotient, contacts are stiff springs, and
// the only root functions count seat contacts. Keep it so; it is what others are measured against.
#define _POSIX_C_SOURCE 200809L // clock_gettime

#include "reference.h"

#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_types.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <time.h>

enum { TRAVEL, SPEED, BRISTLE, PILOT_TRAVEL, PILOT_SPEED, VESSEL, CHAMBER, SENSE, STATE_COUNT };

static const double pi = 3.14159265358979323846;

struct run_data {
    const struct reference_parameters *parameters;
    double pilot_set_force; // [N]
    long calls;
};

static double circle_area(double diameter) {
    return 0.25 * pi * diameter * diameter;
}

// Compressible nozzle, choked below the critical ratio, either direction. The square root has an
// infinite slope at zero drop, so the last 0.1 % of the upstream pressure is a straight line.
static double nozzle_flow(const struct reference_parameters *p, double area, double p1, double p2) {
    if (p2 > p1) {
        return -nozzle_flow(p, area, p2, p1);
    }
    const double k = p->exponent;
    const double critical = pow(2.0 / (k + 1.0), k / (k - 1.0));
    double ratio = p2 / p1;
    double part = 1.0;
    if (ratio < critical) {
        ratio = critical;
    }
    if (ratio > 0.999) {
        part = (1.0 - ratio) / 0.001;
        ratio = 0.999;
    }
    const double shape = 2.0 * k / (k - 1.0) * (pow(ratio, 2.0 / k) - pow(ratio, (k + 1.0) / k));
    return part * area * p1 * sqrt(shape / (p->gas_constant * p->temperature));
}

// Curtain pi D x and port pi D^2/4 in series: s/sqrt(1+s^2) of the port, s = 4x/D.
static double series_area(double diameter, double travel) {
    if (travel <= 0.0) {
        return 0.0;
    }
    const double s = 4.0 * travel / diameter;
    return circle_area(diameter) * s / sqrt(1.0 + s * s);
}

// Closing force of the flow over the plug, with the curtain's share of the drop 1/(1+s^2).
static double flow_force(const struct reference_parameters *p, double travel, double vessel) {
    const double s = travel > 0.0 ? 4.0 * travel / p->port_diameter : 0.0;
    return (vessel - p->downstream_pressure) * circle_area(p->port_diameter) / (1.0 + s * s);
}

// K. H. Hunt, F. R. E. Crossley, ASME J. Appl. Mech. 42 (1975), exponent one; never pulls.
static double contact_force(double stiffness, double dissipation, double depth, double approach) {
    if (depth <= 0.0) {
        return 0.0;
    }
    return fmax(0.0, stiffness * depth * (1.0 + dissipation * approach));
}

// LuGre friction: C. Canudas de Wit et al., IEEE Trans. Autom. Control 40 (1995). The viscous term
// is the stem damping of the caller.
static double friction_force(const struct reference_parameters *p, double speed, double bristle,
                             double *bristle_rate) {
    *bristle_rate = 0.0;
    if (p->friction_kinetic <= 0.0) {
        return 0.0;
    }
    const double level = p->friction_kinetic + (p->friction_static - p->friction_kinetic) *
                                                   exp(-pow(speed / p->stribeck_speed, 2.0));
    *bristle_rate = speed - p->bristle_stiffness * fabs(speed) / level * bristle;
    return p->bristle_stiffness * bristle + p->bristle_damping * *bristle_rate;
}

static double plug_force(const struct reference_parameters *p, const double *y,
                         double *bristle_rate) {
    const double x = y[TRAVEL];
    const double v = y[SPEED];
    double force = (y[CHAMBER] - p->downstream_pressure) * p->diaphragm_area - p->spring_preload -
                   p->spring_rate * x - p->stem_damping * v;
    force -= flow_force(p, x, y[VESSEL]);
    force -= friction_force(p, v, y[BRISTLE], bristle_rate);
    force += contact_force(p->seat_stiffness, p->contact_dissipation, -x, -v);
    force -= contact_force(p->stop_stiffness, p->contact_dissipation, x - p->rated_travel, v);
    return force;
}

static double pilot_force(const struct run_data *data, const double *y) {
    const struct reference_parameters *p = data->parameters;
    const double x = y[PILOT_TRAVEL];
    const double v = y[PILOT_SPEED];
    double force = (y[SENSE] - p->atmospheric_pressure) * p->pilot_diaphragm_area -
                   data->pilot_set_force -
                   (y[CHAMBER] - p->downstream_pressure) * p->pilot_feedback_area -
                   p->pilot_spring_rate * x - p->pilot_damping * v;
    force += contact_force(p->pilot_stop_stiffness, p->contact_dissipation, -x, -v);
    force -= contact_force(p->pilot_stop_stiffness, p->contact_dissipation, x - p->pilot_travel, v);
    return force;
}

static int derivatives(realtype t, N_Vector state, N_Vector rate, void *user_data) {
    (void)t;
    struct run_data *data = user_data;
    const struct reference_parameters *p = data->parameters;
    const double *y = N_VGetArrayPointer(state);
    double *dy = N_VGetArrayPointer(rate);
    data->calls++;

    const double plug = nozzle_flow(p, p->plug_discharge * series_area(p->port_diameter, y[TRAVEL]),
                                    y[VESSEL], p->downstream_pressure);
    const double supply =
        nozzle_flow(p, p->small_discharge * series_area(p->supply_seat_diameter, y[PILOT_TRAVEL]),
                    y[VESSEL], y[CHAMBER]);
    const double bleed = nozzle_flow(p, p->small_discharge * circle_area(p->bleed_diameter),
                                     y[CHAMBER], p->downstream_pressure);
    const double sense =
        nozzle_flow(p, p->small_discharge * circle_area(p->sense_diameter), y[VESSEL], y[SENSE]);
    const double rt = p->gas_constant * p->temperature;

    dy[TRAVEL] = y[SPEED];
    dy[SPEED] = plug_force(p, y, &dy[BRISTLE]) / p->moving_mass;
    dy[PILOT_TRAVEL] = y[PILOT_SPEED];
    dy[PILOT_SPEED] = pilot_force(data, y) / p->pilot_mass;
    dy[VESSEL] = rt * (p->inflow - plug - supply - sense) / p->vessel_volume;
    dy[CHAMBER] = (rt * (supply - bleed) - y[CHAMBER] * p->diaphragm_area * y[SPEED]) /
                  (p->chamber_volume + p->diaphragm_area * y[TRAVEL]);
    dy[SENSE] = (rt * sense - y[SENSE] * p->pilot_diaphragm_area * y[PILOT_SPEED]) /
                (p->sense_volume + p->pilot_diaphragm_area * y[PILOT_TRAVEL]);
    return 0;
}

// Root 0 is the seat, approached; root 1 is a separation of 0.1 % of travel, which arms the count.
static int seat_roots(realtype t, N_Vector state, realtype *g, void *user_data) {
    (void)t;
    const struct run_data *data = user_data;
    const double x = N_VGetArrayPointer(state)[TRAVEL];
    g[0] = x;
    g[1] = x - 0.001 * data->parameters->rated_travel;
    return 0;
}

// The one state at rest for a stated vessel pressure, friction apart. Bisection on travel: the
// plug's balance gives the chamber pressure, that the bleed, and plug flow and bleed together must
// carry the inflow. The pilot is opened as far as the bleed asks; its unbalanced force is returned.
static double rest_at(const struct run_data *data, double vessel, double *y) {
    const struct reference_parameters *p = data->parameters;
    const double rest = p->downstream_pressure;
    double low = 0.0, high = p->rated_travel, bleed = 0.0;
    for (int i = 0; i < 60; i++) {
        const double x = y[TRAVEL] = 0.5 * (low + high);
        const double load = p->spring_preload + p->spring_rate * x + flow_force(p, x, vessel);
        y[CHAMBER] = rest + load / p->diaphragm_area;
        bleed =
            nozzle_flow(p, p->small_discharge * circle_area(p->bleed_diameter), y[CHAMBER], rest);
        const double area = p->plug_discharge * series_area(p->port_diameter, x);
        if (nozzle_flow(p, area, vessel, rest) + bleed > p->inflow) {
            high = x;
        } else {
            low = x;
        }
    }
    const double seat = p->small_discharge * circle_area(p->supply_seat_diameter);
    const double share = fmin(0.999, bleed / nozzle_flow(p, seat, vessel, y[CHAMBER]));
    y[PILOT_TRAVEL] = 0.25 * p->supply_seat_diameter * share / sqrt(1.0 - share * share);
    y[SPEED] = y[BRISTLE] = y[PILOT_SPEED] = 0.0;
    y[VESSEL] = y[SENSE] = vessel;
    return pilot_force(data, y);
}

static int find_equilibrium(struct run_data *data, double *y) {
    const struct reference_parameters *p = data->parameters;
    double low = p->set_pressure, high = 4.0 * p->set_pressure;
    data->pilot_set_force = (p->set_pressure - p->atmospheric_pressure) * p->pilot_diaphragm_area;
    if (p->set_is_held) {
        data->pilot_set_force += rest_at(data, p->set_pressure, y);
    }
    for (int i = 0; i < 60 && !p->set_is_held; i++) {
        const double force = rest_at(data, 0.5 * (low + high), y);
        *(force > 0.0 ? &high : &low) = y[VESSEL];
    }
    const double margin = 1e-9 * p->rated_travel;
    const int between = y[TRAVEL] > margin && y[TRAVEL] < p->rated_travel - margin;
    return between && y[PILOT_TRAVEL] < p->pilot_travel ? 0 : 1;
}

static void set_tolerances(const struct reference_parameters *p, double rtol, double *atol) {
    atol[TRAVEL] = rtol * p->rated_travel;
    atol[SPEED] = rtol * 0.1;
    atol[BRISTLE] = rtol * 1e-5;
    atol[PILOT_TRAVEL] = rtol * p->pilot_travel;
    atol[PILOT_SPEED] = rtol * 0.01;
    atol[VESSEL] = atol[CHAMBER] = atol[SENSE] = rtol * 1e5;
}

// Swings of the last quarter, and the frequency from upward crossings of the middle pressure; a
// crossing counts only after a dip of a tenth of the swing below the middle.
static void summarise_window(struct reference_result *out, double interval) {
    const int first = out->sample_count - 1 - (out->sample_count - 1) / 4;
    double low = out->pressure[first], high = low;
    double x_low = out->travel[first], x_high = x_low;
    for (int i = first; i < out->sample_count; i++) {
        low = fmin(low, out->pressure[i]);
        high = fmax(high, out->pressure[i]);
        x_low = fmin(x_low, out->travel[i]);
        x_high = fmax(x_high, out->travel[i]);
    }
    out->pressure_swing = high - low;
    out->travel_swing = x_high - x_low;
    out->window_seconds = (out->sample_count - 1 - first) * interval;
    out->frequency = 0.0;
    const double middle = 0.5 * (low + high);
    const double dip = middle - 0.1 * (high - low);
    int armed = 0, crossings = 0, first_at = 0, last_at = 0;
    for (int i = first; i < out->sample_count; i++) {
        if (out->pressure[i] < dip) {
            armed = 1;
        } else if (armed && out->pressure[i] > middle) {
            armed = 0;
            last_at = i;
            first_at = crossings++ == 0 ? i : first_at;
        }
    }
    if (crossings > 1 && out->pressure_swing > 10.0) {
        out->frequency = (crossings - 1) / ((last_at - first_at) * interval);
    }
}

// Walks the sample grid; returns CVODE's flag.
static int walk_grid(void *cvode, N_Vector state, double interval, int intervals,
                     struct reference_result *out) {
    const double *y = N_VGetArrayPointer(state);
    int armed = 1;
    for (int i = 1; i <= intervals; i++) {
        realtype t = 0.0;
        int flag = CVode(cvode, i * interval, state, &t, CV_NORMAL);
        while (flag == CV_ROOT_RETURN) {
            int roots[2];
            CVodeGetRootInfo(cvode, roots);
            if (roots[0] && armed) {
                out->contacts++;
                out->window_contacts += t >= 0.75 * intervals * interval;
                armed = 0;
            }
            armed = armed || roots[1];
            flag = CVode(cvode, i * interval, state, &t, CV_NORMAL);
        }
        if (flag < 0) {
            return flag;
        }
        out->pressure[i] = y[VESSEL];
        out->travel[i] = y[TRAVEL];
        out->sample_count = i + 1;
    }
    return 0;
}

static double wall_clock(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

int reference_run(const struct reference_parameters *parameters, double t_end, double rtol,
                  struct reference_result *out) {
    const double start = wall_clock();
    const int intervals = (int)lround(t_end / parameters->sample_interval);
    if (intervals < 1 || intervals >= REFERENCE_SAMPLES_MAX) {
        return 1;
    }
    SUNContext context;
    if (SUNContext_Create(NULL, &context) != 0) {
        return 1;
    }
    struct run_data data = {.parameters = parameters};
    N_Vector state = N_VNew_Serial(STATE_COUNT, context);
    N_Vector atol = N_VNew_Serial(STATE_COUNT, context);
    SUNMatrix matrix = SUNDenseMatrix(STATE_COUNT, STATE_COUNT, context);
    SUNLinearSolver solver = SUNLinSol_Dense(state, matrix, context);
    void *cvode = CVodeCreate(CV_BDF, context);
    double *y = N_VGetArrayPointer(state);
    out->contacts = out->window_contacts = out->steps = 0;
    int flag = find_equilibrium(&data, y);
    if (flag == 0) {
        out->equilibrium_vessel = y[VESSEL];
        out->equilibrium_travel = y[TRAVEL];
        out->equilibrium_chamber = y[CHAMBER];
        out->equilibrium_pilot = y[PILOT_TRAVEL];
        out->pilot_set_force = data.pilot_set_force;
        y[VESSEL] += parameters->kick_pressure;
        out->pressure[0] = y[VESSEL];
        out->travel[0] = y[TRAVEL];
        out->sample_count = 1;
        set_tolerances(parameters, rtol, N_VGetArrayPointer(atol));
        int directions[2] = {-1, 1};
        CVodeInit(cvode, derivatives, 0.0, state);
        CVodeSVtolerances(cvode, rtol, atol);
        CVodeSetUserData(cvode, &data);
        CVodeSetLinearSolver(cvode, solver, matrix);
        CVodeRootInit(cvode, 2, seat_roots);
        CVodeSetRootDirection(cvode, directions);
        CVodeSetMaxNumSteps(cvode, 1000000);
        flag = walk_grid(cvode, state, parameters->sample_interval, intervals, out);
        CVodeGetNumSteps(cvode, &out->steps);
        summarise_window(out, parameters->sample_interval);
    }
    out->derivative_calls = data.calls;
    CVodeFree(&cvode);
    SUNLinSolFree(solver);
    SUNMatDestroy(matrix);
    N_VDestroy(atol);
    N_VDestroy(state);
    SUNContext_Free(&context);
    out->cpu_seconds = wall_clock() - start;
    return flag;
}

// Quantities known in US units are written as in the source times the size of the unit. Bristle,
// Stribeck speed, contact dissipation, upper stop and pilot stops are not given there: values
// assumed, no source.
static const double inch = 0.0254;                       // [m]
static const double square_inch = 6.4516e-4;             // [m2]
static const double cubic_inch = 1.6387064e-5;           // [m3]
static const double cubic_foot = 0.028316846592;         // [m3]
static const double pound = 0.45359237;                  // [kg]
static const double pound_force = 4.4482216152605;       // [N]
static const double pounds_an_inch = 175.12683524647636; // [N/m]
static const double psi = 6894.757293168361;             // [Pa]

struct reference_parameters reference_case(char name, double port_diameter,
                                           double friction_kinetic) {
    const int b = name == 'b';
    const double molar_mass = 18.8e-3; // [kg/mol]
    const double atmosphere = 14.696 * psi;
    // 0.15 MMscf/d at 379.483 scf/lbmol (60 degF, 14.696 psia), 453.59237 mol/lbmol: 2.075 mol/s.
    const double moles = 0.15e6 / 379.483 * 453.59237 / 86400.0;
    return (struct reference_parameters){
        .gas_constant = 8.314462618 / molar_mass,
        .temperature = 300.0,
        .exponent = 1.27,
        .set_pressure = 50.0 * psi + atmosphere,        // 50 psig, 446.1 kPa(a)
        .downstream_pressure = 15.0 * psi + atmosphere, // 15 psig, 204.7 kPa(a)
        .atmospheric_pressure = atmosphere,
        .inflow = moles * molar_mass,                  // 39.0 g/s
        .vessel_volume = (b ? 6.4 : 8.0) * cubic_foot, // (a) 0.2265 m3, (b) 0.1812 m3
        .port_diameter = port_diameter,
        .plug_discharge = 0.75,
        .small_discharge = 0.8,
        .rated_travel = (b ? 0.91 : 0.76) * inch,             // 19.3 mm, 23.1 mm
        .moving_mass = 6.0 * pound,                           // 2.72 kg
        .diaphragm_area = (b ? 45.4 : 38.0) * square_inch,    // 245 cm2, 293 cm2
        .spring_rate = (b ? 327.0 : 1474.0) * pounds_an_inch, // 258 kN/m, 57.3 kN/m
        .spring_preload = (b ? 164.0 : 87.0) * pound_force,   // 387 N, 730 N
        .stem_damping = b ? 420.0 : 514.0,
        .friction_kinetic = friction_kinetic,
        .friction_static = 1.3 * friction_kinetic,
        .stribeck_speed = 1e-3,
        .bristle_stiffness = 1e6,
        .bristle_damping = 1e3,
        .seat_stiffness = 5e7,
        .stop_stiffness = 5e6,
        .contact_dissipation = 0.5,
        .chamber_volume = (b ? 18.9 : 98.0) * cubic_inch,   // 1.606 l, 0.310 l
        .supply_seat_diameter = (b ? 0.127 : 0.091) * inch, // 2.31 mm, 3.23 mm
        .bleed_diameter = (b ? 0.079 : 0.100) * inch,       // 2.54 mm, 2.01 mm
        .sense_diameter = (b ? 0.047 : 0.087) * inch,       // 2.21 mm, 1.19 mm
        .sense_volume = 3.0 * cubic_inch,                   // 49.2 ml
        .pilot_mass = 0.3 * pound,                          // 0.136 kg
        .pilot_damping = 60.0,
        .pilot_travel = 0.03 * inch,                                // 0.762 mm
        .pilot_diaphragm_area = (b ? 11.3 : 3.75) * square_inch,    // 24.2 cm2, 72.9 cm2
        .pilot_spring_rate = (b ? 525.0 : 3314.0) * pounds_an_inch, // 580 kN/m, 91.9 kN/m
        .pilot_feedback_area = (b ? 1.41 : 0.757) * square_inch,    // 4.88 cm2, 9.10 cm2
        .pilot_stop_stiffness = 5e6,
        .kick_pressure = 3.0 * psi,
        .sample_interval = 0.01,
    };
}
