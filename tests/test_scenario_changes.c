// SPDX-License-Identifier: MIT
// Changes to a loaded scenario: overrides, numbers set by a study, records beside the file.
#include "support.h"

#include "fixture_scenario.h"
#include "scenario/scenario.h"
#include "scenario/scenario_dump.h"

#include <stdlib.h>
#include <unistd.h>

static void write_file(const char *path, const char *text) {
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

// A record lies beside the scenario, and its errors point into it.
static void scenario_records(void **state) {
    (void)state;
    static const struct {
        const char *text;
        int line;
        int column;
        const char *words; // NULL: good
    } records[] = {
        {"time [s],rate [kg/h]\n0,10\n1.5,20\n", 0, 0, NULL},
        {"\xef\xbb\xbftime [min], rate [Mscf/d]\r\n# a comment\r\n\r\n0, 10\r\n0.5, 20\r\n", 0, 0,
         NULL},
        {"", 1, 1, "the record is empty"},
        {"time [s],rate [kg/h]\n", 1, 1, "no numbers"},
        {"time,rate [kg/h]\n0,10\n", 1, 1, "names columns with units"},
        {"time [s],rate [kg]\n0,10\n", 1, 10, "no such unit of flow"},
        {"time [s],rate [kg/h]\n0,10\nx,20\n", 3, 1, "not a number"},
        {"time [s],rate [kg/h]\n0,10\n1, 20 kg/h\n", 3, 4, "without a unit"},
        {"time [s],rate [kg/h]\n0,10,3\n", 2, 3, "two columns"},
        {"time [s],rate [kg/h]\n0\n", 2, 1, "two columns"},
        {"time [s],rate [kg/h]\n1,10\n0.5,20\n", 3, 1, "times must not fall"},
    };
    char folder[] = "/tmp/lowlift_test_XXXXXX";
    assert_non_null(mkdtemp(folder));
    char yaml[80];
    char csv[80];
    snprintf(yaml, sizeof yaml, "%s/test.yaml", folder);
    snprintf(csv, sizeof csv, "%s/flow.csv", folder);
    for (size_t i = 0; i < sizeof records / sizeof records[0]; ++i) {
        write_file(csv, records[i].text);
        struct diagnostics list = {0};
        struct scenario *scenario =
            scenario_load_text(yaml, pilot_scenario, strlen(pilot_scenario), &list);
        scenario_override(scenario, "inflow.rate={record: flow.csv}", &list);
        if (!records[i].words) {
            struct scenario_case c = fixture_resolve(scenario, 0);
            assert_int_equal(list.errors, 0);
            assert_int_equal(c.model.flow.count, 2);
            assert_close(c.model.flow.value[1], 2.0 * c.model.flow.value[0], 1e-12, 0.0);
            scenario_case_free(&c);
        } else {
            assert_int_equal(list.errors, 1);
            assert_string_equal(list.items[0].place.file, csv);
            assert_int_equal(list.items[0].place.line, records[i].line);
            assert_int_equal(list.items[0].place.column, records[i].column);
            assert_non_null(strstr(list.items[0].message, records[i].words));
        }
        scenario_free(scenario);
        diagnostics_free(&list);
    }
    unlink(csv);
    rmdir(folder);
}

static void scenario_overrides(void **state) {
    (void)state;
    static const struct {
        const char *assignment;
        int column;
        const char *words;
    } bad[] = {
        {"actuator.spring_rat=3 N/m", 1, "did you mean actuator.spring_rate?"},
        {"actuator.spring_rate", 1, "allowed section.name=value"},
        {"actuator.spring_rate=3", 22, "needs a unit"},
        {"actuator.spring_rate=", 22, "is empty"},
        {"trims.ful.port=3 in", 1, "did you mean trims.full.port?"},
        {"trims.full=3 in", 1, "no field"},
        {"set.pressure={valu: 3 psig}", 15, "did you mean value?"},
        {"set.pressure={value: 3 psig", 28, "YAML"},
        {"expect=3", 1, "no field 'expect'"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; ++i) {
        struct scenario *scenario = fixture_load(pilot_scenario);
        struct diagnostics list = {0};
        assert_false(scenario_override(scenario, bad[i].assignment, &list));
        if (list.items[0].place.column != bad[i].column ||
            !strstr(list.items[0].message, bad[i].words)) {
            diagnostics_print(&list, stderr);
        }
        assert_int_equal(list.items[0].place.column, bad[i].column);
        assert_non_null(strstr(list.items[0].message, bad[i].words));
        diagnostics_free(&list);
        scenario_free(scenario);
    }
    struct scenario *scenario = fixture_load(pilot_scenario);
    struct scenario_case c = fixture_resolve_with(scenario, "trims.full.port=2 in");
    assert_close(c.model.trim.port_diameter, 0.0508, 1e-12, 0.0);
    scenario_case_free(&c);
    c = fixture_resolve_with(scenario, "trim.port=\"1 in\"");
    assert_close(c.model.trim.port_diameter, 0.0254, 1e-12, 0.0);
    scenario_case_free(&c);
    c = fixture_resolve(scenario, 1);
    assert_close(c.model.trim.port_diameter, 0.0254, 1e-12, 0.0);
    scenario_case_free(&c);
    c = fixture_resolve_with(scenario, "output.units=si");
    assert_int_equal(c.units, UNITS_SI);
    scenario_case_free(&c);
    scenario_free(scenario);
}

// Spellings that YAML or a shell might spoil.
static void scenario_spellings(void **state) {
    (void)state;
    static const struct {
        const char *assignment;
        const char *path;
        double si;
    } good[] = {
        {"trim.port=2 7/8\"", "trim.port", 0.073025},
        {"trim.port='2 7/8 in'", "trim.port", 0.073025},
        {"trim.port={value: 2 7/8\", guess: yes}", "trim.port", 0.073025},
        {"fluid.temperature=80 \xc2\xb0\x46", "fluid.temperature", 299.81666666666666},
        {"trim.balance=30 %", "trim.balance", 0.3},
        {"trim.balance={value: 30%}", "trim.balance", 0.3},
        {"downstream.pressure={value: 100 kPa(g)}", "downstream.pressure", 95951.8 + 100e3},
        {"inflow.rate=about 35 kg/h # by ear", "inflow.rate", 35.0 / 3600.0},
        {"friction.viscous=5\tN s/m", "friction.viscous", 5.0},
    };
    for (size_t i = 0; i < sizeof good / sizeof good[0]; ++i) {
        struct scenario *scenario = fixture_load(pilot_scenario);
        struct scenario_case c = fixture_resolve_with(scenario, good[i].assignment);
        assert_close(scenario_get_si(scenario, 0, good[i].path), good[i].si, 1e-6, 0.0);
        scenario_case_free(&c);
        scenario_free(scenario);
    }
}

static void scenario_overrides_mend_a_file(void **state) {
    (void)state;
    static const char text[] = "actuation: direct\nfluid: {gravity: 0.65}\n";
    struct diagnostics list = {0};
    struct scenario *scenario = scenario_load_text("test.yaml", text, strlen(text), &list);
    assert_non_null(scenario);
    assert_int_equal(list.errors, 0);
    assert_false(scenario_check(scenario, &list));
    assert_true(scenario_override(scenario, "duty=reducing", &list));
    diagnostics_free(&list);
    assert_false(scenario_check(scenario, &list));
    for (size_t i = 0; i < list.count; ++i) {
        assert_null(strstr(list.items[i].message, "duty"));
    }
    diagnostics_free(&list);
    scenario_free(scenario);
}

static void scenario_numbers_can_be_set_and_read(void **state) {
    (void)state;
    struct scenario *scenario = fixture_load(pilot_scenario);
    assert_true(scenario_set_si(scenario, "vessel.volume", 0.2));
    assert_true(scenario_set_si(scenario, "inflow.rate", 0.03));
    assert_true(scenario_set_si(scenario, "set.pressure", 4e5));
    assert_true(scenario_set_si(scenario, "trims.reduced.port", 0.04));
    assert_false(scenario_set_si(scenario, "duty", 1.0));
    assert_false(scenario_set_si(scenario, "vessel.volum", 1.0));
    assert_false(scenario_set_si(scenario, "vessel.volume", (double)NAN));
    struct scenario_case c = fixture_resolve(scenario, 1);
    assert_close(c.model.controlled.volume, 0.2, 0.0, 0.0);
    assert_close(c.model.flow.base, 0.03, 0.0, 0.0);
    assert_close(c.set_pressure, 4e5, 0.0, 0.0);
    assert_close(c.model.trim.port_diameter, 0.04, 0.0, 0.0);
    scenario_case_free(&c);
    assert_close(scenario_get_si(scenario, 1, "trim.port"), 0.04, 0.0, 0.0);
    assert_close(scenario_get_si(scenario, 0, "trim.port"), 0.073025, 1e-12, 0.0);
    assert_close(scenario_get_si(scenario, 0, "set.pressure"), 4e5, 0.0, 0.0);
    assert_true(isnan(scenario_get_si(scenario, 0, "friction.static")));
    assert_true(isnan(scenario_get_si(scenario, 0, "no.such")));
    double low;
    double high;
    assert_false(scenario_get_range(scenario, 0, "vessel.volume", &low, &high));
    c = fixture_resolve_with(scenario, "vessel.volume={value: 1 m3, low: 0.5 m3, high: 2 m3}");
    scenario_case_free(&c);
    assert_true(scenario_get_range(scenario, 0, "vessel.volume", &low, &high));
    assert_close(low, 0.5, 1e-12, 0.0);
    assert_close(high, 2.0, 1e-12, 0.0);
    scenario_free(scenario);
}

// A dump holds the whole: any text, and the record, which is then asked of nobody else.
static void dumps_hold_what_a_scenario_names(void **state) {
    (void)state;
    char folder[] = "/tmp/lowlift-dump-XXXXXX", yaml[64], csv[64];
    assert_non_null(mkdtemp(folder));
    snprintf(yaml, sizeof yaml, "%s/told.yaml", folder);
    snprintf(csv, sizeof csv, "%s/flow.csv", folder);
    char text[4000] = "title: \"a\\tb\\nc\\rd \\\\ e\\x01\\x7f\"\n";
    const char *rate = strstr(pilot_scenario, "0.15 MMscf/d");
    const size_t used = strlen(text), before = (size_t)(rate - strchr(pilot_scenario, '\n') - 1);
    snprintf(text + used, sizeof text - used, "%.*s{record: flow.csv}%s", (int)before,
             strchr(pilot_scenario, '\n') + 1, rate + strlen("0.15 MMscf/d"));
    write_file(yaml, text);
    write_file(csv, "time [s],flow [kg/h]\n0,100\n5,200\n");
    struct diagnostics list = {0};
    char *dump = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&dump, &length);
    assert_non_null(out);
    assert_true(scenario_dump(yaml, out, &list));
    assert_int_equal(fclose(out), 0);
    assert_non_null(strstr(dump, "a\\tb\\nc\\rd \\\\ e\\x01\\x7f\n"));
    unlink(yaml);
    unlink(csv);
    rmdir(folder);
    struct scenario *scenario = scenario_load_dump(dump, length, &list);
    diagnostics_print(&list, stderr);
    assert_non_null(scenario);
    assert_string_equal(scenario_title(scenario), "a\tb\nc\rd \\ e\x01\x7f");
    struct scenario_case resolved = fixture_resolve(scenario, 0);
    assert_int_equal(resolved.model.flow.count, 2);
    assert_close(resolved.model.flow.value[1], 200.0 / 3600.0, 1e-12, 0.0);
    scenario_case_free(&resolved);
    scenario_free(scenario);
    diagnostics_free(&list);
    free(dump);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(dumps_hold_what_a_scenario_names),
        cmocka_unit_test(scenario_records),
        cmocka_unit_test(scenario_overrides),
        cmocka_unit_test(scenario_spellings),
        cmocka_unit_test(scenario_overrides_mend_a_file),
        cmocka_unit_test(scenario_numbers_can_be_set_and_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
