// SPDX-License-Identifier: MIT
#include "show/remedies_report.h"

#include "base/wrap.h"
#include "scenario/field.h"
#include "scenario/shown.h"

#include <math.h>
#include <string.h>

#define NUMBER_SIZE 64

void remedies_report_name(const struct remedies *remedies, const struct remedies_entry *entry,
                          char text[REMEDIES_TEXT_SIZE]) {
    text[0] = '\0';
    if (entry->trim != remedies->trim) {
        snprintf(text, REMEDIES_TEXT_SIZE, "trim %s",
                 scenario_trim_name(remedies->scenario, entry->trim));
    }
    for (size_t i = 0; i < entry->count; i++) {
        size_t used = strlen(text);
        snprintf(text + used, REMEDIES_TEXT_SIZE - used, "%s%s", used > 0 ? " + " : "",
                 entry->remedy[i]->name);
    }
}

void remedies_report_change(const struct remedies *remedies, const struct remedies_try *attempt,
                            char text[REMEDIES_TEXT_SIZE]) {
    text[0] = '\0';
    for (size_t i = 0; i < attempt->count; i++) {
        const struct remedy *remedy = attempt->remedy[i];
        size_t used = strlen(text);
        if (remedy->way == REMEDY_CHOICE) {
            snprintf(text + used, REMEDIES_TEXT_SIZE - used, "%s%s the other way",
                     used > 0 ? ", " : "", remedy->field);
            continue;
        }
        enum unit_kind kind = field_at(field_index_of(remedy->field))->kind;
        char from[NUMBER_SIZE], to[NUMBER_SIZE];
        shown_text(&remedies->resolved, kind, attempt->today[i], from, sizeof from);
        shown_text(&remedies->resolved, kind, attempt->value[i], to, sizeof to);
        snprintf(text + used, REMEDIES_TEXT_SIZE - used, "%s%s %s -> %s", used > 0 ? ", " : "",
                 remedy->field, from, to);
    }
}

const char *remedies_report_range_name(const struct remedies_try *attempt) {
    static const char *const names[] = {[STEADINESS_EVERYWHERE] = "at every flow",
                                        [STEADINESS_FROM] = "from a flow upward",
                                        [STEADINESS_NOWHERE] = "at no flow",
                                        [STEADINESS_NOT_AT_TOP] = "not at the highest flow",
                                        [STEADINESS_NOT_PASSED] = "passes no flow"};
    double range = attempt->row[REMEDIES_RANGE];
    return isfinite(range) ? names[(size_t)range] : "";
}

void remedies_report_range(const struct remedies *remedies, const struct remedies_try *attempt,
                           char text[REMEDIES_TEXT_SIZE]) {
    char flow[NUMBER_SIZE], top[NUMBER_SIZE];
    double range = attempt->row[REMEDIES_RANGE];
    if (!isfinite(range)) {
        snprintf(text, REMEDIES_TEXT_SIZE, "holds the set pressure at no travel");
        return;
    }
    shown_text(&remedies->resolved, UNIT_FLOW, attempt->row[REMEDIES_LOWEST], flow, sizeof flow);
    shown_text(&remedies->resolved, UNIT_FLOW, attempt->row[REMEDIES_TOP], top, sizeof top);
    switch ((enum steadiness_range)range) {
    case STEADINESS_EVERYWHERE:
        snprintf(text, REMEDIES_TEXT_SIZE, "steady at every flow looked at");
        break;
    case STEADINESS_FROM:
        snprintf(text, REMEDIES_TEXT_SIZE, "steady from %s", flow);
        break;
    case STEADINESS_NOWHERE:
        snprintf(text, REMEDIES_TEXT_SIZE, "steady at no flow looked at");
        break;
    case STEADINESS_NOT_AT_TOP:
        snprintf(text, REMEDIES_TEXT_SIZE, "not steady at %s", top);
        break;
    case STEADINESS_NOT_PASSED:
        snprintf(text, REMEDIES_TEXT_SIZE, "passes no flow looked at");
        return;
    }
    if (attempt->row[REMEDIES_TOP] < remedies->high) {
        size_t used = strlen(text);
        snprintf(text + used, REMEDIES_TEXT_SIZE - used, ", passes no more than %s", top);
    }
}

void remedies_report_day(const struct remedies *remedies, const struct remedies_try *attempt,
                         char text[REMEDIES_TEXT_SIZE]) {
    const double *row = attempt->row;
    char swing[NUMBER_SIZE];
    snprintf(text, REMEDIES_TEXT_SIZE, "%s", severity_outcome_name((size_t)row[SEVERITY_OUTCOME]));
    if (row[SEVERITY_SWING] > 0.0) {
        size_t used = strlen(text);
        shown_text(&remedies->resolved, UNIT_PRESSURE_DROP, row[SEVERITY_SWING], swing,
                   sizeof swing);
        snprintf(text + used, REMEDIES_TEXT_SIZE - used, ", swing %s", swing);
    }
    if (row[SEVERITY_CONTACTS] > 0.0) {
        size_t used = strlen(text);
        snprintf(text + used, REMEDIES_TEXT_SIZE - used, ", %.4g contacts/min",
                 row[SEVERITY_CONTACTS]);
    }
}

static const char *action_of(const struct remedies_entry *entry) {
    return entry->count == 0 ? "change to this trim of the scenario" : entry->remedy[0]->action;
}

static void print_condition(FILE *out, const struct remedies *r) {
    char kick[NUMBER_SIZE];
    if (r->kick > 0.0) {
        shown_text(&r->resolved, UNIT_PRESSURE_DROP, r->kick, kick, sizeof kick);
        fprintf(out, "  kicked by %s up or down: ", kick);
    } else {
        fputs("  left alone: ", out);
    }
}

static void print_heading(FILE *out, const struct remedies *r) {
    const struct remedies_try *today = &r->tries[0];
    char flow[NUMBER_SIZE], low[NUMBER_SIZE], high[NUMBER_SIZE], text[REMEDIES_TEXT_SIZE];
    shown_text(&r->resolved, UNIT_FLOW, r->flow, flow, sizeof flow);
    shown_text(&r->resolved, UNIT_FLOW, r->low, low, sizeof low);
    shown_text(&r->resolved, UNIT_FLOW, r->high, high, sizeof high);
    fprintf(out, "%s, trim %s\n", r->resolved.title[0] ? r->resolved.title : "scenario",
            r->resolved.trim_name);
    remedies_report_day(r, today, text);
    fprintf(out, "  as it stands, at today's %s: %s\n", flow, text);
    remedies_report_range(r, today, text);
    print_condition(out, r);
    fprintf(out, "%s (looked at %s to %s)\n", text, low, high);
    remedies_report_standing(out, r);
    if (r->steps > 1) {
        fputs("  each remedy is tried at several strengths, one at a time; its best is shown\n",
              out);
    }
}

static void print_entry(FILE *out, const struct remedies *r, const struct remedies_entry *e) {
    char name[REMEDIES_TEXT_SIZE], text[3 * REMEDIES_TEXT_SIZE], day[REMEDIES_TEXT_SIZE];
    const struct remedies_try *best = &r->tries[e->best];
    remedies_report_name(r, e, name);
    snprintf(text, sizeof text, "%s: %s", name,
             !e->pair   ? action_of(e)
             : e->parts ? "with parts"
                        : "without parts");
    char label[24];
    snprintf(label, sizeof label, "%-17s", remedies_effect_name(e->effect));
    wrap_print(out, 2, label, text);
    remedies_report_change(r, best, text);
    if (text[0] != '\0') {
        wrap_print(out, 6, "try   ", text);
    }
    remedies_report_range(r, best, name);
    remedies_report_day(r, best, day);
    snprintf(text, sizeof text, "%s; at today's flow: %s", name, day);
    wrap_print(out, 6, "then  ", text);
    if (e->effect == REMEDIES_CURES && e->slightest != e->best) {
        remedies_report_change(r, &r->tries[e->slightest], name);
        snprintf(text, sizeof text, "%s cures it already", name);
        wrap_print(out, 6, "less  ", text);
    }
    if (e->too_much) {
        wrap_print(out, 6, "not   ", "more than that: a stronger change is worse again");
    }
    if (!e->pair && e->count == 1) {
        wrap_print(out, 6, "mind  ", e->remedy[0]->caution);
    }
}

// Names of the entries from `first` to `end` of one effect, on one line; their number.
static size_t list_names(FILE *out, const struct remedies *r, size_t first, size_t end,
                         enum remedies_effect effect, bool parts, const char *label) {
    char text[1200] = "";
    size_t count = 0;
    for (size_t i = first; i < end; i++) {
        const struct remedies_entry *e = &r->entry[i];
        if (e->effect == effect && e->parts == parts) {
            char name[REMEDIES_TEXT_SIZE];
            remedies_report_name(r, e, name);
            size_t used = strlen(text);
            snprintf(text + used, sizeof text - used, "%s%s", count++ > 0 ? ", " : "", name);
        }
    }
    if (count > 0) {
        wrap_print(out, 2, label, text);
    }
    return count;
}

// What does not help: what makes it worse with a line each, the others by name only.
static void print_others(FILE *out, const struct remedies *r, bool parts) {
    list_names(out, r, 0, r->single_count, REMEDIES_NOTHING, parts, "no clear effect  ");
    for (size_t i = 0; i < r->single_count; i++) {
        const struct remedies_entry *e = &r->entry[i];
        if (e->parts == parts && e->effect == REMEDIES_WORSE) {
            char name[REMEDIES_TEXT_SIZE], text[REMEDIES_TEXT_SIZE];
            remedies_report_name(r, e, name);
            remedies_report_day(r, &r->tries[e->best], text);
            fprintf(out, "  %-15s  %-21s %s\n", remedies_effect_name(e->effect), name, text);
        }
    }
    list_names(out, r, 0, r->single_count, REMEDIES_IMPOSSIBLE, parts, "not possible     ");
}

static void print_kind(FILE *out, const struct remedies *r, bool parts) {
    size_t count = 0;
    for (size_t i = 0; i < r->single_count; i++) {
        const struct remedies_entry *e = &r->entry[i];
        if (e->parts == parts) {
            if (count++ == 0) {
                fputs(parts ? "with parts\n" : "without parts\n", out);
            }
            if (e->effect <= REMEDIES_MIXED) {
                print_entry(out, r, e);
            }
        }
    }
    print_others(out, r, parts);
}

static void print_pairs(FILE *out, const struct remedies *r) {
    enum { SHOWN_MAX = 5 };
    size_t shown = 0;
    for (size_t i = r->single_count; i < r->entry_count; i++) {
        if (r->entry[i].effect <= REMEDIES_MIXED && shown < SHOWN_MAX) {
            if (shown++ == 0) {
                fputs("the best few together\n", out);
            }
            print_entry(out, r, &r->entry[i]);
        }
    }
}

static const char *missing_at(const struct remedies *r, size_t index) {
    return remedy_missing(remedy_at(index), r->scenario, r->trim, &r->resolved);
}

// Remedies that are left out, those for the same reason together.
static void print_left_out(FILE *out, const struct remedies *r) {
    fputs("left out\n", out);
    for (size_t i = 0; remedy_at(i); i++) {
        const char *missing = missing_at(r, i);
        bool told = missing == NULL;
        for (size_t k = 0; k < i && !told; k++) {
            const char *other = missing_at(r, k);
            told = other && strcmp(other, missing) == 0;
        }
        if (told) {
            continue;
        }
        char label[120], names[1000] = "";
        snprintf(label, sizeof label, "%s: ", missing);
        for (size_t k = i; remedy_at(k); k++) {
            const char *other = missing_at(r, k);
            if (other && strcmp(other, missing) == 0) {
                size_t used = strlen(names);
                snprintf(names + used, sizeof names - used, "%s%s", used > 0 ? ", " : "",
                         remedy_at(k)->name);
            }
        }
        wrap_print(out, 2, label, names);
    }
}

static void print_short(FILE *out, const struct remedies *r) {
    fputs("in short\n", out);
    size_t alone =
        list_names(out, r, 0, r->single_count, REMEDIES_CURES, false, "cures without parts:   ");
    size_t pairs = 0, parts = 0;
    if (alone == 0) {
        pairs = list_names(out, r, r->single_count, r->entry_count, REMEDIES_CURES, false,
                           "cures without parts:   ");
    }
    parts = list_names(out, r, 0, r->single_count, REMEDIES_CURES, true, "cures with parts:      ");
    if (alone + pairs + parts == 0) {
        bool moves = r->tries[0].row[SEVERITY_OUTCOME] > VERDICT_FORCED;
        fputs(moves ? "  nothing tried here cures it\n"
                    : "  nothing to cure at today's flow; see what widens the steady range\n",
              out);
    }
    fputs(
        "  Try one change at a time, those without parts first, and write down what was before.\n",
        out);
}

void remedies_report_print(FILE *out, const struct remedies_report *report) {
    const struct remedies *r = report->remedies;
    print_heading(out, r);
    print_kind(out, r, false);
    print_kind(out, r, true);
    print_pairs(out, r);
    print_left_out(out, r);
    print_short(out, r);
}
