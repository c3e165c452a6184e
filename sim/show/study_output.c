// SPDX-License-Identifier: MIT
#include "show/study_output.h"

#include "base/atomic_file.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

// Nine digits say all that the tolerances carry, and are the same on every machine.
#define SUMMARY_DIGITS 9

int study_output_fail(const struct study_request *request, const char *path, const char *cause) {
    fprintf(stderr, "lowlift %s: %s: %s\n", request->command->name, path, cause);
    return EXIT_CODE_OUTPUT;
}

int study_output_path(const struct study_request *request, const char *ending, char *path) {
    if (mkdir(request->shared.folder, 0777) != 0 && errno != EEXIST) {
        return study_output_fail(request, request->shared.folder, strerror(errno));
    }
    int length = snprintf(path, STUDY_OUTPUT_PATH_SIZE, "%s/%s.%s", request->shared.folder,
                          request->stem, ending);
    if (length < 0 || length >= STUDY_OUTPUT_PATH_SIZE) {
        return study_output_fail(request, request->shared.folder, strerror(ENAMETOOLONG));
    }
    return EXIT_CODE_DONE;
}

void study_output_say(const struct study_request *request, const char *path) {
    if (!request->shared.quiet) {
        printf("wrote %s\n", path);
    }
}

int study_output_table_open(const struct study_request *request, const char *ending, char *path,
                            struct csv *csv) {
    int code = study_output_path(request, ending, path);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    int error = csv_open(csv, path);
    return error == 0 ? EXIT_CODE_DONE : study_output_fail(request, path, strerror(error));
}

int study_output_table_close(const struct study_request *request, const char *path,
                             struct csv *csv) {
    int error = csv_close(csv);
    if (error != 0) {
        return study_output_fail(request, path, strerror(error));
    }
    study_output_say(request, path);
    return EXIT_CODE_DONE;
}

json_t *study_output_summary(const struct study_request *request) {
    json_t *document = json_object();
    json_object_set_new(document, "program", json_string("lowlift"));
    json_object_set_new(document, "version", json_string(LOWLIFT_VERSION));
    json_object_set_new(document, "command", json_string(request->command->name));
    json_object_set_new(document, "scenario", json_string(scenario_name(request->scenario)));
    json_object_set_new(document, "title", json_string(scenario_title(request->scenario)));
    return document;
}

json_t *study_output_number(double value, const char *unit) {
    json_t *one = json_object();
    json_object_set_new(one, "value", isfinite(value) ? json_real(value) : json_null());
    json_object_set_new(one, "unit", json_string(unit));
    return one;
}

int study_output_json(const struct study_request *request, json_t *summary) {
    char path[STUDY_OUTPUT_PATH_SIZE];
    struct atomic_file file;
    int code = study_output_path(request, "json", path);
    if (code != EXIT_CODE_DONE) {
        json_decref(summary);
        return code;
    }
    int error = atomic_file_open(&file, path);
    size_t flags = JSON_INDENT(2) | JSON_REAL_PRECISION(SUMMARY_DIGITS);
    if (error == 0 && summary && json_dumpf(summary, file.stream, flags) == 0 &&
        fputc('\n', file.stream) != EOF) {
        error = atomic_file_commit(&file);
    } else if (error == 0) {
        error = errno ? errno : EIO;
        atomic_file_abort(&file);
    }
    json_decref(summary);
    if (error != 0) {
        return study_output_fail(request, path, strerror(error));
    }
    study_output_say(request, path);
    return EXIT_CODE_DONE;
}

int study_output_draw(const struct study_request *request, const struct plot_script *script) {
    char path[STUDY_OUTPUT_PATH_SIZE] = "", message[512];
    if (request->shared.picture) {
        int code = study_output_path(request, request->shared.picture_type, path);
        enum plot_format format =
            strcmp(request->shared.picture_type, "png") == 0 ? PLOT_PNG : PLOT_SVG;
        if (code != EXIT_CODE_DONE) {
            return code;
        }
        if (!plot_script_draw(script, path, format, message, sizeof message)) {
            return study_output_fail(request, path, message);
        }
        study_output_say(request, path);
    }
    if (request->shared.sketch) {
        fflush(stdout);
        if (!plot_script_draw(script, NULL, PLOT_TEXT, message, sizeof message)) {
            return study_output_fail(request, "terminal", message);
        }
    }
    return EXIT_CODE_DONE;
}
