// SPDX-License-Identifier: MIT
#include "handout/lesson.h"

#include "handout/lesson_picture.h"
#include "handout/run_data.h"
#include "show/html_page.h"
#include "show/json_text.h"

#include <stdlib.h>
#include <string.h>

enum { SIDES = 2 };

static const struct lesson_variant variants[] = {
    {"today", {NULL}},
    // The line comes down with the flow, as it does where a well declines.
    {"flow_a", {"inflow.rate=0.3 MMscf/d"}},
    {"flow_b", {"inflow.rate=0.75 MMscf/d", "downstream.pressure=20 psig"}},
    {"flow_c", {"inflow.rate=1.5 MMscf/d", "downstream.pressure=30 psig"}},
    {"flow_d", {"inflow.rate=3 MMscf/d", "downstream.pressure=40 psig"}},
    {"line", {"inflow.rate=1.5 MMscf/d", "downstream.pressure=40 psig"}},
    {"land_none", {"trim.seat_land=0 in"}},
    {"land_wide", {"trim.seat_land=0.11 in"}},
    {"rub", {"friction.kinetic=5 lbf"}},
    {"rub_still", {"friction.kinetic=5 lbf", "start.kick_pressure=0.01 psi"}},
    {"tight", {"friction.kinetic=15 lbf"}},
    {"set_low", {"set.pressure=40 psig"}},
    {"vessel", {"vessel.volume=100 ft3"}},
    {"damping", {"actuator.damping=30 lbf s/in"}},
    {"band", {"pilot.feedback_area=0.2 in2"}},
    {"band_small", {"pilot.feedback_area=0.2 in2", "trims.reduced.port=1/2 in"}},
    {"band_small_b",
     {"pilot.feedback_area=0.2 in2", "trims.reduced.port=1/2 in", "inflow.rate=0.6 MMscf/d"}},
    {"peak", {"inflow.rate=0.6 MMscf/d"}},
};

const struct lesson_variant *lesson_variant_at(size_t index) {
    return index < sizeof variants / sizeof variants[0] ? &variants[index] : NULL;
}

// The first two trims of a scenario, run.
static enum study_status run_sides(struct study_job *job, const struct scenario *scenario,
                                   struct comparison *c) {
    if (scenario_trim_count(scenario) < SIDES) {
        return study_job_fail(job, STUDY_BAD_SCENARIO, "%s: found one trim; a lesson compares two",
                              job->path);
    }
    for (size_t side = 0; side < SIDES; side++) {
        c->target[c->count++] = (struct comparison_target){scenario, side};
    }
    return comparison_run(c, job);
}

// One variant as {set, runs}, without traces.
static enum study_status add_variant(struct study_job *job, const struct lesson_variant *variant,
                                     json_t *all) {
    size_t count = 0;
    json_t *set = json_array(), *runs = json_array();
    for (; count < LESSON_CHANGES_MAX && variant->change[count]; count++) {
        json_array_append_new(set, json_string(variant->change[count]));
    }
    struct scenario *scenario = scenario_open(job->path, variant->change, count, &job->list);
    struct comparison *c = calloc(1, sizeof *c);
    enum study_status status = c ? STUDY_BAD_SCENARIO : STUDY_NO_MEMORY;
    if (c && scenario) {
        c->uneven = true; // they are told of, not drawn
        status = run_sides(job, scenario, c);
    }
    for (size_t side = 0; status == STUDY_DONE && side < SIDES; side++) {
        json_array_append_new(
            runs, run_data_run(&c->run[side], &c->scenario[side], c->label[side], false));
    }
    json_object_set_new(all, variant->key, json_pack("{s:o, s:o}", "set", set, "runs", runs));
    if (c) {
        comparison_free(c);
    }
    free(c);
    scenario_free(scenario);
    return status;
}

// Where the scenario lay when the lesson was written says nothing to its reader.
static void name_it(json_t *scenario, const char *path) {
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    const char *dump = json_string_value(json_object_get(scenario, "dump"));
    const char *rest = dump ? strchr(dump, '\n') : NULL;
    if (rest) {
        json_object_set_new(scenario, "dump", json_sprintf("lowlift-dump\t1\t%s%s", name, rest));
    }
    json_object_set_new(scenario, "name", json_text(name));
}

static enum study_status write_page(struct study_job *job, const struct comparison *c, json_t *data,
                                    const char *path) {
    json_t *scenario = run_data_scenario(c, job), *all = json_object();
    enum study_status status = scenario && data && all ? STUDY_DONE : STUDY_NO_MEMORY;
    for (size_t i = 0; status == STUDY_DONE && lesson_variant_at(i); i++) {
        status = add_variant(job, lesson_variant_at(i), all);
    }
    name_it(scenario, job->path);
    json_object_set_new(data, "scenarios", json_pack("[o]", scenario));
    json_object_set_new(data, "variants", all);
    char *text = status == STUDY_DONE
                     ? json_dumps(data, JSON_COMPACT | JSON_ENSURE_ASCII | JSON_REAL_PRECISION(10))
                     : NULL;
    if (text) {
        const struct html_page_part part[] = {{"lowlift", text},
                                              {"title", scenario_title(job->scenario)}};
        const struct html_page page = {"lesson.html", part, sizeof part / sizeof part[0]};
        status = html_page_write(&page, path, job->message, sizeof job->message)
                     ? STUDY_DONE
                     : STUDY_OUTPUT_FAILED;
    } else if (status == STUDY_DONE) {
        status = study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    free(text);
    return status;
}

enum study_status lesson_write(struct study_job *job, const char *path, const char *picture) {
    struct comparison *c = calloc(1, sizeof *c);
    if (!c) {
        return study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    enum study_status status = run_sides(job, job->scenario, c);
    if (status == STUDY_DONE) {
        json_t *data = run_data_frame();
        status = write_page(job, c, data, path);
        json_decref(data);
    }
    if (status == STUDY_DONE && picture && !lesson_picture_draw(c, job, picture)) {
        status = STUDY_OUTPUT_FAILED;
    }
    comparison_free(c);
    free(c);
    return status;
}
