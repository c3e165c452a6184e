// SPDX-License-Identifier: MIT
// Flow through restrictions: the isentropic nozzle without a power in the call, laminar tubing,
// and the trim flow equations. All run smoothly through zero drop and in reverse.
#pragma once

#define NOZZLE_TERMS 13

// Nozzle function of one exponent, prepared once. With r = p_low/p_high,
//   psi(r)^2 = 2k/(k-1) (r^(2/k) - r^((k+1)/k)) = (1 - r) Q(r) above the critical ratio,
// and constant below it. Q is smooth on [critical, 1] and kept as a polynomial (error < 1e-9).
struct nozzle {
    double exponent;             // k [-]
    double critical_ratio;       // p_low/p_high at which flow chokes [-]
    double choked_square;        // psi^2 when choked [-]
    double middle, inverse_half; // of the interval [critical, 1]
    double coefficient[NOZZLE_TERMS];
};

// State of the gas or liquid at one side of a restriction.
struct flow_side {
    double pressure; // [Pa]
    double density;  // [kg/m3]
};

struct nozzle nozzle_prepare(double exponent);

// Q(r) for r in [critical, 1], and its slope.
double nozzle_quotient(const struct nozzle *nozzle, double ratio);
double nozzle_quotient_slope(const struct nozzle *nozzle, double ratio, double *slope);

// Mass flow [kg/s] from side a to side b through Cd x area [m2]; `laminar_drop` [Pa] is the drop
// below which flow turns proportional to it. Source: compressible nozzle of any gas dynamics text.
double flow_nozzle(const struct nozzle *nozzle, double area, struct flow_side a, struct flow_side b,
                   double laminar_drop);

// w^2/|drop| of that nozzle [kg2/(s2 Pa)] without any smoothing near zero drop.
double flow_nozzle_square(const struct nozzle *nozzle, double area, struct flow_side a,
                          struct flow_side b);

// Creeping flow through a hole of diameter d and length L: drop = creep x volume flow, creep =
// mu (24/d^3 + 128 L/(pi d^4)) [Pa s/m3]. The first part is exact for a thin wall at Re -> 0 (R. A.
// Sampson, Phil. Trans. R. Soc. A 182 (1891) 449), the second is Poiseuille's; the sum is exact to
// 1 % at any length (Z. Dagan, S. Weinbaum, R. Pfeffer, J. Fluid Mech. 115 (1982) 505).
double flow_creep(double diameter, double length, double viscosity);

// Mass flow [kg/s] through an opening whose drop is w^2/square + w/linear: inertia and friction
// added. Proportional to the drop near zero, and its root far from there.
double flow_two_regime(double drop, double square, double linear);

// Liquid through a sharp orifice: w = Cd A sqrt(2 rho dp) [kg/s].
double flow_orifice_liquid(double area, double density, double drop, double laminar_drop);

// Signed root: drop/(drop^2 + laminar^2)^(1/4), which is sqrt(drop) well above `laminar_drop`.
double flow_signed_root(double drop, double laminar_drop);

// IEC 60534-2-1 gas: w = A_v Y sqrt(X p1 rho1), Y = 1 - X/(3 X_c), X = min(dp/p1, X_c), where
// X_c = F_gamma x_T and F_gamma = k/1.4. area is A_v [m2] at the present travel.
double flow_trim_gas(double area, double choking, struct flow_side a, struct flow_side b,
                     double laminar_drop);

// IEC 60534-2-1 liquid: w = A_v sqrt(rho dp), dp limited to `choked_drop` [Pa].
double flow_trim_liquid(double area, double density, double drop, double choked_drop,
                        double laminar_drop);

// Laminar tubing, per unit conductance: gas w = c_g (p1^2 - p2^2), liquid w = c_l (p1 - p2).
// c_g = pi d^4 M/(256 mu L Z R T) [kg/(s Pa^2)]; c_l = pi d^4 rho/(128 mu L) [kg/(s Pa)].
double flow_laminar_gas_conductance(double bore, double length, double viscosity, double molar_mass,
                                    double z_temperature);
double flow_laminar_liquid_conductance(double bore, double length, double viscosity,
                                       double density);
