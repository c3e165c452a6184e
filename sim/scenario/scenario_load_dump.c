// SPDX-License-Identifier: MIT
// The dump as it is read. It may come from anywhere, so nothing of it is taken on trust.
#include "scenario/scenario_data.h"
#include "scenario/scenario_dump.h"
#include "yaml/yaml_build.h"

#include <limits.h>
#include <string.h>

enum { DUMP_SIZE_MAX = 64 << 20, FIELDS_MAX = 4 };

struct dump {
    struct scenario *scenario;
    struct yaml_build tree;
    struct diagnostics *out;
    const char *at;  // start of the next line
    const char *end; // of the text
    int number;      // of the line at hand
    const char *field[FIELDS_MAX];
    size_t length[FIELDS_MAX];
    size_t fields;
};

static bool dump_damaged(struct dump *dump, const char *why) {
    diagnostics_error(dump->out, (struct place){"dump", dump->number, 1},
                      "not a dump of a scenario: %s", why);
    return false;
}

// Takes the next line apart at its tabs; false at the end.
static bool dump_line(struct dump *dump) {
    if (dump->at == dump->end) {
        return false;
    }
    const char *stop = memchr(dump->at, '\n', (size_t)(dump->end - dump->at));
    stop = stop ? stop : dump->end;
    ++dump->number;
    dump->fields = 0;
    for (const char *c = dump->at; c <= stop && dump->fields < FIELDS_MAX; ++dump->fields) {
        const char *tab = memchr(c, '\t', (size_t)(stop - c));
        tab = tab && dump->fields + 1 < FIELDS_MAX ? tab : stop;
        dump->field[dump->fields] = c;
        dump->length[dump->fields] = (size_t)(tab - c);
        c = tab + 1;
    }
    dump->at = stop < dump->end ? stop + 1 : stop;
    return true;
}

static bool dump_is(const struct dump *dump, const char *word) {
    return dump->length[0] == strlen(word) && strncmp(dump->field[0], word, dump->length[0]) == 0;
}

static int dump_digit(char c) {
    if (c >= '0' && c <= '9') {
        return c - '0';
    }
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

// A text without its escapes; NULL for an escape that there is none of.
static char *dump_text(struct dump *dump, size_t field, size_t *length) {
    const char *c = dump->field[field];
    const char *end = c + dump->length[field];
    char *text = arena_alloc(&dump->scenario->memory, dump->length[field] + 1);
    if (!text) {
        return NULL;
    }
    size_t count = 0;
    for (; c < end; ++c) {
        if (*c != '\\') {
            text[count++] = *c;
            continue;
        }
        const char sign = ++c < end ? *c : '\0';
        const int high = sign == 'x' && end - c > 2 ? dump_digit(c[1]) : -1;
        const int low = high >= 0 ? dump_digit(c[2]) : -1;
        if (low >= 0) {
            text[count++] = (char)(16 * high + low);
            c += 2;
        } else if (sign == 'n' || sign == 't' || sign == 'r' || sign == '\\') {
            text[count++] = (char)(sign == 'n'   ? '\n'
                                   : sign == 't' ? '\t'
                                   : sign == 'r' ? '\r'
                                                 : sign);
        } else {
            return NULL;
        }
    }
    *length = count;
    return text;
}

static bool dump_number(const struct dump *dump, size_t field, int *number) {
    *number = 0;
    for (size_t i = 0; i < dump->length[field]; ++i) {
        const int digit = dump_digit(dump->field[field][i]);
        if (digit < 0 || digit > 9 || *number > (INT_MAX - digit) / 10) {
            return false;
        }
        *number = 10 * *number + digit;
    }
    return dump->length[field] > 0;
}

// `key`, `plain` or `quoted`, whose text is the last field.
static bool dump_word(struct dump *dump, struct place place) {
    size_t length = 0;
    const char *text = dump->fields == 4 ? dump_text(dump, 3, &length) : NULL;
    if (!text) {
        return dump_damaged(dump, "a text is missing or broken");
    }
    if (dump_is(dump, "key") != yaml_build_at_key(&dump->tree)) {
        return dump_damaged(dump, "keys and values do not come in pairs");
    }
    if (dump_is(dump, "key")) {
        yaml_build_key(&dump->tree, text, place);
    } else {
        yaml_build_scalar(&dump->tree, text, place, dump_is(dump, "quoted"));
    }
    return true;
}

static bool dump_item(struct dump *dump) {
    struct yaml_build *tree = &dump->tree;
    if (dump_is(dump, "end")) {
        if (tree->depth == 0 || tree->levels[tree->depth - 1].key) {
            return dump_damaged(dump, "`end` out of place");
        }
        yaml_build_close(tree);
        return true;
    }
    struct place place = {dump->scenario->name, 0, 0};
    if (dump->fields < 3 || !dump_number(dump, 1, &place.line) ||
        !dump_number(dump, 2, &place.column)) {
        return dump_damaged(dump, "a line or column is missing");
    }
    if (tree->root && tree->depth == 0) {
        return dump_damaged(dump, "more behind its end");
    }
    if (dump_is(dump, "map") || dump_is(dump, "list")) {
        return yaml_build_open(tree, dump_is(dump, "map") ? YAML_MAPPING : YAML_SEQUENCE, place);
    }
    if (dump_is(dump, "key") || dump_is(dump, "plain") || dump_is(dump, "quoted")) {
        return dump_word(dump, place);
    }
    return dump_damaged(dump, "no such item");
}

static bool dump_file(struct dump *dump) {
    struct scenario_file *file = arena_alloc(&dump->scenario->memory, sizeof *file);
    size_t length = 0;
    if (!file) {
        return false;
    }
    file->path = dump->fields == 3 ? dump_text(dump, 1, &length) : NULL;
    file->text = file->path ? dump_text(dump, 2, &file->length) : NULL;
    if (!file->text) {
        return dump_damaged(dump, "a file is broken");
    }
    file->next = dump->scenario->files;
    dump->scenario->files = file;
    return true;
}

static bool dump_read(struct dump *dump) {
    while (dump_line(dump)) {
        const bool fine = dump_is(dump, "file") ? dump_file(dump) : dump_item(dump);
        if (!fine) {
            return false;
        }
    }
    return (dump->tree.root && dump->tree.depth == 0) || dump_damaged(dump, "it is cut off");
}

struct scenario *scenario_load_dump(const char *text, size_t length, struct diagnostics *out) {
    struct dump dump = {.out = out, .at = text, .end = text + length};
    if (length > DUMP_SIZE_MAX || !yaml_text_check("dump", text, length, 0, out) ||
        !dump_line(&dump) || !dump_is(&dump, "lowlift-dump") || dump.fields != 3 ||
        dump.length[1] != 1 || dump.field[1][0] != '1') {
        dump_damaged(&dump, "it does not begin as one");
        return NULL;
    }
    struct arena memory = {0};
    struct scenario *scenario = scenario_create(arena_copy(&memory, dump.field[2], dump.length[2]));
    arena_free(&memory);
    if (!scenario || scenario->memory.failed) {
        diagnostics_no_memory(out);
        scenario_free(scenario);
        return NULL;
    }
    scenario->dumped = true;
    dump.scenario = scenario;
    dump.tree = (struct yaml_build){.arena = &scenario->memory, .out = out};
    const bool fine = dump_read(&dump) && scenario_read(scenario, dump.tree.root, out);
    if (scenario->memory.failed) {
        diagnostics_no_memory(out);
    }
    if (!fine || scenario->memory.failed) {
        scenario_free(scenario);
        return NULL;
    }
    return scenario;
}
