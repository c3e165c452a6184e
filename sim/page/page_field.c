// SPDX-License-Identifier: MIT
// What a page asks about the fields of its scenario, and the units results are shown in.
#include "page/page_data.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

size_t page_fields(void) {
    return field_count();
}

const char *page_field_path(struct page *page, size_t field) {
    const struct field *row = field_at(field);
    if (!row) {
        return "";
    }
    snprintf(page->text, sizeof page->text, "%s%s%s", row->section, row->section[0] ? "." : "",
             row->name);
    return page->text;
}

const char *page_field_help(size_t field) {
    const struct field *row = field_at(field);
    return row ? row->help : "";
}

const char *page_field_words(struct page *page, size_t field) {
    const struct field *row = field_at(field);
    size_t length = 0;
    page->text[0] = '\0';
    for (size_t i = 0; row && row->words && row->words[i]; i++) {
        length += (size_t)snprintf(page->text + length, sizeof page->text - length, "%s%s",
                                   i ? " " : "", row->words[i]);
    }
    return page->text;
}

// The row as it stands; all zero when there is none.
static struct scenario_entry entry(const struct page *page, size_t trim, size_t field) {
    struct scenario_entry found = {0};
    if (page->read && trim < page_trims(page)) {
        scenario_provenance(page_current(page), trim, field, &found);
    }
    return found;
}

const char *page_field_text(const struct page *page, size_t trim, size_t field) {
    const char *text = entry(page, trim, field).text;
    return text ? text : "";
}

int page_field_source(const struct page *page, size_t trim, size_t field) {
    return (int)entry(page, trim, field).provenance;
}

int page_field_applies(const struct page *page, size_t trim, size_t field) {
    return entry(page, trim, field).applies;
}

double page_field_si(struct page *page, size_t trim, size_t field) {
    return page->read ? scenario_get_si(page_current(page), trim, page_field_path(page, field))
                      : (double)NAN;
}

const char *page_channel_unit(const struct page *page, size_t channel) {
    const bool known = page->started && channel < CHANNEL_COUNT;
    return known ? units_shown(&page->resolved.site, channel_row((enum channel)channel)->kind,
                               page->resolved.units)
                 : "";
}

double page_channel_shown(const struct page *page, size_t channel, double si) {
    const char *unit = page_channel_unit(page, channel);
    return unit[0] ? units_from_si(&page->resolved.site, channel_row((enum channel)channel)->kind,
                                   unit, si)
                   : si;
}
