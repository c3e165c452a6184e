// SPDX-License-Identifier: MIT
// Source of the rules: YAML 1.2.2, chapters 6 and 7, as far as they speak of one line.
#include "yaml/yaml_value.h"

#include "base/clean.h"
#include "yaml/yaml_build.h"

#include <string.h>

struct value {
    struct yaml_build tree;
    const char *name;
    const char *text;
    const char *at; // ended by NUL
    int column_shift;
};

static const char *const flow_signs = ",[]{}";
static const char *const value_beyond =
    "here a value is one word, a [list] or a {mapping: of words}";

static struct place value_place(const struct value *value, const char *at) {
    int column = value->column_shift + 1;
    for (const char *c = value->text; c < at; ++c) {
        column += ((unsigned char)*c & 0xc0) != 0x80; // code points, not bytes
    }
    return (struct place){value->name, 1, column};
}

static bool value_fault(struct value *value, const char *at, const char *why) {
    struct place place = value_place(value, at);
    int column = 0;
    // The same forgiving look at `key:value` as of the reader of whole files.
    if (yaml_text_tight_line(value->text, strlen(value->text), 1, &column)) {
        place.column = column + value->column_shift;
        why = "put a space after the colon";
    }
    diagnostics_error(value->tree.out, place, "not readable as YAML: %s", why);
    return false;
}

static bool value_blank(char c) {
    return c == ' ' || c == '\t';
}

static void value_skip(struct value *value) {
    while (value_blank(*value->at)) {
        ++value->at;
    }
}

static bool value_ends(char c) {
    return c == '\0' || value_blank(c);
}

// At the end, or at a comment, which a blank parts from what it is about.
static bool value_at_end(const struct value *value) {
    return *value->at == '\0' ||
           (*value->at == '#' && value->at > value->text && value_blank(value->at[-1]));
}

static bool value_colon(const char *c, bool flow) {
    return *c == ':' && (value_ends(c[1]) || (flow && strchr(flow_signs, c[1])));
}

// --- Scalars: each returns its text and moves behind it, or reports and returns NULL.

// Says why no plain word begins here.
static void value_refuse(struct value *value) {
    const struct place place = value_place(value, value->at);
    struct diagnostics *out = value->tree.out;
    switch (*value->at) {
    case '&':
        diagnostics_error(out, place, "anchors '&' are not used in scenarios");
        break;
    case '!':
        diagnostics_error(out, place, "tags '!' are not used in scenarios");
        break;
    case '*':
        diagnostics_error(out, place, "aliases '*' are not used in scenarios");
        break;
    case ':':
        diagnostics_error(out, place, "a key is missing before ':'");
        break;
    case '-':
    case '?':
    case '|':
    case '>':
        value_fault(value, value->at, value_beyond);
        break;
    case ']':
        value_fault(value, value->at, "flow sequence with invalid extra closing bracket");
        break;
    case '}':
        value_fault(value, value->at, "flow mapping with invalid extra closing brace");
        break;
    case '@':
    case '`':
        value_fault(value, value->at,
                    *value->at == '@' ? "plain scalar cannot start with '@'"
                                      : "plain scalar cannot start with '`'");
        break;
    default:
        value_fault(value, value->at, "did not find expected node content");
    }
}

static const char *value_plain(struct value *value, bool flow) {
    const char *start = value->at;
    const char *c = start;
    const char next = *c ? c[1] : '\0';
    const bool loose = value_ends(next) || (flow && strchr(flow_signs, next));
    if (*c == '\0' || strchr(",[]{}#&*!|>'\"%@`", *c) || (strchr("-?:", *c) && loose)) {
        value_refuse(value);
        return NULL;
    }
    const char *end = c; // behind the last that is no blank
    for (; *c; ++c) {
        if ((flow && strchr(flow_signs, *c)) || value_colon(c, flow) ||
            (*c == '#' && value_blank(c[-1]))) {
            break;
        }
        if (!value_blank(*c)) {
            end = c + 1;
        }
    }
    value->at = c;
    return arena_copy(value->tree.arena, start, (size_t)(end - start));
}

static const char *value_single(struct value *value) {
    const char *open = value->at;
    char *text = arena_alloc(value->tree.arena, strlen(open + 1) + 1);
    size_t length = 0;
    if (!text) {
        return NULL;
    }
    memcpy(text, open + 1, strlen(open + 1));
    for (const char *c = open + 1; *c; ++c) {
        if (*c == '\'' && c[1] != '\'') {
            text[length] = '\0';
            value->at = c + 1;
            return text;
        }
        c += *c == '\'';
        text[length++] = *c;
    }
    value_fault(value, open + 1, "single-quoted scalar without closing quote");
    return NULL;
}

// Code point as UTF-8; returns its length.
static size_t value_encode(unsigned long code, char *out) {
    if (code < 0x80) {
        out[0] = (char)code;
        return 1;
    }
    size_t tail = code < 0x800 ? 1 : code < 0x10000 ? 2 : 3;
    static const unsigned char lead[] = {0, 0xc0, 0xe0, 0xf0};
    out[0] = (char)(lead[tail] | (code >> 6 * tail));
    for (size_t i = 1; i <= tail; ++i) {
        out[i] = (char)(0x80 | (code >> 6 * (tail - i) & 0x3f));
    }
    return tail + 1;
}

// The escape behind a backslash at c, as UTF-8; returns what follows it, NULL when there is none.
static const char *value_escape(const char *c, char *out, size_t *length) {
    static const char signs[] = "0abtnvfre \"/\\N_LP\t";
    static const unsigned short codes[] = {0,   7,   8,   9,    10,   11,   12,     13,     27,
                                           ' ', '"', '/', '\\', 0x85, 0xa0, 0x2028, 0x2029, 9};
    const char *sign = *c ? strchr(signs, *c) : NULL;
    if (sign) {
        *length = value_encode(codes[sign - signs], out);
        return c + 1;
    }
    const int digits = *c == 'x' ? 2 : *c == 'u' ? 4 : *c == 'U' ? 8 : 0;
    unsigned long code = 0;
    for (int i = 1; i <= digits; ++i) {
        static const char hexadecimal[] = "0123456789abcdef0123456789ABCDEF";
        const char *digit = c[i] ? strchr(hexadecimal, c[i]) : NULL;
        if (!digit) {
            return NULL;
        }
        code = 16 * code + (unsigned long)(digit - hexadecimal) % 16;
    }
    if (digits == 0 || code > 0x10ffff || (code >= 0xd800 && code < 0xe000)) {
        return NULL;
    }
    *length = value_encode(code, out);
    return c + digits + 1;
}

static const char *value_double(struct value *value) {
    const char *open = value->at;
    char *text = arena_alloc(value->tree.arena, 2 * strlen(open) + 1); // \L grows to three bytes
    if (!text) {
        return NULL;
    }
    size_t length = 0;
    for (const char *c = open + 1; *c;) {
        size_t used = 1;
        if (*c == '"') {
            text[length] = '\0';
            value->at = c + 1;
            return text;
        }
        if (*c == '\\') {
            const char *next = value_escape(c + 1, text + length, &used);
            if (!next) {
                diagnostics_error(
                    value->tree.out, value_place(value, c),
                    "not readable as YAML: invalid escape '%.*s' in double-quoted string",
                    clean_whole(c + 1, 1), c + 1);
                return NULL;
            }
            c = next;
        } else {
            text[length] = *c++;
        }
        length += used;
    }
    value_fault(value, open + 1, "double-quoted scalar without closing quote");
    return NULL;
}

static const char *value_scalar(struct value *value, bool flow, bool *quoted) {
    *quoted = *value->at == '\'' || *value->at == '"';
    if (!*quoted) {
        return value_plain(value, flow);
    }
    return *value->at == '"' ? value_double(value) : value_single(value);
}

// --- Collections

static bool value_any(struct value *value, bool flow);

// One `key: value` of a mapping in braces, or its `key` alone.
static bool value_pair(struct value *value) {
    const struct place place = value_place(value, value->at);
    const struct place nowhere = {value->name, 0, 0};
    bool quoted = false;
    const char *key = value_scalar(value, true, &quoted);
    if (!key) {
        return false;
    }
    yaml_build_key(&value->tree, key, place);
    value_skip(value);
    const bool colon = *value->at == ':' && (quoted || value_colon(value->at, true));
    if (colon) {
        ++value->at;
        value_skip(value);
    }
    if (*value->at == ',' || *value->at == '}') {
        yaml_build_scalar(&value->tree, "", nowhere, false);
        return true;
    }
    return colon ? value_any(value, true)
                 : value_fault(value, value->at, "missing comma in flow mapping");
}

static bool value_collection(struct value *value) {
    const char *open = value->at;
    const bool mapping = *value->at++ == '{';
    const char close = mapping ? '}' : ']';
    if (!yaml_build_open(&value->tree, mapping ? YAML_MAPPING : YAML_SEQUENCE,
                         value_place(value, open))) {
        return false;
    }
    for (;;) {
        value_skip(value);
        if (*value->at == close) {
            break;
        }
        if (value_at_end(value)) {
            return value_fault(value, value->at,
                               mapping ? "missing comma in flow mapping"
                                       : "flow sequence without a closing bracket");
        }
        if (!(mapping ? value_pair(value) : value_any(value, true))) {
            return false;
        }
        value_skip(value);
        if (*value->at == ',') {
            ++value->at;
        } else if (*value->at == ':' && !mapping) { // a pair without braces
            return value_fault(value, value->at, value_beyond);
        } else if (*value->at != close && !value_at_end(value)) {
            return value_fault(value, value->at,
                               mapping ? "missing comma in flow mapping"
                                       : "missing comma in flow sequence");
        }
    }
    ++value->at;
    yaml_build_close(&value->tree);
    return true;
}

static bool value_any(struct value *value, bool flow) {
    if (*value->at == '[' || *value->at == '{') {
        return value_collection(value);
    }
    const struct place place = value_place(value, value->at);
    bool quoted = false;
    const char *text = value_scalar(value, flow, &quoted);
    if (text) {
        yaml_build_scalar(&value->tree, text, place, quoted);
    }
    return text != NULL;
}

// `key: value` without braces.
static bool value_line(struct value *value, const char *key, struct place place) {
    ++value->at;
    value_skip(value);
    if (!yaml_build_open(&value->tree, YAML_MAPPING, place)) {
        return false;
    }
    yaml_build_key(&value->tree, key, place);
    if (value_at_end(value)) {
        yaml_build_scalar(&value->tree, "", (struct place){value->name, 0, 0}, false);
    } else if (!value_any(value, false)) {
        return false;
    }
    yaml_build_close(&value->tree);
    return true;
}

static bool value_whole(struct value *value) {
    value_skip(value);
    const char *start = value->at;
    const struct place place = value_place(value, value->at);
    bool quoted = false;
    if (*value->at == '[' || *value->at == '{') {
        if (!value_collection(value)) {
            return false;
        }
    } else {
        const char *text = value_scalar(value, false, &quoted);
        if (!text) {
            return false;
        }
        value_skip(value);
        if (!value_colon(value->at, false)) {
            yaml_build_scalar(&value->tree, text, place, quoted);
        } else if (!value_line(value, text, place)) {
            return false;
        }
    }
    value_skip(value);
    if (value_at_end(value)) {
        return true;
    }
    return value_fault(value, value->at,
                       *start == '\''      ? "invalid trailing content after single-quoted scalar"
                       : *start == '"'     ? "invalid trailing content after double-quoted scalar"
                       : *value->at == ':' ? "invalid nested block mapping on the same line"
                                           : "missing document start");
}

struct yaml_node *yaml_value_read(struct arena *arena, const char *name, const char *text,
                                  size_t length, int column_shift, struct diagnostics *out) {
    if (length > YAML_SIZE_MAX) {
        diagnostics_error(out, (struct place){name, 0, 0}, "larger than %d bytes", YAML_SIZE_MAX);
        return NULL;
    }
    if (!yaml_text_check(name, text, length, column_shift, out)) {
        return NULL;
    }
    struct value value = {.tree = {.arena = arena, .out = out}, .name = name};
    value.column_shift = column_shift;
    value.text = value.at = arena_copy(arena, text, length);
    const char *line = value.text + strcspn(value.text, "\r\n");
    if (*line) {
        value_fault(&value, line, "a value is one line");
        return NULL;
    }
    value_skip(&value);
    if (*value.at == '#' || *value.at == '%' || *value.at == '\0') { // a comment or a directive
        diagnostics_error(out, (struct place){name, 0, 0},
                          "empty: nothing but blanks and comments");
        return NULL;
    }
    return value_whole(&value) ? value.tree.root : NULL;
}
