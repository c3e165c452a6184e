// SPDX-License-Identifier: MIT
#include "handout/report.h"

#include "handout/document.h"
#include "handout/report_drivers.h"
#include "show/html_answer.h"
#include "show/html_page.h"
#include "study/comparison.h"
#include "study/stability.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { BRIEF_SIZE = 560, TOLD_MAX = REPORT_PARTS_MAX * STUDY_TRIMS_MAX };

// A study that has answered, about one trim or all.
struct told {
    const struct report_part *part;
    const char *trim; // NULL: all
    struct answer answer;
};

struct writing {
    struct study_job *job;
    const struct report *report;
    struct comparison *comparison;
    struct answer compared, driven, own;
    size_t told_count;
    struct told told[TOLD_MAX];
};

static const struct study_asked nothing[REPORT_ASKED_MAX];

// --- Runs

static enum study_status run_part(struct writing *w, const struct report_part *part,
                                  const char *trim) {
    struct told *told = &w->told[w->told_count++];
    told->part = part;
    told->trim = trim;
    return part->answer(w->job, part->asked, &told->answer);
}

// The job has one trim for a while.
static enum study_status run_for_each(struct writing *w, const struct report_part *part) {
    struct study_job *job = w->job;
    const size_t count = job->trim_count;
    const size_t first = job->trim[0];
    enum study_status status = STUDY_DONE;
    job->trim_count = 1;
    for (size_t i = 0; i < count && status == STUDY_DONE; i++) {
        job->trim[0] = i > 0 ? job->trim[i] : first;
        status = run_part(w, part, scenario_trim_name(job->scenario, job->trim[0]));
    }
    job->trim_count = count;
    job->trim[0] = first;
    return status;
}

static enum study_status run_all(struct writing *w) {
    struct study_job *job = w->job;
    struct comparison *c = w->comparison;
    for (size_t i = 0; i < job->trim_count && i < COMPARISON_MAX; i++) {
        c->target[c->count++] = (struct comparison_target){job->scenario, job->trim[i]};
    }
    enum study_status status = comparison_run(c, job);
    if (status == STUDY_DONE) {
        comparison_answer(c, &w->compared);
        status = stability_answer(job, nothing, &w->driven);
    }
    for (size_t i = 0; i < w->report->parts && status == STUDY_DONE; i++) {
        const struct report_part *part = &w->report->part[i];
        status = part->each_trim ? run_for_each(w, part) : run_part(w, part, NULL);
    }
    if (status == STUDY_DONE) {
        study_job_answer(job, &c->scenario[0], &w->own);
        document_inputs(&w->own, job->scenario, job->trim[0]);
        document_observed(&w->own, job->scenario);
    }
    return status;
}

// --- Sections

static bool put_question(FILE *out, struct writing *w) {
    const struct report *r = w->report;
    const char *asked = document_text(w->job->scenario, "question");
    html_page_text(out, asked[0] ? asked : r->parts ? r->part[0].question : r->question);
    return true;
}

// "trim full: slamming (keeps hitting the seat, swing 11.05 psi); ..."
static void put_outcomes(FILE *out, struct writing *w) {
    const struct comparison *c = w->comparison;
    for (size_t i = 0; i < c->count; i++) {
        const struct verdict_result *judged = &c->run[i].judged;
        const char *means = verdict_meaning(judged->verdict);
        const size_t length = strcspn(means, ".");
        const char *text = answer_keep(
            &w->own, "%strim %s: %s (%c%.*s, swing %s)%s", i ? "; " : "", c->scenario[i].trim_name,
            verdict_name(judged->verdict), tolower((unsigned char)means[0]),
            length > 0 ? (int)length - 1 : 0, means + 1,
            answer_text(&w->own, UNIT_PRESSURE_DROP, judged->figures.pressure_swing),
            i + 1 == c->count ? "." : "");
        html_page_text(out, text);
    }
}

static bool put_answer(FILE *out, struct writing *w) {
    char text[BRIEF_SIZE] = "";
    // The first study leads, for each trim that it was asked about.
    for (size_t i = 0; i < w->told_count && w->told[i].part == w->told[0].part; i++) {
        html_answer_brief(&w->told[i].answer, text, sizeof text);
        if (text[0] && w->told[i].trim) {
            html_page_text(out,
                           answer_keep(&w->own, "%sTrim %s, ", i ? ". " : "", w->told[i].trim));
        }
        html_page_text(out, text);
    }
    if (!text[0]) {
        put_outcomes(out, w);
    }
    return true;
}

static bool put_head(FILE *out, struct writing *w) {
    document_head(out, w->job->scenario);
    return true;
}

// What the words mean in which the answer is given.
static void put_verdicts(FILE *out, const struct comparison *c) {
    fputs("<ul>", out);
    for (int v = 0; v < VERDICT_COUNT; v++) {
        bool met = false;
        for (size_t i = 0; i < c->count; i++) {
            met = met || c->run[i].judged.verdict == (enum verdict)v;
        }
        if (met) {
            fprintf(out, "<li><b>%s</b>: ", verdict_name((enum verdict)v));
            html_page_text(out, verdict_meaning((enum verdict)v));
            fputs("</li>\n", out);
        }
    }
    fputs("</ul>\n", out);
}

// What drives the motion, unless the study that finds it is in the report with all it says.
static void put_drivers(FILE *out, struct writing *w) {
    for (size_t i = 0; i < w->report->parts; i++) {
        if (w->report->part[i].answer == stability_answer) {
            return;
        }
    }
    fputs("<section>\n<h2>What drives the motion</h2>\n", out);
    html_answer_lines(out, &w->driven, ANSWER_FINDING);
    if (!html_answer_table(out, &w->driven, "drivers")) {
        fputs("<p>Nothing swings at the scenario's flow that could be driven.</p>\n", out);
    }
    report_drivers_words(out, &w->own, &w->driven);
    html_answer_lines(out, &w->driven, ANSWER_NOTE);
    fputs("</section>\n", out);
}

static bool put_body(FILE *out, struct writing *w) {
    const struct report *r = w->report;
    struct study_job *job = w->job;
    for (size_t i = 0; i < w->told_count; i++) {
        const struct told *told = &w->told[i];
        fputs("<section>\n<h2>", out);
        html_page_text(out, told->trim ? answer_keep(&w->own, "Trim %s. ", told->trim) : "");
        html_page_text(out, told->part->question);
        fputs("</h2>\n", out);
        if (!html_answer_picture(out, &told->answer, job->message, sizeof job->message)) {
            return false;
        }
        html_answer_items(out, &told->answer, 3);
        if (told->part->answer == stability_answer) {
            report_drivers_words(out, &w->own, &told->answer);
        }
        fputs("</section>\n", out);
    }
    fputs("<section>\n<h2>", out);
    html_page_text(out, r->question);
    fputs("</h2>\n", out);
    if (!html_answer_picture(out, &w->compared, job->message, sizeof job->message)) {
        return false;
    }
    html_answer_items(out, &w->compared, 3);
    put_verdicts(out, w->comparison);
    fputs("</section>\n", out);
    put_drivers(out, w);
    return true;
}

static void put_inputs(FILE *out, const struct answer *own, const char *key, const char *title,
                       const char *none) {
    fprintf(out, "<h3>%s</h3>\n", title);
    if (!html_answer_table(out, own, key)) {
        fprintf(out, "<p>%s</p>\n", none);
    }
}

static bool put_rests(FILE *out, struct writing *w) {
    put_inputs(out, &w->own, "guessed", "Guessed: measure these first", "Nothing is a guess.");
    put_inputs(out, &w->own, "given", "Given", "Nothing.");
    put_inputs(out, &w->own, "read", "Measured on site: gauges and watch",
               "The scenario holds no readings.");
    put_inputs(out, &w->own, "observed", "Seen on site", "The scenario holds no observations.");
    fputs(
        "<p>All else is left at its default (<code>lowlift fields</code>). Numbers above are of a "
        "model with these values, and no better than they are. Nothing in it was matched to a "
        "record, unless a value above says so.</p>\n",
        out);
    return true;
}

static bool put_made(FILE *out, struct writing *w) {
    double mass = 0.0;
    double energy = 0.0;
    for (size_t i = 0; i < w->comparison->count; i++) {
        mass = fmax(mass, fabs(w->comparison->run[i].mass_error));
        energy = fmax(energy, fabs(w->comparison->run[i].energy_error)); // leaves out a NaN
    }
    fprintf(out,
            "<p class=\"fact\"><b>balances of the runs, largest error as a share of what passed:"
            "</b> mass %.2g, energy %.2g</p>\n",
            mass, energy);
    return document_made(out, w->job, w->report->command_line, true);
}

static const struct {
    const char *name;
    bool (*put)(FILE *out, struct writing *w);
} sections[] = {{"head", put_head}, {"question", put_question}, {"answer", put_answer},
                {"body", put_body}, {"rests", put_rests},       {"made", put_made}};
enum { SECTIONS = sizeof sections / sizeof sections[0] };

static enum study_status write_page(struct writing *w, const char *path) {
    struct study_job *job = w->job;
    struct html_page_part part[SECTIONS + 1] = {{"title", scenario_title(job->scenario)}};
    char *text[SECTIONS] = {NULL};
    bool fine = true;
    if (!part[0].text[0]) {
        part[0].text = job->path;
    }
    for (size_t i = 0; i < SECTIONS && fine; i++) {
        size_t length;
        FILE *out = open_memstream(&text[i], &length);
        fine = out && sections[i].put(out, w);
        if (!out || fclose(out) != 0) {
            fine = false;
        }
        part[i + 1] = (struct html_page_part){sections[i].name, text[i]};
    }
    const struct html_page page = {"report.html", part, SECTIONS + 1};
    fine = fine && html_page_write(&page, path, job->message, sizeof job->message);
    for (size_t i = 0; i < SECTIONS; i++) {
        free(text[i]);
    }
    if (!fine && !job->message[0]) {
        study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    return fine ? STUDY_DONE : STUDY_OUTPUT_FAILED;
}

enum study_status report_write(struct study_job *job, const struct report *report,
                               const char *path) {
    struct writing *w = calloc(1, sizeof *w);
    struct comparison *c = calloc(1, sizeof *c);
    enum study_status status = STUDY_NO_MEMORY;
    if (w && c) {
        *w = (struct writing){.job = job, .report = report, .comparison = c};
        status = run_all(w);
        bool failed = w->compared.failed || w->driven.failed || w->own.failed;
        for (size_t i = 0; i < w->told_count; i++) {
            failed = failed || w->told[i].answer.failed;
        }
        if (status == STUDY_DONE && failed) {
            status = study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
        }
        status = status == STUDY_DONE ? write_page(w, path) : status;
        answer_free(&w->compared);
        answer_free(&w->driven);
        answer_free(&w->own);
        for (size_t i = 0; i < w->told_count; i++) {
            answer_free(&w->told[i].answer);
        }
        comparison_free(c);
    } else {
        study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    free(c);
    free(w);
    return status;
}
