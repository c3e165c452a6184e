// SPDX-License-Identifier: MIT
#include "handout/job_card.h"

#include "answer/column.h"
#include "handout/document.h"
#include "handout/job_card_expect.h"
#include "handout/job_card_try.h"
#include "show/html_answer.h"
#include "show/html_page.h"
#include "study/observed_check.h"

#include <stdlib.h>
#include <string.h>

struct writing {
    struct study_job *job;
    const struct job_card_asked *asked;
    struct scenario_case resolved; // of the new trim
    struct job_card_flows flows;
    struct answer own, before, after, tries;
};

#define COUNT_OF(COLUMNS) (sizeof(COLUMNS) / sizeof(COLUMNS)[0])

// --- What is changed, and what is not

static bool is_part(const struct scenario_entry *e) {
    static const char *const sections[] = {"trim",  "actuator", "friction", "pilot",
                                           "sense", "set",      "seat",     "stop"};
    for (size_t i = 0; i < COUNT_OF(sections); i++) {
        if (strcmp(e->section, sections[i]) == 0) {
            return true;
        }
    }
    return false;
}

static const char *said(const struct scenario_entry *e) {
    return e->text ? e->text : "see the scenario";
}

static void add_changes(struct writing *w) {
    static const struct answer_column changed[] = {
        COLUMN_WORD("help", "what"), COLUMN_WORD("field", "field"), COLUMN_WORD("from", "now"),
        COLUMN_WORD("to", "after the change")};
    static const struct answer_column kept[] = {
        COLUMN_WORD("field", "field"), COLUMN_WORD("value", "stays"),
        COLUMN_WORD("source", "known"), COLUMN_WORD("help", "what it is")};
    const struct scenario *scenario = w->job->scenario;
    struct answer_table *differs =
        answer_table(&w->own, "changed", NULL, changed, COUNT_OF(changed));
    struct answer_table *same = answer_table(&w->own, "kept", NULL, kept, COUNT_OF(kept));
    struct scenario_entry a;
    struct scenario_entry b;
    for (size_t i = 0; scenario_provenance(scenario, w->job->trim[0], i, &a) &&
                       scenario_provenance(scenario, w->job->trim[1], i, &b);
         i++) {
        const char *field = answer_keep(&w->own, "%s.%s", a.section, a.name);
        if ((a.applies || b.applies) && is_part(&a) && strcmp(said(&a), said(&b)) != 0) {
            answer_word(differs, field_at(i)->help);
            answer_word(differs, field);
            answer_word(differs, said(&a));
            answer_word(differs, said(&b));
        } else if (a.applies && is_part(&a) &&
                   (a.provenance == PROVENANCE_GIVEN || a.provenance == PROVENANCE_GUESS)) {
            answer_word(same, field);
            answer_word(same, said(&a));
            answer_word(same, a.provenance == PROVENANCE_GUESS ? "guess: measure" : "given");
            answer_word(same, field_at(i)->help);
        }
    }
}

static bool put_changed(FILE *out, struct writing *w) {
    const struct scenario *scenario = w->job->scenario;
    fputs("<p>Out comes trim <b>", out);
    html_page_text(out, scenario_trim_name(scenario, w->job->trim[0]));
    fputs("</b>; in goes trim <b>", out);
    html_page_text(out, scenario_trim_name(scenario, w->job->trim[1]));
    fputs("</b>.</p>\n", out);
    if (!html_answer_table(out, &w->own, "changed")) {
        fputs("<p>The two trims differ in their names only.</p>\n", out);
    }
    if (w->resolved.set_at_flow) {
        fputs("<p>The set screw is turned again, at today's flow, until the gauge reads <b>", out);
        html_page_text(out, answer_text(&w->own, UNIT_PRESSURE_LEVEL, w->resolved.set_pressure));
        fputs("</b>. Count the turns; write them down.</p>\n", out);
    }
    return true;
}

static bool put_kept(FILE *out, struct writing *w) {
    html_answer_table(out, &w->own, "kept");
    return true;
}

// --- Before and after

static bool put_before(FILE *out, struct writing *w) {
    if (html_answer_table(out, &w->own, "observed")) {
        fputs("<p>Above: seen on site, as the scenario has it. Below: ", out);
    } else {
        fputs("<p>The scenario holds no observations: write down in section 6 what you see before "
              "the change. Below: ",
              out);
    }
    fputs("computed, a run of the present trim.</p>\n", out);
    html_answer_table(out, &w->before, "before");
    html_answer_lines(out, &w->before, ANSWER_NOTE);
    return true;
}

static bool put_after(FILE *out, struct writing *w) {
    html_answer_table(out, &w->after, "after");
    html_answer_lines(out, &w->after, ANSWER_NOTE);
    if (!w->flows.envelope) {
        fputs("<p class=\"small\">The scenario states no envelope: the outer flows are half and "
              "twice today's, unless they were asked for.</p>\n",
              out);
    }
    return true;
}

static bool put_warnings(FILE *out, struct writing *w) {
    for (const struct answer_item *item = w->after.item; item; item = item->next) {
        if (item->kind == ANSWER_WARNING) {
            fputs("<p class=\"warning\"><b>WARNING:</b> ", out);
            html_page_text(out, item->text);
            fputs("</p>\n", out);
        }
    }
    return true;
}

// --- Readings to take: the fields of the scenario, so that the card comes back as data

static void put_hand(FILE *out, const char *help, const char *field, const char *unit,
                     const char *before) {
    fputs("<tr><th scope=\"row\">", out);
    html_page_text(out, help);
    fputs(" <code>", out);
    html_page_text(out, field);
    fputs("</code></th><td class=\"hand\">", out);
    html_page_text(out, before);
    fputs("</td><td class=\"hand\"></td><td class=\"unit\">", out);
    html_page_text(out, unit);
    fputs("</td></tr>\n", out);
}

static void put_observation(FILE *out, struct writing *w) {
    char words[400] = "";
    size_t used = 0;
    enum observed_seen seen;
    bool had[SEEN_COUNT] = {false};
    for (size_t i = 0; seen_word(i, &seen) && used < sizeof words; i++) {
        // The first word of each kind is enough.
        used += had[seen] ? 0
                          : (size_t)snprintf(words + used, sizeof words - used, "%s%s",
                                             i ? " / " : "", seen_word(i, &seen));
        had[seen] = true;
    }
    put_hand(out, "flow at which you look", "observed: flow", answer_unit(&w->own, UNIT_FLOW), "");
    put_hand(out, words, "observed: seen", "one of these", "");
    put_hand(out, "how often it swings", "observed: frequency",
             answer_unit(&w->own, UNIT_FREQUENCY), "");
    put_hand(out, "gauge: highest less lowest", "observed: swing",
             answer_unit(&w->own, UNIT_PRESSURE_DROP), "");
}

static bool put_readings(FILE *out, struct writing *w) {
    struct scenario_entry e;
    fputs("<div class=\"scroll\"><table class=\"fill\"><thead><tr><th scope=\"col\">reading</th>"
          "<th scope=\"col\">before</th><th scope=\"col\">after</th><th scope=\"col\">unit</th>"
          "</tr></thead><tbody>\n",
          out);
    put_observation(out, w);
    for (size_t i = 0; scenario_provenance(w->job->scenario, w->job->trim[0], i, &e); i++) {
        if (e.applies && strcmp(e.section, "readings") == 0) {
            put_hand(out, field_at(i)->help, answer_keep(&w->own, "readings.%s", e.name),
                     answer_unit(&w->own, field_at(i)->kind),
                     e.provenance == PROVENANCE_GIVEN && e.text ? e.text : "");
        }
    }
    fputs("</tbody></table></div>\n", out);
    return true;
}

static bool put_try(FILE *out, struct writing *w) {
    if (w->asked->brief) {
        fputs("<p>Left out of this card; <code>lowlift remedies</code> finds it.</p>\n", out);
        return true;
    }
    fputs("<p>Look first, which costs nothing:</p>\n<ul>", out);
    for (const struct answer_item *item = w->tries.item; item; item = item->next) {
        if (item->kind == ANSWER_LINE && item->label) {
            fputs("<li><b>", out);
            const char *label = item->label + strspn(item->label, " ");
            size_t length = strlen(label);
            while (length > 0 && label[length - 1] == ' ') {
                length--;
            }
            html_page_text(out, answer_keep(&w->own, "%.*s:", (int)length, label));
            fputs("</b> ", out);
            html_page_text(out, item->text);
            fputs("</li>\n", out);
        }
    }
    fputs("</ul>\n", out);
    html_answer_lines(out, &w->tries, ANSWER_FINDING);
    html_answer_table(out, &w->tries, "try");
    fputs("<p>One change at a time, those without parts first; write down what was before.", out);
    fputs(w->asked->kick.text ? "</p>\n" : " Judged by small motions, left alone.</p>\n", out);
    return true;
}

static bool put_head(FILE *out, struct writing *w) {
    document_head(out, w->job->scenario);
    return true;
}

static bool put_made(FILE *out, struct writing *w) {
    return document_made(out, w->job, w->asked->command_line, false);
}

// --- The page

static const struct {
    const char *name;
    bool (*put)(FILE *out, struct writing *w);
} sections[] = {{"head", put_head},         {"changed", put_changed}, {"kept", put_kept},
                {"warnings", put_warnings}, {"before", put_before},   {"after", put_after},
                {"readings", put_readings}, {"try", put_try},         {"made", put_made}};
enum { SECTIONS = sizeof sections / sizeof sections[0] };

static enum study_status write_page(struct writing *w, const char *path) {
    struct study_job *job = w->job;
    struct html_page_part part[SECTIONS + 1] = {{"title", scenario_title(job->scenario)}};
    char *text[SECTIONS] = {NULL};
    bool fine = true;
    part[0].text = part[0].text[0] ? part[0].text : job->path;
    for (size_t i = 0; i < SECTIONS && fine; i++) {
        size_t length;
        FILE *out = open_memstream(&text[i], &length);
        fine = out && sections[i].put(out, w);
        fine = out && fclose(out) == 0 && fine;
        part[i + 1] = (struct html_page_part){sections[i].name, text[i]};
    }
    const struct html_page page = {"jobcard.html", part, SECTIONS + 1};
    fine = fine && html_page_write(&page, path, job->message, sizeof job->message);
    for (size_t i = 0; i < SECTIONS; i++) {
        free(text[i]);
    }
    if (!fine && !job->message[0]) {
        study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    return fine ? STUDY_DONE : STUDY_OUTPUT_FAILED;
}

static enum study_status run_all(struct writing *w) {
    struct study_job *job = w->job;
    const struct job_card_asked *asked = w->asked;
    enum study_status status = study_job_resolve(job, job->trim[1], &w->resolved);
    if (status != STUDY_DONE) {
        return status;
    }
    struct answer *all[] = {&w->own, &w->before, &w->after, &w->tries};
    for (size_t i = 0; i < COUNT_OF(all); i++) {
        study_job_answer(job, &w->resolved, all[i]);
    }
    add_changes(w);
    document_observed(&w->own, job->scenario);
    status = job_card_flows(job, &asked->lowest, &asked->peak, &w->flows);
    if (status == STUDY_DONE) {
        status = job_card_expect(job, 0, &w->flows, "before", &w->before);
        observed_check_tell(job->scenario, &w->after); // whose warnings the card shows
    }
    if (status == STUDY_DONE) {
        status = job_card_expect(job, 1, &w->flows, "after", &w->after);
    }
    if (status == STUDY_DONE && !asked->brief) {
        status = job_card_try(job, &asked->kick, &w->tries);
    }
    if (status == STUDY_DONE &&
        (w->own.failed || w->before.failed || w->after.failed || w->tries.failed)) {
        status = study_job_fail(job, STUDY_NO_MEMORY, "out of memory");
    }
    return status;
}

enum study_status job_card_write(struct study_job *job, const struct job_card_asked *asked,
                                 const char *path) {
    struct writing w = {.job = job, .asked = asked};
    enum study_status status = run_all(&w);
    status = status == STUDY_DONE ? write_page(&w, path) : status;
    answer_free(&w.own);
    answer_free(&w.before);
    answer_free(&w.after);
    answer_free(&w.tries);
    scenario_case_free(&w.resolved);
    return status;
}
