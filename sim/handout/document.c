// SPDX-License-Identifier: MIT
#include "handout/document.h"

#include "base/clean.h"

#include "answer/column.h"
#include "base/sha256.h"
#include "show/html_page.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SCENARIO_SIZE_MAX = 4 << 20 };

#define COUNT_OF(COLUMNS) (sizeof(COLUMNS) / sizeof(COLUMNS)[0])

const char *document_text(const struct scenario *scenario, const char *name) {
    struct scenario_entry entry;
    const size_t row = field_index("document", name);
    return scenario_provenance(scenario, 0, row, &entry) && entry.text ? entry.text : "";
}

void document_head(FILE *out, const struct scenario *scenario) {
    static const struct {
        const char *name, *label;
        bool blank; // a line to fill in where nothing was said
    } rows[] = {{"customer", "for", true},
                {"site", "site", true},
                {"date", "date", true},
                {"author", "made by", true},
                {"reference", "reference", false}};
    fputs("<dl class=\"head\">\n", out);
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        const char *text = document_text(scenario, rows[i].name);
        if (text[0] || rows[i].blank) {
            fprintf(out, "<div><dt>%s</dt><dd%s>", rows[i].label,
                    text[0] ? "" : " class=\"blank\"");
            html_page_text(out, text);
            fputs("</dd></div>\n", out);
        }
    }
    fputs("</dl>\n", out);
}

// --- What was seen

static const char *range_text(struct answer *answer, enum unit_kind kind, double low, double high) {
    if (!isfinite(low) && !isfinite(high)) {
        return "";
    }
    return low == high ? answer_text(answer, kind, low)
                       : answer_keep(answer, "%s to %s", answer_text(answer, kind, low),
                                     answer_text(answer, kind, high));
}

static const char *change_text(struct answer *answer, const struct scenario_observed *row) {
    const char *text = "";
    for (size_t i = 0; i < row->change_count; i++) {
        text = answer_keep(answer, "%s%s%s: %s", text, text[0] ? "; " : "", row->change[i],
                           row->change_text[i]);
    }
    return text;
}

bool document_observed(struct answer *answer, const struct scenario *scenario) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("flow", "at the flow"),
        COLUMN_WORD("seen", "seen"),
        COLUMN_WORD("frequency", "how often"),
        COLUMN_WORD("swing", "pressure swing"),
        COLUMN_WORD("since", "since"),
        COLUMN_WORD("trim", "with the trim"),
        COLUMN_WORD("changes", "other than now"),
    };
    const size_t count = scenario_observed_count(scenario);
    struct answer_table *table = answer_table(answer, "observed", NULL, columns, COUNT_OF(columns));
    for (size_t i = 0; i < count; i++) {
        const struct scenario_observed *row = scenario_observed_at(scenario, i);
        answer_word(table, row->flow_text);
        answer_word(table, row->said);
        answer_word(table,
                    range_text(answer, UNIT_FREQUENCY, row->frequency_low, row->frequency_high));
        answer_word(table, range_text(answer, UNIT_PRESSURE_DROP, row->swing_low, row->swing_high));
        answer_word(table, row->since);
        answer_word(table, row->trim[0] ? row->trim : "the present one");
        answer_word(table, change_text(answer, row));
    }
    return count > 0;
}

// --- On what it rests

// In the unit of the value beside it.
static const char *own_range(struct answer *answer, const struct scenario *scenario, size_t trim,
                             const char *path, double low, double high) {
    const enum unit_kind kind = field_at(field_index_of(path))->kind;
    const char *unit = scenario_get_unit(scenario, trim, path);
    return unit ? answer_keep(answer, "%s to %s", answer_text_in(answer, kind, unit, low),
                              answer_text_in(answer, kind, unit, high))
                : range_text(answer, kind, low, high);
}

static void add_inputs(struct answer *answer, const char *key, const struct scenario *scenario,
                       size_t trim, enum provenance wanted, bool readings) {
    static const struct answer_column columns[] = {
        COLUMN_WORD("field", "field"), COLUMN_WORD("text", "value"),
        COLUMN_WORD("range", "may lie between"), COLUMN_WORD("help", "what it is")};
    struct answer_table *table = answer_table(answer, key, NULL, columns, COUNT_OF(columns));
    struct scenario_entry e;
    for (size_t i = 0; scenario_provenance(scenario, trim, i, &e); i++) {
        double low = (double)NAN;
        double high = (double)NAN;
        if (!e.applies || e.provenance != wanted || strcmp(e.section, "document") == 0 ||
            (!e.section[0] && field_at(i)->type == FIELD_TEXT) ||
            (strcmp(e.section, "readings") == 0) != readings) {
            continue;
        }
        const char *path =
            answer_keep(answer, "%s%s%s", e.section, e.section[0] ? "." : "", e.name);
        const bool ranged = scenario_get_range(scenario, trim, path, &low, &high);
        answer_word(table, path);
        answer_word(table, e.text ? e.text : "(a table or a schedule; see the scenario)");
        answer_word(table, ranged ? own_range(answer, scenario, trim, path, low, high) : "");
        answer_word(table, field_at(i)->help);
    }
}

void document_inputs(struct answer *answer, const struct scenario *scenario, size_t trim) {
    add_inputs(answer, "guessed", scenario, trim, PROVENANCE_GUESS, false);
    add_inputs(answer, "given", scenario, trim, PROVENANCE_GIVEN, false);
    add_inputs(answer, "read", scenario, trim, PROVENANCE_GIVEN, true);
}

// --- What made it

static void put_fact(FILE *out, const char *name, const char *text) {
    fputs("<p class=\"fact\"><b>", out);
    html_page_text(out, name);
    fputs(":</b> <code>", out);
    html_page_text(out, text);
    fputs("</code></p>\n", out);
}

static void put_hash(FILE *out, const char *name, const char *text, size_t length) {
    unsigned char digest[SHA256_SIZE];
    char hex[2 * SHA256_SIZE + 1];
    sha256_bytes(text, length, digest);
    for (size_t i = 0; i < SHA256_SIZE; i++) {
        snprintf(hex + 2 * i, 3, "%02x", digest[i]);
    }
    put_fact(out, name, hex);
}

bool document_made(FILE *out, struct study_job *job, const char *command_line, bool whole) {
    char fingerprint[32];
    size_t length = 0;
    char *text = scenario_read_file(job->path, SCENARIO_SIZE_MAX, &length,
                                    (struct place){job->path, 0, 0}, &job->list);
    if (!text) {
        study_job_fail(job, STUDY_BAD_SCENARIO, "%s: cannot be read again", job->path);
        return false;
    }
    const char *slash = strrchr(job->path, '/');
    snprintf(fingerprint, sizeof fingerprint, "%016lx", scenario_fingerprint(job->scenario));
    put_fact(out, "made by lowlift, version", LOWLIFT_VERSION);
    put_fact(out, "with", command_line);
    put_fact(out, "fingerprint of the scenario, changes included", fingerprint);
    put_hash(out, "SHA-256 of its text", text, length);
    if (whole) {
        fputs("<h3>The scenario, to run it again</h3>\n<p>Save this text as <code>", out);
        html_page_text(out, slash ? slash + 1 : job->path);
        fputs("</code>; a record that it names belongs beside it.</p>\n<pre>", out);
        clean_put(out, CLEAN_LINES, text);
        fputs("</pre>\n", out);
    }
    free(text);
    return true;
}
