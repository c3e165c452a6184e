// SPDX-License-Identifier: MIT
#include "units/units.h"

#include "base/decimal.h"
#include "units/units_refuse.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { NUMBER_SIZE = 64 };

// Spellings that mean the same, reduced before the table is searched. Order matters: longer first.
static const struct {
    const char *from;
    const char *to;
} spellings[] = {
    {"\xc2\xb2", "2"},   {"\xc2\xb3", "3"}, {"\xc2\xb7", " "},
    {"\xc2\xb0", "deg"}, {"\xc2\xb5", "u"}, {"\xce\xbc", "u"},
    {"deg F", "degF"},   {"deg C", "degC"}, {"\xe2\x8b\x85", " "},
    {"/day", "/d"},      {"/hr", "/h"},     {"/sec", "/s"},
    {"^", ""},           {"*", " "},        {".", " "},
    {"-", " "},
};

static size_t units_spelling(const char *text, const char **replacement) {
    for (size_t i = 0; i < sizeof spellings / sizeof spellings[0]; i++) {
        if (*text != spellings[i].from[0]) {
            continue; // nearly always: bounds are read at every resolving
        }
        const size_t length = strlen(spellings[i].from);
        if (strncmp(text, spellings[i].from, length) == 0) {
            *replacement = spellings[i].to;
            return length;
        }
    }
    return 0;
}

static bool units_tight(char c) {
    return c == '/' || c == '(' || c == ')';
}

// Reduces a unit as written to the form of the table: single blanks, none beside / ( ).
static bool units_reduce(const char *text, char token[UNIT_TOKEN_SIZE]) {
    char plain[2 * UNIT_TOKEN_SIZE];
    size_t length = 0;
    while (*text) {
        const char *piece = NULL;
        char single[2] = {*text, '\0'};
        const size_t used = units_spelling(text, &piece);
        if (used == 0) {
            piece = single;
        }
        const size_t size = strlen(piece);
        if (length + size >= sizeof plain) {
            return false;
        }
        memcpy(plain + length, piece, size);
        length += size;
        text += used ? used : 1;
    }
    plain[length] = '\0';
    size_t out = 0;
    for (size_t i = 0; i < length; i++) {
        const bool blank = isspace((unsigned char)plain[i]) != 0;
        if (blank) {
            const char next = plain[i + 1];
            if (out == 0 || next == '\0' || isspace((unsigned char)next) || units_tight(next) ||
                units_tight(token[out - 1])) {
                continue;
            }
        }
        if (out + 1 >= UNIT_TOKEN_SIZE) {
            return false;
        }
        token[out++] = blank ? ' ' : plain[i];
    }
    token[out] = '\0';
    return true;
}

static const char *units_digits(const char *c) {
    while (isdigit((unsigned char)*c)) {
        c++;
    }
    return c;
}

// "7/8" at c: numerator, slash, denominator of a few digits. Returns its end, or NULL.
static const char *units_ratio(const char *c, double *value) {
    const char *slash = units_digits(c);
    if (slash == c || *slash != '/' || slash - c > 4) {
        return NULL;
    }
    const char *end = units_digits(slash + 1);
    if (end == slash + 1 || end - slash > 5) {
        return NULL;
    }
    const double denominator = decimal_read(slash + 1);
    if (denominator == 0.0) {
        return NULL;
    }
    *value = decimal_read(c) / denominator;
    return end;
}

// A decimal number at c, the plain way only: no hexadecimal, no infinity. Returns its end or NULL.
static const char *units_decimal(const char *c, double *value) {
    const char *end = units_digits(c);
    size_t digits = (size_t)(end - c);
    if (*end == '.') {
        const char *fraction = units_digits(end + 1);
        digits += (size_t)(fraction - end - 1);
        end = fraction;
    }
    if (digits == 0) {
        return NULL;
    }
    if (*end == 'e' || *end == 'E') {
        const char *sign = end + 1 + (end[1] == '+' || end[1] == '-');
        const char *exponent = units_digits(sign);
        if (exponent > sign) {
            end = exponent;
        }
    }
    char copy[NUMBER_SIZE];
    const size_t length = (size_t)(end - c);
    if (length >= sizeof copy) {
        return NULL;
    }
    memcpy(copy, c, length);
    copy[length] = '\0';
    *value = decimal_read(copy);
    return end;
}

// Number with sign, decimal or with a fraction ("2 7/8", "2-7/8", "7/8"). Returns its end or NULL.
static const char *units_number(const char *text, double *value) {
    const char *c = text;
    double sign = 1.0;
    if (*c == '-' || *c == '+') {
        sign = *c++ == '-' ? -1.0 : 1.0;
    }
    double ratio = 0.0;
    const char *end = units_ratio(c, value);
    if (!end) {
        end = units_decimal(c, value);
        if (!end) {
            return NULL;
        }
        const char *next = end;
        while (*next == ' ' || *next == '-') {
            next++;
        }
        const char *mixed = next > end && units_digits(c) == end ? units_ratio(next, &ratio) : NULL;
        if (mixed) {
            *value += ratio;
            end = mixed;
        }
    }
    *value *= sign;
    return end;
}

// Units that are written all in capitals, as on forms and gauges. Only those that can be read in
// one way: not MPA (mPa or MPa?), and nothing in small letters (mcfd, mmscfd), where an m is a
// thousandth.
static const struct {
    const char *from;
    const char *to;
} capitals[] = {
    {"PSI", "psi"},          {"PSIG", "psig"},      {"PSIA", "psia"},      {"SCFD", "scfd"},
    {"SCFH", "scfh"},        {"SCFM", "scfm"},      {"SCF/D", "scfd"},     {"SCF/H", "scfh"},
    {"SCF/MIN", "scfm"},     {"MCFD", "Mcfd"},      {"MCF/D", "Mcfd"},     {"MCF/DAY", "Mcfd"},
    {"MSCFD", "Mscfd"},      {"MSCF/D", "Mscfd"},   {"MSCF/DAY", "Mscfd"}, {"MMCFD", "MMcfd"},
    {"MMCF/D", "MMcfd"},     {"MMCF/DAY", "MMcfd"}, {"MMSCFD", "MMscfd"},  {"MMSCF/D", "MMscfd"},
    {"MMSCF/DAY", "MMscfd"}, {"GPM", "gpm"},        {"BPD", "bpd"},        {"BBL/D", "bbl/d"},
};

static const char *units_small(const char *token) {
    for (size_t i = 0; i < sizeof capitals / sizeof capitals[0]; i++) {
        if (strcmp(capitals[i].from, token) == 0) {
            return capitals[i].to;
        }
    }
    return token;
}

// Looks the reduced token up and applies it to the number, which was written as `digits`.
static const char *units_apply(const char *token, double number, const char *digits,
                               struct quantity *out, char *message) {
    const enum unit_kind kind = out->kind;
    token = units_small(token);
    const struct unit *unit = units_find(kind, token);
    if (unit) {
        out->basis = unit->basis;
        out->system = unit->system;
        out->token = unit->token;
        out->value = unit->factor * number + unit->offset;
    } else if (token[0] == '\0' && (kind == UNIT_NONE || kind == UNIT_FRACTION)) {
        out->value = number;
    } else if (kind == UNIT_NONE) {
        return units_refuse_any(token, message);
    } else {
        return units_refuse(digits, token, kind, message);
    }
    return isfinite(out->value) ? NULL : "too large a number";
}

const char *units_parse(const char *text, enum unit_kind kind, struct quantity *out,
                        char *message) {
    *out = (struct quantity){kind, BASIS_PLAIN, UNITS_AS_WRITTEN, 0.0, NULL};
    while (isspace((unsigned char)*text)) {
        text++;
    }
    double number = 0.0;
    const char *end = units_number(text, &number);
    if (!end) {
        return units_refuse_text(kind, message);
    }
    if (*end == ',') {
        return units_refuse_comma(text, message);
    }
    if (!isfinite(number)) {
        return "too large a number";
    }
    char token[UNIT_TOKEN_SIZE];
    if (!units_reduce(end, token)) {
        return units_refuse_unit(NULL, kind, message);
    }
    char digits[NUMBER_SIZE];
    snprintf(digits, sizeof digits, "%.*s", (int)(end - text), text);
    return units_apply(token, number, digits, out, message);
}
