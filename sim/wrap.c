// SPDX-License-Identifier: MIT
#include "wrap.h"

#include <string.h>

void wrap_print(FILE *out, int indent, const char *label, const char *text) {
    int start = indent + (int)strlen(label), used = start;
    fprintf(out, "%*s%s", indent, "", label);
    while (*text != '\0') {
        size_t length = strcspn(text, " ");
        if (used > start && used + 1 + (int)length > WRAP_WIDTH) {
            fprintf(out, "\n%*s", start, "");
            used = start;
        } else if (used > start) {
            fputc(' ', out);
            used++;
        }
        fwrite(text, 1, length, out);
        used += (int)length;
        text += length;
        text += strspn(text, " ");
    }
    fputc('\n', out);
}
