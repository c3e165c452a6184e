// SPDX-License-Identifier: MIT
#include "base/reserve.h"
#include "yaml/yaml_build.h"

#include <libfyaml.h>
#include <string.h>

// More than libfyaml takes: by itself and for each byte of a text [bytes].
#define READER_ROOM ((size_t)256 << 10)
#define ROOM_PER_BYTE ((size_t)32)

// What is read by libfyaml's events.
struct yaml_parse {
    struct yaml_build tree;
    const char *name;
    int column_shift;
    size_t documents;
    bool broken; // the text could not be read to its end
};

static struct place yaml_place(const struct yaml_parse *parse, const struct fy_mark *mark) {
    if (!mark) {
        return (struct place){parse->name, 0, 0};
    }
    const int shift = mark->line == 0 ? parse->column_shift : 0;
    return (struct place){parse->name, mark->line + 1, mark->column + 1 + shift};
}

// libfyaml's marks of quoted scalars and aliases lie behind the sign that opens them.
static struct place yaml_before(struct place place) {
    if (place.column > 1) {
        --place.column;
    }
    return place;
}

static void yaml_refuse_marks(struct yaml_parse *parse, struct fy_token *anchor,
                              struct fy_token *tag, struct place place) {
    if (anchor) {
        diagnostics_error(parse->tree.out, place, "anchors '&' are not used in scenarios");
    }
    if (tag) {
        diagnostics_error(parse->tree.out, place, "tags '!' are not used in scenarios");
    }
}

static void yaml_scalar(struct yaml_parse *parse, struct fy_event *event) {
    size_t length = 0;
    const char *text = fy_token_get_text(event->scalar.value, &length);
    const char *copy = arena_copy(parse->tree.arena, text ? text : "", text ? length : 0);
    const enum fy_scalar_style style = fy_token_scalar_style(event->scalar.value);
    struct place place = yaml_place(parse, fy_event_start_mark(event));
    if (style == FYSS_SINGLE_QUOTED || style == FYSS_DOUBLE_QUOTED) {
        place = yaml_before(place);
    }
    yaml_refuse_marks(parse, event->scalar.anchor, event->scalar.tag, place);
    if (yaml_build_at_key(&parse->tree)) {
        yaml_build_key(&parse->tree, copy, place);
    } else {
        yaml_build_scalar(&parse->tree, copy, place, style != FYSS_PLAIN);
    }
}

static void yaml_alias(struct yaml_parse *parse, struct fy_event *event) {
    const struct place place = yaml_before(yaml_place(parse, fy_event_start_mark(event)));
    diagnostics_error(parse->tree.out, place, "aliases '*' are not used in scenarios");
    if (yaml_build_at_key(&parse->tree)) {
        yaml_build_refused_key(&parse->tree, "*", place);
    } else {
        yaml_build_refused(&parse->tree, place);
    }
}

// Opens a sequence or mapping. Returns false when it cannot be held.
static bool yaml_open(struct yaml_parse *parse, struct fy_event *event, enum yaml_kind kind) {
    const struct place place = yaml_place(parse, fy_event_start_mark(event));
    if (kind == YAML_MAPPING) {
        yaml_refuse_marks(parse, event->mapping_start.anchor, event->mapping_start.tag, place);
    } else {
        yaml_refuse_marks(parse, event->sequence_start.anchor, event->sequence_start.tag, place);
    }
    return yaml_build_open(&parse->tree, kind, place);
}

// Takes one event. Returns false when reading cannot go on.
static bool yaml_event(struct yaml_parse *parse, struct fy_event *event) {
    switch (event->type) {
    case FYET_DOCUMENT_START:
        if (++parse->documents > 1) {
            diagnostics_error(parse->tree.out, yaml_place(parse, fy_event_start_mark(event)),
                              "a second document begins here; a scenario is one document");
            return false;
        }
        return true;
    case FYET_MAPPING_START:
        return yaml_open(parse, event, YAML_MAPPING);
    case FYET_SEQUENCE_START:
        return yaml_open(parse, event, YAML_SEQUENCE);
    case FYET_MAPPING_END:
    case FYET_SEQUENCE_END:
        yaml_build_close(&parse->tree);
        return true;
    case FYET_SCALAR:
        yaml_scalar(parse, event);
        return true;
    case FYET_ALIAS:
        yaml_alias(parse, event);
        return true;
    default:
        return true;
    }
}

// Place just behind the text. libfyaml puts what is missing at the end into a line after the last,
// even when the text has no such line.
static struct place yaml_end(const struct yaml_parse *parse, const char *text, size_t length) {
    struct place place = {parse->name, 1, 1 + parse->column_shift};
    for (size_t i = 0; i < length; ++i) {
        ++place.column;
        if (text[i] == '\n') {
            place = (struct place){parse->name, place.line + 1, 1};
        }
    }
    return place;
}

// One fault that libfyaml found; a forgotten blank after a colon is told as what it is.
static void yaml_fault(struct yaml_parse *parse, const char *fault, struct place place,
                       const char *text, size_t length) {
    int column = 0;
    const int line = yaml_text_tight_line(text, length, place.line, &column);
    if (line) {
        const int shift = line == 1 ? parse->column_shift : 0;
        const struct place key = {parse->name, line, column + shift};
        diagnostics_error(parse->tree.out, key,
                          "not readable as YAML: put a space after the colon");
        return;
    }
    diagnostics_error(parse->tree.out, place, "not readable as YAML: %s%s", fault,
                      strstr(fault, "tab ") ? "; use spaces" : "");
}

// What libfyaml found wrong; it prints to nowhere and collects.
static void yaml_report(struct yaml_parse *parse, struct fy_diag *diag, const char *text,
                        size_t length) {
    const struct place end = yaml_end(parse, text, length);
    parse->broken = true;
    void *cursor = NULL;
    const struct fy_diag_error *error;
    bool any = false;
    while ((error = fy_diag_errors_iterate(diag, &cursor)) != NULL) {
        const int shift = error->line == 1 ? parse->column_shift : 0;
        struct place place = {parse->name, error->line, error->column + shift};
        if (place.line > end.line) {
            place = end;
        }
        yaml_fault(parse, error->msg ? error->msg : "syntax", place, text, length);
        any = true;
    }
    if (!any) {
        diagnostics_error(parse->tree.out, (struct place){parse->name, 1, 1 + parse->column_shift},
                          "not readable as YAML 1.2");
    }
}

static void yaml_quiet(struct fy_diag *diag, void *user, const char *text, size_t length) {
    (void)diag;
    (void)user;
    (void)text;
    (void)length;
}

static void yaml_run(struct yaml_parse *parse, const char *text, size_t length) {
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
        while (going && (event = fy_parser_parse(parser)) != NULL) {
            going = yaml_event(parse, event);
            fy_parser_event_free(parser, event);
        }
        parse->broken = !going;
        if (fy_parser_get_stream_error(parser)) {
            yaml_report(parse, diag, text, length);
        }
    } else {
        yaml_report(parse, diag, text, length);
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
    struct yaml_parse parse = {.tree = {.arena = arena, .out = out}, .name = name};
    parse.column_shift = column_shift;
    if (length > YAML_SIZE_MAX) {
        diagnostics_error(out, (struct place){name, 0, 0}, "larger than %d bytes", YAML_SIZE_MAX);
        return NULL;
    }
    if (!yaml_text_check(name, text, length, column_shift, out)) {
        return NULL;
    }
    if (!reserve_is_there(READER_ROOM + ROOM_PER_BYTE * length)) {
        diagnostics_no_memory(out);
        return NULL;
    }
    const size_t before = out->errors;
    yaml_run(&parse, text, length);
    if (!parse.tree.root && out->errors == before && !arena->failed) {
        diagnostics_error(out, (struct place){name, 0, 0},
                          "empty: nothing but blanks and comments");
    }
    return parse.broken ? NULL : parse.tree.root;
}
