// SPDX-License-Identifier: MIT
#include "field/field.h"

#include <stdio.h>
#include <string.h>

const struct field_section *field_section_at(size_t index) {
    if (index < field_sections_service_count) {
        return &field_sections_service[index];
    }
    index -= field_sections_service_count;
    if (index < field_sections_parts_count) {
        return &field_sections_parts[index];
    }
    index -= field_sections_parts_count;
    return index < field_sections_outlook_count ? &field_sections_outlook[index] : NULL;
}

const struct field_section *field_section_find(const char *name) {
    const struct field_section *section;
    for (size_t i = 0; (section = field_section_at(i)); i++) {
        if (strcmp(section->name, name) == 0) {
            return section;
        }
    }
    return NULL;
}

size_t field_count(void) {
    size_t count = 0;
    const struct field_section *section;
    for (size_t i = 0; (section = field_section_at(i)); i++) {
        count += section->count;
    }
    return count;
}

const struct field *field_at(size_t index) {
    const struct field_section *section;
    for (size_t i = 0; (section = field_section_at(i)); i++) {
        if (index < section->count) {
            return &section->rows[index];
        }
        index -= section->count;
    }
    return NULL;
}

bool field_next(struct field_walk *walk) {
    const struct field_section *section = field_section_at(walk->section);
    while (section && walk->row == section->count) {
        walk->row = 0;
        section = field_section_at(++walk->section);
    }
    if (!section) {
        return false;
    }
    walk->index = walk->next++;
    walk->field = &section->rows[walk->row++];
    return true;
}

size_t field_section_first(const struct field_section *wanted) {
    size_t first = 0;
    const struct field_section *section;
    for (size_t i = 0; (section = field_section_at(i)) != wanted && section; i++) {
        first += section->count;
    }
    return first;
}

// Nearly always the first letter tells.
static bool same_word(const char *a, const char *b) {
    return a[0] == b[0] && strcmp(a, b) == 0;
}

size_t field_index(const char *section_name, const char *name) {
    size_t index = 0;
    const struct field_section *section;
    for (size_t i = 0; (section = field_section_at(i)); i++) {
        if (!same_word(section->name, section_name)) {
            index += section->count;
            continue;
        }
        for (size_t j = 0; j < section->count; j++, index++) {
            if (same_word(section->rows[j].name, name)) {
                return index;
            }
        }
        return field_count();
    }
    return index;
}

size_t field_index_of(const char *path) {
    const char *dot = strchr(path, '.');
    if (!dot) {
        return field_index("", path);
    }
    char section[64];
    const size_t length = (size_t)(dot - path);
    if (length >= sizeof section) {
        return field_count();
    }
    memcpy(section, path, length);
    section[length] = '\0';
    return field_index(section, dot + 1);
}

bool field_applies(const struct field *field, unsigned build) {
    static const unsigned groups[] = {USE_BACK_PRESSURE | USE_REDUCING, USE_PILOT | USE_DIRECT,
                                      USE_GAS | USE_LIQUID};
    for (size_t i = 0; i < sizeof groups / sizeof groups[0]; i++) {
        const unsigned wanted = field->use & groups[i];
        if (wanted && !(wanted & build)) {
            return false;
        }
    }
    return true;
}

void field_use_text(unsigned use, char *text, size_t size) {
    static const struct {
        unsigned mark;
        const char *word;
    } marks[] = {{USE_BACK_PRESSURE, "back-pressure"},
                 {USE_REDUCING, "reducing"},
                 {USE_PILOT, "pilot"},
                 {USE_DIRECT, "direct"},
                 {USE_GAS, "gas"},
                 {USE_LIQUID, "liquid"}};
    text[0] = '\0';
    size_t used = 0;
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        if (!(use & marks[i].mark) || used >= size) {
            continue;
        }
        const int wrote =
            snprintf(text + used, size - used, "%s%s", used ? ", " : "", marks[i].word);
        used += wrote > 0 ? (size_t)wrote : 0;
    }
}

bool field_preset_is_rule(const struct field *field) {
    return field->preset && field->preset[0] == '=';
}
