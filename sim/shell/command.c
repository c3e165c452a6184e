// SPDX-License-Identifier: MIT
#include "shell/command.h"

#include "base/clean.h"
#include "base/path_stem.h"
#include "run/screening.h"
#include "shell/help_page.h"
#include "shell/request.h"
#include "show/show.h"

#include <stdio.h>
#include <string.h>

// How a study's runs were tried by the quick method, and how often that was wrong.
static void tell_screening(const struct command *command, const struct screening *s) {
    const unsigned long runs = atomic_load(&s->runs), again = atomic_load(&s->again);
    const unsigned long sampled = atomic_load(&s->sampled), wrong = atomic_load(&s->differing);
    if (runs > 0) {
        clean_say(stderr,
                  "lowlift %s: %lu runs tried by the quick method; %lu near a boundary run again; "
                  "of %lu others run again to see, %lu came out otherwise (%.2g %%)",
                  command->name, runs, again, sampled, wrong,
                  sampled > 0 ? 100.0 * (double)wrong / (double)sampled : 0.0);
    }
}

int command_answer(struct request *r,
                   enum study_status (*answer_it)(struct study_job *job,
                                                  const struct study_asked *asked,
                                                  struct answer *answer)) {
    const struct command *command = r->command;
    struct screening screening = {0};
    struct study_job job;
    int code;
    struct lowlift_scenario *opened = request_job(r, &job, &code);
    if (!opened) {
        return code;
    }
    job.screening = &screening;
    code = request_trims(r, job.scenario, job.path, job.trim, &job.trim_count);
    if (code == EXIT_CODE_DONE) {
        struct answer answer = {0};
        char stem[256];
        const size_t length = path_stem(job.path, stem, sizeof stem);
        snprintf(stem + length, sizeof stem - length, ".%s", command->name);
        r->to.stem = stem;
        code = command_status(command, answer_it(&job, r->own, &answer), &job);
        if (code == EXIT_CODE_DONE && !show_answer(&answer, &r->to)) {
            code = EXIT_CODE_OUTPUT;
        }
        if (!r->to.quiet) {
            tell_screening(command, &screening);
        }
        answer_free(&answer);
    }
    diagnostics_free(&job.list);
    lowlift_close(opened);
    return code;
}

int command_main(const struct command *command, int argc, char **argv) {
    struct request request;
    int code = request_read(&request, command, argc, argv);
    if (code != EXIT_CODE_DONE) {
        return code;
    }
    if (request.help) {
        help_page_print(stdout, command);
    } else {
        code = command->answer ? command_answer(&request, command->answer) : command->run(&request);
    }
    return command_finish(command, code);
}
