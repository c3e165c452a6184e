// SPDX-License-Identifier: MIT
#include "show/plot_svg.h"

#include "base/clean.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char BEGIN[] = "<title>", END[] = "</title>";

char *plot_svg_titled(char *svg, size_t *length, const char *heading) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    const char *at = svg, *begin;
    bool first = true;
    while (out && (begin = strstr(at, BEGIN)) != NULL) {
        const char *end = strstr(begin, END);
        fwrite(at, 1, (size_t)(begin - at), out);
        if (first) {
            fputs(BEGIN, out);
            clean_put(out, CLEAN_MARKUP, heading[0] ? heading : "picture");
            fputs(END, out);
        }
        first = false;
        at = end ? end + strlen(END) : begin + strlen(begin);
    }
    if (out) {
        fputs(at, out);
    }
    if (!out || fclose(out) != 0) {
        free(text);
        text = NULL;
    }
    free(svg);
    *length = size;
    return text;
}
