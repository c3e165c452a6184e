// SPDX-License-Identifier: MIT
// Draws kept in a file: the same bits after writing and reading, and every mistake with its place.
#include "fixture_scenario.h"

#include "study/draws.h"

#include <stdlib.h>
#include <unistd.h>

static char path[] = "/tmp/lowlift-draws-XXXXXX";
static struct scenario *scenario;

static int setup(void **state) {
    (void)state;
    const int handle = mkstemp(path);
    scenario = fixture_load(pilot_scenario);
    return handle < 0 ? -1 : close(handle);
}

static int teardown(void **state) {
    (void)state;
    scenario_free(scenario);
    return unlink(path);
}

static void put(const char *text) {
    FILE *stream = fopen(path, "wb");
    assert_non_null(stream);
    fputs(text, stream);
    assert_int_equal(fclose(stream), 0);
}

// Errors of a file, one a line without its path.
static const char *errors_of(const char *text) {
    static char said[4000];
    struct draws draws;
    struct diagnostics list = {0};
    put(text);
    assert_false(draws_read(path, scenario, &draws, &list));
    diagnostics_sort(&list);
    said[0] = '\0';
    for (size_t i = 0; i < list.count; i++) {
        const struct diagnostic *d = &list.items[i];
        const size_t used = strlen(said);
        assert_string_equal(d->place.file, path);
        snprintf(said + used, sizeof said - used, "%d:%d: %s\n", d->place.line, d->place.column,
                 d->message);
    }
    diagnostics_free(&list);
    draws_free(&draws);
    return said;
}

// As the program writes them.
static void write_draws(const struct draws *draws) {
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs(draws->worth > 0.0 ? "weight,worth" : "weight", file);
    for (size_t k = 0; k < draws->field_count; k++) {
        fprintf(file, ",%s", draws->field[k]);
    }
    for (size_t i = 0; i < draws->count; i++) {
        fprintf(file, "\r\n%.17g", draws->weight[i]);
        if (draws->worth > 0.0) {
            fprintf(file, ",%.17g", draws->worth);
        }
        for (size_t k = 0; k < draws->field_count; k++) {
            fprintf(file, ",%s", draws->cell[i * draws->field_count + k].text);
        }
    }
    assert_int_equal(fclose(file), 0);
}

// Every number of every kind comes back as the same bits, applied as --set would.
static void test_draws_same_bits(void **state) {
    (void)state;
    static const char *const field[] = {
        "vessel.volume", "trims.full.port",   "inflow.rate",       "downstream.pressure",
        "fluid.gravity", "pilot.spring_rate", "fluid.temperature", "stop.restitution"};
    enum { FIELDS = sizeof field / sizeof field[0], DRAWS = 7 };
    struct draws made, read;
    struct diagnostics list = {0};
    unsigned long long seed = 1;
    double si[DRAWS][FIELDS];
    assert_true(draws_start(&made, DRAWS, FIELDS, field));
    for (size_t i = 0; i < DRAWS; i++) {
        made.weight[i] = 1.0 / 7.0;
        for (size_t k = 0; k < FIELDS; k++) {
            size_t trim;
            seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
            const double share = 0.8 + 0.1 * ((double)(seed >> 11) / 9007199254740992.0);
            (void)scenario_find(scenario, field[k], &trim);
            const char *plain = k == 1 ? "trim.port" : field[k];
            const double typical = k == 7 ? 0.5 : scenario_get_si(scenario, 0, plain);
            si[i][k] = typical * (k == 3 || k == 4 || k == 6 ? 1.0 + 1e-3 * share : share);
            assert_true(draws_set(&made, i, k, si[i][k]));
        }
    }
    write_draws(&made);
    const bool fine = draws_read(path, scenario, &read, &list);
    diagnostics_print(&list, stderr);
    assert_true(fine);
    assert_int_equal(read.count, DRAWS);
    assert_int_equal(read.field_count, FIELDS);
    assert_close(draws_effective(&read), 7.0, 1e-12, 0.0);
    for (size_t i = 0; i < DRAWS; i++) {
        struct scenario *copy = scenario_copy(scenario);
        assert_true(read.weight[i] == made.weight[i]);
        assert_true(draws_apply(&read, i, copy, &list));
        for (size_t k = 0; k < FIELDS; k++) {
            assert_string_equal(read.field[k], field[k]);
            const char *plain = k == 1 ? "trim.port" : field[k];
            assert_true(scenario_get_si(copy, 0, plain) == si[i][k]);
        }
        // A value of one trim leaves the other alone.
        assert_close(scenario_get_si(copy, 1, "trim.port"), 1.8 * 0.0254, 1e-12, 0.0);
        scenario_free(copy);
    }
    diagnostics_free(&list);
    draws_free(&made);
    draws_free(&read);
}

// Draws that are kin are worth less than their weights say, also after writing and reading.
static void test_draws_worth(void **state) {
    (void)state;
    static const char *const field[] = {"vessel.volume"};
    struct draws made, read;
    struct diagnostics list = {0};
    assert_true(draws_start(&made, 4, 1, field));
    for (size_t i = 0; i < 4; i++) {
        made.weight[i] = 0.25;
        assert_true(draws_set(&made, i, 0, 0.2));
    }
    made.worth = 2.5;
    write_draws(&made);
    assert_true(draws_read(path, scenario, &read, &list));
    assert_int_equal(read.field_count, 1);
    assert_close(draws_effective(&read), 2.5, 1e-12, 0.0);
    draws_free(&made);
    draws_free(&read);
    assert_string_equal(errors_of("weight,worth,vessel.volume\n0.5,2,5 ft3\n0.5,3,5 ft3\n"),
                        "3:5: worth: found '3'; allowed a number above 0, the same in each row\n");
    diagnostics_free(&list);
}

// Written by a person: their units, words, quotes, blanks, any end of line.
static void test_draws_by_hand(void **state) {
    (void)state;
    struct draws draws;
    struct diagnostics list = {0};
    put("\xef\xbb\xbfweight, trim.port ,downstream.pressure,sense.passage,inflow.rate\n"
        "0.25,\"2 1/2 in\",20 psig,ideal,0.2 MMscf/d\r\n"
        "\n"
        "0.75,60 mm,30 psia,orifice,\"200 Mscf/d\"");
    const bool fine = draws_read(path, scenario, &draws, &list);
    diagnostics_print(&list, stderr);
    assert_true(fine);
    assert_int_equal(draws.count, 2);
    assert_close(draws_effective(&draws), 1.0 / (0.0625 + 0.5625), 1e-12, 0.0);
    struct scenario *copy = scenario_copy(scenario);
    assert_true(draws_apply(&draws, 0, copy, &list));
    assert_close(scenario_get_si(copy, 1, "trim.port"), 2.5 * 0.0254, 1e-12, 0.0);
    struct scenario_case resolved = fixture_resolve(copy, 0);
    assert_int_equal(resolved.model.sense.passage, SENSE_IDEAL);
    scenario_case_free(&resolved);
    // A gauge pressure is counted from the site's atmosphere, below that of the sea.
    assert_close(scenario_get_si(copy, 0, "downstream.pressure") / 6894.757293168361, 33.9, 0.0,
                 0.2);
    scenario_free(copy);
    copy = scenario_copy(scenario);
    assert_true(draws_apply(&draws, 1, copy, &list));
    assert_close(scenario_get_si(copy, 0, "trim.port"), 0.06, 1e-12, 0.0);
    scenario_free(copy);
    // Another scenario has no such field.
    struct scenario *direct = fixture_load(direct_scenario);
    struct draws other;
    assert_false(draws_read(path, direct, &other, &list));
    draws_free(&other);
    scenario_free(direct);
    diagnostics_free(&list);
    draws_free(&draws);
}

static void test_draws_mistakes(void **state) {
    (void)state;
    assert_string_equal(errors_of(""),
                        "1:1: no file of draws; allowed a header of `weight` and names of "
                        "fields\n");
    assert_string_equal(errors_of("vessel.volume\n3 ft3\n"),
                        "1:1: no file of draws; allowed a header of `weight` and names of "
                        "fields\n");
    assert_string_equal(errors_of("weight,vessel.volume\n"),
                        "0:0: has no rows; allowed one a draw\n");
    assert_string_equal(errors_of("weight,vessel.volum\n1,3 ft3\n"),
                        "1:8: no field 'vessel.volum'; did you mean vessel.volume?\n");
    assert_string_equal(errors_of("weight,vessel.volume,vessel.volume\n1,3 ft3,3 ft3\n"),
                        "1:22: vessel.volume: stands in two columns\n");
    assert_string_equal(errors_of("weight,inlet.pressure\n1,3 psig\n"),
                        "1:8: inlet.pressure: this scenario's regulator has none\n");
    assert_string_equal(errors_of("weight,vessel.volume\n1,3 ft3,2\n"),
                        "2:1: found 3 cells; allowed as many as the header has, 2\n");
    assert_string_equal(errors_of("weight,vessel.volume\n0.4,3 ft3\n0.5,4 ft3\n"),
                        "0:0: weight: sums to 0.9 over all rows; allowed 1\n");
    // A draw that cannot be, under a heading that names no field.
    assert_string_equal(errors_of("weight,vessel.volum,trim.port\n1,3 ft3,219 in\n"),
                        "1:8: no field 'vessel.volum'; did you mean vessel.volume?\n"
                        "2:9: trim.port: found '219 in'; allowed 0.1 mm to 2 m\n");
    // All of a file in one pass.
    const char *said = errors_of("weight,vessel.volume,pilot.exhaust,trim.port\n"
                                 "-0.5,3 ft3,bleed,2 in\n"
                                 "much,3 psi,bleed,2 in\n"
                                 "0.5,3 ft3,bled,2 in\n"
                                 "0.5,3 ft3,bleed,-2 in\n");
    assert_non_null(strstr(said, "2:1: weight: found '-0.5'; allowed 0 or more\n"));
    assert_non_null(strstr(said, "3:1: weight: found 'much'; allowed 0 or more\n"));
    assert_non_null(strstr(said, "3:6: vessel.volume: "));
    assert_non_null(strstr(said, "4:11: pilot.exhaust"));
    assert_non_null(strstr(said, "did you mean bleed?"));
    assert_non_null(strstr(said, "5:17: trim.port: found '-2 in'"));
}

static void test_draws_missing_file(void **state) {
    (void)state;
    struct draws draws;
    struct diagnostics list = {0};
    assert_false(draws_read("/no/such/file", scenario, &draws, &list));
    assert_int_equal(list.errors, 1);
    diagnostics_free(&list);
    draws_free(&draws);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_draws_same_bits),    cmocka_unit_test(test_draws_worth),
        cmocka_unit_test(test_draws_by_hand),      cmocka_unit_test(test_draws_mistakes),
        cmocka_unit_test(test_draws_missing_file),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
