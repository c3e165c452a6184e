// SPDX-License-Identifier: MIT
#include "base/wrap.h"

#include "base/clean.h"

#include <string.h>

enum { LABEL_MAX = 24, LONG_HANG = 4 };

void wrap_print(FILE *out, int indent, const char *label, const char *text) {
    int length_of_label = (int)strlen(label), start = indent + length_of_label, used = start;
    int hang = length_of_label <= LABEL_MAX ? start : indent + LONG_HANG;
    fprintf(out, "%*s", indent, "");
    clean_put(out, CLEAN_TERMINAL, label);
    while (*text != '\0') {
        size_t length = strcspn(text, " ");
        if (used > start && used + 1 + (int)length > WRAP_WIDTH) {
            fprintf(out, "\n%*s", hang, "");
            used = start = hang;
        } else if (used > start) {
            fputc(' ', out);
            used++;
        }
        clean_put_part(out, CLEAN_TERMINAL, text, length);
        used += (int)length;
        text += length;
        text += strspn(text, " ");
    }
    fputc('\n', out);
}
