// SPDX-License-Identifier: MIT
#include "show/html_text.h"

#include <string.h>

void html_text_json(FILE *out, const char *json) {
    for (const char *at = json; *at; at++) {
        if (*at == '<' || *at == '>' || *at == '&') {
            fprintf(out, "\\u%04x", (unsigned)*at);
        } else {
            fputc(*at, out);
        }
    }
}

static const char ALPHABET[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

// Four letters of up to three bytes.
static void letters(const unsigned char *bytes, size_t size, char letter[5]) {
    unsigned long group = 0;
    for (size_t i = 0; i < 3; i++) {
        group = group << 8 | (i < size ? bytes[i] : 0);
    }
    for (size_t i = 0; i < 4; i++) {
        letter[i] = i <= size ? ALPHABET[group >> (18 - 6 * i) & 63] : '=';
    }
    letter[4] = '\0';
}

void html_text_base64(FILE *out, const void *bytes, size_t size) {
    const unsigned char *at = bytes;
    char letter[5];
    for (size_t i = 0; i < size; i += 3) {
        letters(at + i, size - i < 3 ? size - i : 3, letter);
        fputs(letter, out);
    }
}

void html_text_base64_short(const void *bytes, size_t size, char *text) {
    const unsigned char *at = bytes;
    for (size_t i = 0; i < size; i += 3) {
        letters(at + i, size - i < 3 ? size - i : 3, text + i / 3 * 4);
    }
}

bool html_text_is_utf8(const char *text) {
    const unsigned char *at = (const unsigned char *)text;
    while (*at) {
        const int more = *at < 0x80       ? 0
                         : *at >> 5 == 6  ? 1
                         : *at >> 4 == 14 ? 2
                         : *at >> 3 == 30 ? 3
                                          : -1;
        unsigned long code = more > 0 ? *at & (0x3fUL >> more) : *at;
        at++;
        for (int i = 0; i < more; i++, at++) {
            if (*at >> 6 != 2) {
                return false;
            }
            code = code << 6 | (*at & 0x3f);
        }
        static const unsigned long least[] = {0, 0x80, 0x800, 0x10000};
        if (more < 0 || code < least[more] || code > 0x10ffff ||
            (code >= 0xd800 && code < 0xe000)) {
            return false;
        }
    }
    return true;
}
