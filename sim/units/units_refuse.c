// SPDX-License-Identifier: MIT
#include "units/units_refuse.h"

#include "base/nearest.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

enum { DIGITS_MAX = 20 };

// Whether a token stands in the list that the message shows.
static bool refuse_listed(enum unit_kind kind, const char *token) {
    const char *list = units_allowed(kind);
    const size_t length = strlen(token);
    for (const char *at = strstr(list, token); at; at = strstr(at + 1, token)) {
        if ((at == list || at[-1] == ' ') && (at[length] == ',' || at[length] == '\0')) {
            return true;
        }
    }
    return false;
}

// The nearest unit; of two as near, the one that is listed.
static const char *refuse_nearest(enum unit_kind kind, const char *token) {
    if (kind == UNIT_TEMPERATURE && strcmp(token, "F") == 0) {
        return "degF";
    }
    if (kind == UNIT_TEMPERATURE && strcmp(token, "C") == 0) {
        return "degC";
    }
    struct nearest search = nearest_start(token);
    const struct unit *row;
    for (int listed = 1; listed >= 0; listed--) {
        for (size_t i = 0; (row = units_row(i)); i++) {
            if (row->kind == kind && refuse_listed(kind, row->token) == (listed == 1)) {
                nearest_offer(&search, row->token);
            }
        }
    }
    return search.best;
}

// A pressure that does not say from where it is counted.
static const char *refuse_level(const char *digits, const char *token, char *message) {
    const bool short_form =
        strcmp(token, "psi") == 0 || strcmp(token, "bar") == 0 || strcmp(token, "mbar") == 0;
    const char *format = short_form ? "%sg or %sa? write %s %sg or %s %sa"
                                    : "%s(g) or %s(a)? write %s %s(g) or %s %s(a)";
    snprintf(message, UNIT_MESSAGE_SIZE, format, token, token, digits, token, digits, token);
    return message;
}

const char *units_refuse_instead(const char *token, enum unit_kind kind, char *message) {
    const char *best = token ? refuse_nearest(kind, token) : NULL;
    snprintf(message, UNIT_MESSAGE_SIZE, "%s%s%s%s", units_allowed(kind),
             best ? "; did you mean " : "", best ? best : "", best ? "?" : "");
    return message;
}

const char *units_refuse_unit(const char *token, enum unit_kind kind, char *message) {
    char instead[UNIT_MESSAGE_SIZE];
    snprintf(message, UNIT_MESSAGE_SIZE, "no such unit of %s; allowed %s", units_kind_name(kind),
             units_refuse_instead(token, kind, instead));
    return message;
}

const char *units_refuse(const char *digits, const char *token, enum unit_kind kind,
                         char *message) {
    const char *name = units_kind_name(kind);
    if (token[0] == '\0') {
        snprintf(message, UNIT_MESSAGE_SIZE, "a %s needs a unit: %s", name, units_allowed(kind));
        return message;
    }
    if (kind == UNIT_PRESSURE_LEVEL && units_find(UNIT_PRESSURE_DROP, token)) {
        return refuse_level(digits, token, message);
    }
    if (kind == UNIT_PRESSURE_DROP && units_find(UNIT_PRESSURE_LEVEL, token)) {
        snprintf(message, UNIT_MESSAGE_SIZE, "a %s is neither gauge nor absolute; allowed %s", name,
                 units_allowed(kind));
        return message;
    }
    return units_refuse_unit(token, kind, message);
}

const char *units_refuse_any(const char *token, char *message) {
    snprintf(message, UNIT_MESSAGE_SIZE, "%s allowed here, not '%s'", units_allowed(UNIT_NONE),
             token);
    return message;
}

const char *units_refuse_text(enum unit_kind kind, char *message) {
    snprintf(message, UNIT_MESSAGE_SIZE, "not a number; allowed a number with a unit of %s: %s",
             units_kind_name(kind), units_allowed(kind));
    return message;
}

// Whether every comma has a group of three digits behind it, and the first group is no zero.
static bool refuse_thousands(const char *text) {
    const char *first = text + (*text == '-' || *text == '+');
    const size_t lead = strspn(first, "0123456789");
    const char *at = first + lead;
    if (lead == 0 || lead > 3 || *first == '0') {
        return false;
    }
    while (*at == ',') {
        if (strspn(at + 1, "0123456789") != 3) {
            return false;
        }
        at += 4;
    }
    return true;
}

const char *units_refuse_comma(const char *text, char *message) {
    char joined[DIGITS_MAX + 1];
    char decimal[DIGITS_MAX + 2];
    const size_t length = strspn(text, "+-0123456789.,");
    size_t commas = 0, points = 0, a = 0, b = 0;
    for (size_t i = 0; i < length && i < DIGITS_MAX; i++) {
        commas += text[i] == ',';
        points += text[i] == '.';
        if (text[i] != ',') {
            joined[a++] = text[i];
        }
        decimal[b++] = text[i] == ',' ? '.' : text[i];
    }
    joined[a] = '\0';
    // 5,500 as a decimal is 5.5.
    while (b > 2 && decimal[b - 1] == '0' && decimal[b - 2] != '.') {
        b--;
    }
    decimal[b] = '\0';
    const bool thousands = refuse_thousands(text);
    const bool point = commas == 1 && points == 0 && isdigit((unsigned char)decimal[b - 1]);
    if (length > DIGITS_MAX || (!thousands && !point)) {
        return "a number has no comma in it; write 5500 or 5.5";
    }
    if (thousands && point) {
        snprintf(message, UNIT_MESSAGE_SIZE,
                 "a number has no comma; write %s, or %s if you mean a decimal", joined, decimal);
    } else {
        snprintf(message, UNIT_MESSAGE_SIZE, "a number has no comma; write %s",
                 thousands ? joined : decimal);
    }
    return message;
}
