// SPDX-License-Identifier: MIT
#include "run/recorder.h"

#include <math.h>
#include <stdlib.h>

// Jumps that the trace keeps; contacts are counted on.
#define EVENTS_KEPT_MAX 200000

static bool grow(void **array, size_t *capacity, size_t count, size_t size) {
    if (count < *capacity) {
        return true;
    }
    size_t wanted = *capacity ? 2 * *capacity : 1024;
    void *bigger = realloc(*array, wanted * size);
    if (!bigger) {
        return false;
    }
    *array = bigger;
    *capacity = wanted;
    return true;
}

// What the verdict reads.
static bool is_judged(int channel) {
    return channel == CHANNEL_CONTROLLED_PRESSURE || channel == CHANNEL_TRAVEL;
}

static bool grow_samples(const struct recorder *r) {
    struct simulation *s = r->out;
    if (s->count < s->capacity) {
        return true;
    }
    size_t wanted = s->capacity ? 2 * s->capacity : 4096;
    for (int c = 0; c < CHANNEL_COUNT; c++) {
        if (r->brief && !is_judged(c)) {
            continue;
        }
        double *bigger = realloc(s->channel[c], wanted * sizeof *bigger);
        if (!bigger) {
            return false;
        }
        s->channel[c] = bigger;
    }
    s->capacity = wanted;
    return true;
}

static void observe(const struct simulation *s, const struct regulator_mode *mode, double time,
                    const double *state, double value[CHANNEL_COUNT]) {
    struct regulator_observation o;
    regulator_observe(&s->start.regulator, mode, time, state, &o);
    channel_values(&s->start.regulator, &o, value);
}

static void sample_all(struct simulation *s, const struct regulator_mode *mode, double time,
                       const double *state) {
    struct regulator_observation o;
    double value[CHANNEL_COUNT];
    regulator_observe(&s->start.regulator, mode, time, state, &o);
    channel_values(&s->start.regulator, &o, value);
    for (int c = 0; c < CHANNEL_COUNT; c++) {
        s->channel[c][s->count] = value[c];
    }
    if (o.trim_flow != 0.0) { // finite only in liquid service
        s->choked_share = fmax(s->choked_share, (o.upstream - o.downstream) / o.choked_drop);
    }
}

static void take_sample(void *context, double time, const struct regulator_mode *mode,
                        const double *state) {
    struct recorder *r = context;
    struct simulation *s = r->out;
    if (!grow_samples(r)) {
        r->no_memory = true;
        return;
    }
    if (r->brief) {
        regulator_glance(&s->start.regulator, mode, time, state,
                         &s->channel[CHANNEL_CONTROLLED_PRESSURE][s->count],
                         &s->channel[CHANNEL_TRAVEL][s->count]);
    } else {
        sample_all(s, mode, time, state);
    }
    s->count++;
    double travel = state[s->start.regulator.layout.travel];
    r->farthest_from_seat = fmax(r->farthest_from_seat, travel);
    r->farthest_from_stop = fmax(r->farthest_from_stop, r->input.rated_travel - travel);
}

static void keep_jump(struct recorder *r, const struct integrate_jump *jump, const char *name) {
    struct simulation *s = r->out;
    if (r->brief) {
        return;
    }
    if (s->event_count >= EVENTS_KEPT_MAX) {
        s->events_cut = true;
        return;
    }
    if (!grow((void **)&s->event, &s->event_capacity, s->event_count, sizeof *s->event)) {
        r->no_memory = true;
        return;
    }
    struct simulation_event *e = &s->event[s->event_count++];
    e->time = jump->time;
    e->name = name;
    observe(s, jump->mode_before, jump->time, jump->before, e->before);
    observe(s, jump->mode_after, jump->time, jump->after, e->after);
}

static void count_contact(struct recorder *r, double time, double speed, bool seat) {
    struct simulation *s = r->out;
    double *farthest = seat ? &r->farthest_from_seat : &r->farthest_from_stop;
    // A bounce that never separates by the stated share of travel belongs to the contact before.
    if (*farthest < r->limits.contact_separation * r->input.rated_travel) {
        return;
    }
    *farthest = 0.0;
    struct contact_event **list = seat ? &s->seat : &s->stop;
    size_t *count = seat ? &s->seat_count : &s->stop_count;
    size_t *capacity = seat ? &s->seat_capacity : &s->stop_capacity;
    if (!grow((void **)list, capacity, *count, sizeof **list)) {
        r->no_memory = true;
        return;
    }
    (*list)[(*count)++] =
        (struct contact_event){.time = time, .speed = speed, .mass = s->start.regulator.solid_mass};
}

static void take_jump(void *context, const struct integrate_jump *jump) {
    struct recorder *r = context;
    if (!jump->transition) {
        keep_jump(r, jump, "schedule step");
        return;
    }
    double travel = jump->before[r->out->start.regulator.layout.travel];
    double speed = jump->transition->approach_speed;
    r->farthest_from_seat = fmax(r->farthest_from_seat, travel);
    r->farthest_from_stop = fmax(r->farthest_from_stop, r->input.rated_travel - travel);
    switch (jump->transition->event) {
    case EVENT_TRAVEL_REVERSAL:
        return; // an extreme, not a jump
    case EVENT_SEAT_CONTACT:
    case EVENT_SEAT_HELD:
        count_contact(r, jump->time, speed, true);
        break;
    case EVENT_STOP_CONTACT:
    case EVENT_STOP_HELD:
        count_contact(r, jump->time, speed, false);
        break;
    default:
        break;
    }
    keep_jump(r, jump, regulator_event_name(jump->transition->event));
}

struct integrate_observer recorder_observer(struct recorder *recorder) {
    struct integrate_observer observer = {
        .context = recorder, .sample = take_sample, .jump = take_jump};
    if (recorder->brief) {
        observer.read = recorder->read;
        observer.reads = regulator_glance_states(&recorder->out->start.regulator, recorder->read);
    }
    return observer;
}
