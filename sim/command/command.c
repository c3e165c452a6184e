// SPDX-License-Identifier: MIT
#include "command/command.h"

#include "base/path_stem.h"
#include "command/all.h"
#include "command/page.h"
#include "command/request.h"
#include "show/show.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const struct command *command_at(size_t index) {
    static const struct command *const all[] = {
        &command_run,    &command_compare, &command_starter,  &command_stability,
        &command_map,    &command_kick,    &command_remedies, &command_uncertainty,
        &command_trims,  &command_decline, &command_record,   &command_check,
        &command_expect, &command_fields,  &command_verdicts};
    return index < sizeof all / sizeof all[0] ? all[index] : NULL;
}

int command_usage(const struct command *command, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    fprintf(stderr, "lowlift %s: ", command->name);
    vfprintf(stderr, format, arguments);
    fprintf(stderr, "; see 'lowlift %s --help'\n", command->name);
    va_end(arguments);
    return EXIT_CODE_USAGE;
}

int command_no_memory(const struct command *command) {
    fprintf(stderr, "lowlift %s: out of memory\n", command->name);
    return EXIT_CODE_SOLVER;
}

int command_finish(const struct command *command, int code) {
    if (fflush(stdout) == 0 && !ferror(stdout)) {
        return code;
    }
    fprintf(stderr, "lowlift %s: cannot write to standard output: %s\n", command->name,
            strerror(errno));
    return EXIT_CODE_OUTPUT;
}

int command_status(const struct command *command, enum study_status status, struct study_job *job) {
    static const int codes[] = {[STUDY_DONE] = EXIT_CODE_DONE,
                                [STUDY_INTERRUPTED] = EXIT_CODE_SIGNAL,
                                [STUDY_BAD_USAGE] = EXIT_CODE_USAGE,
                                [STUDY_BAD_SCENARIO] = EXIT_CODE_SCENARIO,
                                [STUDY_BAD_CHECKPOINT] = EXIT_CODE_USAGE,
                                [STUDY_SOLVER_FAILED] = EXIT_CODE_SOLVER,
                                [STUDY_OUTPUT_FAILED] = EXIT_CODE_OUTPUT,
                                [STUDY_NO_MEMORY] = EXIT_CODE_SOLVER};
    diagnostics_print(&job->list, stderr);
    if (status == STUDY_BAD_USAGE && job->message[0]) {
        return command_usage(command, "%s", job->message);
    }
    if (status != STUDY_DONE && (job->message[0] || job->list.errors == 0)) {
        fprintf(stderr, "lowlift %s: %s\n", command->name,
                job->message[0] ? job->message : "out of memory");
    }
    return codes[status];
}

// One scenario in, its answer out and written.
static int answer_one(struct request *r) {
    const struct command *command = r->command;
    if (r->files != 1) {
        return r->files == 0 ? command_usage(command, "no scenario file named")
                             : command_usage(command, "found '%s'; allowed one scenario at a time",
                                             r->file[1]);
    }
    struct study_job job = {.path = r->file[0],
                            .overrides = r->overrides.text,
                            .override_count = r->overrides.count,
                            .overridden = r->overrides.count > 0,
                            .threads = r->threads,
                            .quiet = r->to.quiet};
    job.scenario = request_open(r, job.path);
    if (!job.scenario) {
        return EXIT_CODE_SCENARIO;
    }
    int code = request_trims(r, job.scenario, job.path, job.trim, &job.trim_count);
    if (code == EXIT_CODE_DONE) {
        struct answer answer = {0};
        char stem[256];
        const size_t length = path_stem(job.path, stem, sizeof stem);
        snprintf(stem + length, sizeof stem - length, ".%s", command->name);
        r->to.stem = stem;
        code = command_status(command, command->answer(&job, r->own, &answer), &job);
        if (code == EXIT_CODE_DONE && !show_answer(&answer, &r->to)) {
            code = EXIT_CODE_OUTPUT;
        }
        answer_free(&answer);
    }
    diagnostics_free(&job.list);
    scenario_free(job.scenario);
    return code;
}

int command_main(const struct command *command, int argc, char **argv) {
    struct request request;
    int code = request_read(&request, command, argc, argv);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    if (request.help) {
        page_print(stdout, command);
    } else {
        code = command->answer ? answer_one(&request) : command->run(&request);
    }
    return command_finish(command, code);
}
