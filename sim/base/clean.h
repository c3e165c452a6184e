// SPDX-License-Identifier: MIT
// Texts that others wrote (titles, names, names of files, the words of another program), cleaned
// for the place they go to. Everything that leaves the program passes here once:
//
//   CLEAN_TERMINAL  a line of a terminal or a log: no control sequence, no line end, no letter that
//                   is not seen or that turns the direction of writing.
//   CLEAN_PICTURE   the same as part of a picture: besides, nothing that is not allowed in XML 1.0,
//                   and no "]]>", which gnuplot does not escape.
//   CLEAN_MARKUP    the same as text or attribute of HTML: "&", "<", ">" and quotes written as
//   such. CLEAN_LINES     CLEAN_MARKUP that keeps line ends. CLEAN_CSV       the same as a cell,
//   line ends kept and quotes doubled (RFC 4180): no spreadsheet
//                   takes it for a formula.
//   CLEAN_JSON      any UTF-8, since JSON escapes what it must.
//
// Bytes that are no UTF-8 become '?'; a letter that was cut at the end of a text is left out. What
// controls becomes a blank, what is not seen a '?'. Source: Unicode 15, general categories Cc, Cf,
// Zl and Zp and the noncharacters; XML 1.0 (5th edition), production 2.
#pragma once

#include <stddef.h>
#include <stdio.h>

enum clean_place {
    CLEAN_TERMINAL,
    CLEAN_PICTURE,
    CLEAN_MARKUP,
    CLEAN_LINES,
    CLEAN_CSV,
    CLEAN_JSON
};

// As much of a text as fits, in whole letters. Bytes written, without the NUL byte; `size` is not
// 0.
size_t clean_text(enum clean_place place, const char *text, char *out, size_t size);

// Bytes of the whole letters that begin a text, at most `most` of them (one letter may be more): as
// a precision of "%.*s", which counts bytes and by itself would leave half a letter.
int clean_whole(const char *text, int most);

// To a stream, all of it or its first `length` bytes.
void clean_put(FILE *out, enum clean_place place, const char *text);
void clean_put_part(FILE *out, enum clean_place place, const char *text, size_t length);

// One line of talk: what the format makes, cleaned for a terminal, and a line end. Of what is
// longer than CLEAN_SAY_MAX bytes the middle is left out.
enum { CLEAN_SAY_MAX = 6144 };
void clean_say(FILE *out, const char *format, ...) __attribute__((format(printf, 2, 3)));
