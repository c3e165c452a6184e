// SPDX-License-Identifier: MIT
// The bytes of a scenario before they are read as YAML: valid UTF-8 without control characters.
// libfyaml drops what is not, silently.
#include "yaml/yaml_tree.h"

#include <ctype.h>
#include <string.h>

// Length of the UTF-8 sequence at c within the given room, 0 if it is not one.
static size_t yaml_text_sequence(const unsigned char *c, size_t room) {
    size_t length = 0;
    if (c[0] < 0x80) {
        return 1;
    }
    if (c[0] >= 0xc2 && c[0] <= 0xdf) {
        length = 2;
    } else if (c[0] >= 0xe0 && c[0] <= 0xef) {
        length = 3;
    } else if (c[0] >= 0xf0 && c[0] <= 0xf4) {
        length = 4;
    }
    if (length == 0 || length > room) {
        return 0;
    }
    for (size_t i = 1; i < length; i++) {
        if ((c[i] & 0xc0) != 0x80) {
            return 0;
        }
    }
    // Overlong forms, surrogates and beyond the last code point.
    const bool wrong = (c[0] == 0xe0 && c[1] < 0xa0) || (c[0] == 0xed && c[1] > 0x9f) ||
                       (c[0] == 0xf0 && c[1] < 0x90) || (c[0] == 0xf4 && c[1] > 0x8f);
    return wrong ? 0 : length;
}

bool yaml_text_check(const char *name, const char *text, size_t length, int column_shift,
                     struct diagnostics *out) {
    struct place place = {name, 1, 1 + column_shift};
    for (size_t i = 0; i < length;) {
        const unsigned char *c = (const unsigned char *)text + i;
        const size_t used = yaml_text_sequence(c, length - i);
        if (used == 0) {
            diagnostics_error(out, place, "not UTF-8 text (byte 0x%02x)", c[0]);
            return false;
        }
        if (c[0] < ' ' && c[0] != '\n' && c[0] != '\r' && c[0] != '\t') {
            diagnostics_error(out, place, "control character 0x%02x in the text", c[0]);
            return false;
        }
        place.column++;
        if (c[0] == '\n') {
            place = (struct place){name, place.line + 1, 1};
        }
        i += used;
    }
    return true;
}

// Letters, digits and underscores, then a colon with something right behind it, before `end`.
static bool yaml_text_tight_within(const char *text, const char *end) {
    const char *at = text;
    while (at < end && (isalnum((unsigned char)*at) || *at == '_')) {
        at++;
    }
    return at > text && isalpha((unsigned char)*text) && at + 1 < end && *at == ':' &&
           isgraph((unsigned char)at[1]);
}

bool yaml_text_name(const char *text) {
    const size_t length = strlen(text);
    bool name = length <= YAML_NAME_MAX;
    for (size_t i = 0; name && i < length; i++) {
        const unsigned char c = (unsigned char)text[i];
        name = isalnum(c) || c >= 0x80 || strchr("_-.", c);
    }
    return name;
}

bool yaml_text_tight(const char *text) {
    return yaml_text_tight_within(text, text + strlen(text));
}

int yaml_text_tight_line(const char *text, size_t length, int line, int *column) {
    const char *const end = text + length;
    int found = 0;
    int number = 1;
    for (const char *at = text; at < end && number <= line; number++) {
        const char *stop = memchr(at, '\n', (size_t)(end - at));
        stop = stop ? stop : end;
        const char *key = at;
        while (key < stop && (*key == ' ' || *key == '-')) {
            key++;
        }
        if (yaml_text_tight_within(key, stop)) {
            found = number;
            *column = (int)(key - at) + 1;
        } else if (number < line && key < stop && *key != '#' && *key != '\r') {
            found = 0; // other words came between
        }
        at = stop + 1;
    }
    return found;
}
