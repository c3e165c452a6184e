// SPDX-License-Identifier: MIT
#include "handout/lesson_picture.h"

#include "answer/picture.h"
#include "show/plot_script.h"

enum { SIDES = 2 };

// In real time: what a picture of ten frames a second shows of twelve seconds.
#define FRAME 0.1
enum { FRAMES = 120 };

// The record at the time of each frame, from 0 on; where it has ended it rests.
static void add_run(struct answer *answer, const struct simulation *run,
                    const struct scenario_case *scenario) {
    struct picture_data *data = picture_data(answer, 3);
    for (size_t frame = 0; data && frame <= FRAMES && run->count > 0; frame++) {
        size_t i = (size_t)((double)frame * FRAME / run->step + 0.5);
        i = i < run->count ? i : run->count - 1;
        const double travel = run->channel[CHANNEL_TRAVEL][i] / scenario->model.trim.rated_travel;
        const double row[] = {
            (double)frame * FRAME,
            answer_shown(answer, UNIT_PRESSURE_LEVEL, run->channel[CHANNEL_CONTROLLED_PRESSURE][i]),
            travel > 0.0 ? 100.0 * travel : 0.0};
        picture_row(data, NULL, row);
    }
}

bool lesson_picture_draw(const struct comparison *c, struct study_job *job, const char *path) {
    struct answer answer = {0};
    double widest = 0.0;
    study_job_answer(job, &c->scenario[0], &answer);
    picture_begin(&answer, "motion.gp", c->scenario[0].title);
    for (size_t side = 0; side < SIDES; side++) {
        const double port = c->scenario[side].model.trim.port_diameter;
        picture_title(&answer, "%s: %s", c->label[side], verdict_name(c->run[side].judged.verdict));
        widest = port > widest ? port : widest;
        add_run(&answer, &c->run[side], &c->scenario[side]);
    }
    picture_axis(&answer, "pressure", UNIT_PRESSURE_LEVEL);
    picture_label(&answer, "opening, %% of travel");
    picture_axis(&answer, "time", UNIT_TIME);
    picture_number(&answer, FRAMES);
    picture_number(&answer, FRAME);
    picture_number(&answer, widest);
    for (size_t side = 0; side < SIDES; side++) {
        picture_number(&answer, c->scenario[side].model.trim.port_diameter);
    }
    const bool fine = !answer.failed && plot_script_draw(&answer.picture, path, PLOT_GIF,
                                                         job->message, sizeof job->message);
    answer_free(&answer);
    return fine;
}
