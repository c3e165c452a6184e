// SPDX-License-Identifier: MIT
#include "base/clean.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { PIECE_SIZE = 8 }; // one letter as it is written, with its NUL byte: "&quot;" is the longest

// A letter that a text holds: its bytes and its code point; no code point for a byte that is none.
struct letter {
    size_t bytes;
    long code;
    bool cut; // the text ends within it
};

static struct letter letter_at(const unsigned char *at) {
    static const long least[] = {0, 0x80, 0x800, 0x10000};
    const int more = *at < 0x80       ? 0
                     : *at >> 5 == 6  ? 1
                     : *at >> 4 == 14 ? 2
                     : *at >> 3 == 30 ? 3
                                      : -1;
    if (more <= 0) {
        return (struct letter){1, more == 0 ? *at : -1, false};
    }
    long code = *at & (0x3f >> more);
    for (int i = 1; i <= more; i++) {
        if (at[i] >> 6 != 2) {
            return (struct letter){(size_t)i, -1, at[i] == '\0'};
        }
        code = code << 6 | (at[i] & 0x3f);
    }
    const bool right = code >= least[more] && code <= 0x10ffff && (code < 0xd800 || code >= 0xe000);
    return (struct letter){(size_t)more + 1, right ? code : -1, false};
}

static bool is_control(long code) {
    return code < 0x20 || (code >= 0x7f && code < 0xa0) || code == 0x2028 || code == 0x2029;
}

// Zero-width joiners are seen: they shape their neighbours in many scripts.
static bool is_unseen(long code) {
    static const long range[][2] = {
        {0xad, 0xad},       {0x600, 0x605},     {0x61c, 0x61c},   {0x180e, 0x180e},
        {0x200b, 0x200b},   {0x200e, 0x200f},   {0x202a, 0x202e}, {0x2060, 0x206f},
        {0xfdd0, 0xfdef},   {0xfeff, 0xfeff},   {0xfff9, 0xfffb}, {0x1bca0, 0x1bca3},
        {0x1d173, 0x1d17a}, {0xe0000, 0xe0fff},
    };
    bool unseen = (code & 0xfffe) == 0xfffe; // the last two of each plane
    for (size_t i = 0; i < sizeof range / sizeof range[0]; i++) {
        unseen = unseen || (code >= range[i][0] && code <= range[i][1]);
    }
    return unseen;
}

static const char *entity(long code) {
    return code == '&'    ? "&amp;"
           : code == '<'  ? "&lt;"
           : code == '>'  ? "&gt;"
           : code == '"'  ? "&quot;"
           : code == '\'' ? "&#39;"
                          : NULL;
}

// What stands for a letter; NULL: itself.
static const char *stands_for(enum clean_place place, long code) {
    const bool markup = place == CLEAN_MARKUP || place == CLEAN_LINES;
    if (code < 0) {
        return "?";
    }
    if (place == CLEAN_JSON || (code == '\n' && (place == CLEAN_LINES || place == CLEAN_CSV))) {
        return NULL;
    }
    if (place == CLEAN_CSV && code == '"') {
        return "\"\"";
    }
    return is_control(code) ? " " : is_unseen(code) ? "?" : markup ? entity(code) : NULL;
}

// The next letter of a text, moved past, as it is to be written: bytes of it, 0 at the end.
static size_t take(enum clean_place place, const char **text, const char *begin,
                   char piece[PIECE_SIZE]) {
    const struct letter letter = letter_at((const unsigned char *)*text);
    if (**text == '\0' || letter.cut) {
        return 0;
    }
    const char *stands = stands_for(place, letter.code);
    const bool ends_section =
        place == CLEAN_PICTURE && *text - begin >= 2 && memcmp(*text - 2, "]]>", 3) == 0;
    size_t bytes = letter.bytes;
    if (stands) {
        bytes = strlen(stands);
        memcpy(piece, stands, bytes);
    } else {
        const size_t before = ends_section ? 1 : 0;
        piece[0] = ' ';
        memcpy(piece + before, *text, bytes);
        bytes += before;
    }
    *text += letter.bytes;
    return bytes;
}

// Spreadsheets run what begins so. A number and a lone sign are none.
static bool is_formula(const char *text) {
    const char *after = text + 1;
    return text[0] == '=' || text[0] == '@' || text[0] == '\t' || text[0] == '\r' ||
           ((text[0] == '+' || text[0] == '-') && *after && !strchr("0123456789. ", *after) &&
            strcmp(after, "inf") != 0);
}

size_t clean_text(enum clean_place place, const char *text, char *out, size_t size) {
    const char *at = text;
    size_t used = 0, bytes;
    char piece[PIECE_SIZE];
    if (place == CLEAN_CSV && is_formula(text) && size > 1) {
        out[used++] = '\'';
    }
    while ((bytes = take(place, &at, text, piece)) > 0 && used + bytes < size) {
        memcpy(out + used, piece, bytes);
        used += bytes;
    }
    out[used] = '\0';
    return used;
}

int clean_whole(const char *text, int most) {
    int used = 0;
    while (used < most && text[used]) {
        const struct letter letter = letter_at((const unsigned char *)text + used);
        if (used > 0 && letter.bytes > (size_t)(most - used)) {
            break;
        }
        used += (int)letter.bytes;
    }
    return used;
}

void clean_put_part(FILE *out, enum clean_place place, const char *text, size_t length) {
    const char *at = text;
    size_t bytes;
    char piece[PIECE_SIZE];
    if (place == CLEAN_CSV && length > 0 && is_formula(text)) {
        fputc('\'', out);
    }
    while ((size_t)(at - text) < length && (bytes = take(place, &at, text, piece)) > 0) {
        fwrite(piece, 1, bytes, out);
    }
}

void clean_put(FILE *out, enum clean_place place, const char *text) {
    clean_put_part(out, place, text, strlen(text));
}

// Of a text that is longer than a line may be, as a name that somebody typed, the middle is left
// out: what is said of it stands at its end.
static void shorten(char *text, size_t length) {
    if (length >= CLEAN_SAY_MAX) {
        const size_t head = CLEAN_SAY_MAX / 2, tail = CLEAN_SAY_MAX / 3;
        static const char gap[] = {' ', '.', '.', '.', ' '};
        memcpy(text + head, gap, sizeof gap);
        memmove(text + head + sizeof gap, text + length - tail, tail + 1);
    }
}

void clean_say(FILE *out, const char *format, ...) {
    char fixed[CLEAN_SAY_MAX], clean[CLEAN_SAY_MAX + 1];
    va_list arguments;
    va_start(arguments, format);
    const int length = vsnprintf(fixed, sizeof fixed, format, arguments);
    va_end(arguments);
    char *whole = length >= CLEAN_SAY_MAX ? malloc((size_t)length + 1) : NULL;
    if (whole) {
        va_start(arguments, format);
        vsnprintf(whole, (size_t)length + 1, format, arguments);
        va_end(arguments);
        shorten(whole, (size_t)length);
    }
    const size_t used = clean_text(CLEAN_TERMINAL, whole ? whole : fixed, clean, CLEAN_SAY_MAX);
    free(whole);
    clean[used] = '\n';
    fwrite(clean, 1, used + 1, out); // in one piece: standard error has no buffer
}
