// SPDX-License-Identifier: MIT
#include "fixture_trace.h"

#include <errno.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct reader {
    struct trace_table *table;
    char *place; // next character of the text, which ends with a NUL
    size_t line; // of `place`, from 1
    char *message;
    size_t message_size;
    const char *path;
};

static bool reader_fail(struct reader *reader, const char *what) {
    snprintf(reader->message, reader->message_size, "%s:%zu: %s", reader->path, reader->line, what);
    return false;
}

// The whole file with a NUL behind it, or NULL with errno set.
static char *file_text(struct arena *memory, const char *path, size_t *size) {
    FILE *stream = fopen(path, "rb");
    if (stream == NULL) {
        return NULL;
    }
    char *text = NULL;
    if (fseek(stream, 0, SEEK_END) == 0) {
        long length = ftell(stream);
        rewind(stream);
        if (length >= 0) {
            text = arena_alloc(memory, (size_t)length + 1);
            *size = fread(text, 1, (size_t)length, stream);
            text = ferror(stream) ? NULL : text;
        }
    }
    int code = errno;
    fclose(stream);
    errno = code;
    return text;
}

// The next field, unquoted in place. Leaves the separator behind it in *separator: ',', '\n', or 0.
// NULL when a quote is not closed or text follows one.
static char *reader_field(struct reader *reader, char *separator) {
    char *start = reader->place;
    char *out = start;
    char *in = start;
    if (*in == '"') {
        ++in;
        while (*in != '\0' && (in[0] != '"' || in[1] == '"')) {
            in += *in == '"';
            reader->line += *in == '\n';
            *out++ = *in++;
        }
        if (*in != '"') {
            return NULL;
        }
        ++in;
    } else {
        while (*in != '\0' && *in != ',' && *in != '\n' && *in != '\r') {
            *out++ = *in++;
        }
    }
    if (in[0] == '\r' && in[1] == '\n') {
        ++in;
    }
    *separator = *in;
    reader->place = *in != '\0' ? in + 1 : in;
    *out = '\0';
    return *separator == ',' || *separator == '\n' || *separator == '\0' ? start : NULL;
}

// Cut "name [unit]" in two.
static const char *title_unit(char *title) {
    size_t length = strlen(title);
    char *open = strrchr(title, '[');
    if (open == NULL || open == title || open[-1] != ' ' || title[length - 1] != ']') {
        return "";
    }
    title[length - 1] = '\0';
    open[-1] = '\0';
    return open + 1;
}

static size_t count_characters(const char *text, char wanted) {
    size_t count = 0;
    for (; *text != '\0'; ++text) {
        count += *text == wanted;
    }
    return count;
}

static bool read_header(struct reader *reader) {
    struct trace_table *table = reader->table;
    size_t most = count_characters(reader->place, ',') + 1;
    table->name = arena_alloc(&table->memory, most * sizeof *table->name);
    table->unit = arena_alloc(&table->memory, most * sizeof *table->unit);
    for (;;) {
        char separator = '\0';
        char *title = reader_field(reader, &separator);
        if (title == NULL) {
            return reader_fail(reader, "a quoted title does not end");
        }
        if (separator != ',') {
            return strcmp(title, "event") == 0 ||
                   reader_fail(reader, "the last column is not `event`: not a trace");
        }
        table->unit[table->columns] = title_unit(title);
        table->name[table->columns] = title;
        ++table->columns;
    }
}

static bool read_row(struct reader *reader) {
    struct trace_table *table = reader->table;
    double *value = table->value + table->rows * table->columns;
    char separator = '\0';
    for (size_t i = 0; i < table->columns; ++i) {
        char *text = reader_field(reader, &separator);
        if (text == NULL || separator != ',') {
            return reader_fail(reader, "the row is shorter than the header");
        }
        char *end = text;
        value[i] = *text != '\0' ? strtod(text, &end) : (double)NAN;
        if (*end != '\0' || (*text != '\0' && end == text)) {
            return reader_fail(reader, "a field is not a number");
        }
    }
    char *event = reader_field(reader, &separator);
    if (event == NULL || separator == ',') {
        return reader_fail(reader, "the row is longer than the header");
    }
    table->event[table->rows++] = event;
    ++reader->line;
    return true;
}

static bool read_rows(struct reader *reader) {
    struct trace_table *table = reader->table;
    size_t most = count_characters(reader->place, '\n') + 1;
    size_t columns = table->columns > 0 ? table->columns : 1;
    table->value = arena_alloc(&table->memory, most * columns * sizeof *table->value);
    table->event = arena_alloc(&table->memory, most * sizeof *table->event);
    reader->line = 2;
    locale_t numbers = newlocale(LC_NUMERIC_MASK, "C", (locale_t)0);
    if (numbers == (locale_t)0) {
        return reader_fail(reader, strerror(errno));
    }
    locale_t before = uselocale(numbers);
    bool good = true;
    while (good && *reader->place != '\0') {
        good = read_row(reader);
    }
    uselocale(before);
    freelocale(numbers);
    return good;
}

bool trace_read(const char *path, struct trace_table *table, char *message, size_t message_size) {
    *table = (struct trace_table){0};
    size_t size = 0;
    char *text = file_text(&table->memory, path, &size);
    if (text == NULL) {
        snprintf(message, message_size, "%s: %s", path, strerror(errno));
        trace_table_free(table);
        return false;
    }
    struct reader reader = {table, text, 1, message, message_size, path};
    bool good = strlen(text) == size || reader_fail(&reader, "a NUL character: not a trace");
    good = good && read_header(&reader) && read_rows(&reader);
    if (!good) {
        trace_table_free(table);
    }
    return good;
}

void trace_table_free(struct trace_table *table) {
    arena_free(&table->memory);
    *table = (struct trace_table){0};
}
