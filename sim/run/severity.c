// SPDX-License-Identifier: MIT
#include "run/severity.h"

#include "run/screening.h"

#include <math.h>

const char *severity_outcome_name(size_t outcome) {
    static const char *const others[] = {"solver gave up", "set pressure out of reach",
                                         "values contradict each other"};
    return outcome < VERDICT_COUNT ? verdict_name((enum verdict)outcome)
                                   : others[outcome - VERDICT_COUNT];
}

static void take_verdict(const struct scenario_case *scenario, const struct simulation *run,
                         double *row) {
    enum verdict verdict = run->judged.verdict;
    const struct verdict_figures *figures = &run->judged.figures;
    bool rests = verdict <= VERDICT_RINGING || verdict == VERDICT_SHUT;
    double set_gauge = fmax(fabs(scenario->set_pressure - scenario->site.atmosphere), 1.0);
    row[SEVERITY_OUTCOME] = verdict;
    row[SEVERITY_SWING] = rests ? 0.0 : figures->pressure_swing;
    row[SEVERITY_PEAK] = figures->pressure_peak;
    row[SEVERITY_CONTACTS] = figures->seat_rate;
    if (verdict != VERDICT_UNDECIDED) {
        double swing = isfinite(row[SEVERITY_SWING]) ? row[SEVERITY_SWING] : 0.0;
        row[SEVERITY_ORDER] = (double)verdict + swing / (swing + set_gauge);
    }
}

void severity_measure(const struct scenario_case *scenario, double row[SEVERITY_COLUMNS]) {
    for (int i = 0; i < SEVERITY_COLUMNS; i++) {
        row[i] = (double)NAN;
    }
    row[SEVERITY_OUTCOME] = SEVERITY_IMPOSSIBLE;
    if (!scenario) {
        return;
    }
    struct simulation run;
    screening_run(scenario, &(struct simulation_manner){.brief = true}, &run);
    const struct linear_mode *leading = linearise_leading(&run.modes);
    row[SEVERITY_GROWTH] = leading ? leading->growth : (double)NAN;
    if (run.set_out_of_reach) {
        row[SEVERITY_OUTCOME] = SEVERITY_OUT_OF_REACH;
    } else if (run.outcome == SIMULATION_DONE) {
        take_verdict(scenario, &run, row);
    } else {
        row[SEVERITY_OUTCOME] = SEVERITY_FAILED;
    }
    simulation_free(&run);
}

void severity_measure_on(const struct scenario_case *scenario, double row[SEVERITY_COLUMNS]) {
    severity_measure(scenario, row);
    if ((size_t)row[SEVERITY_OUTCOME] == VERDICT_UNDECIDED) {
        struct scenario_case longer = *scenario; // shares its memory, which nobody writes to
        longer.run.duration *= SIMULATION_PATIENCE;
        severity_measure(&longer, row);
    }
}
