// SPDX-License-Identifier: MIT
// Hostile scenario files against the reader. With clang -fsanitize=fuzzer it is a libFuzzer target;
// built with -DFUZZ_STANDALONE it is a seeded mutator: fuzz_scenario ROUNDS SEED [FILE...].
#include "scenario/scenario.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

// Text before a line of two percent signs is the file, text after it an assignment.
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const char mark[] = "\n%%\n";
    char *text = malloc(size + 1);
    if (!text) {
        return 0;
    }
    memcpy(text, data, size);
    text[size] = '\0';
    char *assignment = strstr(text, mark);
    const size_t length = assignment ? (size_t)(assignment - text) : size;
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_load_text("fuzz.yaml", text, length, &list);
    if (scenario && assignment) {
        scenario_override(scenario, assignment + sizeof mark - 1, &list);
    }
    if (scenario) {
        struct scenario_entry entry;
        const bool fine = scenario_check(scenario, &list);
        // A refusal always says why.
        if (!fine && list.errors == 0) {
            abort();
        }
        for (size_t i = 0; scenario_provenance(scenario, 0, i, &entry); i += 17) {
            if (!entry.text) {
                abort();
            }
        }
    } else if (list.errors == 0) {
        abort();
    }
    diagnostics_sort(&list);
    diagnostics_free(&list);
    scenario_free(scenario);
    free(text);
    return 0;
}

#ifdef FUZZ_STANDALONE

static const char *const seeds[] = {
    "title: a\nduty: back-pressure\nactuation: pilot\nfluid: {gravity: 0.65}\n"
    "vessel: {volume: 8.0 ft3}\ninflow:\n  rate: {steps: [[0 s, 1 Mscf/d], [5 s, 2 Mscf/d]]}\n"
    "downstream: {pressure: 15 psig}\nset: {pressure: {value: 50 psig, guess: yes}}\n"
    "trim: {travel: 0.76 in, flow_table: [[0, 0], [1, 1]]}\ntrims:\n  full: {port: 2 7/8 in}\n"
    "  reduced: {port: 1.8 in}\nactuator: {diaphragm_area: 38 in2, spring_rate: 1474 lbf/in,\n"
    "  preload: about 87 lbf, moving_mass: 6 lb, chamber_volume: 98 in3}\npilot:\n"
    "  moving_mass: 0.3 lb\n  damping: 60 N s/m\n  travel: 0.03 in\n  diaphragm_area: 3.75 in2\n"
    "  spring_rate: 3314 lbf/in\n  supply_seat: 0.091 in\n  bleed: 0.100 in\n"
    "sense: {bore: 0.087 in, cavity_volume: 3 in3}\n"
    "expect:\n  - {quantity: verdict, value: slamming, trim: full}\n\n%%\ntrim.port=2 in",
    "duty: reducing\nactuation: direct\nfluid: {phase: liquid, density: 850 kg/m3}\n"
    "demand: {rate: {slug: {base: 1 gpm, peak: 9 gpm, start: 1 s, period: 9 s, duration: 3 s}}}\n"
    "inlet: {pressure: {ramp: {from: 9 barg, to: 8 barg, start: 0 s, end: 3 s}}}\n"
    "vessel: {volume: 2 L}\nset: {pressure: 450 kPa(g)}\ntrim: {port: 1/2 in, travel: 3 mm}\n"
    "actuator: {diaphragm_area: 90 cm2, spring_rate: 20 N/mm, moving_mass: 1 kg}\n"
    "sense: {passage: ideal}\n\n%%\ntrims.full.port={value: 3 in, low: 2 in, high: 4 in}",
    "a: &x [1, *x, {b: !t 'c'}]\n<<: *x\n---\n? [k]\n: |\n  text\n",
};

static uint64_t fuzz_state;

// xorshift64*: S. Vigna, ACM Trans. Math. Software 42 (2016).
static size_t fuzz_random(size_t below) {
    fuzz_state ^= fuzz_state >> 12;
    fuzz_state ^= fuzz_state << 25;
    fuzz_state ^= fuzz_state >> 27;
    return (size_t)((fuzz_state * 0x2545f4914f6cdd1dULL) >> 33) % below;
}

enum { FUZZ_SIZE_MAX = 1 << 16 };

// One small change: a byte, a cut, a copy of a piece, or a piece that means something in YAML.
static size_t fuzz_mutate(uint8_t *text, size_t size) {
    static const char *const pieces[] = {": ",    "\n",       "- ",    "{",    "}",    "[",
                                         "]",     "\"",       "'",     "|\n",  "#",    "&a ",
                                         "*a",    "about ",   "1e999", " psi", "\t",   "%",
                                         "---\n", "\xc2\xb2", "<<: ",  "? ",   "\r\n", "record: x"};
    const size_t at = fuzz_random(size + 1);
    const char *piece = pieces[fuzz_random(sizeof pieces / sizeof pieces[0])];
    size_t length = fuzz_random(24) + 1;
    if (length > size - at) {
        length = size - at;
    }
    switch (fuzz_random(4)) {
    case 0:
        if (at < size) {
            text[at] = (uint8_t)fuzz_random(256);
        }
        return size;
    case 1:
        memmove(text + at, text + at + length, size - at - length);
        return size - length;
    case 2:
        if (size + length > FUZZ_SIZE_MAX) {
            return size;
        }
        memmove(text + at + length, text + at, size - at);
        return size + length;
    default:
        length = strlen(piece);
        if (size + length > FUZZ_SIZE_MAX) {
            return size;
        }
        memmove(text + at + length, text + at, size - at);
        memcpy(text + at, piece, length);
        return size + length;
    }
}

static size_t fuzz_seed(uint8_t *text, int files, char **names) {
    const size_t built_in = sizeof seeds / sizeof seeds[0];
    const size_t pick = fuzz_random(built_in + (size_t)files);
    if (pick < built_in) {
        memcpy(text, seeds[pick], strlen(seeds[pick]));
        return strlen(seeds[pick]);
    }
    FILE *file = fopen(names[pick - built_in], "rb");
    const size_t size = file ? fread(text, 1, FUZZ_SIZE_MAX / 2, file) : 0;
    if (file) {
        fclose(file);
    }
    return size;
}

int main(int argc, char **argv) {
    if (argc < 3) {
        fputs("usage: fuzz_scenario ROUNDS SEED [FILE...]\n", stderr);
        return 2;
    }
    static uint8_t text[FUZZ_SIZE_MAX];
    const long rounds = strtol(argv[1], NULL, 10);
    fuzz_state = (uint64_t)strtoul(argv[2], NULL, 10) * 2 + 1;
    for (long i = 0; i < rounds; ++i) {
        size_t size = fuzz_seed(text, argc - 3, argv + 3);
        for (size_t changes = fuzz_random(6); changes > 0; --changes) {
            size = fuzz_mutate(text, size);
        }
        LLVMFuzzerTestOneInput(text, size);
    }
    printf("%ld rounds\n", rounds);
    return 0;
}

#endif
