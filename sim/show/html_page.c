// SPDX-License-Identifier: MIT
#include "show/html_page.h"

#include "base/atomic_file.h"
#include "base/clean.h"
#include "base/sha256.h"
#include "show/html_text.h"
#include "show/plot_place.h"

#include <errno.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

enum { PATH_SIZE = ATOMIC_FILE_PATH_MAX + 64, DEPTH_MAX = 4, HASHES_SIZE = 1024 };

// The policy stands before what it must name, so its place is kept and filled at the end.
struct writer {
    const struct html_page *page;
    FILE *out;
    char scripts[HASHES_SIZE], styles[HASHES_SIZE]; // 'sha256-...' of each
    long policy;                                    // where it belongs; -1: nowhere
    char *message;
    size_t message_size;
};

static bool write_source(struct writer *w, const char *name, int depth);

static bool writer_fail(struct writer *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static bool writer_fail(struct writer *w, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(w->message, w->message_size, format, arguments);
    va_end(arguments);
    return false;
}

// --- Files of plots/

// A whole file, ended by NUL; NULL after a message. Free with free().
static char *read_file(struct writer *w, const char *name, size_t *length) {
    char path[PATH_SIZE];
    if (!plot_place_find(name, path, sizeof path, w->message, w->message_size)) {
        return NULL;
    }
    FILE *stream = fopen(path, "rb");
    long size = -1;
    if (stream && fseek(stream, 0, SEEK_END) == 0) {
        size = ftell(stream);
        rewind(stream);
    }
    char *text = size >= 0 ? malloc((size_t)size + 1) : NULL;
    *length = text ? fread(text, 1, (size_t)size, stream) : 0;
    if (!text || *length != (size_t)size) {
        writer_fail(w, "%s: %s", path, text ? "cannot be read" : strerror(errno));
        free(text);
        text = NULL;
    } else {
        text[*length] = '\0';
    }
    if (stream) {
        fclose(stream);
    }
    return text;
}

// Files named in a list parted by blanks, one after the other, as one text. NULL after a message.
static char *read_files(struct writer *w, const char *names, size_t *length) {
    char *all = NULL;
    FILE *out = open_memstream(&all, length);
    bool fine = out != NULL;
    for (const char *at = names; fine && *at; at += strspn(at, " ")) {
        char name[64];
        size_t size = 0;
        snprintf(name, sizeof name, "%.*s", (int)strcspn(at, " "), at);
        at += strcspn(at, " ");
        char *text = read_file(w, name, &size);
        fine = text && fwrite(text, 1, size, out) == size;
        free(text);
    }
    if (out && fclose(out) != 0) {
        fine = false;
    }
    if (!fine) {
        free(all);
        return NULL;
    }
    return all;
}

// --- Orders

static void add_hash(char list[HASHES_SIZE], const char *text, size_t length) {
    unsigned char digest[SHA256_SIZE];
    char code[64];
    sha256_bytes(text, length, digest);
    html_text_base64_short(digest, sizeof digest, code);
    const size_t used = strlen(list);
    snprintf(list + used, HASHES_SIZE - used, " 'sha256-%s'", code);
}

static bool code(struct writer *w, const char *element, const char *names, char *hashes) {
    size_t length;
    char *text = read_files(w, names, &length);
    if (text && strstr(text, "</s")) { // it would end there
        free(text);
        return writer_fail(w, "%s: </s stands in it", names);
    }
    if (text) {
        add_hash(hashes, text, length);
        fprintf(w->out, "<%s>%s</%s>", element, text, element);
        free(text);
    }
    return text != NULL;
}

static bool keep(struct writer *w, const char *words) {
    const int name = (int)strcspn(words, " ");
    size_t length;
    char *text = read_files(w, words + name + strspn(words + name, " "), &length);
    if (text) {
        fprintf(w->out, "<script type=\"text/plain\" id=\"%.*s\">%s</script>", name, words, text);
        free(text);
    }
    return text != NULL;
}

static bool bytes(struct writer *w, const char *words) {
    const int name = (int)strcspn(words, " ");
    size_t length;
    char *text = read_file(w, words + name + strspn(words + name, " "), &length);
    if (text) {
        fprintf(w->out, "<script type=\"text/plain\" id=\"%.*s\">", name, words);
        html_text_base64(w->out, text, length);
        fputs("</script>", w->out);
        free(text);
    }
    return text != NULL;
}

static bool quote(struct writer *w, const char *name) {
    size_t length;
    char *text = read_file(w, name, &length);
    if (text) {
        clean_put(w->out, CLEAN_LINES, text);
        free(text);
    }
    return text != NULL;
}

static const char *part(struct writer *w, const char *name) {
    for (size_t i = 0; i < w->page->parts; i++) {
        if (strcmp(w->page->part[i].name, name) == 0) {
            return w->page->part[i].text;
        }
    }
    writer_fail(w, "%s: no text '%s'", w->page->source, name);
    return NULL;
}

static bool write_part(struct writer *w, const char *order, const char *name) {
    const char *text = part(w, name);
    if (!text) {
        return false;
    }
    if (strcmp(order, "text") == 0) {
        html_page_text(w->out, text);
    } else if (!html_text_is_utf8(text)) {
        return writer_fail(w, "'%s': not UTF-8", name);
    } else if (strcmp(order, "insert") == 0) {
        fputs(text, w->out);
    } else {
        fprintf(w->out, "<script type=\"application/json\" id=\"%s\">", name);
        html_text_json(w->out, text);
        fputs("</script>", w->out);
    }
    return true;
}

static const char POLICY[] =
    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; base-uri 'none'; "
    "form-action 'none'; img-src data:; worker-src blob:; script-src 'wasm-unsafe-eval'%s; "
    "style-src%s\">";

static bool obey(struct writer *w, const char *order, const char *words, int depth) {
    static const char *const parts[] = {"text", "data", "insert"};
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        if (strcmp(order, parts[i]) == 0) {
            return write_part(w, order, words);
        }
    }
    if (strcmp(order, "policy") == 0) {
        w->policy = ftell(w->out);
        return true;
    }
    return strcmp(order, "style") == 0    ? code(w, order, words, w->styles)
           : strcmp(order, "script") == 0 ? code(w, order, words, w->scripts)
           : strcmp(order, "keep") == 0   ? keep(w, words)
           : strcmp(order, "bytes") == 0  ? bytes(w, words)
           : strcmp(order, "quote") == 0  ? quote(w, words)
           : strcmp(order, "file") == 0 && depth < DEPTH_MAX
               ? write_source(w, words, depth + 1)
               : writer_fail(w, "{{%s}}: no such order", order);
}

// A file of plots/ with its orders obeyed.
static bool write_source(struct writer *w, const char *name, int depth) {
    size_t length;
    char *text = read_file(w, name, &length);
    bool fine = text != NULL;
    for (char *at = text, *next; fine && *at; at = next) {
        char *begin = strstr(at, "{{");
        char *end = begin ? strstr(begin, "}}") : NULL;
        next = end ? end + 2 : at + strlen(at);
        fwrite(at, 1, (size_t)((end ? begin : next) - at), w->out);
        if (end) {
            *end = '\0';
            char *order = begin + 2, *words = order + strcspn(order, " ");
            if (*words) {
                *words++ = '\0';
            }
            fine = obey(w, order, words, depth);
        }
    }
    free(text);
    return fine;
}

// --- The whole

// The page as a text, its policy not yet in its place.
static bool compose(struct writer *w, char **text, size_t *length) {
    *text = NULL;
    w->out = open_memstream(text, length);
    bool fine = w->out && write_source(w, w->page->source, 0);
    if (!w->out || fclose(w->out) != 0) {
        fine = writer_fail(w, "out of memory");
    }
    return fine;
}

bool html_page_write(const struct html_page *page, const char *path, char *message,
                     size_t message_size) {
    struct writer w = {
        .page = page, .policy = -1, .message = message, .message_size = message_size};
    char *text;
    size_t length = 0;
    struct atomic_file file;
    bool fine = compose(&w, &text, &length);
    const int error = fine ? atomic_file_open(&file, path) : 0;
    if (fine && error == 0) {
        const size_t before = w.policy >= 0 ? (size_t)w.policy : 0;
        fwrite(text, 1, before, file.stream);
        if (w.policy >= 0) {
            fprintf(file.stream, POLICY, w.scripts, w.styles[0] ? w.styles : " 'none'");
        }
        fwrite(text + before, 1, length - before, file.stream);
        const int end = atomic_file_commit(&file);
        fine = end == 0 || writer_fail(&w, "%s: %s", path, atomic_file_reason(end));
    } else if (error != 0) {
        fine = writer_fail(&w, "%s: %s", path, atomic_file_reason(error));
    }
    free(text);
    return fine;
}

void html_page_text(FILE *out, const char *text) {
    clean_put(out, CLEAN_MARKUP, text);
}
