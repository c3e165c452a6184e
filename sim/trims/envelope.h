// SPDX-License-Identifier: MIT
// What a trim must serve, read from a scenario's `envelope` section: flows from the lowest to the
// peak, at each end of a range of line or set pressures.
#pragma once

#include "base/diagnostic.h"
#include "steady/steadiness.h"
#include "study/study.h"

enum envelope_flow { ENVELOPE_LOWEST, ENVELOPE_NORMAL, ENVELOPE_PEAK, ENVELOPE_FLOW_COUNT };
enum { ENVELOPE_PRESSURES_MAX = 2 };

struct envelope {
    double flow[ENVELOPE_FLOW_COUNT];        // [kg/s]; the normal one NaN if neither said nor the
                                             // scenario's own flow lies between the others
    size_t pressure_count;                   // 1: only the scenario's own
    double pressure[ENVELOPE_PRESSURES_MAX]; // [Pa]; NaN: the scenario's own
    bool of_set; // they are set pressures, to which the screw is turned anew; else line pressures,
                 // which vary while the screw stays as it is
};

// Returns false, with an error in the list, when the scenario has no envelope.
bool envelope_read(const struct scenario *scenario, const struct scenario_case *resolved,
                   struct envelope *out, struct diagnostics *list);

// Put a pressure of the envelope into force: the set pressure as a change of a study's point,
// before the scenario is resolved; the line pressure in a subject, after its screw was turned.
void envelope_change(const struct envelope *envelope, size_t pressure, struct study_point *point);
void envelope_hold(const struct envelope *envelope, size_t pressure, struct steadiness *subject);

// "lowest", "normal", "peak".
const char *envelope_flow_name(enum envelope_flow flow);
