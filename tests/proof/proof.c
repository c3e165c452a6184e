// SPDX-License-Identifier: MIT
// Does a match say the truth, and say how sure it is? Regulators are drawn from the ranges of
// services in turn (proof_services.c) and hidden; what would be seen of each at two flows is told
// to a match in words and in ranges read by eye, and for some a logger's record as well. Then: how
// often the 90 % intervals hold the hidden values, and how well the predicted cure of each trim is
// calibrated (Brier score, against the base rate over all truths).
//
//     build/release/tests/proof [truths [recorded [seed [runs at most [places [service alone]]]]]]
//
// The file of places says of each hidden value where it stands among the draws: the weight of those
// below it, which is evenly spread from 0 to 1 when a match says the truth.
// Run by hand: it takes minutes. Results stand in tests/README.md.
#include "proof_services.h"
#include "proof_tally.h"
#include "site/match_inside.h"

#include "run/simulate.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { CURE_DRAWS = 40 };

// What eye and ear read: a value off by about 15 %, said as a range a quarter either way.
#define READ_ERROR 0.15
#define READ_RANGE 1.25

static double uniform(struct statistics_stream *stream) {
    return fmin(fmax(statistics_stream_unit(stream), 1e-9), 1.0 - 1e-9);
}

// CPU time of all threads, which does not depend on what else runs [s].
static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static struct study_job open_job(const char *path) {
    struct study_job job = {.path = path, .trim_count = 1, .quiet = true};
    job.scenario = scenario_open(path, NULL, 0, &job.list);
    if (!job.scenario) {
        diagnostics_print(&job.list, stderr);
        exit(1);
    }
    return job;
}

static void close_job(struct study_job *job) {
    scenario_free(job->scenario);
    diagnostics_free(&job->list);
}

// What would be said of a run; NULL: nothing that a row could say.
static const char *word_of(double outcome) {
    switch ((int)outcome) {
    case VERDICT_STEADY:
    case VERDICT_RINGING:
    case VERDICT_FORCED:
        return "quiet";
    case VERDICT_HUNTING:
    case VERDICT_IRREGULAR:
        return "hunts";
    case VERDICT_SLAMMING:
    case VERDICT_CHATTER:
        return "hits its seat";
    default:
        return NULL;
    }
}

static bool write_row(char *text, size_t size, const char *conditions, const double *result,
                      struct statistics_stream *stream) {
    const size_t used = strlen(text);
    const char *word = word_of(result[MATCH_OUTCOME]);
    if (!word) {
        return false;
    }
    const double f =
        result[MATCH_FREQUENCY] * exp(READ_ERROR * statistics_normal_quantile(uniform(stream)));
    const double s =
        result[MATCH_SWING] * exp(READ_ERROR * statistics_normal_quantile(uniform(stream)));
    if (isfinite(f) && isfinite(s)) {
        snprintf(text + used, size - used,
                 "  - {%s, seen: %s, frequency: %.4g..%.4g Hz, swing: %.4g..%.4g Pa}\n", conditions,
                 word, f / READ_RANGE, f * READ_RANGE, s / READ_RANGE, s * READ_RANGE);
    } else {
        snprintf(text + used, size - used, "  - {%s, seen: %s}\n", conditions, word);
    }
    return true;
}

// A case of a draw under the conditions of a row.
static bool resolve(const struct match *match, const struct scenario *scenario,
                    const struct match_row *row, const double *score, struct scenario **own,
                    struct scenario_case *out) {
    struct study_change change[STUDY_CHANGES_MAX];
    struct diagnostics list = {0};
    *own = scenario_copy(scenario);
    const size_t count = match_rows_changes(match, row, score, change);
    for (size_t i = 0; i < count; i++) {
        scenario_set_si(*own, change[i].field, change[i].si);
    }
    const bool fine = scenario_resolve(*own, row->trim, out, &list);
    diagnostics_free(&list);
    return fine;
}

static void run_truth(const struct match *match, const struct scenario *scenario,
                      const struct match_row *row, const double *score, double *result) {
    struct scenario *own;
    struct scenario_case c = {0};
    const bool fine = resolve(match, scenario, row, score, &own, &c);
    match_rows_run(match, row, 0, fine ? &c : NULL, result);
    scenario_case_free(&c);
    scenario_free(own);
}

// A hidden regulator: where its numbers stand in the ranges, and what it does.
struct truth {
    double *score;
    double seen[2][MATCH_COLUMNS]; // at the flow when new and today
    double cured[TRIMS];           // 1 or 0
};

// A logger of 20 samples a second, with noise of a fortieth of the swing, for 40 s of today.
static bool write_record(const struct match *match, const struct scenario *scenario,
                         const struct truth *truth, const char *path,
                         struct statistics_stream *stream) {
    struct scenario *own;
    struct scenario_case c = {0};
    struct simulation run;
    if (!resolve(match, scenario, &match->row[1], truth->score, &own, &c)) {
        return false;
    }
    c.run.duration = 60.0;
    c.run.stop_early = false;
    simulate(&c, &run);
    FILE *out = fopen(path, "wb");
    if (out) {
        fprintf(out, "time [s],pressure [kPa(a)]\n");
    }
    for (double t = 20.0; t < 59.9 && out; t += 0.05) {
        const size_t i = (size_t)(t / run.step);
        const double p = i < run.count ? run.channel[CHANNEL_CONTROLLED_PRESSURE][i] : (double)NAN;
        const double noise =
            truth->seen[1][MATCH_SWING] / 40.0 * statistics_normal_quantile(uniform(stream));
        fprintf(out, "%.3f,%.2f\n", t - 20.0, 1e-3 * (p + noise));
    }
    simulation_free(&run);
    scenario_case_free(&c);
    scenario_free(own);
    return out && fclose(out) == 0;
}

static bool cured(double outcome) {
    return outcome >= 0.0 && outcome <= VERDICT_FORCED;
}

// Share of the draws, by weight, that a trim cures today.
static double predict(const struct match *match, const struct scenario *scenario, size_t trim,
                      struct statistics_stream *stream) {
    struct match_row row = match->row[1];
    bool good[CURE_DRAWS] = {false};
    size_t pick[CURE_DRAWS];
    row.trim = trim;
    row.recorded = false;
    const double start = uniform(stream);
    for (size_t k = 0; k < CURE_DRAWS; k++) {
        double sum = 0.0;
        pick[k] = 0;
        for (size_t i = 0; i < match->count; i++) {
            sum += match->weight[i];
            pick[k] = i;
            if (sum >= ((double)k + start) / CURE_DRAWS) {
                break;
            }
        }
    }
#pragma omp parallel for schedule(dynamic, 1)
    for (size_t k = 0; k < CURE_DRAWS; k++) {
        double result[MATCH_COLUMNS];
        run_truth(match, scenario, &row, &match->score[pick[k] * match->space.input_count], result);
        good[k] = cured(result[MATCH_OUTCOME]);
    }
    size_t count = 0;
    for (size_t k = 0; k < CURE_DRAWS; k++) {
        count += good[k];
    }
    return (double)count / CURE_DRAWS;
}

struct asked {
    size_t truths, records, most, seed;
};

// Of one truth: its scenario and record, and what its match goes by.
struct proving {
    const struct asked *asked;
    size_t index, service;
    char path[64], record[80];
    FILE *places; // of the hidden values among the draws; NULL: not asked for
    char rows[1000];
    struct statistics_stream stream;
};

static void give_up(const struct study_job *job) {
    fprintf(stderr, "proof: %s\n", job->message);
    exit(1);
}

// Draw a truth from the ranges and let it run; false when nothing can be said of it.
static bool make_truth(struct proving *p, bool recorded, struct truth *truth) {
    const struct proof_service *service = &proof_services[p->service];
    snprintf(p->rows, sizeof p->rows, "  - {%s, seen: quiet}\n  - {%s, seen: moves}\n",
             service->quiet, service->today);
    proof_services_write(p->path, p->service, p->rows);
    struct study_job job = open_job(p->path);
    struct scenario_case c = {0};
    struct match *plan = calloc(1, sizeof *plan);
    plan->seed = p->asked->seed + 1000 + p->index;
    study_job_resolve(&job, 0, &c);
    if (match_prepare(plan, &job, &c, 0.2) != STUDY_DONE) {
        give_up(&job);
    }
    truth->score = calloc(plan->space.input_count, sizeof *truth->score);
    match_space_draw(plan, 1, truth->score);
    for (size_t r = 0; r < 2; r++) {
        run_truth(plan, job.scenario, &plan->row[r], truth->score, truth->seen[r]);
    }
    p->rows[0] = '\0';
    const bool fine =
        write_row(p->rows, sizeof p->rows, service->quiet, truth->seen[0], &p->stream) &&
        write_row(p->rows, sizeof p->rows, service->today, truth->seen[1], &p->stream);
    if (fine && recorded && truth->seen[1][MATCH_SWING] > 0.0) {
        write_record(plan, job.scenario, truth, p->record, &p->stream);
    }
    for (size_t t = 0; t < TRIMS && fine; t++) {
        double result[MATCH_COLUMNS];
        struct match_row row = plan->row[1];
        row.trim = t;
        run_truth(plan, job.scenario, &row, truth->score, result);
        truth->cured[t] = cured(result[MATCH_OUTCOME]);
    }
    match_free(plan);
    free(plan);
    scenario_case_free(&c);
    close_job(&job);
    return fine;
}

static void count_match(const struct match *match, const struct scenario *scenario,
                        const struct truth *truth, struct proving *p, struct tally *const *tally) {
    double share[TRIMS];
    for (size_t t = 0; t < TRIMS; t++) {
        share[t] = predict(match, scenario, t, &p->stream);
        printf("  %s %3.0f %% (%s)", scenario_trim_name(scenario, t), 100.0 * share[t],
               truth->cured[t] > 0.0 ? "yes" : "no");
    }
    const size_t held = proof_tally_places(match, truth->score, p->index + 1, p->places);
    printf("  holds %zu of %zu", held, match->space.input_count);
    for (; *tally; tally++) {
        (*tally)->effective += match_effective(match);
        proof_tally_coverage(*tally, match, truth->score);
        proof_tally_cure(*tally, share, truth->cured);
    }
}

// Rows at which the hidden regulator itself would fall by its eigenvalues.
static size_t dropped_unseen(struct match *match, struct study_job *job,
                             const struct truth *truth) {
    size_t dropped = 0;
    for (size_t r = 0; r < match->row_count; r++) {
        double screen[SCREEN_COLUMNS];
        const double *const one[] = {truth->score};
        dropped += match_rows_screen(match, job, r, 1, one, screen) == STUDY_DONE &&
                   !match_rows_may(&match->row[r], screen);
    }
    return dropped;
}

// Match by the rows, and the record, alone.
static void find_truth(struct proving *p, bool recorded, const struct truth *truth,
                       struct tally *tallies) {
    proof_services_write(p->path, p->service, p->rows);
    struct study_job job = open_job(p->path);
    struct scenario_case c = {0};
    study_job_resolve(&job, 0, &c);
    struct match *match = calloc(1, sizeof *match);
    match->wanted = 200;
    match->most = p->asked->most;
    match->seed = p->asked->seed + 1 + p->index; // else all rest on the same draws
    const double begin = now();
    char why[300];
    const struct match_record_asked options = {
        .path = p->record, .site = c.site, .set_pressure = c.set_pressure};
    const bool with = recorded && truth->seen[1][MATCH_SWING] > 0.0 &&
                      match_record_read(&match->record, &options, why, sizeof why, &job.list);
    if (match_prepare(match, &job, &c, 0.2) != STUDY_DONE ||
        match_find(match, &job) != STUDY_DONE) {
        give_up(&job);
    }
    const double took = now() - begin;
    const size_t dropped = dropped_unseen(match, &job, truth);
    printf("%3zu %s: %-13s %-13s%s fit %4zu, effective %5.1f, %5.1f s CPU", p->index + 1,
           proof_services[p->service].name, word_of(truth->seen[0][MATCH_OUTCOME]),
           word_of(truth->seen[1][MATCH_OUTCOME]), with ? " record" : "       ", match->count,
           match_effective(match), took);
    const bool rests = truth->seen[1][MATCH_OUTCOME] <= VERDICT_FORCED;
    struct tally *tally[] = {&tallies[p->service], &tallies[TALLY_ALL],
                             &tallies[with    ? TALLY_RECORD
                                      : rests ? TALLY_QUIET
                                              : TALLY_MOVES],
                             NULL};
    for (size_t k = 0; tally[k]; k++) {
        tally[k]->seconds += took;
        tally[k]->longest = fmax(tally[k]->longest, took);
        tally[k]->truths++;
        tally[k]->rests += rests;
        tally[k]->nothing += match->count == 0;
        tally[k]->dropped += dropped > 0;
    }
    if (match->count > 0) {
        count_match(match, job.scenario, truth, p, tally);
    }
    printf("\n");
    fflush(stdout);
    match_free(match);
    free(match);
    scenario_case_free(&c);
    close_job(&job);
}

// What is told is the same for all that rest, so as many that move are asked for.
static bool wanted(const struct tally *tally, const struct truth *truth) {
    const size_t moves = tally->truths - tally->rests;
    return truth->seen[1][MATCH_OUTCOME] > VERDICT_FORCED || tally->rests <= moves;
}

// One truth; false when nothing could be said of it.
static bool prove(const struct asked *asked, size_t index, FILE *places, struct tally *tallies) {
    struct proving p = {.asked = asked,
                        .index = index,
                        .service = index % SERVICES,
                        .places = places,
                        .path = "/tmp/lowlift-proof-XXXXXX",
                        .stream = statistics_stream_open(asked->seed, 100000 + index)};
    struct truth truth = {0};
    const struct tally *service = &tallies[p.service];
    const bool recorded = tallies[TALLY_RECORD].truths < asked->records &&
                          (service->truths - service->rests) % 2 == 0;
    const int handle = mkstemp(p.path);
    if (handle < 0 || close(handle) != 0) {
        return false;
    }
    snprintf(p.record, sizeof p.record, "%s.csv", p.path);
    const bool fine = make_truth(&p, recorded, &truth) && wanted(&tallies[p.service], &truth);
    if (fine) {
        find_truth(&p, recorded, &truth, tallies);
    }
    free(truth.score);
    unlink(p.path);
    unlink(p.record);
    return fine;
}

int main(int argc, char **argv) {
    struct asked asked = {.truths = 40, .most = 250, .seed = 1};
    size_t *const given[] = {&asked.truths, &asked.records, &asked.seed, &asked.most};
    for (int i = 1; i < argc && i <= 4; i++) {
        *given[i - 1] = (size_t)atol(argv[i]);
    }
    const size_t only = argc > 6 ? (size_t)atol(argv[6]) : 0;
    FILE *places = argc > 5 ? fopen(argv[5], "wb") : NULL;
    struct tally tallies[TALLIES] = {[TALLY_ALL] = {.name = "all"},
                                     [TALLY_RECORD] = {.name = "with a record"},
                                     [TALLY_MOVES] = {.name = "moves today, no record"},
                                     [TALLY_QUIET] = {.name = "quiet at both flows"}};
    size_t tried = 0;
    size_t told = 0;
    for (size_t k = 0; k < SERVICES; k++) {
        tallies[k].name = proof_services[k].name;
    }
    for (; told < asked.truths && tried < 24 * asked.truths; tried++) {
        if (only == 0 || tried % SERVICES == only - 1) {
            told += prove(&asked, tried, places, tallies);
        }
    }
    printf("%zu truths (%zu skipped: they cannot hold the set pressure at one of the flows, are "
           "undecided, or rest where enough do)\n",
           told, tried - told);
    for (size_t k = 0; k < TALLIES; k++) {
        proof_tally_tell(&tallies[k]);
    }
    return places && fclose(places) != 0 ? 1 : 0;
}
