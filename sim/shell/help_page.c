// SPDX-License-Identifier: MIT
#include "shell/help_page.h"

#include "base/wrap.h"

#include <string.h>

enum { TEXT_SIZE = 2048, LABEL_WIDTH = 24 };

// Paragraphs, parted by empty lines.
static void print_paragraphs(FILE *out, const char *text) {
    char one[TEXT_SIZE];
    while (*text) {
        const char *end = strstr(text, "\n\n");
        const size_t length = end ? (size_t)(end - text) : strlen(text);
        snprintf(one, sizeof one, "%.*s", (int)length, text);
        for (char *at = one; (at = strchr(at, '\n')) != NULL;) {
            *at = ' ';
        }
        wrap_print(out, 0, "", one);
        fputc('\n', out);
        text += length + strspn(text + length, "\n");
    }
}

static void print_option(FILE *out, const struct command_option *option) {
    char label[96];
    snprintf(label, sizeof label, "--%s%s%s", option->name, option->value ? " " : "",
             option->value ? option->value : "");
    char padded[128];
    snprintf(padded, sizeof padded, "%-*s  ", LABEL_WIDTH - 2, label);
    char said[OPTION_SAID_SIZE];
    option_said(option, said);
    wrap_print(out, 2, padded, said);
}

static void print_exits(FILE *out, const struct command *command) {
    char text[TEXT_SIZE] = "";
    const struct exit_meaning *m;
    for (unsigned i = 0; (m = exit_code_meaning(i)) != NULL; i++) {
        if (m->bit == 0 || command->exits & m->bit) {
            const size_t used = strlen(text);
            snprintf(text + used, sizeof text - used, "%s%d %s", used ? ", " : "", m->code,
                     m->words);
        }
    }
    wrap_print(out, 0, "Exit codes: ", text);
}

void help_page_print(FILE *out, const struct command *command) {
    fprintf(out, "Usage: lowlift %s [options]%s%s\n\n", command->name,
            command->arguments[0] ? " " : "", command->arguments);
    print_paragraphs(out, command->about);
    fprintf(out, "%s\nOptions:\n", command->examples);
    const struct command_option *option;
    for (size_t i = 0; (option = option_at(command, i)) != NULL; i++) {
        print_option(out, option);
    }
    fputc('\n', out);
    if (command->more) {
        print_paragraphs(out, command->more);
    }
    print_exits(out, command);
}
