// SPDX-License-Identifier: MIT
// A first scenario, begun in a page.
#include "hardware/starter.h"
#include "page/page.h"

#include <stdlib.h>
#include <string.h>

struct page_starter {
    char *inputs; // cut into names and values, which the inputs below point into
    char *text, *messages;
};

static bool says(const char *text, const char *word) {
    return strcmp(text, word) == 0;
}

// One answer to its place; one that nobody asked for is passed over.
static void take(struct starter_inputs *in, const char *name, const char *value) {
    const struct {
        const char *name, **to;
    } texts[] = {{"body", &in->body},
                 {"port", &in->full},
                 {"set-pressure", &in->set_pressure},
                 {"flow", &in->flow},
                 {"vessel", &in->vessel},
                 {"level", &in->level},
                 {"other-pressure", &in->other_pressure},
                 {"altitude", &in->altitude},
                 {"limit", &in->limit},
                 {"lowest", &in->lowest},
                 {"peak", &in->peak},
                 {"pipe-before", &in->pipe_before},
                 {"pipe-after", &in->pipe_after},
                 {"seen", &in->seen},
                 {"quiet-at", &in->quiet_at}};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        if (says(name, texts[i].name)) {
            *texts[i].to = value;
        }
    }
    if (says(name, "reduced-port") && in->port_count < STARTER_PORTS_MAX) {
        in->port[in->port_count++] = value;
    } else if (says(name, "duty")) {
        in->duty = says(value, "reducing") ? DUTY_REDUCING : DUTY_BACK_PRESSURE;
    } else if (says(name, "actuation")) {
        in->actuation = says(value, "direct") ? ACTUATION_DIRECT : ACTUATION_PILOT;
    } else if (says(name, "pilot")) {
        in->pilot_said = true;
        in->three_way = says(value, "three-way");
    } else if (says(name, "orientation")) {
        in->oriented = true;
        in->horizontal = says(value, "horizontal");
    }
}

// Cuts the text into lines and those at their tabs.
static struct starter_inputs read_inputs(char *text) {
    struct starter_inputs inputs = {.duty = DUTY_BACK_PRESSURE, .actuation = ACTUATION_PILOT};
    for (char *line = text, *end; *line; line = end) {
        end = line + strcspn(line, "\n");
        if (*end) {
            *end++ = '\0';
        }
        char *value = strchr(line, '\t');
        if (value) {
            *value++ = '\0';
            take(&inputs, line, value);
        }
    }
    return inputs;
}

static const char *missing(const struct starter_inputs *inputs) {
    return !inputs->body           ? "body"
           : !inputs->set_pressure ? "set-pressure"
           : !inputs->flow         ? "flow"
           : !inputs->vessel       ? "vessel"
                                   : NULL;
}

// Writes text and messages; without memory for them both stay NULL.
static void begin(struct page_starter *s) {
    const struct starter_inputs inputs = read_inputs(s->inputs);
    struct diagnostics list = {0};
    size_t length = 0;
    FILE *out = open_memstream(&s->text, &length);
    const char *lacks = missing(&inputs);
    bool fine = out && !lacks && starter_write(out, &inputs, &list);
    if (out && fclose(out) == 0 && !fine) {
        s->text[0] = '\0';
    }
    FILE *messages = open_memstream(&s->messages, &length);
    if (messages && lacks) {
        fprintf(messages, "%s is missing\n", lacks);
    } else if (messages) {
        diagnostics_print(&list, messages);
    }
    if (messages) {
        fclose(messages);
    }
    diagnostics_free(&list);
}

struct page_starter *page_starter_open(const char *inputs, size_t length) {
    struct page_starter *starter = calloc(1, sizeof *starter);
    char *copy = malloc(length + 1);
    if (!starter || !copy) {
        free(starter);
        free(copy);
        return NULL;
    }
    memcpy(copy, inputs, length);
    copy[length] = '\0';
    starter->inputs = copy;
    begin(starter);
    return starter;
}

const char *page_starter_text(const struct page_starter *starter) {
    return starter->text ? starter->text : "";
}

const char *page_starter_messages(const struct page_starter *starter) {
    return starter->messages ? starter->messages : "";
}

void page_starter_close(struct page_starter *starter) {
    if (starter) {
        free(starter->inputs);
        free(starter->text);
        free(starter->messages);
    }
    free(starter);
}
