// SPDX-License-Identifier: MIT
// `lowlift report`: a comparison, and any further study, as one HTML file for a customer.
#include "among/among_runs.h"
#include "base/nearest.h"
#include "base/path_stem.h"
#include "command/all.h"
#include "command/among_option.h"
#include "handout/report.h"
#include "run/screening.h"
#include "shell/request.h"

#include <string.h>

// Those with a question.
static const struct command *const studies[] = {
    &command_compare,  &command_stability,   &command_map,   &command_kick,
    &command_remedies, &command_uncertainty, &command_trims, &command_decline};

static const struct command *find_study(const char *name, struct nearest *near) {
    for (size_t i = 0; i < sizeof studies / sizeof studies[0]; i++) {
        if (strcmp(studies[i]->name, name) == 0) {
            return studies[i];
        }
        nearest_offer(near, studies[i]->name);
    }
    return NULL;
}

enum { ASKED_STUDY, ASKED_DRAWS, ASKED_MOST };

// An option of the report goes to each study that has one of that name.
static void hand_on(const struct command *study, const struct study_asked *asked,
                    struct report_part *part) {
    for (size_t i = 0; i < study->option_count && i < REPORT_ASKED_MAX; i++) {
        if (strcmp(asked->name + strlen("--"), study->option[i].name) == 0) {
            part->asked[i] = *asked;
        }
    }
}

static void add_study(const struct request *r, const struct command *study, struct report *report) {
    struct report_part *part = &report->part[report->parts++];
    *part = (struct report_part){.question = study->question,
                                 .answer = study->answer,
                                 .each_trim = study->one_trim && r->trims.count > 1};
    hand_on(study, &r->own[ASKED_DRAWS], part);
    hand_on(study, &r->own[ASKED_MOST], part);
}

static enum study_status runs_among(struct study_job *job, const struct study_asked *asked,
                                    struct answer *answer) {
    return among_runs(job, &asked[ASKED_DRAWS], &asked[ASKED_MOST], NULL, answer);
}

// The runs of the comparison again, for every draw.
static void add_runs(const struct request *r, struct report *report) {
    struct report_part *part = &report->part[report->parts++];
    *part = (struct report_part){
        .question = "In how many of the regulators that it could be does each trim come to rest?",
        .answer = runs_among};
    part->asked[ASKED_DRAWS] = r->own[ASKED_DRAWS];
    part->asked[ASKED_MOST] = r->own[ASKED_MOST];
}

// Exit code. A comparison is in every report.
static int take_studies(const struct request *r, struct report *report) {
    report->question = command_compare.question;
    const bool draws = r->own[ASKED_DRAWS].text != NULL;
    for (size_t i = 0; i < r->many.count; i++) {
        struct nearest near = nearest_start(r->many.text[i]);
        const struct command *study = find_study(r->many.text[i], &near);
        if (!study) {
            return command_usage(r->command,
                                 "--study: found '%s'; allowed a study that answers about one "
                                 "scenario%s%s%s",
                                 r->many.text[i], near.best ? "; did you mean '" : "",
                                 near.best ? near.best : "", near.best ? "'?" : "");
        }
        if (study->answer) {
            add_study(r, study, report);
        } else if (draws) {
            add_runs(r, report);
        }
    }
    if (draws && r->many.count == 0) {
        add_runs(r, report);
    }
    return EXIT_CODE_DONE;
}

// By which it is made again; paths without their folders, which say nothing to its reader.
static void command_line(const struct request *r, char *text, size_t size) {
    const char *slash = strrchr(r->file[0], '/');
    size_t used = (size_t)snprintf(text, size, "lowlift report");
    for (size_t i = 0; i < r->many.count && used < size; i++) {
        used += (size_t)snprintf(text + used, size - used, " --study %s", r->many.text[i]);
    }
    for (size_t i = ASKED_DRAWS; i <= ASKED_MOST && used < size; i++) {
        if (r->own[i].text) {
            const char *folder = strrchr(r->own[i].text, '/');
            used += (size_t)snprintf(text + used, size - used, " %s '%s'", r->own[i].name,
                                     folder ? folder + 1 : r->own[i].text);
        }
    }
    for (size_t i = 0; i < r->trims.count && used < size; i++) {
        used += (size_t)snprintf(text + used, size - used, " --trim '%s'", r->trims.text[i]);
    }
    for (size_t i = 0; i < r->overrides.count && used < size; i++) {
        used += (size_t)snprintf(text + used, size - used, " --set '%s'", r->overrides.text[i]);
    }
    if (used < size) {
        snprintf(text + used, size - used, " %s", slash ? slash + 1 : r->file[0]);
    }
}

static int write_report(struct request *r, struct study_job *job, const struct report *report) {
    char stem[256], path[DESTINATION_PATH_SIZE];
    path_stem(job->path, stem, sizeof stem);
    if (!destination_path(&r->to, stem, "report.html", path)) {
        return EXIT_CODE_OUTPUT;
    }
    const int code = command_status(r->command, report_write(job, report, path), job);
    if (code == EXIT_CODE_DONE) {
        destination_say(&r->to, path);
    }
    return code;
}

static int report(struct request *r) {
    struct report report = {0};
    int code = take_studies(r, &report);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    struct screening screening = {0};
    struct study_job job;
    struct lowlift_scenario *opened = request_job(r, &job, &code);
    if (!opened) {
        return code;
    }
    char line[2048];
    command_line(r, line, sizeof line);
    report.command_line = line;
    job.screening = &screening;
    code = request_trims(r, job.scenario, job.path, job.trim, &job.trim_count);
    if (code == EXIT_CODE_DONE) {
        code = write_report(r, &job, &report);
    }
    diagnostics_free(&job.list);
    lowlift_close(opened);
    return code;
}

static const struct command_option options[] = {
    [ASKED_STUDY] = {"study", "NAME",
                     "also answer this: stability, map, kick, remedies (of each trim that is "
                     "named, else of the first), uncertainty, trims or decline; may be given "
                     "several times, and the first is the question of the "
                     "report",
                     OPTION_MANY, 0, REPORT_PARTS_MAX,
                     "compare, stability, map, kick, remedies, uncertainty, trims, decline"},
    [ASKED_DRAWS] = {"draws", "FILE",
                     "let each named study that can (kick, remedies, uncertainty, trims, decline, "
                     "and compare, which is taken where none is named) answer with shares and "
                     "intervals over many regulators: those of a FILE of weighted draws, as "
                     "`lowlift match` writes it; or N of them drawn from the ranges of the guesses",
                     OPTION_TEXT, 0, 0, NULL},
    [ASKED_MOST] = AMONG_OPTION_MOST("that of the study"),
};

const struct command command_report = {
    .name = "report",
    .summary = "a comparison or any study as one page for a customer, with all it rests on",
    .arguments = "SCENARIO.yaml",
    .about =
        "Writes one HTML file that opens from a disk with no network and prints to A4 or Letter: "
        "question and answer, pictures, figures with units, what drives the motion, on which "
        "values it rests (given, guessed, measured, seen), cautions, version, fingerprint and "
        "balances, and the scenario itself, so that it can be run again.\n\n"
        "For whom, site, date and author come from the section `document` of the scenario; what it "
        "does not say is a blank line to fill in. Nothing is invented.",
    .examples = "Example: full against reduced port, for a customer\n"
                "  lowlift report --set 'document.date=2026-03-02' scenarios/oversized.yaml\n"
                "Example: the steady ranges too, which lead\n"
                "  lowlift report --study stability scenarios/oversized.yaml\n"
                "Example: two of the trims, among 10 regulators that it could be\n"
                "  lowlift report --trim full --trim reduced --draws 10 scenarios/oversized.yaml\n",
    COMMAND_OPTIONS(options),
    .groups = OPTIONS_TRIM | OPTIONS_FIELDS | OPTIONS_FOLDER | OPTIONS_THREADS | OPTIONS_QUIET,
    .more = "Fields of the section: lowlift fields document",
    .exits = EXITS_STUDY,
    .run = report,
};
