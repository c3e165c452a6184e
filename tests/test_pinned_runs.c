// SPDX-License-Identifier: MIT
// Whether short runs still go as they went, step by step: counts of steps, rates, matrices,
// restarts and events, times and kinds of the events, samples, the state at the end; by CVODE and
// by the one-step method, of builds that between them carry every part, hitting their ends and not.
// A count changes when a number inside the solver does. Figures of our own (fixture_pinned.h): they
// show a change, and no more. Invented data.
#include "fixture_pinned_builds.h"

enum way { BDF, ONE_STEP, ADAMS };

struct errand {
    const char *name;
    struct regulator_parameters p;
    enum way way;
    double travel, speed; // to begin with, shares of the rated travel [-], [1/s]
    double end, tolerance, largest;
    int order, stop_after; // samples; 0: not before the end
    long most;
    const int *read;
    int reads;
};

struct tally {
    const struct regulator *r;
    struct digest samples, events;
    int sampled, stop_after;
    const int *read;
    int reads;
};

static void on_sample(void *context, double time, const struct regulator_mode *mode,
                      const double *state) {
    struct tally *t = context;
    const struct regulator_layout *l = &t->r->layout;
    digest_add(&t->samples, time + (int)mode->plug + 0.1 * (int)mode->pilot, 1e-3);
    for (int i = 0; i < (t->read ? t->reads : l->mass_in); i++) {
        const int slot = t->read ? t->read[i] : i;
        digest_add(&t->samples, state[slot], 1e-3 * l->slot[slot].scale);
    }
    t->sampled++;
}

static bool on_stop(void *context, double time) {
    (void)time;
    const struct tally *t = context;
    return t->stop_after > 0 && t->sampled >= t->stop_after;
}

static void on_jump(void *context, const struct integrate_jump *jump) {
    struct tally *t = context;
    const struct regulator_layout *l = &t->r->layout;
    digest_add(&t->events, jump->time, 1e-4);
    digest_add(&t->events, jump->transition ? (int)jump->transition->event : -1, 1.0);
    digest_add(&t->events, jump->transition ? jump->transition->approach_speed : -1.0, 1e-2);
    digest_add(&t->events, (int)jump->mode_after->plug + 10 * (int)jump->mode_before->plug, 1.0);
    digest_add(&t->events, (int)jump->mode_after->pilot + 10 * (int)jump->mode_before->pilot, 1.0);
    digest_add(&t->events, (double)(jump->mode_after->flow_piece + jump->mode_after->set_piece),
               1.0);
    digest_add(&t->events, jump->before[l->speed] - jump->after[l->speed], 1e-2);
}

static void pin_part(const struct errand *e, const char *what, const struct digest *d,
                     double share) {
    char name[PINNED_NAME];
    snprintf(name, sizeof name, "%s, %s", e->name, what);
    pin_digest(name, d, share);
}

static void pin_statistics(const struct errand *e, const struct integrate_result *result) {
    const struct integrate_statistics *s = &result->statistics;
    const struct {
        const char *what;
        long count;
    } list[] = {{"status", result->status},    {"steps", s->steps},
                {"rates", s->rate_calls},      {"matrices", s->jacobians},
                {"errors", s->error_failures}, {"impossible", s->convergence_failures},
                {"restarts", s->restarts},     {"events counted", s->events}};
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        char name[PINNED_NAME];
        snprintf(name, sizeof name, "%s, %s", e->name, list[i].what);
        pin_count(name, list[i].count);
    }
}

static void begin(const struct errand *e, const struct regulator *r, struct regulator_mode *mode,
                  double *y) {
    const bool back = e->p.duty == DUTY_BACK_PRESSURE;
    double pressure[NODE_COUNT];
    for (int n = 0; n < NODE_COUNT; n++) {
        pressure[n] = back ? 2.2e5 : 9e5;
    }
    pressure[NODE_CONTROLLED] = pressure[NODE_CAVITY] = pressure[NODE_SENSE] = 4.5e5;
    pressure[NODE_SUPPLY] = 6e5;
    pressure[NODE_CHAMBER] = pressure[NODE_LOADING] = 3e5;
    *mode = regulator_mode_at(r, 0.0);
    const double rated = e->p.trim.rated_travel;
    const struct regulator_rest rest = {e->travel * rated, 0.3 * e->p.pilot.travel, pressure};
    regulator_rest_state(r, mode, 0.0, &rest, y);
    y[r->layout.speed] = e->speed * rated;
}

static void carry_out(const struct errand *e) {
    static struct regulator r;
    double y[REGULATOR_STATES_MAX] = {0.0};
    struct regulator_mode mode;
    regulator_prepare(&r, &e->p);
    begin(e, &r, &mode, y);
    struct integrate_options o = fixture_options(e->end, e->tolerance);
    o.sample_interval = e->end / 16.0;
    o.rosenbrock = e->way == ONE_STEP;
    o.adams = e->way == ADAMS;
    o.max_step = e->largest;
    o.max_order = e->order > 0 ? e->order : o.max_order;
    o.max_steps = e->most > 0 ? e->most : o.max_steps;
    struct tally t = {.r = &r, .stop_after = e->stop_after, .read = e->read, .reads = e->reads};
    const struct integrate_observer observer = {.context = &t,
                                                .sample = on_sample,
                                                .jump = on_jump,
                                                .stop = on_stop,
                                                .read = e->read,
                                                .reads = e->reads};
    const struct integrate_result result = integrate_run(&r, &mode, y, &o, &observer);
    struct digest last = {0};
    digest_add(&last, (int)mode.plug + 10 * (int)mode.pilot, 1.0);
    for (int i = 0; i < r.layout.count; i++) {
        digest_add(&last, y[i], 1e-3 * r.layout.slot[i].scale);
    }
    pin_statistics(e, &result);
    pin_part(e, "samples", &t.samples, 1e-6);
    pin_part(e, "events", &t.events, 1e-6);
    pin_part(e, "end", &last, 1e-6);
}

// Toward the seat, toward the stop, and from the middle.
static void test_every_build(void **state) {
    (void)state;
    static const double travel[] = {0.02, 0.97, 0.4}, speed[] = {-6.0, 9.0, 0.0};
    for (int i = 0; i < FIXTURE_VARIANTS; i++) {
        for (int k = 0; k < 6; k++) {
            if ((i == 8 && k == 3) || (i == 10 && k == 1)) {
                continue; // their counts hang on the last digit of a logarithm
            }
            const int lines = k < 4 ? NO_LINES : i % 2 ? SIDE_LINES : ALL_LINES;
            char name[48];
            snprintf(name, sizeof name, "build %d, errand %d", i, k);
            struct errand e = {.name = name,
                               .p = with_lines(i, lines),
                               .way = k % 2 ? ONE_STEP : BDF,
                               .travel = travel[(i + k / 2) % 3],
                               .speed = speed[(i + k / 2) % 3],
                               .end = k == 2 || i >= 8 ? 0.004 : 0.006,
                               .tolerance = k < 2 ? 1e-6 : 1e-5,
                               .largest = k == 2 ? 2e-3 : 0.0,
                               .order = k == 2 ? 2 : 0};
            carry_out(&e);
        }
    }
}

static const double point_time[] = {0.01, 0.02, 0.02, 0.03}, point[] = {2.0, 3.0, 1.0, 1.5};
static const double set_time[] = {0.0, 0.025, 0.025}, set_point[] = {4.4e5, 4.6e5, 4.2e5};

// Surroundings that step, ramp and swing; runs that are cut short, and such as see a part only.
static void test_schedules_and_ends(void **state) {
    (void)state;
    const struct schedule moving[] = {
        {.kind = SCHEDULE_POINTS, .count = 4, .time = point_time, .value = point},
        {.kind = SCHEDULE_SLUG,
         .base = 1.0,
         .peak = 3.0,
         .start = 0.006,
         .period = 0.01,
         .duration = 0.004},
        {.kind = SCHEDULE_SINE, .base = 2.0, .peak = 1.0, .start = 0.003, .period = 0.02}};
    for (int k = 0; k < 12; k++) {
        const int variant = k % 4 == 0 ? 11 : k % 4 == 1 ? 8 : k % 4 == 2 ? 5 : 3;
        char name[48];
        snprintf(name, sizeof name, "schedules %d", k);
        struct errand e = {.name = name,
                           .p = fixture_variant(variant),
                           .way = k % 2 ? ONE_STEP : BDF,
                           .travel = 0.3,
                           .end = 0.024,
                           .tolerance = 1e-6,
                           .stop_after = k >= 8 ? 9 : 0};
        e.p.flow = moving[k % 3];
        if (k % 2) {
            e.p.set_point = (struct schedule){
                .kind = SCHEDULE_POINTS, .count = 3, .time = set_time, .value = set_point};
        }
        static const int read[] = {0, 1, 2};
        e.read = k >= 6 ? read : NULL;
        e.reads = k >= 6 ? 3 : 0;
        carry_out(&e);
    }
    for (int k = 0; k < 3; k++) {
        char name[48];
        snprintf(name, sizeof name, "relief valve, way %d", k);
        struct errand e = {.name = name,
                           .p = fixture_relief_valve(10.0, 1.0, 5.0),
                           .way = (enum way)k,
                           .travel = 0.1,
                           .end = 0.012,
                           .tolerance = k == ONE_STEP ? 1e-6 : 1e-8};
        carry_out(&e);
    }
    for (int k = 0; k < 4; k++) { // a ball that comes to rest, and one that is given few steps
        char name[48];
        snprintf(name, sizeof name, "ball %d", k);
        struct errand e = {.name = name,
                           .p = fixture_ball(k < 2 ? 1e-3 : 0.0),
                           .way = k % 2 ? ONE_STEP : BDF,
                           .travel = 1.0,
                           .end = 0.06,
                           .tolerance = 1e-8,
                           .most = k < 2 ? 0 : 150};
        carry_out(&e);
    }
}

// Nobody asks for anything: at the usual tolerance and step, in slices.
static void test_usual_options(void **state) {
    (void)state;
    static struct regulator r;
    const struct regulator_parameters p = fixture_variant(5);
    regulator_prepare(&r, &p);
    struct errand e = {.name = "usual options", .p = p, .travel = 0.4, .speed = 1.0};
    for (int k = 0; k < 2; k++) {
        double y[REGULATOR_STATES_MAX] = {0.0};
        struct regulator_mode mode;
        begin(&e, &r, &mode, y);
        struct integrate_options o = integrate_options_default();
        o.end = 0.03;
        o.rosenbrock = k == 1;
        struct tally t = {.r = &r};
        const struct integrate_observer observer = {
            .context = &t, .sample = on_sample, .jump = on_jump};
        struct integrate_run *run = integrate_open(&r, &mode, y, &o, &observer);
        struct digest slices = {0};
        for (double until = 0.0; integrate_continue(run, until); until += 0.004) {
            digest_add(&slices, integrate_time(run), 1e-6);
        }
        const struct integrate_result result = integrate_close(run);
        e.name = k ? "usual options, one step" : "usual options";
        pin_statistics(&e, &result);
        pin_part(&e, "slices", &slices, 1e-6);
        pin_part(&e, "samples", &t.samples, 1e-6);
    }
}

// One who has seen enough before it begins, by either method.
static void test_seen_at_once(void **state) {
    (void)state;
    for (int k = 0; k < 4; k++) {
        char name[48];
        snprintf(name, sizeof name, "seen at once %d", k);
        struct errand e = {.name = name,
                           .p = fixture_variant(5),
                           .way = k % 2 ? ONE_STEP : BDF,
                           .travel = 0.3,
                           .end = 0.01,
                           .tolerance = 1e-6,
                           .stop_after = 1 + k / 2};
        carry_out(&e);
    }
}

// A vessel that is drawn empty ends a run.
static void test_walls(void **state) {
    (void)state;
    for (int k = 0; k < 4; k++) {
        char name[48];
        snprintf(name, sizeof name, "drawn empty %d", k);
        struct errand e = {.name = name,
                           .p = fixture_variant(k < 2 ? 0 : 4),
                           .way = k % 2 ? ONE_STEP : BDF,
                           .travel = 0.3,
                           .end = k < 2 ? 0.5 : 0.01,
                           .tolerance = 1e-5};
        e.p.flow = schedule_constant(k < 2 ? -20.0 : 20.0);
        e.p.demand = DEMAND_CONSTANT;
        e.p.demand_outlet = 0.0;
        carry_out(&e);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_build),   cmocka_unit_test(test_schedules_and_ends),
        cmocka_unit_test(test_usual_options), cmocka_unit_test(test_seen_at_once),
        cmocka_unit_test(test_walls),         cmocka_unit_test(pinned_close),
    };
    pinned_name = "runs";
    return cmocka_run_group_tests(tests, pinned_open, NULL);
}
