// SPDX-License-Identifier: MIT
// The manual page, in the man macros of troff: each command's words and options from its table.
#include "shell/help_page.h"

#include <string.h>

// Text in which nothing is taken for an instruction: hyphens stay hyphens, and no line begins with
// a dot or a quote.
static void put(FILE *out, const char *text) {
    bool begins = true;
    for (; *text; text++) {
        if (begins && (*text == '.' || *text == '\'')) {
            fputs("\\&", out);
        }
        begins = *text == '\n';
        if (*text == '\\') {
            fputs("\\e", out);
        } else if (*text == '-') {
            fputs("\\-", out);
        } else {
            fputc(*text, out);
        }
    }
}

static void put_paragraphs(FILE *out, const char *text) {
    while (*text) {
        const char *end = strstr(text, "\n\n");
        const size_t length = end ? (size_t)(end - text) : strlen(text);
        char one[4096];
        snprintf(one, sizeof one, "%.*s", (int)length, text);
        put(out, one);
        fputc('\n', out);
        text += length + strspn(text + length, "\n");
        if (*text) {
            fputs(".PP\n", out);
        }
    }
}

static void put_option(FILE *out, const struct command_option *option) {
    fputs(".TP\n.B \\-\\-", out);
    put(out, option->name);
    if (option->value) {
        fputs("\\~\\fI", out);
        put(out, option->value);
        fputs("\\fP", out);
    }
    fputc('\n', out);
    char said[OPTION_SAID_SIZE];
    option_said(option, said);
    put(out, said);
    fputc('\n', out);
}

static void put_command(FILE *out, const struct command *command) {
    fprintf(out, ".SS %s\n", command->name);
    put_paragraphs(out, command->about);
    for (size_t i = 0; i < command->option_count; i++) {
        put_option(out, &command->option[i]);
    }
    if (command->more) {
        fputs(".PP\n", out);
        put_paragraphs(out, command->more);
    }
    fputs(".PP\n.nf\n", out);
    put(out, command->examples);
    fputs(".fi\n", out);
}

static void put_synopsis(FILE *out) {
    fputs(".SH SYNOPSIS\n", out);
    for (size_t i = 0; command_at(i); i++) {
        fprintf(out, ".SY lowlift\n.B %s\n.RI [ options ]\n", command_at(i)->name);
        put(out, command_at(i)->arguments);
        fprintf(out, "%s.YS\n", command_at(i)->arguments[0] ? "\n" : "");
    }
    fputs(".SY lowlift\n.B \\-\\-help\n|\n.B \\-\\-version\n|\n.B \\-\\-manual\n|\n"
          ".B \\-\\-completion\n.YS\n",
          out);
}

static void put_shared(FILE *out) {
    fputs(".SS Options of several commands\n", out);
    for (size_t i = 0; i < SHARED_COUNT; i++) {
        unsigned group;
        put_option(out, option_shared_at((enum option_shared)i, &group));
    }
}

static void put_exits(FILE *out) {
    const struct exit_meaning *m;
    fputs(".SH EXIT STATUS\n", out);
    for (unsigned i = 0; (m = exit_code_meaning(i)) != NULL; i++) {
        fprintf(out, ".TP\n.B %d\n", m->code);
        put(out, m->words);
        fputc('\n', out);
    }
}

void help_page_manual(FILE *out) {
    fputs(".\\\" SPDX-License-Identifier: MIT\n"
          ".\\\" Made by lowlift --manual from the tables that read the command line.\n"
          ".TH LOWLIFT 1 \"\" \"lowlift " LOWLIFT_VERSION "\" \"User Commands\"\n"
          ".SH NAME\n"
          "lowlift \\- why a pressure regulator hunts at low flow, and which trim cures it\n",
          out);
    put_synopsis(out);
    fputs(".SH DESCRIPTION\n", out);
    put_paragraphs(
        out,
        "lowlift simulates a gas or liquid pressure regulator together with its vessel and its "
        "flow, and judges its motion. It shows why a regulator that is too big for its flow hunts, "
        "chatters or slams, and which port, trim or adjustment cures it, before anyone buys "
        "parts.\n\n"
        "A scenario is a YAML file in which every value has its unit. Pressure levels say gauge or "
        "absolute: psig, psia, kPa(g), bar(a). Fractions are read as they are spoken: 2 7/8 in. A "
        "value marked `about` is a guess, and each run lists the guesses. A scenario may name "
        "several trims, each of which says only what it changes.");
    fputs(".SH COMMANDS\n", out);
    for (size_t i = 0; command_at(i); i++) {
        put_command(out, command_at(i));
    }
    put_shared(out);
    put_exits(out);
    fputs(".SH FILES\n", out);
    put_paragraphs(
        out,
        "Tables are CSV (RFC 4180) with `name [unit]` in the header, summaries JSON, pictures svg "
        "or png. A file appears whole or not at all.");
    fputs(".SH ENVIRONMENT\n", out);
    fputs(".TP\n.B LOWLIFT_PLOTS_DIR\nFolder of the plot scripts, in place of the installed one.\n"
          ".TP\n.B LOWLIFT_PLOT_SECONDS\nHow long gnuplot may take for a picture before it is "
          "stopped; "
          "120 unless set.\n"
          ".TP\n.B OMP_NUM_THREADS\nCores that studies work on. The results do not depend on it.\n"
          ".TP\n.B TMPDIR\nWhere the data of a picture lie while it is drawn.\n",
          out);
    fputs(".SH CAUTION\n", out);
    put_paragraphs(
        out,
        "A model, not a test on site. Pressure stays trapped in chambers and lines, springs are "
        "under load, plugs pinch, and gas may carry H2S: isolate, vent and prove zero before "
        "opening anything. The maker's manual, local codes and licensed practice come first. "
        "lowlift sizes no relief device.");
}
