// SPDX-License-Identifier: MIT
#include "page/page_data.h"

#include "run/expect.h"
#include "scenario/scenario_dump.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void *page_room(size_t size) {
    return malloc(size);
}

void page_room_free(void *room) {
    free(room);
}

struct scenario *page_current(const struct page *page) {
    return page->changed ? page->changed : page->read;
}

// NULL without memory.
static char *text_of(struct diagnostics *list) {
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    if (out) {
        diagnostics_print(list, out);
        fclose(out);
    }
    return text;
}

static void keep_messages(struct page *page, struct diagnostics *list) {
    free(page->messages);
    page->messages = text_of(list);
}

struct page *page_open(const char *dump, size_t length) {
    struct page *page = calloc(1, sizeof *page);
    if (!page) {
        return NULL;
    }
    page->read = scenario_load_dump(dump, length, &page->found);
    if (page->read) {
        scenario_check(page->read, &page->found);
    }
    page->ready = page->found.errors == 0;
    if (page->ready) {
        scenario_warn(page->read, &page->found);
    }
    keep_messages(page, &page->found);
    return page;
}

static void drop_run(struct page *page) {
    simulation_close(page->run);
    page->run = NULL;
    if (page->started) {
        simulation_free(&page->simulation);
        scenario_case_free(&page->resolved);
        if (page->of_run != page->read && page->of_run != page->changed) {
            scenario_free(page->of_run);
        }
    }
    page->of_run = NULL;
    page->started = false;
}

void page_close(struct page *page) {
    if (!page) {
        return;
    }
    drop_run(page);
    for (size_t i = 0; i < page->assignments; i++) {
        free(page->assignment[i]);
    }
    free(page->assignment);
    scenario_free(page->changed);
    scenario_free(page->read);
    diagnostics_free(&page->found);
    free(page->messages);
    free(page->expected);
    free(page);
}

int page_ready(const struct page *page) {
    return page->ready;
}

const char *page_messages(const struct page *page) {
    return page->messages ? page->messages : "";
}

// Whether both assign to the same field.
static bool same_field(const char *a, const char *b) {
    size_t length = strcspn(a, "=");
    return length == strcspn(b, "=") && strncmp(a, b, length) == 0;
}

// Puts an assignment behind the others, in place of an older one to its field. A slider moves a
// thousand times, and the list must not grow with it.
static bool keep_assignment(struct page *page, const char *assignment) {
    size_t size = strlen(assignment) + 1;
    char *copy = malloc(size);
    char **list = realloc(page->assignment, (page->assignments + 1) * sizeof *list);
    page->assignment = list ? list : page->assignment;
    if (!copy || !list) {
        free(copy);
        return false;
    }
    memcpy(copy, assignment, size);
    size_t kept = 0;
    for (size_t i = 0; i < page->assignments; i++) {
        if (same_field(list[i], assignment)) {
            free(list[i]);
        } else {
            list[kept++] = list[i];
        }
    }
    list[kept++] = copy;
    page->assignments = kept;
    return true;
}

int page_set(struct page *page, const char *assignment) {
    if (!page->ready) {
        return 0;
    }
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_copy(page->read);
    for (size_t i = 0; i < page->assignments; i++) {
        if (!same_field(page->assignment[i], assignment)) {
            scenario_override(scenario, page->assignment[i], &list);
        }
    }
    bool fine = scenario_override(scenario, assignment, &list) && scenario_check(scenario, &list) &&
                keep_assignment(page, assignment);
    if (fine) {
        scenario_warn(scenario, &list);
        if (page->changed != page->of_run) {
            scenario_free(page->changed);
        }
        page->changed = scenario;
    } else {
        scenario_free(scenario);
    }
    keep_messages(page, &list);
    diagnostics_free(&list);
    return fine;
}

size_t page_trims(const struct page *page) {
    return page->read ? scenario_trim_count(page->read) : 0;
}

const char *page_trim_name(const struct page *page, size_t trim) {
    return trim < page_trims(page) ? scenario_trim_name(page->read, trim) : "";
}

// Resolves a trim as it now stands; reports and returns false when that cannot be.
static bool resolve(struct page *page, size_t trim, struct scenario_case *out) {
    struct diagnostics list = {0};
    bool fine = page->ready && trim < page_trims(page) &&
                scenario_resolve(page_current(page), trim, out, &list);
    keep_messages(page, &list);
    diagnostics_free(&list);
    return fine;
}

int page_start(struct page *page, size_t trim) {
    struct scenario_case resolved = {0};
    if (!resolve(page, trim, &resolved)) {
        scenario_case_free(&resolved);
        return 0;
    }
    drop_run(page);
    page->trim = trim;
    page->resolved = resolved;
    page->of_run = page_current(page);
    page->started = true;
    page->run = simulation_open(&page->resolved, NULL, &page->simulation);
    return page->run != NULL;
}

// Whether both have the same states in the same places.
static bool same_states(const struct regulator_layout *a, const struct regulator_layout *b) {
    bool same = a->count == b->count;
    for (int i = 0; same && i < a->count; i++) {
        same = strcmp(a->slot[i].name, b->slot[i].name) == 0;
    }
    return same;
}

void page_kick(struct page *page, double drop) {
    page->kick = drop;
}

// Adds to the controlled volume what raises its pressure by the kick, as the start of a run does:
// gas at the stream's temperature, or liquid. The plug and all else stay where they are.
static void push(struct page *page, struct simulation_state *from) {
    const struct regulator *r = &page->simulation.start.regulator;
    struct regulator_observation o;
    double before[REGULATOR_STATES_MAX], after[REGULATOR_STATES_MAX];
    const double kick = page->kick;
    page->kick = 0.0;
    if (kick == 0.0 || regulator_observe(r, &from->mode, 0.0, from->state, &o) != 0) {
        return;
    }
    struct regulator_rest rest = {o.travel, o.pilot_travel, o.pressure};
    regulator_rest_state(r, &from->mode, 0.0, &rest, before);
    o.pressure[NODE_CONTROLLED] = fmax(o.pressure[NODE_CONTROLLED] + kick, 1.0);
    regulator_rest_state(r, &from->mode, 0.0, &rest, after);
    const int mass = r->layout.mass[NODE_CONTROLLED], energy = r->layout.energy[NODE_CONTROLLED];
    if (mass >= 0) {
        from->state[mass] += after[mass] - before[mass];
    }
    if (energy >= 0) {
        from->state[energy] += after[energy] - before[energy];
    }
}

int page_go_on(struct page *page) {
    struct scenario_case resolved = {0};
    struct regulator regulator;
    if (!page->started || !page_finish(page) || !resolve(page, page->trim, &resolved)) {
        scenario_case_free(&resolved);
        return 0;
    }
    // The crew turned the screw when it set the regulator; a change of flow does not turn it.
    resolved.set_at_flow = false;
    resolved.model.set_offset = page->simulation.start.regulator.parameters.set_offset;
    regulator_prepare(&regulator, &resolved.model);
    if (!same_states(&regulator.layout, &page->simulation.start.regulator.layout)) {
        scenario_case_free(&resolved);
        return 0;
    }
    struct simulation_state from = page->simulation.end;
    push(page, &from);
    drop_run(page);
    page->resolved = resolved;
    page->of_run = page_current(page);
    page->started = true;
    page->run = simulation_open(&page->resolved, &(struct simulation_manner){.from = &from},
                                &page->simulation);
    return page->run != NULL;
}

int page_advance(struct page *page, double until) {
    return simulation_continue(page->run, until);
}

double page_time(const struct page *page) {
    return page->run ? simulation_time(page->run) : page->simulation.statistics.end_time;
}

size_t page_samples(const struct page *page) {
    return page->simulation.count;
}

double page_sample_interval(const struct page *page) {
    return page->simulation.step;
}

size_t page_channels(void) {
    return CHANNEL_COUNT;
}

const char *page_channel_name(size_t channel) {
    return channel < CHANNEL_COUNT ? channel_row((enum channel)channel)->name : "";
}

const double *page_channel(const struct page *page, size_t channel) {
    return channel < CHANNEL_COUNT ? page->simulation.channel[channel] : NULL;
}

size_t page_contacts(const struct page *page) {
    return page->simulation.seat_count;
}

double page_contact_time(const struct page *page, size_t contact) {
    return contact < page_contacts(page) ? page->simulation.seat[contact].time : (double)NAN;
}

double page_contact_speed(const struct page *page, size_t contact) {
    return contact < page_contacts(page) ? page->simulation.seat[contact].speed : (double)NAN;
}

double page_contact_force(const struct page *page, size_t contact) {
    const struct contact_parameters *seat = &page->resolved.model.actuator.seat;
    if (contact >= page_contacts(page) || seat->stiffness <= 0.0) {
        return (double)NAN;
    }
    const struct contact_event *event = &page->simulation.seat[contact];
    return contact_peak_force(seat, event->mass, event->speed);
}

int page_finish(struct page *page) {
    simulation_close(page->run);
    page->run = NULL;
    return page->started && page->simulation.outcome == SIMULATION_DONE;
}

static bool judged(const struct page *page) {
    return page->started && !page->run && page->simulation.outcome == SIMULATION_DONE;
}

const char *page_verdict(const struct page *page) {
    return judged(page) ? verdict_name(page->simulation.judged.verdict) : "";
}

const char *page_reason(const struct page *page) {
    return judged(page) ? page->simulation.judged.reason : page->simulation.message;
}

size_t page_figures(void) {
    size_t count = 0;
    while (figure_at(count)) {
        count++;
    }
    return count;
}

const char *page_figure_name(size_t figure) {
    const struct figure *f = figure_at(figure);
    return f ? f->name : "";
}

double page_figure(const struct page *page, size_t figure) {
    const struct figure *f = figure_at(figure);
    return f && judged(page) ? f->value(&page->simulation, &page->resolved) : (double)NAN;
}

const char *page_figure_text(struct page *page, size_t figure) {
    const struct figure *f = figure_at(figure);
    if (!f || !judged(page)) {
        return "-";
    }
    figure_text(f, page_figure(page, figure), &page->resolved, page->text, sizeof page->text);
    return page->text;
}

const char *page_expect(struct page *page) {
    free(page->expected);
    page->expected = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&page->expected, &length);
    if (!out) {
        return NULL;
    }
    struct expect_tally tally = {0};
    if (page->ready) {
        tally = expect_check(out, page->read, NULL, NULL);
    } else if (page->read) {
        char *errors = text_of(&page->found);
        tally = expect_refusal(out, page->read, errors ? errors : "");
        free(errors);
    }
    fclose(out);
    page->missed = tally.missed;
    return page->expected;
}

size_t page_missed(const struct page *page) {
    return page->missed;
}
