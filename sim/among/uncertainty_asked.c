// SPDX-License-Identifier: MIT
// What a user asks of an uncertainty study, made into one.
#include "among/among.h"

#include "among/uncertainty_told.h"
#include "base/clean.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DRAWS_DEFAULT = 200, SEED_DEFAULT = 1, LIST_SIZE = 1024, MESSAGE_SIZE = 400 };

#define SHARE_DEFAULT 0.2

static enum study_status refuse(struct study_job *job, const struct study_asked *asked,
                                const char *why) {
    return study_job_fail(job, STUDY_BAD_USAGE, "%s: %s", asked->name, why);
}

// A list with commas, taken item by item without the blanks around them.
struct list {
    char text[LIST_SIZE];
    char *rest; // NULL after the last
};

// False when it is too long; empty when the option is not given.
static bool list_open(struct list *list, const char *text) {
    const int length = snprintf(list->text, sizeof list->text, "%s", text ? text : "");
    list->rest = text ? list->text : NULL;
    return length >= 0 && length < LIST_SIZE;
}

static char *list_next(struct list *list) {
    char *item = list->rest;
    if (!item) {
        return NULL;
    }
    char *comma = strchr(item, ',');
    list->rest = comma ? comma + 1 : NULL;
    char *end = comma ? comma : item + strlen(item);
    item += strspn(item, " \t");
    while (end > item && (end[-1] == ' ' || end[-1] == '\t')) {
        end--;
    }
    *end = '\0';
    return item;
}

static enum study_status take_flows(struct uncertainty *study, struct study_job *job,
                                    const struct study_asked *asked) {
    struct list list;
    char message[UNIT_MESSAGE_SIZE];
    const char *item;
    if (!list_open(&list, asked->text)) {
        return refuse(job, asked, "too long");
    }
    while ((item = list_next(&list)) != NULL) {
        if (study->flow_count == UNCERTAINTY_FLOWS_MAX) {
            return study_job_fail(job, STUDY_BAD_USAGE, "%s: more than %d flows", asked->name,
                                  UNCERTAINTY_FLOWS_MAX);
        }
        struct quantity *flow = &study->flow[study->flow_count++];
        double si = 0.0;
        const char *wrong = units_parse(item, UNIT_FLOW, flow, message);
        wrong = wrong ? wrong : units_to_si(&study->site, flow, &si);
        wrong = wrong || si > 0.0 ? wrong : "allowed more than nothing";
        if (wrong) {
            return study_job_fail(job, STUDY_BAD_USAGE, "%s: found '%.*s'; %s", asked->name,
                                  clean_whole(item, 60), item, wrong);
        }
    }
    return STUDY_DONE;
}

static enum study_status take_share(struct study_job *job, const struct study_asked *asked,
                                    double *share) {
    char message[UNIT_MESSAGE_SIZE];
    struct quantity quantity;
    *share = SHARE_DEFAULT;
    if (!asked->text) {
        return STUDY_DONE;
    }
    if (units_parse(asked->text, UNIT_FRACTION, &quantity, message) || quantity.value < 0.0 ||
        quantity.value >= 1.0) {
        return study_job_fail(job, STUDY_BAD_USAGE,
                              "%s: found '%.*s'; allowed 0 %% to below 100 %%, such as 20 %%",
                              asked->name, clean_whole(asked->text, 60), asked->text);
    }
    *share = quantity.value;
    return STUDY_DONE;
}

// `uniform`, or `friction.kinetic=uniform`, or several of them: those for all with `general`, else
// those for one value.
static enum study_status take_shapes(struct uncertainty *study, struct study_job *job,
                                     const struct study_asked *asked, bool general,
                                     enum sample_shape *shape) {
    struct list list;
    char message[MESSAGE_SIZE];
    char *item;
    if (!list_open(&list, asked->text)) {
        return refuse(job, asked, "too long");
    }
    while ((item = list_next(&list)) != NULL) {
        char *equals = strchr(item, '=');
        enum sample_shape found;
        if (!sample_shape_parse(equals ? equals + 1 : item, &found)) {
            return study_job_fail(
                job, STUDY_BAD_USAGE,
                "%s: found '%.*s'; allowed triangular, uniform, log-uniform, or FIELD=SHAPE",
                asked->name, clean_whole(item, 80), item);
        }
        if (general && !equals) {
            *shape = found;
        } else if (!general && equals) {
            *equals = '\0';
            if (!uncertainty_shape(study, item, found, message, sizeof message)) {
                return refuse(job, asked, message);
            }
        }
    }
    return STUDY_DONE;
}

// Whether a list of shapes has one for all values.
static bool has_general_shape(const char *text) {
    struct list list;
    char *item;
    bool found = false;
    if (list_open(&list, text)) {
        while ((item = list_next(&list)) != NULL) {
            found = found || !strchr(item, '=');
        }
    }
    return found;
}

// `pilot.supply_seat:pilot.bleed=0.7`, or several of them.
static enum study_status take_pairs(struct uncertainty *study, struct study_job *job,
                                    const struct study_asked *asked) {
    struct list list;
    char message[MESSAGE_SIZE];
    char *item;
    if (!list_open(&list, asked->text)) {
        return refuse(job, asked, "too long");
    }
    while ((item = list_next(&list)) != NULL) {
        char *colon = strchr(item, ':');
        char *equals = colon ? strchr(colon, '=') : NULL;
        char *end = NULL;
        const double correlation = equals ? strtod(equals + 1, &end) : 0.0;
        if (!equals || end == equals + 1 || *end != '\0') {
            return study_job_fail(job, STUDY_BAD_USAGE,
                                  "%s: found '%.*s'; allowed FIELD:FIELD=CORRELATION, such as "
                                  "pilot.supply_seat:pilot.bleed=0.7",
                                  asked->name, clean_whole(item, 100), item);
        }
        *colon = *equals = '\0';
        if (!uncertainty_pair_add(study, item, colon + 1, correlation, message, sizeof message)) {
            return refuse(job, asked, message);
        }
    }
    return STUDY_DONE;
}

// The uncertain values themselves, when what is said of all of them is known.
static enum study_status take_inputs(struct uncertainty *study, struct study_job *job, double share,
                                     enum sample_shape shape) {
    char message[MESSAGE_SIZE];
    if (!uncertainty_collect(study, job->scenario, share, shape, message, sizeof message)) {
        return study_job_fail(job, STUDY_BAD_USAGE, "%s: %s", job->path, message);
    }
    return study->input_count > 0
               ? STUDY_DONE
               : study_job_fail(job, STUDY_BAD_USAGE,
                                "%s: nothing is uncertain; mark a value as a guess (about 8 lbf) "
                                "or give it a range {value: 8 lbf, low: 2 lbf, high: 20 lbf}",
                                job->path);
}

enum study_status uncertainty_take(struct uncertainty *study, struct study_job *job,
                                   const struct study_asked *asked, double *share) {
    const struct study_asked *draws = &asked[UNCERTAINTY_DRAWS], *seed = &asked[UNCERTAINTY_SEED];
    const struct study_asked *shapes = &asked[UNCERTAINTY_SHAPE];
    enum sample_shape shape = SAMPLE_TRIANGULAR;
    // Guesses by a share are what the user wants of them, ties and all.
    study->table_ranges = study->table_ties = !asked[UNCERTAINTY_GUESSES].text;
    study->table_shapes = !has_general_shape(shapes->text);
    study->trim_count = job->trim_count;
    memcpy(study->trim, job->trim, sizeof study->trim);
    study->draws = draws->text ? among_count(draws) : DRAWS_DEFAULT;
    if (study->draws == 0) {
        return among_refuse(job, draws);
    }
    study->seed = seed->text ? (uint64_t)seed->count : SEED_DEFAULT;
    enum study_status status = take_flows(study, job, &asked[UNCERTAINTY_FLOWS]);
    status = status == STUDY_DONE ? take_share(job, &asked[UNCERTAINTY_GUESSES], share) : status;
    status = status == STUDY_DONE ? take_shapes(study, job, shapes, true, &shape) : status;
    status = status == STUDY_DONE ? take_inputs(study, job, *share, shape) : status;
    status = status == STUDY_DONE ? take_shapes(study, job, shapes, false, &shape) : status;
    status = status == STUDY_DONE ? take_pairs(study, job, &asked[UNCERTAINTY_TOGETHER]) : status;
    return status == STUDY_DONE ? uncertainty_plan(study, job) : status;
}
