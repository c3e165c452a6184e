// SPDX-License-Identifier: MIT
#include "handout/run_data.h"

#include "scenario/scenario_dump.h"
#include "scenario/shown.h"
#include "show/json_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// As many points as a picture of a run can show.
enum { TRACE_POINTS = 600 };

// Channels of a thinned trace.
static const enum channel shown[] = {CHANNEL_CONTROLLED_PRESSURE,
                                     CHANNEL_TRAVEL,
                                     CHANNEL_CHAMBER_PRESSURE,
                                     CHANNEL_TRIM_FLOW,
                                     CHANNEL_INFLOW,
                                     CHANNEL_SENSED_PRESSURE,
                                     CHANNEL_PILOT_TRAVEL,
                                     CHANNEL_DOWNSTREAM_PRESSURE};

static json_t *number(double value) {
    return isfinite(value) ? json_real(value) : json_null();
}

// Seven digits are more than a picture shows.
static json_t *rounded(double value) {
    char text[40];
    snprintf(text, sizeof text, "%.7g", value);
    return number(strtod(text, NULL));
}

static json_t *trace(const struct simulation *run) {
    json_t *all = json_object();
    const size_t stride = run->count / TRACE_POINTS + 1;
    json_object_set_new(all, "step", number(run->step * (double)stride));
    for (size_t c = 0; c < sizeof shown / sizeof shown[0]; c++) {
        json_t *values = json_array();
        for (size_t i = 0; i < run->count; i += stride) {
            json_array_append_new(values, rounded(run->channel[shown[c]][i]));
        }
        json_object_set_new(all, channel_row(shown[c])->name, values);
    }
    return all;
}

static json_t *contacts(const struct simulation *run, const struct scenario_case *scenario) {
    json_t *all = json_array();
    for (size_t i = 0; i < run->seat_count && i < TRACE_POINTS; i++) {
        const struct contact_event *event = &run->seat[i];
        const double force =
            contact_peak_force(&scenario->model.actuator.seat, event->mass, event->speed);
        json_array_append_new(all, json_pack("[o, o, o]", rounded(event->time),
                                             rounded(event->speed), rounded(force)));
    }
    return all;
}

// The line that turns SI into the unit shown: [unit, factor, offset].
static json_t *units(const struct scenario_case *scenario) {
    json_t *all = json_object();
    for (size_t c = 0; c < CHANNEL_COUNT; c++) {
        const struct channel_row *row = channel_row((enum channel)c);
        const char *unit = shown_unit(scenario, row->kind);
        const double none = units_from_si(&scenario->site, row->kind, unit, 0.0);
        const double one = units_from_si(&scenario->site, row->kind, unit, 1.0);
        json_object_set_new(all, row->name,
                            json_pack("[s, o, o]", unit, number(one - none), number(none)));
    }
    return all;
}

json_t *run_data_run(const struct simulation *run, const struct scenario_case *scenario,
                     const char *label, bool traced) {
    json_t *figures = json_object();
    for (size_t i = 0; figure_at(i); i++) {
        const struct figure *figure = figure_at(i);
        const double value = figure->value(run, scenario);
        char text[160];
        figure_text(figure, value, scenario, text, sizeof text);
        if (isfinite(value)) {
            json_object_set_new(figures, figure->name, json_pack("[o, s]", number(value), text));
        }
    }
    const bool done = run->outcome == SIMULATION_DONE;
    json_t *all = json_pack("{s:o, s:s, s:o, s:o, s:o}", "trim", json_text(label), "verdict",
                            done ? verdict_name(run->judged.verdict) : "failed", "reason",
                            json_text(done ? run->judged.reason : run->message), "figures", figures,
                            "rated", number(scenario->model.trim.rated_travel));
    if (all && traced) {
        json_object_set_new(all, "trace", trace(run));
        json_object_set_new(all, "contacts", contacts(run, scenario));
        json_object_set_new(all, "units", units(scenario));
    }
    return all;
}

json_t *run_data_frame(void) {
    json_t *figures = json_array();
    for (size_t i = 0; figure_at(i); i++) {
        json_array_append_new(figures, json_pack("[s, s]", figure_at(i)->name, figure_at(i)->help));
    }
    json_t *verdicts = json_array();
    for (int v = 0; v < VERDICT_COUNT; v++) {
        json_array_append_new(verdicts, json_pack("[s, s]", verdict_name((enum verdict)v),
                                                  verdict_meaning((enum verdict)v)));
    }
    return json_pack("{s:s, s:o, s:o}", "version", LOWLIFT_VERSION, "figures", figures, "verdicts",
                     verdicts);
}

static char *dump_text(struct study_job *job) {
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    const bool fine = out && scenario_dump(job->path, out, &job->list);
    if (!out || fclose(out) != 0 || !fine) {
        free(text);
        return NULL;
    }
    return text;
}

json_t *run_data_scenario(const struct comparison *comparison, struct study_job *job) {
    char *dump = dump_text(job);
    json_t *runs = json_array(), *set = json_array();
    for (size_t i = 0; i < comparison->count; i++) {
        json_t *run =
            run_data_run(&comparison->run[i], &comparison->scenario[i], comparison->label[i], true);
        json_object_set_new(run, "index", json_integer((json_int_t)comparison->target[i].trim));
        json_array_append_new(runs, run);
    }
    for (size_t i = 0; i < job->override_count; i++) {
        json_array_append_new(set, json_text(job->overrides[i]));
    }
    json_t *all = json_pack("{s:o, s:o, s:o, s:o}", "name", json_text(job->path), "dump",
                            json_text(dump ? dump : ""), "set", set, "runs", runs);
    if (!all || !dump) {
        study_job_fail(job, STUDY_NO_MEMORY, "the scenario cannot be put into a page");
        json_decref(all);
        all = NULL;
    }
    free(dump);
    return all;
}
