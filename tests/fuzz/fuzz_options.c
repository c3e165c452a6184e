// SPDX-License-Identifier: MIT
// Command lines: the first byte says the command, each line is an argument. Options are read as for
// any command; what a map and a study of uncertainty are asked is read with a scenario at hand.
#include "fuzz_base.h"

#include "among/uncertainty_told.h"
#include "map/map.h"
#include "shell/request.h"

enum { ARGUMENTS_MAX = 40 };

static void take_map(const struct request *request, struct study_job *job) {
    struct map map = {0};
    const enum study_status status = map_take(&map, job, request->own);
    fuzz_require(status == STUDY_DONE || job->message[0] != '\0' || job->list.errors > 0);
    fuzz_require(status != STUDY_DONE || (map.across.count > 1 && map.up.count > 1));
}

static void take_uncertainty(const struct request *request, struct study_job *job) {
    struct uncertainty study = {0};
    double share;
    const enum study_status status = uncertainty_take(&study, job, request->own, &share);
    fuzz_require(status == STUDY_DONE || job->message[0] != '\0' || job->list.errors > 0);
    uncertainty_free(&study);
}

static void take(const struct request *request) {
    struct study_job job = {.path = "base.yaml", .scenario = fuzz_base(), .trim_count = 1};
    const char *name = request->command->name;
    if (strcmp(name, "map") == 0) {
        take_map(request, &job);
    } else if (strcmp(name, "uncertainty") == 0) {
        take_uncertainty(request, &job);
    }
    diagnostics_free(&job.list);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    size_t commands = 0;
    while (command_at(commands)) {
        commands++;
    }
    if (size == 0 || commands == 0) {
        return 0;
    }
    const struct command *command = command_at(data[0] % commands);
    char *text = fuzz_text(data + 1, size - 1);
    if (fuzz_is_lossy(text)) {
        free(text);
        return 0;
    }
    char *argument[ARGUMENTS_MAX + 1];
    char *own_name = fuzz_text((const uint8_t *)command->name, strlen(command->name));
    int count = 0;
    argument[count++] = own_name;
    for (char *at = text; at && count < ARGUMENTS_MAX;) {
        char *end = strchr(at, '\n');
        argument[count++] = at;
        if (end) {
            *end = '\0';
        }
        at = end ? end + 1 : NULL;
    }
    argument[count] = NULL;
    struct request request;
    const int code = request_read(&request, command, count, argument);
    fuzz_require(code == EXIT_CODE_DONE || code == EXIT_CODE_USAGE);
    if (code == EXIT_CODE_DONE && !request.help) {
        fuzz_require(request.files >= 0 && request.files < count);
        take(&request);
    }
    free(text);
    free(own_name);
    return 0;
}
