// SPDX-License-Identifier: MIT
#include "show/uncertainty_report.h"

#include "scenario/field.h"
#include "scenario/shown.h"

#include <math.h>
#include <string.h>

#define TEXT_SIZE 64
// A verdict that nearly all draws share does not hang on the uncertain values.
#define SETTLED 0.95
enum { LISTED_MAX = 5, LINE_MAX = 92 };

void uncertainty_report_case(const struct uncertainty_report *report, size_t trim, size_t flow,
                             char *text, size_t size) {
    const struct uncertainty *study = report->study;
    const char *name = scenario_trim_name(report->request->scenario, study->trim[trim]);
    double si;
    if (study->flow_count == 0 || units_to_si(&study->site, &study->flow[flow], &si)) {
        snprintf(text, size, "%s", name);
        return;
    }
    char shown[TEXT_SIZE];
    shown_text(report->scenario, UNIT_FLOW, si, shown, sizeof shown);
    snprintf(text, size, "%s at %s", name, shown);
}

const char *uncertainty_report_measure(enum severity_column measure) {
    return measure == SEVERITY_ORDER    ? "severity (the verdict, then the pressure swing)"
           : measure == SEVERITY_GROWTH ? "how slowly small motions die out"
                                        : "nothing that varies";
}

// Words one after the other, with a new line where one does not fit.
struct words {
    FILE *out;
    size_t used;
};

static void say(struct words *w, const char *word) {
    size_t length = strlen(word) + 1;
    if (w->used + length > LINE_MAX) {
        fputs("\n     ", w->out);
        w->used = 5;
    }
    fprintf(w->out, " %s", word);
    w->used += length;
}

static void print_left_alone(FILE *out, const struct uncertainty_report *report) {
    struct words w = {out, 0};
    for (size_t i = 0; field_at(i); i++) {
        if (report->share == 0.0 ||
            !uncertainty_left_alone(report->study, report->request->scenario, i)) {
            continue;
        }
        if (w.used == 0) {
            fputs("  guesses left as they are, because a share of them means nothing; give them "
                  "low and high:\n   ",
                  out);
            w.used = 4;
        }
        char name[96];
        snprintf(name, sizeof name, "%s%s%s", field_at(i)->section,
                 field_at(i)->section[0] ? "." : "", field_at(i)->name);
        say(&w, name);
    }
    if (w.used > 0) {
        fputc('\n', out);
    }
}

static bool same_range(const struct sample_range *a, const struct sample_range *b) {
    return a->low == b->low && a->middle == b->middle && a->high == b->high;
}

static void print_inputs(FILE *out, const struct uncertainty_report *report) {
    const struct uncertainty *study = report->study;
    for (size_t i = 0; i < study->input_count; i++) {
        const struct uncertainty_input *input = &study->input[i];
        for (size_t t = 0; t < study->trim_count; t++) {
            const struct sample_range *r = &input->range[t];
            char low[TEXT_SIZE], middle[TEXT_SIZE], high[TEXT_SIZE];
            bool same = t > 0 && same_range(r, &input->range[0]);
            if (same || !(r->low < r->high)) {
                continue;
            }
            shown_text(report->scenario, input->kind, r->low, low, sizeof low);
            shown_text(report->scenario, input->kind, r->middle, middle, sizeof middle);
            shown_text(report->scenario, input->kind, r->high, high, sizeof high);
            fprintf(out, "    %-28s %s to %s, stated %s, %s%s\n", input->field, low, high, middle,
                    sample_shape_name(r->shape), input->stated ? "" : ", guess");
        }
    }
}

static void print_heading(FILE *out, const struct uncertainty_report *report, bool full) {
    const struct uncertainty *study = report->study;
    size_t guesses = 0;
    for (size_t i = 0; i < study->input_count; i++) {
        guesses += !study->input[i].stated;
    }
    fprintf(out, "%s\n", report->scenario->title[0] ? report->scenario->title : "scenario");
    fprintf(out, "  %zu uncertain values, drawn %zu times (seed %llu): %zu with a stated range, ",
            study->input_count, study->draws, (unsigned long long)study->seed,
            study->input_count - guesses);
    fprintf(out, "%zu guesses\n  within %.3g %% either way\n", guesses, 100.0 * report->share);
    if (full) {
        print_inputs(out, report);
    }
    if (study->pair_count > 0) {
        fputs("  values drawn together carry each other's correlation below\n", out);
    }
    print_left_alone(out, report);
}

static void print_outcomes(FILE *out, const struct uncertainty_summary *s) {
    for (size_t k = 0; k < SEVERITY_COUNTED; k++) {
        if (s->count[k] > 0) {
            fprintf(out, "  %-16s %5.1f %% of draws (%.0f %% sure: %.1f to %.1f %%)\n",
                    severity_outcome_name(k), 100.0 * (double)s->count[k] / (double)s->draws,
                    100.0 * UNCERTAINTY_CONFIDENCE, 100.0 * s->share[k].low,
                    100.0 * s->share[k].high);
        }
    }
    if (s->count[SEVERITY_OUT_OF_REACH] > 0) {
        size_t count = s->count[SEVERITY_OUT_OF_REACH];
        fprintf(out,
                "  besides, %zu %s: with such values no travel holds the set pressure at\n"
                "  today's flow, which yours does\n",
                count, count == 1 ? "draw is left out" : "draws are left out");
    }
    if (s->count[SEVERITY_IMPOSSIBLE] > 0) {
        size_t count = s->count[SEVERITY_IMPOSSIBLE];
        fprintf(out, "  besides, %zu %s: the values contradict each other\n", count,
                count == 1 ? "draw is left out" : "draws are left out");
    }
}

static void print_effects(FILE *out, const struct uncertainty_report *report,
                          const struct uncertainty_summary *s) {
    if (s->telling == 0) {
        fprintf(out, "  no single value stands out from chance; more draws (--draws) may tell\n");
        return;
    }
    if (s->measure == SEVERITY_GROWTH) {
        fputs(
            "  nearly all draws are equally severe, so values are ranked by how slowly the slowest "
            "small\n  motion dies out\n",
            out);
    }
    fprintf(out, "  rank correlation with %s:\n", uncertainty_report_measure(s->measure));
    for (size_t i = 0; i < s->telling && i < LISTED_MAX; i++) {
        const struct uncertainty_effect *e = &s->effect[i];
        fprintf(out, "    %-28s %+5.2f  more of it makes it %s\n",
                report->study->input[e->input].field, e->leading,
                e->leading > 0.0 ? "worse" : "better");
    }
    size_t rest = s->effect_count - (s->telling < LISTED_MAX ? s->telling : LISTED_MAX);
    if (rest > 0) {
        fprintf(out, "    %zu more count for less, or cannot be told from chance\n", rest);
    }
}

static size_t most_common(const struct uncertainty_summary *s) {
    size_t best = 0;
    for (size_t k = 1; k < SEVERITY_COUNTED; k++) {
        best = s->count[k] > s->count[best] ? k : best;
    }
    return best;
}

static void print_advice(FILE *out, const struct uncertainty_report *report,
                         const struct uncertainty_summary *s) {
    size_t common = most_common(s);
    if (s->draws == 0) {
        fputs("  no draw can be your regulator: look at the ranges\n", out);
    } else if ((double)s->count[common] >= SETTLED * (double)s->draws) {
        fprintf(out, "  the verdict hardly hangs on these values: %s%s\n",
                severity_outcome_name(common),
                s->share[common].low < SETTLED ? "; more draws make that surer" : "");
    } else if (s->telling > 0) {
        fprintf(out, "  the verdict hangs on these values: measure %s first",
                report->study->input[s->effect[0].input].field);
        if (s->telling > 1) {
            fprintf(out, ", then %s", report->study->input[s->effect[1].input].field);
        }
        fputs(",\n  put what you find into the scenario, and draw again\n", out);
    } else {
        fputs("  the verdict hangs on these values, on no single one of them alone\n", out);
    }
}

void uncertainty_report_print(FILE *out, const struct uncertainty_report *report, bool full) {
    const struct uncertainty *study = report->study;
    print_heading(out, report, full);
    for (size_t t = 0; t < study->trim_count; t++) {
        for (size_t f = 0; f < uncertainty_flow_count(study); f++) {
            const struct uncertainty_summary *s =
                &report->summary[t * uncertainty_flow_count(study) + f];
            char text[160];
            uncertainty_report_case(report, t, f, text, sizeof text);
            fprintf(out, "trim %s\n", text);
            print_outcomes(out, s);
            print_effects(out, report, s);
            print_advice(out, report, s);
        }
    }
}
