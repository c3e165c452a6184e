// SPDX-License-Identifier: MIT
// Inside of regulator_static only: one search for the pressures at rest, the plug held. The
// pressures are nested: the controlled one outside, the downstream one within it, the chamber's
// within that.
#pragma once

#include "evaluation.h"
#include "regulator_static.h"

// What the pilot does in a search.
enum pilot_rule {
    PILOT_FOLLOWS,  // its own balance of forces, from the set screw
    PILOT_SHUT,     // nothing: chamber and lift are given
    PILOT_BALANCES, // whatever holds the plug: the set screw is what is looked for
};

struct search {
    struct evaluation e;
    double floor, ceiling;
    double scale;       // smallest pressure that matters [Pa]
    double inner_scale; // the same for what is solved inside, whose rounding must not show [Pa]
    double miss;        // flow left over in the controlled volume [kg/s]
    bool pilot_at_stop;
    enum pilot_rule pilot;
    struct regulator_static_memory *memory;
};

// Start with the boundaries' pressures; `memory` stays the caller's.
void search_begin(struct search *search, const struct regulator *regulator,
                  const struct regulator_mode *mode, double time,
                  struct regulator_static_memory *memory);

// Hold the plug at a travel [m]; put a node, by role, at a pressure [Pa]; what a role's is.
void search_place_plug(struct search *search, double travel);
void search_put(struct search *search, int role, double pressure);
double search_pressure(const struct search *search, int role);

// Flow left over in the controlled volume [kg/s] at its pressure [Pa], everything else at rest. The
// context is the search.
double search_controlled_miss(void *context, double pressure);

// The pilot: chamber, supply and travel by its own balance of forces; or the other way round, such
// as hold the plug where it is; then its flows into the nodes, from those that feed it.
void search_settle_pilot(struct search *search);
void search_balance_pilot(struct search *search);
void search_pilot_draws(struct search *search);

// Sums of flows in the nodes back to nothing.
void search_clear_rates(struct search *search);

// Pressure that a line brings to its near end, less that which draws from it [Pa].
double search_near_miss(const struct search *search, int line, double pressure);

// The near ends of lines at the pressures of their far ends, of those in which something flows.
void search_still_lines(struct search *search);

// Trim, pilot and outlet flows with the controlled and downstream pressures as they are put.
void search_all_flows(struct search *search);

// Then: flow into the controlled volume from well or demand [kg/s]; spring case and sensing cavity
// at the pressures of what they are open to; net force on the plug, opening positive [N].
double search_inflow(struct search *search);
void search_place_followers(struct search *search);
double search_plug_force(struct search *search);
