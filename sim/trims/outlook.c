// SPDX-License-Identifier: MIT
#include "trims/outlook.h"

#include <math.h>

// How far beyond the horizon the late end of an interval is looked for [yr].
#define INTERVAL_REACH 200.0

static struct outlook_crossing crossing(const struct decline *decline, double flow,
                                        double looked_at, double horizon) {
    struct outlook_crossing c = {OUTLOOK_NO_FLOW, (double)NAN, (double)NAN, (double)NAN};
    if (isnan(flow)) {
        return c;
    }
    if (flow <= looked_at) {
        c.when = OUTLOOK_NEVER;
        return c;
    }
    const double years = arps_time(&decline->curve, flow);
    c.when = years <= decline->today ? OUTLOOK_BEFORE
             : years > horizon       ? OUTLOOK_LATER
                                     : OUTLOOK_ON;
    if (c.when == OUTLOOK_ON || (c.when == OUTLOOK_BEFORE && years > 0.0)) {
        c.years = years;
    }
    if (c.when == OUTLOOK_ON && decline->fitted) {
        arps_fit_interval(&decline->fit[decline->model], flow, horizon + INTERVAL_REACH, &c.early,
                          &c.late);
    }
    return c;
}

static enum outlook_state state_today(const struct decline *decline,
                                      const struct outlook_window *window) {
    const double rate = arps_rate(&decline->curve, decline->today);
    // Not a number: neither passed nor steady anywhere, and false here.
    const bool settled = window->settled <= window->largest;
    if (!settled) {
        return OUTLOOK_EMPTY;
    }
    if (rate > window->largest) {
        return OUTLOOK_TOO_SMALL;
    }
    return rate > window->kicked    ? OUTLOOK_INSIDE
           : rate > window->settled ? OUTLOOK_DELICATE
                                    : OUTLOOK_BELOW;
}

struct outlook outlook_of(const struct decline *decline, const struct outlook_window *window,
                          double horizon) {
    return (struct outlook){
        .state = state_today(decline, window),
        .passes = crossing(decline, window->largest, 0.0, horizon),
        .kicked = crossing(decline, window->kicked, window->looked_at, horizon),
        .settled = crossing(decline, window->settled, window->looked_at, horizon),
    };
}

const char *outlook_state_name(enum outlook_state state) {
    static const char *const names[] = {"in its window", "steady only if left alone",
                                        "below its window", "does not pass the flow",
                                        "steady at no flow"};
    return names[state];
}

const char *outlook_when_name(enum outlook_when when) {
    static const char *const names[] = {"on", "after the horizon", "never", "already",
                                        "no such flow"};
    return names[when];
}
