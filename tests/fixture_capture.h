// SPDX-License-Identifier: MIT
// What is printed to a stream, as text.
#pragma once

#include "support.h"

#include <stdlib.h>

struct fixture_capture {
    FILE *stream; // to print to
    char *text;   // after fixture_capture_end; free with free()
    size_t size;
};

static inline void fixture_capture_begin(struct fixture_capture *c) {
    c->stream = open_memstream(&c->text, &c->size);
    assert_non_null(c->stream);
}

static inline char *fixture_capture_end(struct fixture_capture *c) {
    assert_int_equal(fclose(c->stream), 0);
    return c->text;
}

static inline size_t fixture_count_text(const char *text, const char *part) {
    size_t count = 0;
    for (const char *at = strstr(text, part); at; at = strstr(at + 1, part)) {
        count++;
    }
    return count;
}

#define assert_says(text, part)                                                                    \
    do {                                                                                           \
        if (!strstr((text), (part))) {                                                             \
            fail_msg("does not say '%s':\n%s", (part), (text));                                    \
        }                                                                                          \
    } while (0)
