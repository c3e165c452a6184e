// SPDX-License-Identifier: MIT
#include "judge/verdict.h"

#include "judge/verdict_figures.h"
#include "judge/verdict_schedule.h"
#include "judge/verdict_study.h"

#include <math.h>

// Quiet, and yet not at rest: what is missing. A plug on its seat under a vessel that fills will
// open some day, and nothing is known of what it then does.
static bool study_say_quiet(struct verdict_study *study) {
    const struct verdict_limits *limits = study->limits;
    const struct series late = series_last(&study->travel.series, study->quiet);
    const char *reason = "quiet at the limit, but not for long enough";
    if (series_high(&late) <= limits->shut_travel * study->input->rated_travel &&
        verdict_study_is_creeping(study)) {
        reason = "on its seat at the limit, and the pressure still creeps: a longer run shows what "
                 "follows";
    } else if (verdict_study_is_creeping(study)) {
        reason = "quiet at the limit, but still creeping: a longer run shows where to";
    }
    return verdict_study_say(study, VERDICT_UNDECIDED, false, "%s", reason);
}

// The run ends here, or is first looked at: say the most the record supports.
static bool study_last_word(struct verdict_study *study) {
    struct view *lead = verdict_study_leading(study);
    const struct verdict_limits *limits = study->limits;
    double last = study->end - limits->last_share * (study->end - study->start);
    verdict_study_measure(study, last);
    // Of a run that goes on, bounces on the way to rest say nothing.
    if (study->last_chance &&
        (double)verdict_study_contacts_since(study, last) >= limits->last_contacts) {
        return verdict_study_say_motion(study, VERDICT_SLAMMING,
                                        "has not settled into a repeating cycle by the limit");
    }
    if (study->coarse) {
        return verdict_study_say(study, VERDICT_UNDECIDED, false,
                                 "fewer than %g samples a cycle: the trace spacing is too wide",
                                 limits->cycle_samples);
    }
    if (lead->holds) {
        verdict_study_set_trend(study, &lead->trend);
    }
    if (lead->swing > lead->rest && view_decays(lead)) {
        // A fast decay is not slow for being cut off, and not seen to end: it may end in a small
        // cycle. So may a slow one, which is followed where that is possible.
        const bool slow = lead->trend.damping_ratio < limits->ringing_damping && study->last_chance;
        return verdict_study_say(study, slow ? VERDICT_RINGING : VERDICT_UNDECIDED, slow,
                                 "still decaying at the limit, with a damping ratio of %.3g %%; a "
                                 "longer limit shows where it ends",
                                 100.0 * lead->trend.damping_ratio);
    }
    if (lead->swing > lead->rest && lead->holds) {
        return verdict_study_say(
            study, VERDICT_HUNTING, true,
            "still growing at the limit, by a factor of %.3g a cycle; a longer limit "
            "shows how far",
            exp(lead->trend.rate / lead->trend.frequency));
    }
    if (lead->swing <= lead->rest) {
        return study_say_quiet(study);
    }
    return verdict_study_say(study, VERDICT_UNDECIDED, false,
                             "neither at rest nor in a clear cycle at the limit of %.4g s",
                             study->input->limit);
}

static bool input_holds(const struct verdict_input *input, struct verdict_result *result) {
    const struct series *pressure = &input->motion.pressure;
    const struct series *travel = &input->motion.travel;
    size_t bad_pressure = series_first_bad(pressure);
    size_t bad_travel = series_first_bad(travel);
    const char *what = NULL;
    double time = (double)NAN;
    if (bad_pressure < pressure->count) {
        what = "pressure is not a number";
        time = series_time(pressure, bad_pressure);
    } else if (bad_travel < travel->count) {
        what = "travel is not a number";
        time = series_time(travel, bad_travel);
    } else if (pressure->count != travel->count || !(pressure->step > 0.0) ||
               pressure->step != travel->step || pressure->start != travel->start) {
        what = "pressure and travel are not sampled at the same times";
    } else if (!(input->pressure_scale > 0.0) || !(input->rated_travel > 0.0)) {
        what = "the pressure scale and the rated travel must be positive";
    } else if (!isfinite(input->from) || !(input->limit >= input->from) ||
               !(input->schedule_period >= 0.0) || !(input->period_hint >= 0.0)) {
        what = "the times are out of order";
    }
    if (what) {
        snprintf(result->reason, sizeof result->reason, isnan(time) ? "%s" : "%s at %.9g s", what,
                 time);
    }
    return !what;
}

// Motion under a repeating schedule.
static bool study_schedule(struct verdict_study *study) {
    double period = study->input->schedule_period;
    double window = 0.0;
    struct verdict_schedule_view view = {
        .motion = verdict_study_motion(study),
        .end = study->end,
        .pressure_rest = study->pressure.rest,
        .travel_rest = study->travel.rest,
    };
    if (!verdict_schedule_repeats(&view, period, study->limits, &window)) {
        // The periods of the schedule are the cycles of a motion that does not repeat with it.
        study->pressure.cycle_count =
            (size_t)(study->limits->motion_share * (study->end - study->start) / period);
        return false;
    }
    double sustained = verdict_schedule_sustained(&view, window, study->limits);
    struct verdict_figures *figures = &study->result->figures;
    verdict_study_measure(study, study->end - window);
    figures->periodic = true;
    figures->pattern = (size_t)lround(window / period);
    if (sustained > 0.0) {
        figures->frequency = sustained;
        return verdict_study_say_motion(study, VERDICT_HUNTING,
                                        "oscillates by itself within each schedule period");
    }
    figures->frequency = 1.0 / window;
    return verdict_study_say_motion(study, VERDICT_FORCED, "repeats its schedule");
}

static void study_decide(struct verdict_study *study) {
    if (verdict_study_rest(study)) {
        return;
    }
    // Under a repeating schedule every decay is interrupted and every cycle may be the schedule's.
    bool answered = study->input->schedule_period > 0.0
                        ? study_schedule(study)
                        : verdict_study_decay(study) ||
                              verdict_study_cycle(study, &study->pressure) ||
                              verdict_study_cycle(study, &study->travel);
    if (answered || verdict_study_irregular(study) || (study->at_limit && study_last_word(study))) {
        return;
    }
    verdict_study_measure(study, study->end - fmin(study->quiet, study->end - study->start));
    verdict_study_say(study, VERDICT_UNDECIDED, false, "not decided yet at %.4g s", study->end);
}

bool verdict_judge(const struct verdict_input *input, const struct verdict_limits *limits,
                   struct verdict_result *result) {
    *result = (struct verdict_result){.verdict = VERDICT_UNDECIDED};
    result->figures = verdict_figures_none();
    if (!input_holds(input, result)) {
        return false;
    }
    struct verdict_study study = {.input = input, .limits = limits, .result = result};
    verdict_study_begin(&study);
    if (study.pressure.series.count < 3) {
        verdict_study_say(&study, VERDICT_UNDECIDED, false, "no record yet after the last step");
    } else if (input->schedule_changing) {
        verdict_study_measure(&study, study.start);
        verdict_study_say(&study, VERDICT_UNDECIDED, false, "the schedule still changes");
    } else {
        study_decide(&study);
    }
    result->figures.cycles = study.pressure.cycle_count > study.travel.cycle_count
                                 ? study.pressure.cycle_count
                                 : study.travel.cycle_count;
    return true;
}
