// SPDX-License-Identifier: MIT
// Speed as ratios in one run: our code against the plain reference build and against GSL's msbdf,
// on the same regulator, the same start, the same tolerance. Prints what each makes of the motion,
// so that a ratio is only read where the answers agree. Judges nothing; times are information.
#include "reference.h"
#include "solve/integrate.h"
#include "solve/linearise.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define PSI 6894.757293168361
#define INCH 0.0254
#define POUND_FORCE 4.4482216152605
#define REPEATS 5
#define END_TIME 60.0
// Accuracy is read at this contact, against the same model at TIGHT.
#define ACCURACY_CONTACT 20
#define TIGHT 1e-10

struct measure {
    const char *name;
    double milliseconds, swing, frequency, contacts_per_minute;
    double contact_time, contact_speed; // of contact number ACCURACY_CONTACT [s, m/s]; 0: none
    long steps, calls, restarts;
};

static bool one_step; // by the one-step method

// Its tolerance over CVODE's: that at which studies may try their runs by it.
#define ONE_STEP_FACTOR 30.0

// CPU time [ms].
static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t); // others may be at work on the machine
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

// The reference's regulator in our parameters. Kinds of contact and heat are the variant's own.
static struct regulator_parameters translate(const struct reference_parameters *q) {
    struct regulator_parameters p = {.duty = DUTY_BACK_PRESSURE, .isothermal = true};
    p.gas = (struct gas_properties){GAS_CONSTANT / q->gas_constant, q->exponent, 1.0, 1.1e-5};
    p.temperature = q->temperature;
    p.atmosphere = q->atmospheric_pressure;
    p.laminar_drop = 50.0;
    p.controlled.volume = q->vessel_volume;
    p.flow = schedule_constant(q->inflow);
    p.flow_reference = q->set_pressure;
    p.boundary = schedule_constant(q->downstream_pressure);
    p.set_point = schedule_constant(q->set_pressure);
    p.trim = (struct trim_parameters){.port_diameter = q->port_diameter,
                                      .rated_travel = q->rated_travel,
                                      .discharge_coefficient = q->plug_discharge,
                                      .flow_law = TRIM_FLOW_NOZZLE,
                                      .choking_ratio = 0.7,
                                      .recovery_factor = 0.9,
                                      .piping_factor = 1.0};
    p.actuator.diaphragm_area = q->diaphragm_area;
    p.actuator.spring_rate = q->spring_rate;
    p.actuator.preload = q->spring_preload;
    p.actuator.moving_mass = q->moving_mass;
    p.actuator.damping = q->stem_damping;
    p.actuator.friction =
        (struct friction_parameters){q->friction_static,   q->friction_kinetic, q->stribeck_speed,
                                     q->bristle_stiffness, q->bristle_damping,  0.0};
    p.actuator.case_reference = REFERENCE_DOWNSTREAM;
    p.actuator.chamber.volume = q->chamber_volume;
    p.actuator.swept_volume = true;
    p.actuator.seat = (struct contact_parameters){
        CONTACT_COMPLIANT, q->seat_stiffness, 1.0, q->contact_dissipation / 1.5, 0.5, 1e-4};
    p.actuator.stop = p.actuator.seat;
    p.actuator.stop.stiffness = q->stop_stiffness;
    p.pilot = (struct pilot_parameters){.moving_mass = q->pilot_mass,
                                        .damping = q->pilot_damping,
                                        .spring_rate = q->pilot_spring_rate,
                                        .travel = q->pilot_travel,
                                        .diaphragm_area = q->pilot_diaphragm_area,
                                        .feedback_area = q->pilot_feedback_area,
                                        .supply_diameter = q->supply_seat_diameter,
                                        .supply_discharge = q->small_discharge,
                                        .bleed_diameter = q->bleed_diameter,
                                        .bleed_discharge = q->small_discharge,
                                        .exhaust_to = REFERENCE_DOWNSTREAM};
    p.pilot.stops = p.actuator.seat;
    p.pilot.stops.stiffness = q->pilot_stop_stiffness;
    p.sense = (struct sense_parameters){.passage = SENSE_ORIFICE,
                                        .bore = q->sense_diameter,
                                        .length = 60.0 * q->sense_diameter, // as scenarios have it
                                        .discharge = q->small_discharge,
                                        .cavity = {q->sense_volume, 0.0}};
    return p;
}

struct watch {
    const struct regulator *regulator;
    double low, high, middle, last, first_rise, last_rise;
    long rises, contacts, contacts_so_far;
    double contact_time, contact_speed;
    double farthest;
    bool frequency; // second pass: count rises through the middle
};

static double window_start(void) {
    return 0.75 * END_TIME;
}

static void watch_sample(void *context, double time, const struct regulator_mode *mode,
                         const double *state) {
    (void)mode;
    struct watch *w = context;
    double p = state[w->regulator->layout.mass[NODE_CONTROLLED]];
    w->farthest = fmax(w->farthest, state[w->regulator->layout.travel]);
    if (time < window_start()) {
        return;
    }
    w->low = fmin(w->low, p);
    w->high = fmax(w->high, p);
    if (w->frequency && w->last < w->middle && p >= w->middle) {
        w->first_rise = w->rises == 0 ? time : w->first_rise;
        w->last_rise = time;
        w->rises++;
    }
    w->last = p;
}

static void watch_jump(void *context, const struct integrate_jump *jump) {
    struct watch *w = context;
    const struct regulator_transition *t = jump->transition;
    bool seat = t && (t->event == EVENT_SEAT_CONTACT || t->event == EVENT_SEAT_HELD);
    if (!seat || w->farthest < 1e-3 * w->regulator->parameters.trim.rated_travel) {
        return;
    }
    w->farthest = 0.0;
    if (++w->contacts_so_far == ACCURACY_CONTACT) {
        w->contact_time = jump->time;
        w->contact_speed = t->approach_speed;
    }
    w->contacts += jump->time >= window_start();
}

static void start_state(const struct regulator *r, const struct reference_parameters *q,
                        struct regulator_mode *mode, double *state) {
    *mode = regulator_mode_at(r, 0.0);
    struct equilibria rest = equilibrium_find(r, mode, 0.0);
    const struct equilibrium *e = equilibrium_choose(&rest);
    double pressure[NODE_COUNT];
    memcpy(pressure, e->pressure, sizeof pressure);
    pressure[NODE_CONTROLLED] += q->kick_pressure;
    regulator_rest_state(r, mode, 0.0,
                         &(struct regulator_rest){e->travel, e->pilot_travel, pressure}, state);
}

static void run_ours(const struct regulator *r, const struct reference_parameters *q, double rtol,
                     struct watch *watch, struct measure *m) {
    struct regulator_mode mode;
    double state[REGULATOR_STATES_MAX];
    start_state(r, q, &mode, state);
    struct integrate_options o = integrate_options_default();
    o.end = END_TIME;
    o.sample_interval = q->sample_interval;
    o.relative_tolerance = rtol;
    o.rosenbrock = one_step;
    struct integrate_observer observer = {
        .context = watch, .sample = watch_sample, .jump = watch_jump};
    double begin = now();
    struct integrate_result result = integrate_run(r, &mode, state, &o, &observer);
    m->milliseconds = fmin(m->milliseconds, now() - begin);
    m->steps = result.statistics.steps;
    m->calls = result.statistics.rate_calls;
    m->restarts = result.statistics.restarts;
    if (result.status != INTEGRATE_DONE) {
        printf("  %s: %s\n", m->name, result.message);
    }
}

static struct measure measure_ours(const char *name, const struct regulator_parameters *p,
                                   const struct reference_parameters *q, double rtol) {
    struct regulator *r = malloc(sizeof *r);
    struct measure m = {.name = name, .milliseconds = 1e9};
    regulator_prepare(r, p);
    double middle = 0.0;
    for (int i = 0; i < REPEATS; i++) {
        struct watch w = {.regulator = r, .low = 1e300, .frequency = i > 0, .middle = middle};
        run_ours(r, q, rtol, &w, &m);
        middle = 0.5 * (w.low + w.high);
        m.swing = (w.high - w.low) * r->pressure_per_density / p->controlled.volume / PSI;
        m.frequency = w.rises > 1 ? (double)(w.rises - 1) / (w.last_rise - w.first_rise) : 0.0;
        m.contacts_per_minute = 60.0 * (double)w.contacts / (END_TIME - window_start());
        m.contact_time = w.contact_time;
        m.contact_speed = w.contact_speed;
    }
    free(r);
    return m;
}

static struct measure measure_reference(const struct reference_parameters *q, double rtol) {
    static struct reference_result result;
    struct measure m = {.name = "reference build", .milliseconds = 1e9};
    for (int i = 0; i < REPEATS; i++) {
        if (reference_run(q, END_TIME, rtol, &result) != 0) {
            printf("  the reference failed\n");
            return m;
        }
        m.milliseconds = fmin(m.milliseconds, 1e3 * result.cpu_seconds);
    }
    m.swing = result.pressure_swing / PSI;
    m.frequency = result.frequency;
    m.contacts_per_minute = 60.0 * (double)result.window_contacts / result.window_seconds;
    m.steps = result.steps;
    m.calls = result.derivative_calls;
    return m;
}

struct gsl_run {
    const struct regulator *regulator;
    struct regulator_mode mode;
    long calls;
};

static int gsl_rates(double t, const double y[], double dydt[], void *context) {
    struct gsl_run *g = context;
    g->calls++;
    return regulator_derivatives(g->regulator, &g->mode, t, y, dydt) == 0 ? GSL_SUCCESS
                                                                          : GSL_EBADFUNC;
}

static int gsl_jacobian(double t, const double y[], double *dfdy, double dfdt[], void *context) {
    struct gsl_run *g = context;
    int n = g->regulator->layout.count;
    double at[REGULATOR_STATES_MAX], base[REGULATOR_STATES_MAX], moved[REGULATOR_STATES_MAX];
    memcpy(at, y, (size_t)n * sizeof *at);
    gsl_rates(t, y, base, g);
    for (int c = 0; c < n; c++) {
        double step = 1.5e-8 * fmax(fabs(y[c]), 1e-3 * g->regulator->layout.slot[c].scale);
        at[c] = y[c] + step;
        gsl_rates(t, at, moved, g);
        at[c] = y[c];
        for (int i = 0; i < n; i++) {
            dfdy[i * n + c] = (moved[i] - base[i]) / step;
        }
        dfdt[c] = 0.0;
    }
    return GSL_SUCCESS;
}

// The same model and tolerance through GSL, with its plain error control (one absolute tolerance
// per state, from the same scales). Compliant contact only: it knows no events.
static struct measure measure_gsl(const struct regulator_parameters *p,
                                  const struct reference_parameters *q, double rtol) {
    static struct regulator r;
    struct measure m = {.name = "GSL msbdf, our model"};
    regulator_prepare(&r, p);
    struct gsl_run g = {.regulator = &r};
    double y[REGULATOR_STATES_MAX], scale[REGULATOR_STATES_MAX];
    start_state(&r, q, &g.mode, y);
    size_t n = (size_t)r.layout.count;
    for (size_t i = 0; i < n; i++) {
        scale[i] = 0.1 * r.layout.slot[i].scale;
    }
    gsl_odeiv2_system system = {gsl_rates, gsl_jacobian, n, &g};
    gsl_odeiv2_driver *driver = gsl_odeiv2_driver_alloc_scaled_new(
        &system, gsl_odeiv2_step_msbdf, 1e-6, rtol, rtol, 1.0, 0.0, scale);
    struct watch w = {.regulator = &r, .low = 1e300};
    double begin = now(), t = 0.0;
    for (long i = 1; (double)i * q->sample_interval <= END_TIME; i++) {
        int status = gsl_odeiv2_driver_apply(driver, &t, (double)i * q->sample_interval, y);
        if (status != GSL_SUCCESS) {
            printf("  GSL stops at %.3f s: %s\n", t, gsl_strerror(status));
            break;
        }
        watch_sample(&w, t, &g.mode, y);
    }
    m.milliseconds = now() - begin;
    m.steps = (long)driver->e->count; // driver->n counts since the last sample only
    m.calls = g.calls;
    m.swing = (w.high - w.low) * r.pressure_per_density / p->controlled.volume / PSI;
    gsl_odeiv2_driver_free(driver);
    return m;
}

static void print_row(const struct measure *m, double reference) {
    printf("  %-34s %9.2f ms %6.1fx %8ld steps %8ld calls %5ld restarts  %7.4f psi %6.3f Hz %4.0f "
           "contacts/min  %6.0f s/s\n",
           m->name, m->milliseconds, reference / m->milliseconds, m->steps, m->calls, m->restarts,
           m->swing, m->frequency, m->contacts_per_minute, 1e3 * END_TIME / m->milliseconds);
}

// A rigid seat is another model than a springy one, so its ratio is no matter of speed alone; how
// exactly it is solved can be told by its contacts.
static void print_accuracy(const char *name, const struct regulator_parameters *p,
                           const struct reference_parameters *q, const struct measure *m) {
    if (m->contact_time > 0.0) {
        const struct measure exact = measure_ours(name, p, q, TIGHT);
        printf("    contact %d at %.6f s: off by %.1e s, speed off by %.1e of itself, against rtol "
               "%.0e\n",
               ACCURACY_CONTACT, m->contact_time, fabs(m->contact_time - exact.contact_time),
               fabs(m->contact_speed / exact.contact_speed - 1.0), TIGHT);
    }
}

static void print_rigid(const char *name, const struct regulator_parameters *p,
                        const struct reference_parameters *q, double rtol, double reference) {
    struct measure m = measure_ours(name, p, q, rtol);
    print_row(&m, reference);
    print_accuracy(name, p, q, &m);
    one_step = true;
    m = measure_ours("  the same, one-step method", p, q, ONE_STEP_FACTOR * rtol);
    one_step = false;
    print_row(&m, reference);
    print_accuracy(name, p, q, &m);
}

static void compare(double port, double friction, double dissipation, double rtol, bool with_gsl) {
    struct reference_parameters q = reference_case('a', port * INCH, friction * POUND_FORCE);
    q.kick_pressure = 3.0 * PSI;
    q.contact_dissipation = dissipation;
    printf("port %.1f in, friction %.0f lbf, seat dissipation %.1f s/m, rtol %.0e\n", port,
           friction, dissipation, rtol);
    struct measure reference = measure_reference(&q, rtol);
    print_row(&reference, reference.milliseconds);
    struct regulator_parameters p = translate(&q);
    struct measure m = measure_ours("ours, springy contacts", &p, &q, rtol);
    print_row(&m, reference.milliseconds);
    if (with_gsl) {
        m = measure_gsl(&p, &q, rtol);
        print_row(&m, reference.milliseconds);
    }
    p.actuator.seat.law = p.actuator.stop.law = p.pilot.stops.law = CONTACT_RIGID;
    print_rigid("ours, another model: rigid contacts", &p, &q, rtol, reference.milliseconds);
    p.pilot.moving_mass = 0.0;
    print_rigid("ours, rigid, massless pilot", &p, &q, rtol, reference.milliseconds);
    p.pilot.moving_mass = q.pilot_mass;
    p.isothermal = false;
    print_rigid("ours, rigid, with heat", &p, &q, rtol, reference.milliseconds);
}

static void time_one_call(void) {
    struct reference_parameters q = reference_case('a', 2.9 * INCH, 5.0 * POUND_FORCE);
    struct regulator_parameters p = translate(&q);
    static struct regulator r;
    for (int heat = 0; heat < 2; heat++) {
        p.isothermal = heat == 0;
        regulator_prepare(&r, &p);
        struct regulator_mode mode;
        double state[REGULATOR_STATES_MAX], rate[REGULATOR_STATES_MAX], sum = 0.0;
        start_state(&r, &q, &mode, state);
        const int calls = 2000000;
        double begin = now();
        for (int i = 0; i < calls; i++) {
            state[r.layout.travel] *= 1.0 + 1e-15;
            regulator_derivatives(&r, &mode, 0.0, state, rate);
            sum += rate[r.layout.speed];
        }
        printf("one call of the derivatives, %s, %d states: %.0f ns (sum %g)\n",
               heat ? "with heat" : "isothermal", r.layout.count, 1e6 * (now() - begin) / calls,
               sum);
    }
}

int main(int argc, char **argv) {
    double rtol = argc > 1 ? strtod(argv[1], NULL) : 1e-6;
    time_one_call();
    // Not without friction: reference and ours then settle on different motions.
    for (int f = 5; f <= 10; f += 5) {
        compare(2.9, f, 0.5, rtol, f == 5);
    }
    compare(2.9, 5.0, 10.0, rtol, false);
    for (int f = 0; f <= 10; f += 5) {
        compare(1.8, f, 0.5, rtol, f == 5);
    }
    return 0;
}
