// SPDX-License-Identifier: MIT
#include "steady/sweep.h"

#include "run/screening.h"

#include <math.h>

// Runs that a step may take to be decided.
#define RUNS_A_STEP 4

// One step; `carried` is where the one before ended and then where this one did.
static struct sweep_step hold(const struct steadiness *subject, double flow,
                              struct simulation_state *carried, bool *carries) {
    struct scenario_case here = subject->held;
    here.model.flow = schedule_constant(flow);
    here.run.stop_early = true;
    here.run.sample_interval =
        steadiness_interval(subject, 1.0 / steadiness_settled(subject, flow).swing_frequency);
    const double none = (double)NAN;
    struct sweep_step step = {flow, VERDICT_UNDECIDED, none, none, none, none};
    struct verdict_limits limits = steadiness_limits(&here);
    bool decided = false;
    for (int run = 0; run < RUNS_A_STEP && !decided; run++) {
        struct simulation s;
        const struct simulation_manner manner = {
            .limits = &limits, .from = *carries ? carried : NULL, .brief = true};
        screening_run(&here, &manner, &s);
        *carries = s.outcome == SIMULATION_DONE;
        if (*carries) {
            const struct verdict_figures *f = &s.judged.figures;
            step = (struct sweep_step){
                flow,         s.judged.verdict, f->pressure_swing, f->travel_swing,
                f->frequency, f->seat_rate};
            *carried = s.end;
        }
        decided =
            !*carries || (step.verdict != VERDICT_RINGING && step.verdict != VERDICT_UNDECIDED);
        simulation_free(&s);
    }
    return step;
}

void sweep_run(const struct steadiness *subject, const double *flow, size_t count,
               struct sweep_step *up, struct sweep_step *down) {
    struct simulation_state carried;
    bool carries = false;
    for (size_t i = 0; i < count; i++) {
        up[i] = hold(subject, flow[i], &carried, &carries);
    }
    for (size_t i = count; i-- > 0;) {
        down[i] = i + 1 == count ? up[i] : hold(subject, flow[i], &carried, &carries);
    }
}
