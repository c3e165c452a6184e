// SPDX-License-Identifier: MIT
// Are the regulators of the shipped scenarios such as exist? Each value of each is held against the
// table of hardware for its body, duty and actuation (hardware/hardware.h: common practice, no
// source). Scenarios that teach by an extreme, or are a published model, say why; such a reason is
// refused where nothing lies outside, so that it does not outlive its cause.
//
// `test_shipped_hardware list` prints what lies outside, scenario by scenario.
#include "fixtures.h"
#include "support.h"

#include "field/field.h"
#include "hardware/hardware.h"
#include "scenario/scenario.h"

#include <glob.h>
#include <stdio.h>
#include <string.h>

#define INCH 0.0254
#define CUBIC_FOOT (0.3048 * 0.3048 * 0.3048)
// A value as written has three digits.
#define ROUNDED 0.006

enum { PATH_SIZE = 300 };

static const char published[] = "a model that is checked from outside";

static const struct shipped {
    const char *name;
    double body;        // nominal [in]
    const char *reason; // why it lies outside; NULL: it must not
} shipped[] = {
#include "shipped_hardware.h"
};

enum { SHIPPED = sizeof shipped / sizeof shipped[0] };

// A row holds of a scenario when that has the part.
static bool has(const struct scenario *scenario, const struct hardware_row *row, double *value) {
    *value = scenario_get_si(scenario, 0, row->field);
    char length[64];
    const char *dot = strchr(row->field, '.');
    snprintf(length, sizeof length, "%.*s.length", (int)(dot - row->field), row->field);
    const bool pipe = strncmp(row->field, "line_", 5) == 0;
    return isfinite(*value) && (!pipe || scenario_get_si(scenario, 0, length) > 0.0);
}

// Values outside, printed when asked.
static size_t outside(const struct shipped *s, bool print) {
    char path[PATH_SIZE];
    struct diagnostics list = {0};
    struct scenario_case resolved = {0};
    snprintf(path, sizeof path, "scenarios/%s.yaml", s->name);
    struct scenario *scenario = scenario_open(path, NULL, 0, &list);
    assert_non_null(scenario);
    assert_true(scenario_resolve(scenario, 0, &resolved, &list));
    const struct hardware_build build = {
        .kind = hardware_kind(resolved.model.actuation, resolved.model.pilot.exhaust,
                              resolved.model.duty),
        .body = s->body * INCH,
        .port = scenario_get_si(scenario, 0, "trim.port"),
        .set = fmax(resolved.set_pressure - resolved.site.atmosphere, 0.1 * resolved.set_pressure),
    };
    size_t count = 0;
    for (size_t i = 0; i < hardware_count(); i++) {
        const struct hardware_row *row = hardware_at(i);
        double value;
        if (!hardware_belongs(row, build.kind) || !has(scenario, row, &value)) {
            continue;
        }
        const struct sample_range range = hardware_range(row, &build);
        // A body takes ports smaller than its full one: then it is a reduced port.
        const bool reduced = strcmp(row->field, "trim.port") == 0 && value < range.low;
        if ((reduced || value >= range.low * (1.0 - ROUNDED)) &&
            value <= range.high * (1.0 + ROUNDED)) {
            continue;
        }
        if (print) {
            const enum unit_kind kind = field_at(field_index_of(row->field))->kind;
            const char *unit = units_preferred(kind, UNITS_US, false);
            printf("%s: %s %.3g; in a %g in body %.3g to %.3g %s\n", s->name, row->field,
                   units_from_si(&resolved.site, kind, unit, value), s->body,
                   units_from_si(&resolved.site, kind, unit, range.low),
                   units_from_si(&resolved.site, kind, unit, range.high), unit);
        }
        count++;
    }
    scenario_case_free(&resolved);
    scenario_free(scenario);
    diagnostics_free(&list);
    return count;
}

static void each_is_hardware_or_says_why(void **state) {
    (void)state;
    for (size_t i = 0; i < SHIPPED; i++) {
        const struct shipped *s = &shipped[i];
        if (s->reason == published) {
            continue;
        }
        const size_t count = outside(s, false);
        if (!s->reason && count > 0) {
            outside(s, true);
            fail_msg("%s: %zu values outside of the table, and no reason", s->name, count);
        }
        if (s->reason && count == 0) {
            fail_msg("%s: all inside; its reason is stale", s->name);
        }
    }
}

// No scenario is left out of the table above.
static void all_are_listed(void **state) {
    (void)state;
    glob_t found;
    assert_int_equal(glob("scenarios/*.yaml", 0, NULL, &found), 0);
    assert_int_equal(found.gl_pathc, SHIPPED);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        bool listed = false;
        for (size_t k = 0; k < SHIPPED; k++) {
            char path[PATH_SIZE];
            snprintf(path, sizeof path, "scenarios/%s.yaml", shipped[k].name);
            listed = listed || strcmp(path, found.gl_pathv[i]) == 0;
        }
        if (!listed) {
            fail_msg("%s: not in the table", found.gl_pathv[i]);
        }
    }
    globfree(&found);
}

// What holds the gas: a separator, or after a reducing regulator its header, ten feet of pipe of
// its size and more (closed form: pi/4 (1/12)^2 10 = 0.0545 ft3 for 1 in).
static void gas_space_by_duty(void **state) {
    (void)state;
    struct hardware_build build = {.body = 1.0 * INCH};
    const struct hardware_row *row[2];
    for (int duty = 0; duty < 2; duty++) {
        build.kind = hardware_kind(ACTUATION_DIRECT, EXHAUST_BLEED,
                                   duty ? DUTY_REDUCING : DUTY_BACK_PRESSURE);
        assert_true(build.kind & HARDWARE_DIRECT);
        row[duty] = hardware_find("vessel.volume", build.kind);
        assert_non_null(row[duty]);
        assert_ptr_equal(hardware_find("sense.bore", build.kind),
                         hardware_find("sense.bore", HARDWARE_BLEED));
    }
    assert_ptr_not_equal(row[0], row[1]);
    const struct sample_range header = hardware_range(row[1], &build);
    assert_close(header.low / CUBIC_FOOT, 0.0545415, 1e-5, 0.0);
    assert_close(hardware_range(row[0], &build).low / CUBIC_FOOT, 5.0, 1e-12, 0.0);
    build.body = 2.0 * INCH;
    assert_close(hardware_range(row[1], &build).high / header.high, 4.0, 1e-12, 0.0);
}

int main(int argc, char **argv) {
    if (argc > 1 && strcmp(argv[1], "list") == 0) {
        for (size_t i = 0; i < SHIPPED; i++) {
            if (shipped[i].reason != published) {
                outside(&shipped[i], true);
            }
        }
        return 0;
    }
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_is_hardware_or_says_why),
        cmocka_unit_test(all_are_listed),
        cmocka_unit_test(gas_space_by_duty),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
