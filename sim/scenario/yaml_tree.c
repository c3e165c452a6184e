// SPDX-License-Identifier: MIT
#include "scenario/yaml_tree.h"

#include <libfyaml.h>
#include <string.h>

struct yaml_level {
    struct yaml_node *node;
    struct yaml_node *last; // its newest child
    const char *key;        // key waiting for its value
    struct place key_place;
    bool key_refused;
    size_t keys;
};

struct yaml_build {
    struct arena *arena;
    struct diagnostics *out;
    const char *name;
    int column_shift;
    struct yaml_node *root;
    struct yaml_level levels[YAML_DEPTH_MAX];
    size_t depth;
    size_t documents;
    bool broken; // the text could not be read to its end
};

static struct place yaml_place(const struct yaml_build *build, const struct fy_mark *mark) {
    if (!mark) {
        return (struct place){build->name, 0, 0};
    }
    const int shift = mark->line == 0 ? build->column_shift : 0;
    return (struct place){build->name, mark->line + 1, mark->column + 1 + shift};
}

// libfyaml's marks of quoted scalars and aliases lie behind the sign that opens them.
static struct place yaml_before(struct place place) {
    if (place.column > 1) {
        place.column--;
    }
    return place;
}

static struct yaml_level *yaml_level(struct yaml_build *build) {
    return build->depth ? &build->levels[build->depth - 1] : NULL;
}

// A mapping takes its children in pairs: whether this event is a key.
static bool yaml_at_key(struct yaml_build *build) {
    const struct yaml_level *level = yaml_level(build);
    return level && level->node->kind == YAML_MAPPING && !level->key;
}

// Puts a value under its parent and takes the waiting key.
static void yaml_attach(struct yaml_build *build, struct yaml_node *node) {
    struct yaml_level *level = yaml_level(build);
    if (!level) {
        if (!build->root) {
            build->root = node;
        }
        return;
    }
    bool keep = true;
    if (level->node->kind == YAML_MAPPING) {
        node->key = level->key;
        node->key_place = level->key_place;
        if (node->place.line == 0) {
            node->place = level->key_place;
        }
        keep = !level->key_refused;
        level->key = NULL;
        level->key_refused = false;
    }
    if (!keep) {
        return;
    }
    if (level->last) {
        level->last->next = node;
    } else {
        level->node->first = node;
    }
    level->last = node;
}

// The keys that lead to one, with dots between: vessel.volume.
static const char *yaml_path(const struct yaml_build *build, const char *text) {
    const char *path = "";
    for (size_t i = 0; i < build->depth; i++) {
        const char *key = build->levels[i].node->key;
        if (key) {
            path = arena_format(build->arena, "%s%s.", path, key);
        }
    }
    return arena_format(build->arena, "%s%s", path, text);
}

static void yaml_take_key(struct yaml_build *build, const char *text, struct place place) {
    struct yaml_level *level = yaml_level(build);
    level->key = text;
    level->key_place = place;
    if (++level->keys > YAML_KEYS_MAX) {
        // Repeated keys are looked for one by one, so a hostile text must end somewhere.
        diagnostics_error(build->out, place, "more than %d keys in one mapping", YAML_KEYS_MAX);
        level->key_refused = true;
        return;
    }
    const struct yaml_node *other = yaml_tree_child(level->node, text);
    if (strcmp(text, "<<") == 0) {
        diagnostics_error(build->out, place, "merge keys '<<' are not used in scenarios");
        level->key_refused = true;
    } else if (text[0] == '\0') {
        diagnostics_error(build->out, place, "a key is missing before ':'");
        level->key_refused = true;
    } else if (other) {
        diagnostics_error(build->out, place, "%s: given twice; first in line %d",
                          yaml_path(build, text), other->key_place.line);
        level->key_refused = true;
    }
}

static void yaml_refuse_marks(struct yaml_build *build, struct fy_token *anchor,
                              struct fy_token *tag, struct place place) {
    if (anchor) {
        diagnostics_error(build->out, place, "anchors '&' are not used in scenarios");
    }
    if (tag) {
        diagnostics_error(build->out, place, "tags '!' are not used in scenarios");
    }
}

// Each of the next three returns false when reading cannot go on.
static bool yaml_scalar(struct yaml_build *build, struct fy_event *event) {
    size_t length = 0;
    const char *text = fy_token_get_text(event->scalar.value, &length);
    const char *copy = arena_copy(build->arena, text ? text : "", text ? length : 0);
    const enum fy_scalar_style style = fy_token_scalar_style(event->scalar.value);
    struct place place = yaml_place(build, fy_event_start_mark(event));
    if (style == FYSS_SINGLE_QUOTED || style == FYSS_DOUBLE_QUOTED) {
        place = yaml_before(place);
    }
    yaml_refuse_marks(build, event->scalar.anchor, event->scalar.tag, place);
    if (yaml_at_key(build)) {
        yaml_take_key(build, copy, place);
        return true;
    }
    struct yaml_node *node = arena_alloc(build->arena, sizeof *node);
    if (!node)
        return false;
    node->kind = YAML_SCALAR;
    node->text = copy;
    node->place = place;
    node->quoted = style != FYSS_PLAIN;
    yaml_attach(build, node);
    return true;
}

static bool yaml_alias(struct yaml_build *build, struct fy_event *event) {
    const struct place place = yaml_before(yaml_place(build, fy_event_start_mark(event)));
    diagnostics_error(build->out, place, "aliases '*' are not used in scenarios");
    if (yaml_at_key(build)) {
        yaml_take_key(build, "*", place);
        yaml_level(build)->key_refused = true;
        return true;
    }
    struct yaml_node *node = arena_alloc(build->arena, sizeof *node);
    if (!node)
        return false;
    node->text = "";
    node->place = place;
    node->refused = true;
    yaml_attach(build, node);
    return true;
}

// Opens a sequence or mapping.
static bool yaml_open(struct yaml_build *build, struct fy_event *event, enum yaml_kind kind) {
    const struct place place = yaml_place(build, fy_event_start_mark(event));
    if (kind == YAML_MAPPING) {
        yaml_refuse_marks(build, event->mapping_start.anchor, event->mapping_start.tag, place);
    } else {
        yaml_refuse_marks(build, event->sequence_start.anchor, event->sequence_start.tag, place);
    }
    if (yaml_at_key(build)) {
        diagnostics_error(build->out, place, "a key must be a plain word");
        return false;
    }
    if (build->depth == YAML_DEPTH_MAX) {
        diagnostics_error(build->out, place, "nested deeper than %d levels", YAML_DEPTH_MAX);
        return false;
    }
    struct yaml_node *node = arena_alloc(build->arena, sizeof *node);
    if (!node)
        return false;
    node->kind = kind;
    node->text = "";
    node->place = place;
    yaml_attach(build, node);
    build->levels[build->depth++] = (struct yaml_level){.node = node};
    return true;
}

// Takes one event. Returns false when reading cannot go on.
static bool yaml_event(struct yaml_build *build, struct fy_event *event) {
    switch (event->type) {
    case FYET_DOCUMENT_START:
        if (++build->documents > 1) {
            diagnostics_error(build->out, yaml_place(build, fy_event_start_mark(event)),
                              "a second document begins here; a scenario is one document");
            return false;
        }
        return true;
    case FYET_MAPPING_START:
        return yaml_open(build, event, YAML_MAPPING);
    case FYET_SEQUENCE_START:
        return yaml_open(build, event, YAML_SEQUENCE);
    case FYET_MAPPING_END:
    case FYET_SEQUENCE_END:
        build->depth--;
        return true;
    case FYET_SCALAR:
        return yaml_scalar(build, event);
    case FYET_ALIAS:
        return yaml_alias(build, event);
    default:
        return true;
    }
}

// Place just behind the text. libfyaml puts what is missing at the end into a line after the last,
// even when the text has no such line.
static struct place yaml_end(const struct yaml_build *build, const char *text, size_t length) {
    struct place place = {build->name, 1, 1 + build->column_shift};
    for (size_t i = 0; i < length; i++) {
        place.column++;
        if (text[i] == '\n') {
            place = (struct place){build->name, place.line + 1, 1};
        }
    }
    return place;
}

// One fault that libfyaml found; a forgotten blank after a colon is told as what it is.
static void yaml_fault(struct yaml_build *build, const char *fault, struct place place,
                       const char *text, size_t length) {
    int column = 0;
    const int line = yaml_text_tight_line(text, length, place.line, &column);
    if (line) {
        const int shift = line == 1 ? build->column_shift : 0;
        const struct place key = {build->name, line, column + shift};
        diagnostics_error(build->out, key, "not readable as YAML: put a space after the colon");
        return;
    }
    diagnostics_error(build->out, place, "not readable as YAML: %s%s", fault,
                      strstr(fault, "tab ") ? "; use spaces" : "");
}

// What libfyaml found wrong; it prints to nowhere and collects.
static void yaml_report(struct yaml_build *build, struct fy_diag *diag, const char *text,
                        size_t length) {
    const struct place end = yaml_end(build, text, length);
    build->broken = true;
    void *cursor = NULL;
    const struct fy_diag_error *error;
    bool any = false;
    while ((error = fy_diag_errors_iterate(diag, &cursor))) {
        const int shift = error->line == 1 ? build->column_shift : 0;
        struct place place = {build->name, error->line, error->column + shift};
        if (place.line > end.line) {
            place = end;
        }
        yaml_fault(build, error->msg ? error->msg : "syntax", place, text, length);
        any = true;
    }
    if (!any) {
        diagnostics_error(build->out, (struct place){build->name, 1, 1 + build->column_shift},
                          "not readable as YAML 1.2");
    }
}

static void yaml_quiet(struct fy_diag *diag, void *user, const char *text, size_t length) {
    (void)diag;
    (void)user;
    (void)text;
    (void)length;
}

static void yaml_parse(struct yaml_build *build, const char *text, size_t length) {
    struct fy_diag_cfg diag_options;
    fy_diag_cfg_default(&diag_options);
    diag_options.fp = NULL;
    diag_options.output_fn = yaml_quiet;
    diag_options.level = FYET_ERROR;
    struct fy_diag *diag = fy_diag_create(&diag_options);
    if (diag) {
        fy_diag_set_collect_errors(diag, true);
    }
    const struct fy_parse_cfg options = {
        .flags = FYPCF_COLLECT_DIAG | FYPCF_ALLOW_DUPLICATE_KEYS | FYPCF_DEFAULT_VERSION_1_2 |
                 FYPCF_JSON_NONE,
        .diag = diag,
    };
    struct fy_parser *parser = diag ? fy_parser_create(&options) : NULL;
    if (parser && fy_parser_set_string(parser, text, length) == 0) {
        struct fy_event *event;
        bool going = true;
        while (going && (event = fy_parser_parse(parser))) {
            going = yaml_event(build, event);
            fy_parser_event_free(parser, event);
        }
        build->broken = !going;
        if (fy_parser_get_stream_error(parser)) {
            yaml_report(build, diag, text, length);
        }
    } else {
        yaml_report(build, diag, text, length);
    }
    if (parser) {
        fy_parser_destroy(parser);
    }
    if (diag) {
        fy_diag_destroy(diag);
    }
}

struct yaml_node *yaml_tree_read(struct arena *arena, const char *name, const char *text,
                                 size_t length, int column_shift, struct diagnostics *out) {
    struct yaml_build build = {.arena = arena, .out = out, .name = name};
    build.column_shift = column_shift;
    if (length > YAML_SIZE_MAX) {
        diagnostics_error(out, (struct place){name, 0, 0}, "larger than %d bytes", YAML_SIZE_MAX);
        return NULL;
    }
    if (!yaml_text_check(name, text, length, column_shift, out)) {
        return NULL;
    }
    const size_t before = out->errors;
    yaml_parse(&build, text, length);
    if (!build.root && out->errors == before && !arena->failed) {
        diagnostics_error(out, (struct place){name, 0, 0},
                          "empty: nothing but blanks and comments");
    }
    return build.broken ? NULL : build.root;
}

struct yaml_node *yaml_tree_child(const struct yaml_node *mapping, const char *key) {
    for (struct yaml_node *child = mapping->first; child; child = child->next) {
        if (child->key && strcmp(child->key, key) == 0) {
            return child;
        }
    }
    return NULL;
}

size_t yaml_tree_count(const struct yaml_node *node) {
    size_t count = 0;
    for (const struct yaml_node *child = node->first; child; child = child->next) {
        count++;
    }
    return count;
}
