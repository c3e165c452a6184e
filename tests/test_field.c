// SPDX-License-Identifier: MIT
// The field table describes itself truly, the reference prints all of it, and the starter scenario
// is one that the reader accepts.
#include "support.h"

#include "base/nearest.h"
#include "field/reference.h"
#include "hardware/starter.h"
#include "scenario/scenario.h"

#include <stdlib.h>

static const struct unit_context site = {
    .atmosphere = 101325.0,
    .base_pressure = 101325.0,
    .base_temperature = 288.15,
    .molar_mass = 0.0188,
    .density = 1000.0,
};

static double value_of(const struct field *field, const char *text) {
    struct quantity quantity;
    char message[UNIT_MESSAGE_SIZE];
    double si = (double)NAN;
    const char *error = units_parse(text, field->kind, &quantity, message);
    if (error) {
        print_error("%s.%s '%s': %s\n", field->section, field->name, text, error);
    }
    assert_null(error);
    assert_null(units_to_si(&site, &quantity, &si));
    return si;
}

static void field_rows_are_whole(void **state) {
    (void)state;
    for (size_t i = 0; i < field_count(); ++i) {
        const struct field *field = field_at(i);
        assert_true(field->name[0] != '\0' && field->help[0] != '\0');
        assert_int_equal(field_index(field->section, field->name), i); // names are unique
        assert_true(field->offset < sizeof(struct scenario_values));
        assert_int_equal(field->type == FIELD_CHOICE, field->words != NULL);
        assert_false(field->required && field->preset);
        const bool numeric = field->type == FIELD_NUMBER || field->type == FIELD_SCHEDULE ||
                             field->type == FIELD_INTEGER;
        if (!numeric) {
            continue;
        }
        const double low = field->low ? value_of(field, field->low) : -HUGE_VAL;
        const double high = field->high ? value_of(field, field->high) : HUGE_VAL;
        assert_true(low < high);
        if (field->preset && !field_preset_is_rule(field)) {
            const double preset = value_of(field, field->preset);
            assert_true(low <= preset && preset <= high);
        }
    }
}

// The words of a choice stand in the order of the enum they are stored in.
static void field_words_follow_their_enums(void **state) {
    (void)state;
    static const struct {
        const char *path;
        int index;
        const char *word;
    } words[] = {
        {"duty", DUTY_REDUCING, "reducing"},
        {"actuation", ACTUATION_DIRECT, "direct"},
        {"fluid.phase", FLUID_LIQUID, "liquid"},
        {"demand.law", DEMAND_ORIFICE, "orifice"},
        {"trim.characteristic", TRIM_CURTAIN, "curtain"},
        {"trim.characteristic", TRIM_LINEAR, "linear"},
        {"trim.characteristic", TRIM_EQUAL_PERCENTAGE, "equal-percentage"},
        {"trim.characteristic", TRIM_QUICK_OPENING, "quick-opening"},
        {"trim.characteristic", TRIM_TABLE, "table"},
        {"trim.characteristic", TRIM_SLOT, "slot"},
        {"trim.flow_law", TRIM_FLOW_NOZZLE, "nozzle"},
        {"trim.direction", TRIM_FLOW_TO_OPEN, "flow-to-open"},
        {"trim.force", TRIM_FORCE_FULL_AREA, "full-area"},
        {"trim.force", TRIM_FORCE_BALANCED, "balanced"},
        {"trim.force", TRIM_FORCE_TABLE, "table"},
        {"actuator.stem", STEM_WEIGHT_CLOSES, "weight-closes"},
        {"actuator.stem", STEM_WEIGHT_OPENS, "weight-opens"},
        {"actuator.case", REFERENCE_DOWNSTREAM, "downstream"},
        {"seat.law", CONTACT_COMPLIANT, "compliant"},
        {"stop.law", CONTACT_RIGID, "rigid"},
        {"pilot.exhaust", EXHAUST_THREE_WAY, "three-way"},
        {"pilot.supply", SUPPLY_STATED, "stated"},
        {"pilot.exhaust_to", REFERENCE_DOWNSTREAM, "downstream"},
        {"sense.passage", SENSE_ORIFICE, "orifice"},
        {"sense.passage", SENSE_LAMINAR, "laminar"},
        {"start.from", START_SHUT, "shut"},
        {"run.method", RUN_ADAMS, "adams"},
        {"output.units", UNITS_METRIC, "metric"},
        {"output.units", UNITS_SI, "si"},
        {"envelope.pressure_of", ENVELOPE_LINE, "line"},
        {"envelope.pressure_of", ENVELOPE_SET, "set"},
        {"decline.kind", DECLINE_BEST, "best"},
        {"decline.kind", DECLINE_EXPONENTIAL, "exponential"},
        {"decline.kind", DECLINE_HYPERBOLIC, "hyperbolic"},
        {"decline.kind", DECLINE_HARMONIC, "harmonic"},
        {"decline.basis", DECLINE_EFFECTIVE, "effective"},
        {"decline.basis", DECLINE_NOMINAL, "nominal"},
        {"decline.residual", DECLINE_LOG_RATE, "log-rate"},
        {"decline.residual", DECLINE_OF_RATE, "rate"},
    };
    for (size_t i = 0; i < sizeof words / sizeof words[0]; ++i) {
        const struct field *field = field_at(field_index_of(words[i].path));
        assert_non_null(field);
        assert_string_equal(field->words[words[i].index], words[i].word);
    }
}

static void nearest_finds_the_word_meant(void **state) {
    (void)state;
    assert_int_equal(nearest_distance("spring", "spring"), 0);
    assert_int_equal(nearest_distance("spring", "sprnig"), 2);
    assert_int_equal(nearest_distance("", "abc"), 6);
    assert_int_equal(nearest_distance("Mcf", "mcf"), 1);
    struct nearest search = nearest_start("dampign");
    nearest_offer(&search, "spring_rate");
    nearest_offer(&search, "damping");
    assert_string_equal(search.best, "damping");
    search = nearest_start("xyzzy");
    nearest_offer(&search, "damping");
    assert_null(search.best);
}

static char *printed(enum reference_format format) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    assert_int_equal(reference_print(out, format, NULL), 0);
    assert_int_equal(fclose(out), 0);
    return text;
}

static void reference_lists_every_field(void **state) {
    (void)state;
    for (int format = REFERENCE_TEXT; format <= REFERENCE_MARKDOWN; ++format) {
        char *text = printed((enum reference_format)format);
        for (size_t i = 0; i < field_count(); ++i) {
            const struct field *field = field_at(i);
            char name[80];
            snprintf(name, sizeof name, "%s%s%s", field->section, field->section[0] ? "." : "",
                     field->name);
            assert_non_null(strstr(text, name));
            assert_non_null(strstr(text, field->help));
        }
        free(text);
    }
    assert_int_equal(reference_print(stdout, REFERENCE_TEXT, "no such section"), -1);
}

// NOLINTNEXTLINE(readability-function-size): a table of rows
static void starter_is_accepted_by_the_reader(void **state) {
    (void)state;
    static const struct starter_inputs inputs[] = {
        {.body = "3 in",
         .port = {"1 3/4 in"},
         .port_count = 1,
         .set_pressure = "50 psig",
         .flow = "0.15 MMscf/d",
         .vessel = "8 ft3",
         .other_pressure = "15 psig"},
        {.body = "3 in",
         .port = {"2 in", "1 1/2 in", "1 in"},
         .port_count = 3,
         .set_pressure = "50 psig",
         .flow = "0.15 MMscf/d",
         .vessel = "8 cu ft",
         .altitude = "5500 ft",
         .limit = "125 psig",
         .lowest = "20 Mscf/d",
         .peak = "1 MMscf/d"},
        {.actuation = ACTUATION_DIRECT,
         .body = "1 in",
         .set_pressure = "20 psig",
         .flow = "10 Mscf/d",
         .vessel = "2 ft3"},
        {.duty = DUTY_REDUCING,
         .body = "150 mm",
         .port = {"80 mm"},
         .port_count = 1,
         .set_pressure = "4 bar(g)",
         .flow = "2000 Nm3/h",
         .vessel = "1 m3",
         .other_pressure = "20 barg",
         .altitude = "-100 m",
         .lowest = "2000 Nm3/h",
         .peak = "2 t/h"},
        {.duty = DUTY_REDUCING,
         .actuation = ACTUATION_DIRECT,
         .body = "2 in",
         .set_pressure = "450 kPa(g)",
         .flow = "120 Sm3/h",
         .vessel = "100 L"},
        {.body = "6 in",
         .set_pressure = "12 psia",
         .flow = "90 Mscf/d",
         .vessel = "40 ft3",
         .other_pressure = "9 psia"},
    };
    for (size_t i = 0; i < sizeof inputs / sizeof inputs[0]; ++i) {
        char *text = NULL;
        size_t size = 0;
        FILE *out = open_memstream(&text, &size);
        assert_non_null(out);
        struct diagnostics list = {0};
        assert_true(starter_write(out, &inputs[i], &list));
        assert_int_equal(fclose(out), 0);
        struct scenario *scenario = scenario_load_text("starter.yaml", text, size, &list);
        assert_non_null(scenario);
        scenario_check(scenario, &list);
        diagnostics_print(&list, stderr);
        assert_int_equal(list.errors, 0);
        assert_int_equal(scenario_trim_count(scenario), inputs[i].port_count + 1);
        assert_true(isfinite(scenario_get_si(scenario, 0, "envelope.peak")) ==
                    (inputs[i].peak != NULL));
        struct scenario_entry entry;
        assert_true(scenario_provenance(scenario, 0, field_index_of("trim.port"), &entry));
        assert_int_equal(entry.provenance, PROVENANCE_GUESS);
        scenario_free(scenario);
        diagnostics_free(&list);
        free(text);
    }
}

// NOLINTNEXTLINE(readability-function-size): a table of rows
static void starter_refuses_what_it_cannot_use(void **state) {
    (void)state;
    enum { BAD = 16 };
    struct starter_inputs bad[BAD];
    for (size_t i = 0; i < BAD; ++i) {
        bad[i] = (struct starter_inputs){.body = "3 in",
                                         .set_pressure = "50 psig",
                                         .flow = "0.15 MMscf/d",
                                         .vessel = "8 ft3",
                                         .other_pressure = "15 psig",
                                         .lowest = "20 Mscf/d",
                                         .peak = "1 MMscf/d",
                                         .port_count = 1,
                                         .port = {"1 in"}};
    }
    bad[0].body = "3";
    bad[1].set_pressure = "50 psi";
    bad[2].flow = "25 gpm";
    bad[3].vessel = NULL;
    bad[4].other_pressure = "60 psig";
    bad[5].port[0] = "1 in\nduty: x";
    bad[6].altitude = "5,500 ft";
    bad[7].altitude = "12 km";
    bad[8].limit = "50 psig";
    bad[9].limit = "125";
    bad[10].lowest = NULL;
    bad[11].peak = NULL;
    bad[12].lowest = "160 Mscf/d";
    bad[13].peak = "140 Mscf/d";
    bad[14].lowest = bad[14].peak = "150 Mscf/d";
    bad[15].port[1] = "3 in";
    bad[15].port_count = 2;
    static const char *const words[BAD] = {"body",
                                           "psig or psia?",
                                           "allowed a gas flow",
                                           "vessel: is missing",
                                           "below the set pressure, '50 psig'",
                                           "port",
                                           "write 5500, or 5.5",
                                           "altitude: found '12 km'; allowed -500 m to 11000 m",
                                           "limit: found '50 psig'; must be above the set pressure",
                                           "limit: found '125'; a pressure",
                                           "lowest: is missing",
                                           "peak: is missing",
                                           "lowest: found '160 Mscf/d'; must not be above the flow",
                                           "peak: found '140 Mscf/d'; must not be below the flow",
                                           "peak: found '150 Mscf/d'; must be above the lowest",
                                           "port: found '3 in'; must be less than the full port"};
    for (size_t i = 0; i < BAD; ++i) {
        char *text = NULL;
        size_t size = 0;
        FILE *out = open_memstream(&text, &size);
        struct diagnostics list = {0};
        assert_false(starter_write(out, &bad[i], &list));
        fclose(out);
        assert_int_equal(size, 0);
        assert_int_equal(list.errors, 1);
        if (!strstr(list.items[0].message, words[i])) {
            print_error("row %zu: %s\n", i, list.items[0].message);
        }
        assert_non_null(strstr(list.items[0].message, words[i]));
        diagnostics_free(&list);
        free(text);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(field_rows_are_whole),
        cmocka_unit_test(field_words_follow_their_enums),
        cmocka_unit_test(nearest_finds_the_word_meant),
        cmocka_unit_test(reference_lists_every_field),
        cmocka_unit_test(starter_is_accepted_by_the_reader),
        cmocka_unit_test(starter_refuses_what_it_cannot_use),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
