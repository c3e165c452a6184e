// SPDX-License-Identifier: MIT
#include "study/study_job.h"

#include "base/clean.h"
#include "base/threads.h"
#include "field/field.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum study_status study_job_fail(struct study_job *job, enum study_status status,
                                 const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(job->message, sizeof job->message, format, arguments);
    va_end(arguments);
    return status;
}

struct study study_job_start(const struct study_job *job, const char *label) {
    return (struct study){.path = job->path,
                          .overrides = job->overrides,
                          .override_count = job->override_count,
                          .label = job->quiet ? NULL : label,
                          .threads = job->threads,
                          .screening = job->screening};
}

int study_job_threads(const struct study_job *job) {
    return threads_to_be_had(job->threads);
}

enum study_status study_job_resolve(struct study_job *job, size_t trim, struct scenario_case *out) {
    const bool fine = scenario_resolve(job->scenario, trim, out, &job->list);
    out->run.screening = job->screening;
    return fine ? STUDY_DONE : STUDY_BAD_SCENARIO;
}

enum study_status study_job_quantity(struct study_job *job, const struct study_asked *asked,
                                     enum unit_kind kind, const struct unit_context *site,
                                     double whole, double *si) {
    struct quantity quantity;
    char message[UNIT_MESSAGE_SIZE];
    if (!asked->text) {
        return STUDY_DONE;
    }
    if (!isnan(whole) && strchr(asked->text, '%') &&
        !units_parse(asked->text, UNIT_FRACTION, &quantity, message)) {
        *si = quantity.value * whole;
        return STUDY_DONE;
    }
    const char *wrong = units_parse(asked->text, kind, &quantity, message);
    wrong = wrong ? wrong : units_to_si(site, &quantity, si);
    return wrong ? study_job_fail(job, STUDY_BAD_USAGE, "%s: found '%.*s'; %s%s", asked->name,
                                  clean_whole(asked->text, 80), asked->text, wrong,
                                  isnan(whole) ? "" : ", or a share such as 20 %")
                 : STUDY_DONE;
}

// Texts of a picture's origin: no more than a line holds.
enum { ORIGIN_CHANGES = 3 };
// Where a field stands that was changed by the command, as sim/scenario/scenario_override.c says
// it.
#define COMMAND_LINE "<command line>"

static void add_part(struct answer *answer, const char *text) {
    if (text && text[0]) {
        answer->origin = answer_keep(answer, "%s%s%s", answer->origin ? answer->origin : "",
                                     answer->origin ? "  |  " : "", text);
    }
}

static void add_document(const struct scenario *scenario, const char *name, struct answer *answer) {
    struct scenario_entry entry;
    if (scenario_provenance(scenario, 0, field_index("document", name), &entry)) {
        add_part(answer, entry.text);
    }
}

// Fields that a command changed, as long as they are few; those of the document change no picture.
static void add_changes(const struct scenario *scenario, struct answer *answer) {
    struct scenario_entry entry;
    const char *text = "";
    size_t count = 0;
    for (size_t trim = 0; trim < scenario_trim_count(scenario); trim++) {
        for (size_t i = 0; scenario_provenance(scenario, trim, i, &entry); i++) {
            const bool changed = entry.place.file && entry.text &&
                                 strcmp(entry.place.file, COMMAND_LINE) == 0 &&
                                 strcmp(entry.section, "document") != 0;
            if (!changed || (trim > 0 && !entry.from_trim)) {
                continue;
            }
            if (count++ < ORIGIN_CHANGES) {
                text = answer_keep(answer, "%s%s%s.%s %s", text, text[0] ? ", " : "with ",
                                   entry.from_trim ? scenario_trim_name(scenario, trim)
                                                   : entry.section,
                                   entry.name, entry.text);
            }
        }
    }
    add_part(answer, count > ORIGIN_CHANGES
                         ? answer_keep(answer, "%s and %zu more", text, count - ORIGIN_CHANGES)
                         : text);
}

void study_job_origin(const struct scenario *scenario, struct answer *answer) {
    const char *path = scenario_name(scenario), *slash = strrchr(path, '/');
    add_document(scenario, "site", answer);
    add_document(scenario, "date", answer);
    add_part(answer, slash ? slash + 1 : path);
    add_changes(scenario, answer);
}

void study_job_answer(const struct study_job *job, const struct scenario_case *scenario,
                      struct answer *answer) {
    memset(answer, 0, sizeof *answer);
    answer->scenario = scenario_name(job->scenario);
    answer->title = scenario_title(job->scenario);
    answer->site = scenario->site;
    answer->units = scenario->units;
    study_job_origin(job->scenario, answer);
}
