// SPDX-License-Identifier: MIT
// In place of libFuzzer where there is none: seeded changes of the inputs of a folder, the same for
// the same seed. fuzz_NAME ROUNDS SEED FOLDER
#include "fuzz.h"

#include <dirent.h>

enum { INPUTS_MAX = 200, INPUT_MAX = 1 << 16, PATH_ROOM = 512 };

struct input {
    uint8_t *bytes;
    size_t size;
};

static struct input inputs[INPUTS_MAX];
static size_t input_count;
static uint64_t state;

// xorshift64*: S. Vigna, ACM Trans. Math. Software 42 (2016).
static size_t below(size_t count) {
    state ^= state >> 12;
    state ^= state << 25;
    state ^= state >> 27;
    return (size_t)((state * 0x2545f4914f6cdd1dULL) >> 33) % count;
}

static size_t insert(uint8_t *text, size_t size, size_t at, const void *piece, size_t length) {
    if (size + length > INPUT_MAX) {
        return size;
    }
    memmove(text + at + length, text + at, size - at);
    memcpy(text + at, piece, length);
    return size + length;
}

// One small change: a byte, a cut, a copy of a piece, a piece of another input, or a piece that
// means something to some reader.
static size_t mutate(uint8_t *text, size_t size) {
    static const char *const pieces[] = {
        ": ",   "\n",  "- ",     "{",          "}",     "[",    "]",  "\"", "'",     "|\n",
        "#",    "&a ", "*a",     "about ",     "1e999", " psi", "\t", "%",  "---\n", "\xc2\xb2",
        "<<: ", "? ",  "\r\n",   "record: x",  ",",     ";",    "=",  "..", "nan",   "inf",
        "-",    "0",   "1e-320", "9999-12-31", "--",    "psig", "/",  ":",  "\xff"};
    const size_t at = below(size + 1);
    const char *piece = pieces[below(sizeof pieces / sizeof pieces[0])];
    size_t length = below(24) + 1;
    length = length > size - at ? size - at : length;
    const struct input *other = &inputs[below(input_count)];
    uint8_t copy[24];
    switch (below(5)) {
    case 0:
        if (at < size) {
            text[at] = (uint8_t)below(256);
        }
        return size;
    case 1:
        memmove(text + at, text + at + length, size - at - length);
        return size - length;
    case 2:
        memcpy(copy, text + at, length);
        return insert(text, size, below(size + 1), copy, length);
    case 3:
        length = below(24) + 1;
        length = length > other->size ? other->size : length;
        return insert(text, size, at, other->bytes + below(other->size - length + 1), length);
    default:
        return insert(text, size, at, piece, strlen(piece));
    }
}

static void read_inputs(const char *folder) {
    DIR *open = opendir(folder);
    fuzz_require(open);
    const struct dirent *entry;
    while ((entry = readdir(open)) != NULL && input_count < INPUTS_MAX) {
        char path[PATH_ROOM];
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        FILE *file = entry->d_name[0] == '.' ? NULL : fopen(path, "rb");
        if (file) {
            struct input *input = &inputs[input_count++];
            input->bytes = malloc(INPUT_MAX);
            fuzz_require(input->bytes);
            input->size = fread(input->bytes, 1, INPUT_MAX / 2, file);
            fclose(file);
        }
    }
    closedir(open);
    fuzz_require(input_count > 0);
}

// A folder is listed in no order that could be relied on.
static int by_bytes(const void *a, const void *b) {
    const struct input *one = a, *two = b;
    if (one->size != two->size) {
        return one->size < two->size ? -1 : 1;
    }
    return memcmp(one->bytes, two->bytes, one->size);
}

int main(int argc, char **argv) {
    if (argc != 4) {
        fputs("usage: fuzz_NAME ROUNDS SEED FOLDER\n", stderr);
        return 2;
    }
    static uint8_t text[INPUT_MAX];
    const long rounds = strtol(argv[1], NULL, 10);
    state = (uint64_t)strtoul(argv[2], NULL, 10) * 2 + 1;
    read_inputs(argv[3]);
    qsort(inputs, input_count, sizeof inputs[0], by_bytes);
    // What the readers say of each is nothing to read here; a broken promise still ends the
    // program.
    fuzz_require(freopen("/dev/null", "w", stderr));
    for (long i = 0; i < rounds; ++i) {
        const struct input *from = &inputs[below(input_count)];
        size_t size = from->size;
        memcpy(text, from->bytes, size);
        for (size_t changes = below(6); changes > 0; --changes) {
            size = mutate(text, size);
        }
        LLVMFuzzerTestOneInput(text, size);
    }
    printf("%ld rounds from %zu inputs\n", rounds, input_count);
    for (size_t i = 0; i < input_count; i++) {
        free(inputs[i].bytes);
    }
    return 0;
}
