// SPDX-License-Identifier: MIT
// The whole pilot-operated gas build against an independent integrator (GSL's Prince-Dormand 8(7)),
// and free motion near rest against the eigenvalues of its own linearisation.
#include "fixtures.h"
#include "support.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

static const double PI = 3.14159265358979323846;

static struct fixture_record record;

struct problem {
    const struct regulator *regulator;
    struct regulator_mode mode;
};

static int gsl_rates(double time, const double y[], double rate[], void *data) {
    const struct problem *p = data;
    int status = regulator_derivatives(p->regulator, &p->mode, time, y, rate);
    return status == 0 ? GSL_SUCCESS : GSL_EBADFUNC;
}

static void gsl_run(const struct regulator *r, struct regulator_mode mode, double end, double *y) {
    const struct regulator_layout *l = &r->layout;
    struct problem problem = {r, mode};
    gsl_odeiv2_system system = {gsl_rates, NULL, (size_t)l->count, &problem};
    double scale[REGULATOR_STATES_MAX];
    for (int i = 0; i < l->count; i++) {
        scale[i] = l->slot[i].scale;
    }
    gsl_odeiv2_driver *driver = gsl_odeiv2_driver_alloc_scaled_new(
        &system, gsl_odeiv2_step_rk8pd, 1e-7, 1e-12, 1e-11, 1.0, 0.0, scale);
    assert_non_null(driver);
    double time = 0.0;
    assert_int_equal(gsl_odeiv2_driver_apply(driver, &time, end, y), GSL_SUCCESS);
    gsl_odeiv2_driver_free(driver);
}

// Weighted root-mean-square difference in the norm of a run at a relative tolerance.
static double difference(const struct regulator_layout *l, const double *a, const double *b,
                         double tolerance) {
    double sum = 0.0;
    for (int i = 0; i < l->count; i++) {
        double weight = tolerance * (fabs(b[i]) + 0.1 * l->slot[i].scale);
        sum += pow((a[i] - b[i]) / weight, 2.0);
    }
    return sqrt(sum / l->count);
}

static void compare(const struct regulator_parameters *p, double kick, double end, int contacts) {
    struct regulator r;
    regulator_prepare(&r, p);
    double y[REGULATOR_STATES_MAX], z[REGULATOR_STATES_MAX];
    fixture_settle_pilot(&r, p->set_point.base, y);
    y[r.layout.mass[NODE_CONTROLLED]] *= kick; // vessel off its set pressure
    y[r.layout.energy[NODE_CONTROLLED]] *= kick;
    memcpy(z, y, sizeof y);
    struct regulator_mode mode = regulator_mode_at(&r, 0.0);
    gsl_run(&r, mode, end, z);
    struct integrate_options o = integrate_options_default();
    o.end = end;
    o.relative_tolerance = 1e-9;
    assert_int_equal(fixture_run(&r, &mode, y, &o, &record).status, INTEGRATE_DONE);
    double tight = difference(&r.layout, y, z, 1e-6);
    print_message("difference from GSL in the norm of rtol 1e-6: %.2e at rtol 1e-9, contacts %d\n",
                  tight, fixture_count(&record, EVENT_SEAT_CONTACT));
    assert_true(tight < 1.0);
    assert_true(fixture_count(&record, EVENT_SEAT_CONTACT) >= contacts);
}

static void test_whole_model_against_gsl(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_pilot_gas(2.9 * 0.0254, 20.0);
    compare(&p, 1.02, 0.5, 0);
}

static void test_whole_model_against_gsl_through_contacts(void **state) {
    (void)state;
    struct regulator_parameters p = fixture_pilot_gas(2.9 * 0.0254, 20.0);
    compare(&p, 0.9, 0.6, 1);
}

static void test_growth_rate_is_the_eigenvalue(void **state) {
    (void)state;
    // E: along its eigenvector, a small motion comes back after whole periods times
    // exp(growth x time); 5 % of the growth, at both ports.
    const double port[] = {2.9 * 0.0254, 1.8 * 0.0254};
    const double periods[] = {4.0, 1.0};
    for (int k = 0; k < 2; k++) {
        struct regulator_parameters p = fixture_pilot_gas(port[k], 0.0);
        struct regulator r;
        regulator_prepare(&r, &p);
        double rest[REGULATOR_STATES_MAX], y[REGULATOR_STATES_MAX];
        fixture_settle_pilot(&r, p.set_point.base, rest);
        struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        struct fixture_modes modes;
        int slow = fixture_linearise(&r, &mode, rest, 1.0, &modes);
        assert_true(slow >= 0);
        memcpy(y, rest, sizeof y);
        int n = modes.count;
        double largest = 0.0;
        for (int i = 0; i < n; i++) {
            largest = fmax(largest, fabs(modes.vector[i * n + slow] / r.layout.slot[i].scale));
        }
        for (int i = 0; i < n; i++) {
            y[i] += 1e-5 / largest * modes.vector[i * n + slow];
        }
        struct integrate_options o =
            fixture_options(periods[k] * 2.0 * PI / modes.imaginary[slow], 1e-10);
        assert_int_equal(fixture_run(&r, &mode, y, &o, NULL).status, INTEGRATE_DONE);
        double along = 0.0, length = 0.0;
        for (int i = 0; i < n; i++) {
            double start = 1e-5 / largest * modes.vector[i * n + slow] / r.layout.slot[i].scale;
            along += start * (y[i] - rest[i]) / r.layout.slot[i].scale;
            length += start * start;
        }
        double growth = log(along / length) / o.end;
        print_message("growth %.6f 1/s simulated, %.6f 1/s by eigenvalue\n", growth,
                      modes.real[slow]);
        assert_close(growth, modes.real[slow], 0.05, 0.0);
    }
}

static void test_larger_vessel_lowers_the_growth_of_the_slow_mode(void **state) {
    (void)state;
    // Trend in the pilot back-pressure main demo (El Golli Rami et al., IJPVP 84, 2007: the
    // smaller controlled volume is worse).
    double last = 1e9;
    for (double share = 0.8; share < 3.0; share *= 1.3) {
        struct regulator_parameters p = fixture_pilot_gas(2.9 * 0.0254, 0.0);
        p.controlled.volume *= share;
        struct regulator r;
        regulator_prepare(&r, &p);
        double rest[REGULATOR_STATES_MAX];
        fixture_settle_pilot(&r, p.set_point.base, rest);
        struct regulator_mode mode = regulator_mode_at(&r, 0.0);
        struct fixture_modes modes;
        int slow = fixture_linearise(&r, &mode, rest, 0.5, &modes);
        assert_true(slow >= 0);
        print_message("vessel x %.2f: growth %.4f 1/s at %.3f Hz\n", share, modes.real[slow],
                      modes.imaginary[slow] / (2.0 * PI));
        assert_true(modes.real[slow] < last);
        last = modes.real[slow];
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_whole_model_against_gsl),
        cmocka_unit_test(test_whole_model_against_gsl_through_contacts),
        cmocka_unit_test(test_growth_rate_is_the_eigenvalue),
        cmocka_unit_test(test_larger_vessel_lowers_the_growth_of_the_slow_mode),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
