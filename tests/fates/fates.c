// SPDX-License-Identifier: MIT
// Is the fate of a swing, told before its run ends, the one that comes? Kicks of regulators drawn
// about every scenario's, at drawn flows: each kick is run as studies run it, and again followed to
// its end. Half of the kicks are drawn; the other half close in on the size at which the answer
// changes, where it is told last.
//
//     build/release/tests/fates [regulators a trim [seed [scenario ...]]]
//
// Run by hand: it takes minutes. Results stand in tests/bench/README.md.
#include "steady/steadiness.h"

#include "maths/statistics.h"

#include <glob.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { KICKS = 4 }; // drawn, and as many that close in

// Kicks up to this share of the set pressure, gauge, and how far a part is drawn from its value.
#define LARGEST 0.2
#define FACTOR 2.0
// No more of a scenario once its runs took so long, as those with pipes do [s].
#define ENOUGH 2.0

struct tally {
    size_t runs, dying, differing;
    double early, patient; // CPU [s]
};

// CPU time of this thread [s].
static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double between(struct statistics_stream *stream, double low, double high) {
    return low * pow(high / low, statistics_stream_unit(stream));
}

// Another regulator of the same kind.
static struct scenario_case drawn(const struct scenario_case *of, struct statistics_stream *s) {
    struct scenario_case c = *of;
    struct regulator_parameters *p = &c.model;
    double *const part[] = {&p->controlled.volume,     &p->actuator.chamber.volume,
                            &p->actuator.spring_rate,  &p->actuator.moving_mass,
                            &p->pilot.spring_rate,     &p->pilot.bleed_diameter,
                            &p->pilot.supply_diameter, &p->sense.bore,
                            &p->trim.port_diameter};
    for (size_t i = 0; i < sizeof part / sizeof part[0]; i++) {
        *part[i] *= between(s, 1.0 / FACTOR, FACTOR);
    }
    // Friction sticks more than it rubs in half of them.
    const double rubs = between(s, 1.0 / FACTOR, FACTOR);
    p->actuator.friction.kinetic_force *= rubs;
    p->actuator.friction.static_force *= rubs * (statistics_stream_unit(s) < 0.5 ? 1.5 : 1.0);
    return c;
}

// Whether a kick [Pa] dies out, by the run that is followed to the end.
static bool compare(const struct steadiness *subject, double flow, double kick, struct tally *t) {
    struct steadiness patient = *subject;
    patient.patient = true;
    const double begun = now();
    const enum steadiness_motion told = steadiness_kicked_once(subject, flow, kick);
    const double between_both = now();
    const enum steadiness_motion came = steadiness_kicked_once(&patient, flow, kick);
    t->patient += now() - between_both;
    t->early += between_both - begun;
    t->runs++;
    t->dying += came == STEADINESS_DIES_OUT;
    if ((told == STEADINESS_DIES_OUT) != (came == STEADINESS_DIES_OUT)) {
        t->differing++;
        printf("  differs: flow %.6g kg/s, kick %.6g Pa: told %d, came %d\n", flow, kick, (int)told,
               (int)came);
    }
    return came == STEADINESS_DIES_OUT;
}

static void kick(const struct steadiness *subject, double flow, struct statistics_stream *s,
                 struct tally *t) {
    const double largest = LARGEST * subject->set_gauge;
    double fine = 0.0, bad = largest;
    for (int i = 0; i < KICKS && t->patient < ENOUGH; i++) {
        const double sign = statistics_stream_unit(s) < 0.5 ? -1.0 : 1.0;
        compare(subject, flow, sign * between(s, 0.03 * largest, largest), t);
        const double middle = i > 0 ? 0.5 * (fine + bad) : largest;
        *(compare(subject, flow, middle, t) ? &fine : &bad) = middle;
    }
}

// A trim, changed in so many ways.
static void look_at(const struct scenario_case *of, size_t regulators, struct statistics_stream *s,
                    struct tally *t) {
    for (size_t i = 0; i < regulators && t->patient < ENOUGH; i++) {
        const struct scenario_case c = i > 0 ? drawn(of, s) : *of;
        struct steadiness subject;
        if (!steadiness_prepare(&c, &subject)) {
            continue;
        }
        double low, high;
        steadiness_default_range(&subject, c.pressure_limit, &low, &high);
        // Near the lowest flow that is steady left alone kicks are told last, where there is one.
        const double edge = steadiness_lowest_flow(&subject, low, high).lowest;
        const bool near = edge > low && statistics_stream_unit(s) < 0.7;
        const double flow = near ? edge * between(s, 0.9, 1.6) : between(s, low, high);
        const enum steadiness_rest rest = steadiness_settled(&subject, flow).rest;
        if (rest == STEADINESS_STEADY || rest == STEADINESS_UNSTEADY) {
            kick(&subject, flow, s, t);
        }
    }
}

static void look_in(const char *path, size_t regulators, unsigned long seed, struct tally *all) {
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_open(path, NULL, 0, &list);
    struct tally own = {0};
    for (size_t trim = 0; scenario && trim < scenario_trim_count(scenario); trim++) {
        struct statistics_stream s = statistics_stream_open(seed, trim);
        struct scenario_case c;
        if (scenario_resolve(scenario, trim, &c, &list)) {
            look_at(&c, regulators, &s, &own);
            scenario_case_free(&c);
        }
    }
    scenario_free(scenario);
    diagnostics_free(&list);
    printf("%-32s %5zu runs, %5zu die out, %zu differ; %.2f s in place of %.2f\n", path, own.runs,
           own.dying, own.differing, own.early, own.patient);
    fflush(stdout);
    all->runs += own.runs;
    all->dying += own.dying;
    all->differing += own.differing;
    all->early += own.early;
    all->patient += own.patient;
}

int main(int argc, char **argv) {
    const size_t regulators = argc > 1 ? strtoul(argv[1], NULL, 10) : 8;
    const unsigned long seed = argc > 2 ? strtoul(argv[2], NULL, 10) : 1;
    struct tally all = {0};
    glob_t files = {0};
    if (argc <= 3 && glob("scenarios/*.yaml", 0, NULL, &files) != 0) {
        fputs("no scenarios: to be run from the source root\n", stderr);
        return 1;
    }
    const size_t count = argc > 3 ? (size_t)(argc - 3) : files.gl_pathc;
    for (size_t i = 0; i < count; i++) {
        look_in(argc > 3 ? argv[i + 3] : files.gl_pathv[i], regulators, seed, &all);
    }
    globfree(&files);
    printf(
        "%zu runs, of which %zu die out: %zu told otherwise (%.3f %%); %.1f s in place of %.1f\n",
        all.runs, all.dying, all.differing,
        100.0 * (double)all.differing / fmax((double)all.runs, 1.0), all.early, all.patient);
    return all.differing > 0;
}
