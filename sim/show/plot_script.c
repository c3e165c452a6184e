// SPDX-License-Identifier: MIT
#include "show/plot_script.h"

#include "base/atomic_file.h"
#include "base/clean.h"
#include "base/ranks.h"
#include "show/plot_place.h"
#include "show/plot_process.h"
#include "show/plot_svg.h"
#include "show/plot_table.h"

#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { TEXT_MAX = 4096, PATH_SIZE = ATOMIC_FILE_PATH_MAX + 64 };

// Stands between the items of a list that goes to a script as one argument. Cleaned texts have no
// control characters, so none can hold it.
static const char SEPARATOR = '\x1f';

// Words for the terminal, in the order of enum plot_format.
static const char *const FORMATS[] = {"svg", "png", "text", "gif"};

struct job {
    const struct picture *picture;
    enum plot_format format;
    char folder[PATH_SIZE]; // of the data files
    char path[PATH_SIZE];   // of the script
    char output[PATH_SIZE];
    char titles[TEXT_MAX];
    char labels[TEXT_MAX];
    char numbers[TEXT_MAX];
    char heading[TEXT_MAX];
    char origin[TEXT_MAX];
    char *message;
    size_t message_size;
};

static bool job_fail(struct job *job, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static bool job_fail(struct job *job, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(job->message, job->message_size, format, arguments);
    va_end(arguments);
    return false;
}

// Append an item to a list. What does not fit is cut off.
static void list_add(char *list, const char *text) {
    size_t length = strlen(list);
    if (length + 2 <= TEXT_MAX) {
        length += clean_text(CLEAN_PICTURE, text, list + length, TEXT_MAX - length - 1);
        list[length++] = SEPARATOR;
        list[length] = '\0';
    }
}

static void job_describe(struct job *job) {
    const struct picture *picture = job->picture;
    for (size_t i = 0; i < picture->titles; i++) {
        list_add(job->titles, picture->title[i]);
    }
    for (size_t i = 0; i < picture->labels; i++) {
        list_add(job->labels, picture->label[i]);
    }
    for (size_t i = 0; i < picture->numbers; i++) {
        char text[40];
        // With a point: gnuplot takes the text 1.0e-05 for a number, and 1e-05 for none.
        snprintf(text, sizeof text, "%#.9g", picture->number[i]);
        list_add(job->numbers, text);
    }
    list_add(job->heading, picture->heading);
    job->heading[strlen(job->heading) - 1] = '\0';
    list_add(job->origin, picture->origin ? picture->origin : "");
    job->origin[strlen(job->origin) - 1] = '\0';
}

static bool job_find_script(struct job *job) {
    const char *name = job->format == PLOT_TEXT && job->picture->sketch ? job->picture->sketch
                                                                        : job->picture->script;
    return plot_place_find(name, job->path, sizeof job->path, job->message, job->message_size);
}

static void job_data_path(const struct job *job, size_t i, char *path) {
    snprintf(path, PATH_SIZE, "%.*s/%zu.dat", ATOMIC_FILE_PATH_MAX, job->folder, i + 1);
}

static bool job_write_data(struct job *job) {
    size_t i = 0;
    for (const struct picture_data *data = job->picture->data; data; data = data->next) {
        char path[PATH_SIZE];
        job_data_path(job, i++, path);
        FILE *stream = fopen(path, "w");
        bool good = stream != NULL && plot_table_write(stream, data);
        if (stream != NULL && fclose(stream) != 0) {
            good = false;
        }
        if (!good) {
            return job_fail(job, "plot data: %s", strerror(errno));
        }
    }
    return true;
}

// What gnuplot complained about first, in one line.
static void job_complaint(const struct job *job, char *text, size_t size) {
    char path[PATH_SIZE];
    char line[300];
    snprintf(path, sizeof path, "%.*s/errors", ATOMIC_FILE_PATH_MAX, job->folder);
    FILE *stream = fopen(path, "r");
    text[0] = '\0';
    // It repeats the script line and points at a column first: the last line is the sentence.
    while (stream != NULL && fgets(line, sizeof line, stream) != NULL) {
        line[strcspn(line, "\n")] = '\0';
        if (line[strspn(line, " \t^")] != '\0') {
            snprintf(text, size, "%s", line);
        }
    }
    if (stream != NULL) {
        fclose(stream);
    }
}

static bool job_run_gnuplot(struct job *job) {
    char errors[PATH_SIZE];
    snprintf(errors, sizeof errors, "%.*s/errors", ATOMIC_FILE_PATH_MAX, job->folder);
    char program[] = "gnuplot";
    char defaults[] = "-d"; // a user's own start-up file must not change the picture
    char call[] = "-c";
    char format[8];
    snprintf(format, sizeof format, "%s", FORMATS[job->format]);
    char *arguments[] = {program,      defaults,    call,         job->path,   job->folder,
                         job->output,  format,      job->heading, job->titles, job->labels,
                         job->numbers, job->origin, NULL};
    posix_spawn_file_actions_t actions;
    int code = posix_spawn_file_actions_init(&actions);
    if (code != 0) {
        return job_fail(job, "gnuplot: %s", strerror(code));
    }
    posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, errors, O_WRONLY | O_CREAT, 0600);
    int status = 0;
    code = plot_process_run(arguments, &actions, &status);
    posix_spawn_file_actions_destroy(&actions);
    if (code == ENOENT) {
        return job_fail(job, "gnuplot is not installed or not in PATH; pictures need it");
    }
    if (code == ETIMEDOUT) {
        return job_fail(job,
                        "gnuplot had not finished after %g s and was stopped; "
                        "LOWLIFT_PLOT_SECONDS gives it longer",
                        plot_process_patience());
    }
    if (code != 0) {
        return job_fail(job, "gnuplot: %s", strerror(code));
    }
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        char complaint[300];
        job_complaint(job, complaint, sizeof complaint);
        return job_fail(job, "gnuplot failed: %s", complaint);
    }
    return true;
}

// gnuplot does not report a full disk: see that the picture has its end.
static bool picture_is_whole(const char *path, enum plot_format format) {
    static const char *const ends[] = {"</svg>", "IEND", "", ";"};
    char tail[64] = {0};
    FILE *stream = fopen(path, "rb");
    bool whole = stream != NULL && fseek(stream, -16, SEEK_END) == 0;
    size_t length = whole ? fread(tail, 1, sizeof tail - 1, stream) : 0;
    if (stream != NULL) {
        fclose(stream);
    }
    size_t wanted = strlen(ends[format]);
    for (size_t i = 0; i + wanted <= length; ++i) {
        if (memcmp(tail + i, ends[format], wanted) == 0) {
            return true;
        }
    }
    return false;
}

// `more` files than those of the data.
static bool job_make_folder(struct job *job, size_t more) {
    const char *folder = plot_process_folder(job->picture->files + more);
    if (folder == NULL) {
        return job_fail(job, "TMPDIR: no folder for the plot data: %s", strerror(errno));
    }
    snprintf(job->folder, sizeof job->folder, "%s", folder);
    return true;
}

static char *job_read(struct job *job, size_t *length) {
    FILE *stream = fopen(job->output, "rb");
    long size = -1;
    if (stream && fseek(stream, 0, SEEK_END) == 0) {
        size = ftell(stream);
        rewind(stream);
    }
    char *text = size >= 0 ? malloc((size_t)size + 1) : NULL;
    *length = text ? fread(text, 1, (size_t)size, stream) : 0;
    if (!text || *length != (size_t)size) {
        job_fail(job, "picture: %s", text ? "cannot be read" : strerror(errno));
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

// The bytes of the picture, by gnuplot into the folder, whose files are known by name; NULL after a
// message.
static char *job_draw(struct job *job, size_t *length) {
    char *text = NULL;
    job_describe(job);
    if (!job_find_script(job) || !job_make_folder(job, 1)) {
        return NULL;
    }
    job_data_path(job, job->picture->files, job->output);
    if (job_write_data(job) && job_run_gnuplot(job)) {
        if (picture_is_whole(job->output, job->format)) {
            text = job_read(job, length);
        } else {
            job_fail(job, "gnuplot wrote only a part of the picture: is there room in %.*s?",
                     ATOMIC_FILE_PATH_MAX, job->folder);
        }
    }
    plot_process_remove_folder();
    if (text && job->format == PLOT_SVG) {
        text = plot_svg_titled(text, length, job->heading);
        if (!text) {
            job_fail(job, "out of memory");
        }
    }
    return text;
}

char *plot_script_text(const struct picture *picture, size_t *length, char *message,
                       size_t message_size) {
    struct job job = {
        .picture = picture, .format = PLOT_SVG, .message = message, .message_size = message_size};
    return job_draw(&job, length);
}

static bool job_write(struct job *job, const char *text, size_t length, const char *path) {
    struct atomic_file file;
    int code = atomic_file_open(&file, path);
    if (code == 0) {
        fwrite(text, 1, length, file.stream);
        code = atomic_file_commit(&file);
    }
    return code == 0 || job_fail(job, "%s", atomic_file_reason(code));
}

// Lines of letters; gnuplot begins them with a form feed. That they could not be written is seen
// when all is flushed.
static void put_sketch(const char *text) {
    text += text[0] == '\f';
    while (*text) {
        const size_t length = strcspn(text, "\n");
        clean_put_part(stdout, CLEAN_TERMINAL, text, length);
        fputc('\n', stdout);
        text += length + (text[length] == '\n');
    }
}

bool plot_script_draw(const struct picture *picture, const char *path, enum plot_format format,
                      char *message, size_t message_size) {
    struct job job = {
        .picture = picture, .format = format, .message = message, .message_size = message_size};
    size_t length = 0;
    if (!ranks_first()) {
        return true;
    }
    char *text = job_draw(&job, &length);
    bool fine = text != NULL;
    if (fine && path) {
        fine = job_write(&job, text, length, path);
    } else if (fine) {
        put_sketch(text);
    }
    free(text);
    return fine;
}
