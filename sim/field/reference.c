// SPDX-License-Identifier: MIT
#include "field/reference.h"

#include "field/field.h"

#include <string.h>

static const char *const reference_notes[] = {
    "A value is a number with its unit: 2 7/8 in, 50 psig, 450 kPa(g), 0.15 MMscf/d, 80 degF.",
    "Guesses are marked: about 8 lbf, or {value: 8 lbf, guess: yes, low: 2 lbf, high: 12 lbf}.",
    "Over time: {steps: [[0 s, 50 psig], [10 s, 45 psig]]}; "
    "{ramp: {from: 0.1 MMscf/d, to: 0.2 MMscf/d, start: 5 s, end: 60 s}}; "
    "{slug: {base: 0.1 MMscf/d, peak: 0.5 MMscf/d, start: 5 s, period: 30 s, duration: 8 s}}; "
    "{pulse: {middle: 0.2 MMscf/d, crest: 0.25 MMscf/d, start: 0 s, period: 0.1 s}}; "
    "{record: file.csv}, two columns with units in the first line: time [s],rate [MMscf/d].",
    "Several trims: `trims: {full: {port: 2 7/8 in}, reduced: {port: 1 3/4 in}}`; each says only "
    "what differs from `trim`.",
    "Expected results: `expect: [{quantity: verdict, value: slamming, trim: full, source: ...}]`, "
    "with `tolerance` for numbers; quantity `refusal` expects an error with those key words.",
    "What was seen on site, for `lowlift match`: `observed: [{flow: 3 MMscf/d, seen: quiet}, "
    "{flow: "
    "0.15 MMscf/d, seen: hits its seat, frequency: 0.5..2 Hz, swing: 3..8 psi, since: 2025-03}]`; "
    "a "
    "row may also name a trim, or a field that differed then (downstream.pressure: 40 psig).",
    "Defaults that begin with = are rules.",
};

// What may be written there: words, kind of unit, or form.
static void reference_form(const struct field *field, char *text, size_t size) {
    size_t used = 0;
    text[0] = '\0';
    switch (field->type) {
    case FIELD_CHOICE:
        for (size_t i = 0; field->words[i] && used < size; i++) {
            const int wrote =
                snprintf(text + used, size - used, "%s%s", i ? ", " : "", field->words[i]);
            used += wrote > 0 ? (size_t)wrote : 0;
        }
        break;
    case FIELD_FLAG:
        snprintf(text, size, "yes, no");
        break;
    case FIELD_TEXT:
        snprintf(text, size, "text");
        break;
    case FIELD_TABLE:
        snprintf(text, size, "list of pairs");
        break;
    case FIELD_INTEGER:
        snprintf(text, size, "whole number");
        break;
    case FIELD_SCHEDULE:
        snprintf(text, size, "%s, or {steps: [[0 s, v], ...]}", units_kind_name(field->kind));
        break;
    case FIELD_NUMBER:
        snprintf(text, size, "%s", units_kind_name(field->kind));
        break;
    }
}

static const char *reference_default(const struct field *field) {
    if (field->required) {
        return "none: must be given";
    }
    return field->preset && field->preset[0] ? field->preset : "none";
}

static void reference_range(const struct field *field, char *text, size_t size) {
    text[0] = '\0';
    if (field->low || field->high) {
        snprintf(text, size, "%s to %s", field->low ? field->low : "",
                 field->high ? field->high : "");
    }
}

static void reference_row(FILE *out, enum reference_format format, const struct field *field) {
    char form[160];
    char range[80];
    char uses[80];
    const char *dot = field->section[0] ? "." : "";
    reference_form(field, form, sizeof form);
    reference_range(field, range, sizeof range);
    field_use_text(field->use, uses, sizeof uses);
    if (format == REFERENCE_MARKDOWN) {
        fprintf(out, "| `%s%s%s` | %s | %s | %s | %s | %s |\n", field->section, dot, field->name,
                field->help, form, reference_default(field), range, uses[0] ? uses : "any");
        return;
    }
    fprintf(out, "  %s%s%s: %s\n", field->section, dot, field->name, field->help);
    fprintf(out, "      %s; default %s", form, reference_default(field));
    if (range[0]) {
        fprintf(out, "; %s", range);
    }
    if (uses[0]) {
        fprintf(out, "; only %s", uses);
    }
    fputc('\n', out);
}

static void reference_section(FILE *out, enum reference_format format,
                              const struct field_section *section) {
    const char *name = section->name[0] ? section->name : "top level";
    if (format == REFERENCE_MARKDOWN) {
        fprintf(out, "\n### %s\n\n%s\n\n", name, section->help);
        fputs("| field | meaning | form | default | range | only for |\n", out);
        fputs("|---|---|---|---|---|---|\n", out);
    } else {
        fprintf(out, "\n%s: %s\n", name, section->help);
    }
    for (size_t i = 0; i < section->count; i++) {
        reference_row(out, format, &section->rows[i]);
    }
}

static void reference_units(FILE *out, enum reference_format format) {
    if (format == REFERENCE_MARKDOWN) {
        fputs("\n### units\n\n| kind | units |\n|---|---|\n", out);
    } else {
        fputs("\nunits\n", out);
    }
    for (int i = 0; i < UNIT_KIND_COUNT; i++) {
        const enum unit_kind kind = (enum unit_kind)i;
        const char *row = format == REFERENCE_MARKDOWN ? "| %s | %s |\n" : "  %s: %s\n";
        fprintf(out, row, units_kind_name(kind), units_allowed(kind));
    }
}

int reference_print(FILE *out, enum reference_format format, const char *wanted) {
    const struct field_section *section;
    if (wanted) {
        section = field_section_find(wanted);
        if (!section) {
            return -1;
        }
        reference_section(out, format, section);
        return 0;
    }
    for (size_t i = 0; i < sizeof reference_notes / sizeof reference_notes[0]; i++) {
        fprintf(out, "%s%s\n", format == REFERENCE_MARKDOWN ? "* " : "", reference_notes[i]);
    }
    for (size_t i = 0; (section = field_section_at(i)); i++) {
        reference_section(out, format, section);
    }
    reference_units(out, format);
    return 0;
}
