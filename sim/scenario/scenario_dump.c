// SPDX-License-Identifier: MIT
// The dump as it is written.
#include "scenario/scenario_dump.h"

#include "scenario/scenario_data.h"

#include <stdlib.h>
#include <string.h>

static void dump_text(FILE *out, const char *text, size_t length) {
    for (size_t i = 0; i < length; ++i) {
        const unsigned char c = (unsigned char)text[i];
        if (c == '\\') {
            fputs("\\\\", out);
        } else if (c == '\n') {
            fputs("\\n", out);
        } else if (c == '\t') {
            fputs("\\t", out);
        } else if (c == '\r') {
            fputs("\\r", out);
        } else if (c < ' ' || c == 0x7f) {
            fprintf(out, "\\x%02x", c);
        } else {
            fputc(c, out);
        }
    }
}

static void dump_node(FILE *out, const struct yaml_node *node) {
    if (node->key) {
        fprintf(out, "key\t%d\t%d\t", node->key_place.line, node->key_place.column);
        dump_text(out, node->key, strlen(node->key));
        fputc('\n', out);
    }
    const char *kind = node->kind == YAML_MAPPING    ? "map"
                       : node->kind == YAML_SEQUENCE ? "list"
                       : node->quoted                ? "quoted"
                                                     : "plain";
    fprintf(out, "%s\t%d\t%d", kind, node->place.line, node->place.column);
    if (node->kind == YAML_SCALAR) {
        fputc('\t', out);
        dump_text(out, node->text, strlen(node->text));
    }
    fputc('\n', out);
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        dump_node(out, child);
    }
    if (node->kind != YAML_SCALAR) {
        fputs("end\n", out);
    }
}

// Every file that some `record:` names. One that cannot be read is left out: whoever reads the
// dump then says so, at its place.
static void dump_records(FILE *out, const char *folder, const struct yaml_node *node) {
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        dump_records(out, folder, child);
    }
    if (node->kind != YAML_SCALAR || !node->key || strcmp(node->key, "record") != 0) {
        return;
    }
    struct arena memory = {0};
    struct diagnostics ignored = {0};
    const char *path = scenario_beside(&memory, folder, node->text);
    size_t length = 0;
    char *text = scenario_read_file(path, SCENARIO_RECORD_MAX, &length, node->place, &ignored);
    if (text) {
        fputs("file\t", out);
        dump_text(out, path, strlen(path));
        fputc('\t', out);
        dump_text(out, text, length);
        fputc('\n', out);
    }
    free(text);
    diagnostics_free(&ignored);
    arena_free(&memory);
}

bool scenario_dump(const char *path, FILE *out, struct diagnostics *list) {
    const size_t before = list->errors;
    const struct place whole = {path, 0, 0};
    struct arena memory = {0};
    size_t length = 0;
    char *text = scenario_read_file(path, YAML_SIZE_MAX, &length, whole, list);
    const struct yaml_node *root =
        text ? yaml_tree_read(&memory, path, text, length, 0, list) : NULL;
    const bool fine = root && list->errors == before;
    if (fine) {
        const char *slash = strrchr(path, '/');
        const size_t folder = slash ? (size_t)(slash - path) + 1 : 0;
        fputs("lowlift-dump\t1\t", out);
        dump_text(out, path, strlen(path));
        fputc('\n', out);
        dump_node(out, root);
        dump_records(out, arena_copy(&memory, path, folder), root);
    }
    free(text);
    arena_free(&memory);
    return fine;
}
