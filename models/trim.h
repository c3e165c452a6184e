// SPDX-License-Identifier: MIT
// Trim: what a reduced port changes. Geometry of port and seat, the inherent characteristic, and
// the share of the pressure drop that pushes on the plug.
#pragma once

#include <stdbool.h>
#include <stddef.h>

enum trim_characteristic {
    TRIM_CURTAIN, // cylinder under the plug in series with the port, from geometry
    TRIM_LINEAR,
    TRIM_EQUAL_PERCENTAGE,
    TRIM_QUICK_OPENING,
    TRIM_TABLE, // (travel fraction, flow fraction) points, monotone cubic between
    TRIM_SLOT,  // area = width x travel, no upper limit
};

enum trim_flow_law {
    TRIM_FLOW_STANDARD, // IEC 60534-2-1 with Y, xT (gas) or FL, FF (liquid)
    TRIM_FLOW_NOZZLE,   // isentropic nozzle through discharge coefficient x area
};

enum trim_flow_direction {
    TRIM_FLOW_TO_CLOSE, // over the plug
    TRIM_FLOW_TO_OPEN,  // under the plug
};

enum trim_force_law {
    TRIM_FORCE_SERIES,    // curtain and port share the drop
    TRIM_FORCE_FULL_AREA, // the whole drop acts on the seat area at any travel
    TRIM_FORCE_BALANCED,  // none
    TRIM_FORCE_TABLE,     // (travel fraction, share of the drop) points
};

#define TRIM_TABLE_MAX 16

struct trim_table {
    size_t count;
    double position[TRIM_TABLE_MAX]; // ascending [-]
    double value[TRIM_TABLE_MAX];    // [-]
    double slope[TRIM_TABLE_MAX];    // filled by trim_prepare [-]
};

struct trim_parameters {
    double port_diameter;         // D [m]
    double seat_land;             // width of the seat land [m]; its pressure: seat.h
    double rated_travel;          // x_r [m]
    double rated_area;            // A_v = w/sqrt(rho dp) at x_r [m2]; 0: from geometry
    double discharge_coefficient; // Cd [-], used when rated_area is 0 and by the nozzle law
    enum trim_characteristic characteristic;
    double rangeability;          // R of equal percentage [-]
    double shutoff_travel;        // equal percentage is blended to the leak below this [m]
    double slot_width;            // [m], slot only
    struct trim_table flow_table; // characteristic `table`
    enum trim_flow_law flow_law;
    double choking_ratio;   // xT [-]
    double recovery_factor; // FL [-]
    double piping_factor;   // FP [-]
    double seat_leak;       // share of the rated area when shut [-]
    enum trim_flow_direction direction;
    enum trim_force_law force_law;
    struct trim_table force_table; // force law `table`
    double balance;                // b [-], share of the plug area that is balanced
    double moving_mass;            // mass of plug and stem of this trim [kg]
};

// A_v [m2] of 1 Kv and of 1 Cv: w [kg/s] = A_v sqrt(rho dp) in SI. Source: IEC 60534-2-1: 1 Kv is
// 1 m3/h at 1 bar of water at 15 degC (999.1 kg/m3); Cv = 1.1560992 Kv.
#define TRIM_AREA_PER_KV (0.999549898704 / 36000.0) // sqrt(0.9991)/36000
#define TRIM_AREA_PER_CV (TRIM_AREA_PER_KV / 1.1560992)

// A trim with what does not change in a run worked out once.
struct trim {
    struct trim_parameters parameters;
    double rated_area;    // A_v at rated travel [m2]
    double nozzle_area;   // Cd x geometric area at rated travel, for the nozzle law [m2]
    double port_area;     // [m2]
    double curtain_rated; // s_r/sqrt(1 + s_r^2) at rated travel [-]
    double log_rangeability;
};

struct trim trim_prepare(const struct trim_parameters *parameters);

// Share of the rated area that is open at a travel [m], leak included. Never negative; runs on
// beyond rated travel. Curtain: s/sqrt(1+s^2) with s = 4x/D, scaled to 1 at rated travel.
double trim_opening(const struct trim *trim, double travel);

// Area ratio s of curtain to port that the opening amounts to, s/sqrt(1+s^2) = opening x rated
// share; the exact 4x/D for a curtain.
double trim_curtain_ratio(const struct trim *trim, double opening);

struct nozzle;

// Share of the pressure drop taken by the curtain, and so by the plug, when curtain (area ratio s)
// and port pass the same isentropic nozzle flow; r = p2/p1. The port comes first when the flow
// comes from under the plug. For a liquid it is 1/(1+s^2) either way.
double trim_drop_share_gas(const struct nozzle *nozzle, double curtain_ratio, double ratio,
                           bool port_first);
double trim_drop_share_liquid(double curtain_ratio);

// Monotone piecewise cubic through a table's points, held constant outside.
// Source: F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17 (1980), with harmonic-mean slopes.
double trim_table_value(const struct trim_table *table, double position);
void trim_table_prepare(struct trim_table *table);

// Slopes of these, derived by hand: of the opening over travel [1/m], of a table over its position,
// of the curtain ratio over the opening, and of the share of the drop over curtain and pressure
// ratio (which returns the share).
double trim_opening_slope(const struct trim *trim, double travel);
double trim_table_slope(const struct trim_table *table, double position);
double trim_curtain_slope(const struct trim *trim, double opening);
double trim_drop_share_slopes(const struct nozzle *nozzle, double curtain_ratio, double ratio,
                              bool port_first, double slope[2]);
