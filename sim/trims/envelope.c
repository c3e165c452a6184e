// SPDX-License-Identifier: MIT
#include "trims/envelope.h"

#include "steady/trim_window.h"

#include <math.h>

bool envelope_read(const struct scenario *scenario, const struct scenario_case *resolved,
                   struct envelope *out, struct diagnostics *list) {
    const struct envelope_options *e = &resolved->envelope;
    if (isnan(e->peak)) {
        diagnostics_error(list, (struct place){scenario_name(scenario), 1, 1},
                          "envelope: is missing; allowed a section with lowest and peak (and "
                          "normal, pressure_low, pressure_high), or --lowest and --peak");
        return false;
    }
    const double own = trim_window_own_flow(resolved);
    const bool between = own >= e->lowest && own <= e->peak;
    *out = (struct envelope){
        .flow = {e->lowest, isnan(e->normal) && between ? own : e->normal, e->peak},
        .pressure_count = e->pressure_high > e->pressure_low ? 2 : 1,
        .pressure = {e->pressure_low, e->pressure_high},
        .of_set = e->pressure_of == ENVELOPE_SET,
    };
    return true;
}

void envelope_change(const struct envelope *envelope, size_t pressure, struct study_point *point) {
    if (envelope->of_set && !isnan(envelope->pressure[pressure])) {
        point->change[point->change_count++] =
            (struct study_change){"set.pressure", envelope->pressure[pressure]};
    }
}

void envelope_hold(const struct envelope *envelope, size_t pressure, struct steadiness *subject) {
    if (!envelope->of_set && !isnan(envelope->pressure[pressure])) {
        subject->held.model.boundary = schedule_constant(envelope->pressure[pressure]);
    }
}

const char *envelope_flow_name(enum envelope_flow flow) {
    static const char *const names[] = {"lowest", "normal", "peak"};
    return names[flow];
}
