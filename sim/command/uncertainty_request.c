// SPDX-License-Identifier: MIT
#include "command/uncertainty_request.h"

#include <stdlib.h>
#include <string.h>

enum { DRAWS_DEFAULT = 200, DRAWS_MIN = 10, DRAWS_MAX = 100000, LIST_SIZE = 1024 };

static int refuse(const struct uncertainty_request *request, size_t option, const char *why) {
    const struct study_option *own = &request->own[option];
    return command_usage(request->common.command, "--%.*s: %s", (int)strcspn(own->name, "="),
                         own->name, why);
}

// Items of a comma-separated list, one after the other, without the blanks around them; `rest` is
// moved on. NULL after the last.
static char *next_item(char **rest) {
    char *item = *rest;
    if (!item) {
        return NULL;
    }
    char *comma = strchr(item, ',');
    *rest = comma ? comma + 1 : NULL;
    char *end = comma ? comma : item + strlen(item);
    item += strspn(item, " \t");
    while (end > item && (end[-1] == ' ' || end[-1] == '\t')) {
        end--;
    }
    *end = '\0';
    return item;
}

static bool copy_list(const struct uncertainty_request *request, size_t option,
                      char list[LIST_SIZE]) {
    int length = snprintf(list, LIST_SIZE, "%s", request->own[option].value);
    return length >= 0 && length < LIST_SIZE;
}

static int read_flows(struct uncertainty_request *request) {
    struct uncertainty *study = &request->study;
    char list[LIST_SIZE], message[UNIT_MESSAGE_SIZE], *rest = list, *item;
    if (!request->own[UNCERTAINTY_OWN_FLOWS].value) {
        return EXIT_CODE_DONE;
    }
    if (!copy_list(request, UNCERTAINTY_OWN_FLOWS, list)) {
        return refuse(request, UNCERTAINTY_OWN_FLOWS, "too long");
    }
    while ((item = next_item(&rest)) != NULL) {
        if (study->flow_count == UNCERTAINTY_FLOWS_MAX) {
            snprintf(request->message, sizeof request->message, "more than %d flows",
                     UNCERTAINTY_FLOWS_MAX);
            return refuse(request, UNCERTAINTY_OWN_FLOWS, request->message);
        }
        struct quantity *flow = &study->flow[study->flow_count++];
        double si = 0.0;
        const char *wrong = units_parse(item, UNIT_FLOW, flow, message);
        wrong = wrong ? wrong : units_to_si(&request->resolved.site, flow, &si);
        wrong = wrong || si > 0.0 ? wrong : "allowed more than nothing";
        if (wrong) {
            snprintf(request->message, sizeof request->message, "found '%.60s'; %s", item, wrong);
            return refuse(request, UNCERTAINTY_OWN_FLOWS, request->message);
        }
    }
    return EXIT_CODE_DONE;
}

static int read_share(struct uncertainty_request *request) {
    char message[UNIT_MESSAGE_SIZE];
    const char *text = request->own[UNCERTAINTY_OWN_GUESSES].value;
    struct quantity quantity;
    request->share = 0.2;
    if (!text) {
        return EXIT_CODE_DONE;
    }
    if (units_parse(text, UNIT_FRACTION, &quantity, message) || quantity.value < 0.0 ||
        quantity.value >= 1.0) {
        snprintf(request->message, sizeof request->message,
                 "found '%.60s'; allowed 0 %% to below 100 %%, such as 20 %%", text);
        return refuse(request, UNCERTAINTY_OWN_GUESSES, request->message);
    }
    request->share = quantity.value;
    return EXIT_CODE_DONE;
}

// `uniform`, or `friction.kinetic=uniform`, or several of them.
static int read_shapes(struct uncertainty_request *request, bool general,
                       enum sample_shape *shape) {
    char list[LIST_SIZE], *rest = list, *item;
    if (!request->own[UNCERTAINTY_OWN_SHAPE].value) {
        return EXIT_CODE_DONE;
    }
    if (!copy_list(request, UNCERTAINTY_OWN_SHAPE, list)) {
        return refuse(request, UNCERTAINTY_OWN_SHAPE, "too long");
    }
    while ((item = next_item(&rest)) != NULL) {
        char *equals = strchr(item, '=');
        enum sample_shape found;
        if (!sample_shape_parse(equals ? equals + 1 : item, &found)) {
            snprintf(request->message, sizeof request->message,
                     "found '%.80s'; allowed triangular, uniform, log-uniform, or FIELD=SHAPE",
                     item);
            return refuse(request, UNCERTAINTY_OWN_SHAPE, request->message);
        }
        if (general && !equals) {
            *shape = found;
        } else if (!general && equals) {
            *equals = '\0';
            if (!uncertainty_shape(&request->study, item, found, request->message,
                                   sizeof request->message)) {
                return refuse(request, UNCERTAINTY_OWN_SHAPE, request->message);
            }
        }
    }
    return EXIT_CODE_DONE;
}

// `pilot.supply_seat:pilot.bleed=0.7`, or several of them.
static int read_pairs(struct uncertainty_request *request) {
    char list[LIST_SIZE], *rest = list, *item, *end;
    if (!request->own[UNCERTAINTY_OWN_TOGETHER].value) {
        return EXIT_CODE_DONE;
    }
    if (!copy_list(request, UNCERTAINTY_OWN_TOGETHER, list)) {
        return refuse(request, UNCERTAINTY_OWN_TOGETHER, "too long");
    }
    while ((item = next_item(&rest)) != NULL) {
        char *colon = strchr(item, ':'), *equals = colon ? strchr(colon, '=') : NULL;
        double correlation = equals ? strtod(equals + 1, &end) : 0.0;
        if (!equals || end == equals + 1 || *end != '\0') {
            snprintf(request->message, sizeof request->message,
                     "found '%.100s'; allowed FIELD:FIELD=CORRELATION, such as "
                     "pilot.supply_seat:pilot.bleed=0.7",
                     item);
            return refuse(request, UNCERTAINTY_OWN_TOGETHER, request->message);
        }
        *colon = *equals = '\0';
        if (!uncertainty_pair_add(&request->study, item, colon + 1, correlation, request->message,
                                  sizeof request->message)) {
            return refuse(request, UNCERTAINTY_OWN_TOGETHER, request->message);
        }
    }
    return EXIT_CODE_DONE;
}

static int read_counts(struct uncertainty_request *request) {
    long draws = DRAWS_DEFAULT, seed = 1;
    int code = EXIT_CODE_DONE;
    if (request->own[UNCERTAINTY_OWN_DRAWS].value) {
        code = study_request_count(&request->common, &request->own[UNCERTAINTY_OWN_DRAWS],
                                   DRAWS_MIN, DRAWS_MAX, &draws);
    }
    if (code == EXIT_CODE_DONE && request->own[UNCERTAINTY_OWN_SEED].value) {
        code = study_request_count(&request->common, &request->own[UNCERTAINTY_OWN_SEED], 0,
                                   2147483647L, &seed);
    }
    request->study.draws = (size_t)draws;
    request->study.seed = (uint64_t)seed;
    return code;
}

static int prepare(struct uncertainty_request *request) {
    const struct study_request *q = &request->common;
    struct uncertainty *study = &request->study;
    struct diagnostics list = {0};
    bool fine = scenario_resolve(q->scenario, q->trim[0], &request->resolved, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    if (!fine) {
        return EXIT_CODE_SCENARIO;
    }
    study->path = q->path;
    study->overrides = q->shared.overrides;
    study->override_count = q->shared.override_count;
    study->trim_count = q->trim_count;
    memcpy(study->trim, q->trim, q->trim_count * sizeof q->trim[0]);
    study->site = request->resolved.site;
    study->back_pressure = request->resolved.model.duty == DUTY_BACK_PRESSURE;
    enum sample_shape shape = SAMPLE_TRIANGULAR;
    int code = read_counts(request);
    code = code == EXIT_CODE_DONE ? read_flows(request) : code;
    code = code == EXIT_CODE_DONE ? read_share(request) : code;
    code = code == EXIT_CODE_DONE ? read_shapes(request, true, &shape) : code;
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    if (!uncertainty_collect(study, q->scenario, request->share, shape, request->message,
                             sizeof request->message)) {
        return command_usage(q->command, "%s: %s", q->path, request->message);
    }
    if (study->input_count == 0) {
        return command_usage(q->command,
                             "%s: nothing is uncertain; mark a value as a guess (about 8 lbf) or "
                             "give it a range {value: 8 lbf, low: 2 lbf, high: 20 lbf}",
                             q->path);
    }
    code = read_shapes(request, false, &shape);
    code = code == EXIT_CODE_DONE ? read_pairs(request) : code;
    if (code == EXIT_CODE_DONE &&
        !uncertainty_plan(study, request->message, sizeof request->message)) {
        return command_usage(q->command, "%s", request->message);
    }
    return code;
}

int uncertainty_request_read(const struct command *command, int argc, char **argv,
                             struct uncertainty_request *request) {
    static const char *const names[UNCERTAINTY_OWN_COUNT] = {
        "draws=", "seed=", "guesses=", "shape=", "together=", "flows=", "list", "checkpoint="};
    for (size_t i = 0; i < UNCERTAINTY_OWN_COUNT; i++) {
        request->own[i].name = names[i];
    }
    int code = study_request_read(command, argc, argv, request->own, UNCERTAINTY_OWN_COUNT,
                                  &request->common);
    return code == EXIT_CODE_DONE ? prepare(request) : code;
}

void uncertainty_request_free(struct uncertainty_request *request) {
    uncertainty_free(&request->study);
    scenario_case_free(&request->resolved);
    study_request_free(&request->common);
}
