// SPDX-License-Identifier: MIT
#include "nonsense.h"

#include "library/inside.h"
#include "run/figure.h"
#include "shell/command.h"

#include <ctype.h>
#include <dirent.h>
#include <fcntl.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

// Of throughput.
static const double BALANCE = 1e-9;
// Of what is held: some dozen roundings of a double.
static const double ROUNDING = 5e-15;

void nonsense_finding(struct nonsense_findings *findings, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    printf("seed %lu, %s: ", findings->of->seed, findings->during);
    vprintf(format, arguments);
    printf("\n    %s", findings->of->path);
    for (size_t i = 0; i < findings->of->count; i++) {
        printf(" --set '%s'", findings->of->change[i]);
    }
    printf("\n");
    va_end(arguments);
    findings->count++;
}

// --- A run

static void look_at_channels(const struct simulation *s, struct nonsense_findings *f) {
    for (int c = 0; c < CHANNEL_COUNT; c++) {
        const struct channel_row *row = channel_row((enum channel)c);
        if (!channel_applies(&s->start.regulator, (enum channel)c) || !s->channel[c]) {
            continue;
        }
        for (size_t i = 0; i < s->count; i++) {
            const double value = s->channel[c][i];
            if (!isfinite(value)) {
                nonsense_finding(f, "%s is %g at sample %zu of %zu", row->name, value, i, s->count);
                break;
            }
            // A liquid line that is pulled apart is told of by a note; the model has no vapour.
            const bool told = s->start.regulator.liquid &&
                              (c == CHANNEL_INLET_PRESSURE || c == CHANNEL_OUTLET_PRESSURE);
            if ((row->kind == UNIT_PRESSURE_LEVEL && value < 0.0 && !told) ||
                (row->kind == UNIT_TEMPERATURE && value <= 0.0)) {
                nonsense_finding(f, "%s is %g at sample %zu of %zu", row->name, value, i, s->count);
                break;
            }
        }
    }
}

static void look_at_figures(const struct simulation *s, const struct scenario_case *c,
                            struct nonsense_findings *f) {
    const struct figure *figure;
    for (size_t i = 0; (figure = figure_at(i)) != NULL; i++) {
        const double value = figure->value(s, c);
        if (isinf(value)) {
            nonsense_finding(f, "figure %s is %g", figure->name, value);
        } else if (figure->kind == UNIT_PRESSURE_LEVEL && value < 0.0) {
            nonsense_finding(f, "figure %s is %g Pa absolute", figure->name, value);
        }
    }
    if ((int)s->judged.verdict >= VERDICT_COUNT || s->judged.reason[0] == '\0') {
        nonsense_finding(f, "verdict %d: '%s'", (int)s->judged.verdict, s->judged.reason);
    }
}

// What a sum of so much held loses by rounding, as a share of what went through: a vessel of a
// million cubic metres that is fed for a second cannot be balanced to the last gram.
static double rounding(const struct simulation *s) {
    const struct regulator *r = &s->start.regulator;
    const double *end = s->end.state;
    const double through = fmax(fabs(end[r->layout.mass_in]), fabs(end[r->layout.mass_out]));
    return ROUNDING * fabs(regulator_stored_mass(r, end)) / fmax(through, 1e-300);
}

static void look_at_balances(const struct simulation *s, struct nonsense_findings *f) {
    const double allowed = fmax(BALANCE, rounding(s));
    if (allowed > BALANCE) {
        f->rounded++;
    } else if (s->mass_error > f->mass_error) {
        f->mass_error = s->mass_error;
        f->mass_seed = f->of->seed;
    } else if (s->energy_error > f->energy_error) {
        f->energy_error = s->energy_error;
        f->energy_seed = f->of->seed;
    }
    // Not a number: there is no energy to balance.
    if (s->mass_error > allowed || s->energy_error > allowed) {
        nonsense_finding(f, "mass balance %g, energy balance %g of throughput, allowed %g",
                         s->mass_error, s->energy_error, allowed);
    }
}

static void look_at_run(const struct scenario_case *c, struct nonsense_findings *f) {
    struct simulation s;
    simulate(c, &s);
    if (s.outcome == SIMULATION_FAILED) {
        f->given_up++;
        if (s.message[0] == '\0') {
            nonsense_finding(f, "gives up without a word");
        }
    } else if (s.outcome != SIMULATION_DONE) {
        nonsense_finding(f, "outcome %d", (int)s.outcome);
    } else {
        look_at_balances(&s, f);
    }
    look_at_channels(&s, f);
    look_at_figures(&s, c, f);
    simulation_free(&s);
}

static void count_calls(struct nonsense_findings *f, unsigned long before) {
    if (nonsense_calls - before > f->most_calls) {
        f->most_calls = nonsense_calls - before;
        f->most_seed = f->of->seed;
    }
}

void nonsense_run(const struct nonsense *n, struct nonsense_findings *f) {
    const char *texts[NONSENSE_CHANGES_MAX];
    struct diagnostics list = {0};
    f->of = n;
    f->during = "run";
    for (size_t i = 0; i < n->count; i++) {
        texts[i] = n->change[i];
    }
    struct scenario *scenario = scenario_open(n->path, texts, n->count, &list);
    if (!scenario) {
        f->refused++;
        if (list.errors == 0) {
            nonsense_finding(f, "refused without a word");
        }
    } else {
        f->accepted++;
        const unsigned long before = nonsense_calls;
        const size_t trim = scenario_trim_count(scenario) - 1;
        struct scenario_case c;
        if (scenario_resolve(scenario, trim, &c, &list)) {
            look_at_run(&c, f);
        } else {
            nonsense_finding(f, "checks, but does not resolve");
        }
        scenario_case_free(&c);
        count_calls(f, before);
    }
    scenario_free(scenario);
    diagnostics_free(&list);
}

// --- A study

// Each with what it takes to answer for a scenario that says nothing of it; words without blanks.
// Those that make a run or so ...
static const char *const quick[] = {
    "compare --no-plot",
    "stability --no-plot",
    "map --linear --points 3x3 --no-plot",
    "waves --no-plot",
    "readings",
    "check",
    "run --tighter --no-plot",
    "report --study stability",
    "page",
};
static const char decline_words[] =
    "decline --set decline.kind=exponential --set decline.start=2026-01-01"
    " --set decline.rate_start=900kg/h --set decline.annual=0.3 --set decline.basis=effective"
    " --no-plot";
// ... and those that make some hundred, one time in SLOW_EVERY.
static const char *const slow[] = {
    "kick --no-plot",
    "trims --lowest 20kg/h --peak 900kg/h --no-plot",
    decline_words,
    "map --points 2x2 --no-plot",
    "uncertainty --draws 20 --no-plot",
    "remedies --no-plot",
    "jobcard",
    "match --draws 10 --most 20 --no-plot",
};
enum { QUICK = sizeof quick / sizeof quick[0], SLOW = sizeof slow / sizeof slow[0] };
enum { SLOW_EVERY = 6, WORDS_MAX = 48 };

static const char *study_of(const struct nonsense *n) {
    const size_t turn = n->seed / NONSENSE_STUDY_EVERY, later = turn / SLOW_EVERY;
    if (turn % SLOW_EVERY == 0) {
        // What was seen on site stands in one of the bases alone.
        return slow[strstr(n->path, "matched") ? SLOW - 1 : later % (SLOW - 1)];
    }
    return quick[(turn + later) % QUICK];
}

static bool documented(const struct command *command, int code) {
    const struct exit_meaning *meaning;
    for (unsigned i = 0; (meaning = exit_code_meaning(i)) != NULL; i++) {
        if (meaning->code == code && (meaning->bit == 0 || (command->exits & meaning->bit))) {
            return true;
        }
    }
    return false;
}

// Whether a text has "nan" or "inf" as a word of its own. A table may say inf, where no kick that
// was tried upsets it.
static const char *not_finite(const char *text, bool table) {
    static const char *const words[] = {"nan", "NaN", "inf", "Infinity"};
    for (size_t w = 0; w < (table ? 2 : sizeof words / sizeof words[0]); w++) {
        const size_t length = strlen(words[w]);
        for (const char *at = strstr(text, words[w]); at; at = strstr(at + 1, words[w])) {
            const bool begins = at == text || !(isalnum((unsigned char)at[-1]) || at[-1] == '_');
            const bool ends = !(isalnum((unsigned char)at[length]) || at[length] == '_');
            if (begins && ends) {
                return at;
            }
        }
    }
    return NULL;
}

static char *read_whole(const char *path) {
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    size_t size = 0;
    if (!file) {
        return NULL;
    }
    FILE *out = open_memstream(&text, &size);
    for (int c; out && (c = fgetc(file)) != EOF;) {
        fputc(c ? c : ' ', out);
    }
    fclose(file);
    if (out) {
        fclose(out);
    }
    return text;
}

static void look_at_text(const char *path, const char *name, struct nonsense_findings *f) {
    char *text = read_whole(path);
    const char *at = text ? not_finite(text, strstr(name, ".csv") != NULL) : NULL;
    if (at) {
        const char *from = at - text > 60 ? at - 60 : text;
        nonsense_finding(f, "%s says '%.100s'", name, from);
    }
    free(text);
}

// Files that were written, which go.
static void look_at_files(const char *folder, bool written, struct nonsense_findings *f) {
    DIR *open = opendir(folder);
    const struct dirent *entry;
    while (open && (entry = readdir(open)) != NULL) {
        char path[1024];
        const char *ending = strrchr(entry->d_name, '.');
        if (entry->d_name[0] == '.') {
            continue;
        }
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (ending && (strcmp(ending, ".json") == 0 || strcmp(ending, ".csv") == 0)) {
            look_at_text(path, entry->d_name, f);
        }
        if (written && strstr(entry->d_name, ".tmp")) {
            nonsense_finding(f, "leaves %s", entry->d_name);
        }
        unlink(path);
    }
    if (open) {
        closedir(open);
    }
}

// Both streams of the program to files while it works.
static int quietly(const struct command *command, int count, char **word, const char *folder) {
    static const char *const names[] = {"out", "err"};
    int kept[2];
    fflush(stdout);
    for (int i = 0; i < 2; i++) {
        char path[1024];
        snprintf(path, sizeof path, "%s.%s", folder, names[i]);
        kept[i] = dup(i + 1);
        const int handle = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0600);
        dup2(handle, i + 1);
        close(handle);
    }
    const int code = command_main(command, count, word);
    fflush(stdout);
    fflush(stderr);
    for (int i = 0; i < 2; i++) {
        dup2(kept[i], i + 1);
        close(kept[i]);
    }
    return code;
}

// Who reads a command line takes texts that could be written to, and writes to none.
static void add_word(char **word, int *count, const char *text) {
    memcpy(&word[(*count)++], &text, sizeof text);
}

void nonsense_study(const struct nonsense *n, const char *folder, struct nonsense_findings *f) {
    char line[400], path[1024], one[] = "1";
    char *word[WORDS_MAX] = {NULL};
    int count = 0;
    const char *study = study_of(n);
    snprintf(line, sizeof line, "%s", study);
    for (char *rest = line, *at; (at = strtok_r(rest, " ", &rest)) != NULL;) {
        word[count++] = at;
    }
    const struct command *command = NULL;
    for (size_t i = 0; word[0] && command_at(i) && !command; i++) {
        command = strcmp(command_at(i)->name, word[0]) == 0 ? command_at(i) : NULL;
    }
    if (!command) {
        nonsense_finding(f, "there is no command %s", study);
        return;
    }
    f->of = n;
    f->during = study;
    if (command->groups & (OPTIONS_FILES | OPTIONS_FOLDER)) {
        add_word(word, &count, "--out");
        add_word(word, &count, folder);
    }
    if (command->groups & OPTIONS_THREADS) {
        add_word(word, &count, "--threads");
        word[count++] = one;
    }
    for (size_t i = 0; i < n->count; i++) {
        add_word(word, &count, "--set");
        add_word(word, &count, n->change[i]);
    }
    add_word(word, &count, n->path);
    word[count] = NULL;
    const unsigned long before = nonsense_calls;
    const int code = quietly(command, count, word, folder);
    count_calls(f, before);
    if (!documented(command, code)) {
        nonsense_finding(f, "exit code %d", code);
    }
    snprintf(path, sizeof path, "%s.err", folder);
    char *said = read_whole(path);
    if (code != EXIT_CODE_DONE && code != EXIT_CODE_EXPECT && (!said || said[0] == '\0')) {
        nonsense_finding(f, "exit code %d without a word", code);
    }
    const bool answered = code == EXIT_CODE_DONE || code == EXIT_CODE_SOLVER;
    if (said && answered && not_finite(said, false)) {
        nonsense_finding(f, "says: %.200s", said);
    }
    if (said && strstr(said, "found '--")) { // the table above is wrong
        nonsense_finding(f, "usage: %.200s", said ? said : "");
    }
    free(said);
    snprintf(path, sizeof path, "%s.out", folder);
    look_at_text(path, "the terminal", f);
    look_at_files(folder, code == EXIT_CODE_DONE, f);
}
