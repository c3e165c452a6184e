// SPDX-License-Identifier: MIT
// Files of a study: where they go, what is said of them, and the JSON summary. The rows of tables
// are written with csv.h, pictures with plot_script.h.
#pragma once

#include "base/csv.h"
#include "command/study_request.h"
#include "show/plot_script.h"

#include <jansson.h>

enum { STUDY_OUTPUT_PATH_SIZE = 1024 };

// Path FOLDER/STEM.ending, the folder made if missing. EXIT_CODE_DONE, or EXIT_CODE_OUTPUT after a
// message.
int study_output_path(const struct study_request *request, const char *ending, char *path);

// Report a failure with a path, and return EXIT_CODE_OUTPUT.
int study_output_fail(const struct study_request *request, const char *path, const char *cause);

// "wrote PATH", unless quiet.
void study_output_say(const struct study_request *request, const char *path);

// Open FOLDER/STEM.ending as a table, the path of which is filled in; then, when its rows are
// written, close it and say so. EXIT_CODE_DONE, or EXIT_CODE_OUTPUT after a message.
int study_output_table_open(const struct study_request *request, const char *ending, char *path,
                            struct csv *csv);
int study_output_table_close(const struct study_request *request, const char *path,
                             struct csv *csv);

// Start of a summary: program, version, command, scenario, title. The caller adds to it.
json_t *study_output_summary(const struct study_request *request);

// {"value": number in the unit, "unit": ...}; null for what is not finite.
json_t *study_output_number(double value, const char *unit);

// Write the summary to FOLDER/STEM.json and free it. Exit code.
int study_output_json(const struct study_request *request, json_t *summary);

// Draw to FOLDER/STEM.svg or .png, and in the terminal when that was asked for. Exit code.
int study_output_draw(const struct study_request *request, const struct plot_script *script);
