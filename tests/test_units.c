// SPDX-License-Identifier: MIT
// Units: every spelling people use, the traps a library of units would bring, and the way back.
#include "support.h"

#include "units/units.h"

#define NOTHING ((double)NAN)

static const struct unit_context gas_site = {
    .atmosphere = 101325.0,
    .base_pressure = 14.696 * 6894.757293168361,
    .base_temperature = 288.70555555555556,
    .molar_mass = 0.0188,
    .density = NOTHING,
};

static const struct unit_context liquid_site = {
    .atmosphere = 101325.0,
    .base_pressure = 101325.0,
    .base_temperature = 288.15,
    .molar_mass = NOTHING,
    .density = 1000.0,
    .liquid = true,
};

struct good_row {
    const char *text;
    enum unit_kind kind;
    double si; // computed by hand from the definitions of yard, pound and standard gravity
};

static const struct good_row good_rows[] = {
    {"2 7/8 in", UNIT_LENGTH, 0.073025},
    {"2-7/8 in", UNIT_LENGTH, 0.073025},
    {"2 7/8\"", UNIT_LENGTH, 0.073025},
    {"1/2 in", UNIT_LENGTH, 0.0127},
    {"-1/2 in", UNIT_LENGTH, -0.0127},
    {"3in", UNIT_LENGTH, 0.0762},
    {" 3 in ", UNIT_LENGTH, 0.0762},
    {".5 mm", UNIT_LENGTH, 0.5e-3},
    {"1.5e+2 mm", UNIT_LENGTH, 0.15},
    {"20 \xc2\xb5m", UNIT_LENGTH, 20e-6},
    {"2 yd", UNIT_LENGTH, 1.8288},
    // All in capitals, as forms and gauges have them.
    {"3 PSI", UNIT_PRESSURE_DROP, 3.0 * 6894.757293168361},
    {"14.7 PSIA", UNIT_PRESSURE_LEVEL, 14.7 * 6894.757293168361},
    {"50 PSIG", UNIT_PRESSURE_LEVEL, 101325.0 + 50.0 * 6894.757293168361},
    {"3.75 in2", UNIT_AREA, 2.41935e-3},
    {"3.75 in^2", UNIT_AREA, 2.41935e-3},
    {"3.75 in\xc2\xb2", UNIT_AREA, 2.41935e-3},
    {"98 in3", UNIT_VOLUME, 98.0 * 1.6387064e-5},
    {"8 ft3", UNIT_VOLUME, 0.226534772736},
    {"8 cu ft", UNIT_VOLUME, 0.226534772736},
    {"8 cu. ft.", UNIT_VOLUME, 0.226534772736},
    {"8 cuft", UNIT_VOLUME, 0.226534772736},
    {"8 cf", UNIT_VOLUME, 0.226534772736},
    {"98 cu in", UNIT_VOLUME, 98.0 * 1.6387064e-5},
    {"1 gal", UNIT_VOLUME, 3.785411784e-3},
    {"1 bbl", UNIT_VOLUME, 0.158987294928},
    {"2 L", UNIT_VOLUME, 2e-3},
    {"6 lb", UNIT_MASS, 2.72155422},
    {"16 oz", UNIT_MASS, 0.45359237},
    {"10 ms", UNIT_TIME, 0.01},
    {"1 yr", UNIT_TIME, 31557600.0},
    {"80 degF", UNIT_TEMPERATURE, 299.81666666666666},
    {"80 \xc2\xb0"
     "F",
     UNIT_TEMPERATURE, 299.81666666666666},
    {"-40 degC", UNIT_TEMPERATURE, 233.15},
    {"540 degR", UNIT_TEMPERATURE, 300.0},
    {"50 psig", UNIT_PRESSURE_LEVEL, 446062.8646584180},
    {"50 psi(g)", UNIT_PRESSURE_LEVEL, 446062.8646584180},
    {"50 psia", UNIT_PRESSURE_LEVEL, 344737.8646584180},
    {"450 kPa(g)", UNIT_PRESSURE_LEVEL, 551325.0},
    {"450 kPa (g)", UNIT_PRESSURE_LEVEL, 551325.0},
    {"450 kPag", UNIT_PRESSURE_LEVEL, 551325.0},
    {"450 kPaa", UNIT_PRESSURE_LEVEL, 450000.0},
    {"2 barg", UNIT_PRESSURE_LEVEL, 301325.0},
    {"2 bar(a)", UNIT_PRESSURE_LEVEL, 200000.0},
    {"1 MPa(a)", UNIT_PRESSURE_LEVEL, 1e6},
    {"101325 Pa(a)", UNIT_PRESSURE_LEVEL, 101325.0},
    {"7 inH2O(g)", UNIT_PRESSURE_LEVEL, 101325.0 + 7.0 * 249.08891},
    {"12 inH2O", UNIT_PRESSURE_DROP, 2989.06692},
    {"5 psi", UNIT_PRESSURE_DROP, 34473.786465841805},
    // P: NIST SP 811 (2008), B.8: exact, or to the digits given there; torr is 101325/760 Pa.
    {"1 mmHg", UNIT_PRESSURE_DROP, 133.322387415},
    {"1 inHg", UNIT_PRESSURE_DROP, 3386.388640341},
    {"760 torr", UNIT_PRESSURE_DROP, 101325.0},
    {"1 yd", UNIT_LENGTH, 0.9144},
    {"1 mile", UNIT_LENGTH, 1609.344},
    {"1 slug", UNIT_MASS, 14.593902937206364},
    {"7000 grain", UNIT_MASS, 0.45359237},
    {"1 week", UNIT_TIME, 604800.0},
    {"1 P", UNIT_VISCOSITY, 0.1},
    {"1 BTU", UNIT_ENERGY, 1055.05585262},
    {"1 kWh", UNIT_ENERGY, 3.6e6},
    {"8 lbf", UNIT_FORCE, 35.585772924},
    {"1 kgf", UNIT_FORCE, 9.80665},
    {"1 dyn", UNIT_FORCE, 1e-5},
    {"800 lbf/in", UNIT_STIFFNESS, 140101.46832},
    {"5e7 N/m", UNIT_STIFFNESS, 5e7},
    {"0.05 lbf s/in", UNIT_DAMPING, 8.75634177},
    {"0.05 lbf*s/in", UNIT_DAMPING, 8.75634177},
    {"0.05 lbf-s / in", UNIT_DAMPING, 8.75634177},
    {"60 N\xc2\xb7s/m", UNIT_DAMPING, 60.0},
    {"1.1e-5 Pa s", UNIT_VISCOSITY, 1.1e-5},
    {"1.1e-5 Pa.s", UNIT_VISCOSITY, 1.1e-5},
    {"0.011 cP", UNIT_VISCOSITY, 1.1e-5},
    {"62.4 lb/ft3", UNIT_DENSITY, 999.5521055},
    {"18.8 g/mol", UNIT_MOLAR_MASS, 0.0188},
    {"10 in/s", UNIT_SPEED, 0.254},
    {"30 1/min", UNIT_FREQUENCY, 0.5},
    {"10 Cv", UNIT_COEFFICIENT, 10.0 / 36000.0 / 1.1560992},
    {"8.6 Kv", UNIT_COEFFICIENT, 8.6 / 36000.0},
    {"30 %", UNIT_FRACTION, 0.3},
    {"30%", UNIT_FRACTION, 0.3},
    {"0.3", UNIT_FRACTION, 0.3},
    {"1.27", UNIT_NONE, 1.27},
    {"0.6 1/2", UNIT_NONE, NOTHING},
    // E: 379.483 scf/lbmol at 60 degF, 14.696 psia; 1 lbmol is 453.59237 mol.
    {"379.483 scf/s", UNIT_FLOW, 453.59237 * 0.0188},
    {"0.15 MMscf/d", UNIT_FLOW, 150000.0 / 86400.0 / 379.483 * 453.59237 * 0.0188},
    {"0.15 MMscf/day", UNIT_FLOW, 150000.0 / 86400.0 / 379.483 * 453.59237 * 0.0188},
    {"150 MCFD", UNIT_FLOW, 150000.0 / 86400.0 / 379.483 * 453.59237 * 0.0188},
    {"150 MSCF/DAY", UNIT_FLOW, 150000.0 / 86400.0 / 379.483 * 453.59237 * 0.0188},
    {"0.15 MMSCFD", UNIT_FLOW, 150000.0 / 86400.0 / 379.483 * 453.59237 * 0.0188},
    {"150 Mcf/d", UNIT_FLOW, 150000.0 / 86400.0 / 379.483 * 453.59237 * 0.0188},
    {"6250 scfh", UNIT_FLOW, 150000.0 / 86400.0 / 379.483 * 453.59237 * 0.0188},
    {"120 Sm3/h", UNIT_FLOW, 120.0 / 3600.0 * 101325.0 / (8.31446261815324 * 288.15) * 0.0188},
    {"120 Nm3/h", UNIT_FLOW, 120.0 / 3600.0 * 101325.0 / (8.31446261815324 * 273.15) * 0.0188},
    {"35 kg/h", UNIT_FLOW, 35.0 / 3600.0},
    {"100 lb/h", UNIT_FLOW, 0.012599788},
    {"10 W/K", UNIT_CONDUCTANCE, 10.0},
    {"1 BTU/hr/degF", UNIT_CONDUCTANCE, 0.52752792631},
    {"1 ft lbf", UNIT_ENERGY, 1.3558179483314004},
    {"1 ft-lbf", UNIT_ENERGY, 1.3558179483314004},
};

static void units_read_what_people_write(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof good_rows / sizeof good_rows[0]; ++i) {
        const struct good_row *row = &good_rows[i];
        struct quantity quantity;
        char message[UNIT_MESSAGE_SIZE];
        double si = NOTHING;
        const char *error = units_parse(row->text, row->kind, &quantity, message);
        if (isnan(row->si)) {
            assert_non_null(error);
            continue;
        }
        if (error) {
            print_error("%s: %s\n", row->text, error);
        }
        assert_null(error);
        assert_null(units_to_si(&gas_site, &quantity, &si));
        if (!(fabs(si - row->si) <= 2e-6 * fabs(row->si))) {
            print_error("in %s\n", row->text);
        }
        // Molar volumes are known to six digits; everything else is exact.
        const bool exact = row->kind != UNIT_FLOW && row->kind != UNIT_DENSITY;
        assert_close(si, row->si, exact ? 1e-9 : 2e-6, 0.0);
    }
}

struct bad_row {
    const char *text;
    enum unit_kind kind;
    const char *words; // that the message must hold
};

static const struct bad_row bad_rows[] = {
    {"50 psi", UNIT_PRESSURE_LEVEL, "psig or psia? write 50 psig or 50 psia"},
    {"450 kPa", UNIT_PRESSURE_LEVEL, "kPa(g) or kPa(a)? write 450 kPa(g) or 450 kPa(a)"},
    {"2 bar", UNIT_PRESSURE_LEVEL, "barg or bara?"},
    {"7 inH2O", UNIT_PRESSURE_LEVEL, "inH2O(g) or inH2O(a)?"},
    {"50 psig", UNIT_PRESSURE_DROP, "neither gauge nor absolute"},
    {"50 psgi", UNIT_PRESSURE_LEVEL, "did you mean psig?"},
    {"3", UNIT_LENGTH, "a length needs a unit: in, ft"},
    {"0", UNIT_FORCE, "a force needs a unit"},
    {"3 F", UNIT_TEMPERATURE, "did you mean degF?"},
    {"3 C", UNIT_TEMPERATURE, "did you mean degC?"},
    {"3 gal", UNIT_MASS, "no such unit of mass"},
    {"3 oz", UNIT_VOLUME, "no such unit of volume"},
    {"3 farad", UNIT_TEMPERATURE, "no such unit"},
    {"8 lb", UNIT_FORCE, "did you mean lbf?"},
    {"800 lb/in", UNIT_STIFFNESS, "did you mean lbf/in?"},
    {"150 mcf/d", UNIT_FLOW, "did you mean Mcf/d?"},
    {"0.15 mmscfd", UNIT_FLOW, "no such unit of flow"},
    {"0.15 mMscfd", UNIT_FLOW, "no such unit of flow"},
    {"50 PSI", UNIT_PRESSURE_LEVEL, "psig or psia? write 50 psig or 50 psia"},
    {"50 PSIG", UNIT_PRESSURE_DROP, "neither gauge nor absolute"},
    {"5 MPA", UNIT_PRESSURE_DROP, "no such unit of pressure"},
    {"5 MM", UNIT_LENGTH, "no such unit of length"},
    {"3 meter", UNIT_LENGTH, "no such unit"},
    {"3 m m", UNIT_LENGTH, "no such unit"},
    {"3 in in", UNIT_LENGTH, "no such unit"},
    {"2 7/0 in", UNIT_LENGTH, "no such unit"},
    {"2 7/ in", UNIT_LENGTH, "no such unit"},
    {"1,000 lbf", UNIT_FORCE, "comma; write 1000, or 1.0 if you mean a decimal"},
    {"5,500 ft", UNIT_LENGTH, "comma; write 5500, or 5.5 if you mean a decimal"},
    {"-5,500 ft", UNIT_LENGTH, "write -5500, or -5.5 if"},
    {"1,5 in", UNIT_LENGTH, "comma; write 1.5"},
    {"0,500 in", UNIT_LENGTH, "comma; write 0.5"},
    {"1,500,000 N/m", UNIT_STIFFNESS, "comma; write 1500000"},
    {"5,500.5 ft", UNIT_LENGTH, "comma; write 5500.5"},
    {"5,,5 ft", UNIT_LENGTH, "no comma in it"},
    {"5, ft", UNIT_LENGTH, "no comma in it"},
    {"1,111,111,111,111,111,111 ft", UNIT_LENGTH, "no comma in it"},
    {"8 cu m", UNIT_VOLUME, "no such unit of volume"},
    {"1.5", UNIT_LENGTH, "needs a unit"},
    {"1.27 in", UNIT_NONE, "without a unit"},
    {"nan in", UNIT_LENGTH, "not a number"},
    {"inf in", UNIT_LENGTH, "not a number"},
    {"0x10 in", UNIT_LENGTH, "no such unit"},
    {"1e400 in", UNIT_LENGTH, "too large"},
    {"1e308 GPa", UNIT_PRESSURE_DROP, "too large"},
    {"in", UNIT_LENGTH, "not a number"},
    {"", UNIT_LENGTH, "not a number"},
    {"--3 in", UNIT_LENGTH, "not a number"},
    {"3 abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz", UNIT_LENGTH, "no such unit"},
    {"1111111111111111111111111111111111111111111111111111111111111111111 in", UNIT_LENGTH,
     "not a number"},
    {"3 kPa(g)", UNIT_PRESSURE_DROP, "neither gauge nor absolute"},
};

static void units_refuse_what_is_unclear(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof bad_rows / sizeof bad_rows[0]; ++i) {
        struct quantity quantity;
        char message[UNIT_MESSAGE_SIZE];
        const char *error = units_parse(bad_rows[i].text, bad_rows[i].kind, &quantity, message);
        if (!error || !strstr(error, bad_rows[i].words)) {
            print_error("'%s': %s\n", bad_rows[i].text, error ? error : "accepted");
        }
        assert_non_null(error);
        assert_non_null(strstr(error, bad_rows[i].words));
    }
}

// What a message suggests can be written.
static void units_suggest_what_they_read(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof bad_rows / sizeof bad_rows[0]; ++i) {
        struct quantity quantity;
        char message[UNIT_MESSAGE_SIZE];
        char again[UNIT_MESSAGE_SIZE];
        char text[64];
        const char *error = units_parse(bad_rows[i].text, bad_rows[i].kind, &quantity, message);
        const char *hint = error ? strstr(error, "did you mean ") : NULL;
        if (!hint) {
            continue;
        }
        hint += strlen("did you mean ");
        snprintf(text, sizeof text, "1 %.*s", (int)strcspn(hint, "?"), hint);
        assert_null(units_parse(text, bad_rows[i].kind, &quantity, again));
    }
    struct quantity quantity;
    char message[UNIT_MESSAGE_SIZE];
    // Of two units as near, the one in the list: "scf/h" and "scf/d" are one letter away.
    const char *error = units_parse("3 scf/x", UNIT_FLOW, &quantity, message);
    assert_non_null(error);
    assert_non_null(strstr(error, "did you mean scf/h?"));
}

static void units_flow_needs_its_stream(void **state) {
    (void)state;
    struct quantity quantity;
    char message[UNIT_MESSAGE_SIZE];
    double si;
    assert_null(units_parse("25 gpm", UNIT_FLOW, &quantity, message));
    assert_non_null(units_to_si(&gas_site, &quantity, &si));
    assert_null(units_to_si(&liquid_site, &quantity, &si));
    assert_close(si, 1.5772549, 1e-7, 0.0);
    assert_null(units_parse("420 L/min", UNIT_FLOW, &quantity, message));
    assert_null(units_to_si(&liquid_site, &quantity, &si));
    assert_close(si, 7.0, 1e-12, 0.0);
    assert_null(units_parse("150 bbl/d", UNIT_FLOW, &quantity, message));
    assert_null(units_to_si(&liquid_site, &quantity, &si));
    assert_close(si, 150.0 * 0.158987294928 / 86.4, 1e-12, 0.0);
    assert_null(units_parse("120 Sm3/h", UNIT_FLOW, &quantity, message));
    assert_non_null(units_to_si(&liquid_site, &quantity, &si));
}

// The base of a standard cubic foot is the scenario's own, exact.
static void units_base_conditions_count(void **state) {
    (void)state;
    static const double bases[][2] = {{14.65, 380.674}, {14.73, 378.607}, {15.025, 371.173}};
    for (size_t i = 0; i < sizeof bases / sizeof bases[0]; ++i) {
        struct unit_context site = gas_site;
        struct quantity quantity;
        char message[UNIT_MESSAGE_SIZE];
        double si;
        site.base_pressure = bases[i][0] * 6894.757293168361;
        assert_null(units_parse("1 scf/s", UNIT_FLOW, &quantity, message));
        assert_null(units_to_si(&site, &quantity, &si));
        assert_close(453.59237 * site.molar_mass / si, bases[i][1], 2e-6, 0.0);
    }
}

static void units_come_back(void **state) {
    (void)state;
    const struct unit *row;
    for (size_t i = 0; (row = units_row(i)) != NULL; ++i) {
        const struct unit_context *site = row->basis == BASIS_ACTUAL ? &liquid_site : &gas_site;
        char text[64];
        char message[UNIT_MESSAGE_SIZE];
        struct quantity quantity;
        double si;
        snprintf(text, sizeof text, "12.5 %s", row->token);
        assert_null(units_parse(text, row->kind, &quantity, message));
        assert_null(units_to_si(site, &quantity, &si));
        assert_close(units_from_si(site, row->kind, row->token, si), 12.5, 1e-9, 0.0);
    }
    assert_close(units_from_si(&gas_site, UNIT_LENGTH, "yd", 1.8288), 2.0, 1e-12, 0.0);
    assert_true(isnan(units_from_si(&gas_site, UNIT_LENGTH, "psig", 1.0)));
}

static void units_preferred_are_in_the_table(void **state) {
    (void)state;
    for (int kind = 0; kind < UNIT_KIND_COUNT; ++kind) {
        for (int system = UNITS_AS_WRITTEN; system <= UNITS_SI; ++system) {
            for (int liquid = 0; liquid <= 1; ++liquid) {
                const char *token =
                    units_preferred((enum unit_kind)kind, (enum unit_system)system, liquid == 1);
                assert_true(token[0] == '\0' || units_find((enum unit_kind)kind, token));
            }
        }
    }
}

// P, ISO 2533 table values, from memory; the last: 3 psi at 7,000 ft, common practice.
static void units_atmosphere_thins_with_height(void **state) {
    (void)state;
    assert_close(units_standard_atmosphere(0.0), 101325.0, 1e-12, 0.0);
    assert_close(units_standard_atmosphere(1000.0), 89874.6, 1e-5, 0.0);
    assert_close(units_standard_atmosphere(5000.0), 54019.9, 1e-4, 0.0);
    const double less = 101325.0 - units_standard_atmosphere(7000.0 * 0.3048);
    assert_close(less / 6894.757, 3.0, 0.15, 0.0);
}

// A flow is an amount a time: one amount, whatever the time it is told by, is one and the same.
static void units_of_flow_count_an_amount(void **state) {
    (void)state;
    static const struct {
        const char *token;
        const char *amount;
        double seconds;
    } known[] = {{"scfd", "scf", 86400.0}, {"MMscf/d", "MMscf", 86400.0}, {"scfm", "scf", 60.0},
                 {"gpm", "gal", 60.0},     {"bpd", "bbl", 86400.0},       {"mol/s", "mol", 1.0},
                 {"L/min", "L", 60.0},     {"e3m3/d", "e3m3", 86400.0}};
    char amount[UNIT_TOKEN_SIZE], other[UNIT_TOKEN_SIZE];
    for (size_t i = 0; i < sizeof known / sizeof known[0]; ++i) {
        assert_true(units_amount(known[i].token, amount) == known[i].seconds);
        assert_string_equal(amount, known[i].amount);
    }
    const struct unit *a, *b;
    for (size_t i = 0; (a = units_row(i)) != NULL; ++i) {
        for (size_t k = 0; a->kind == UNIT_FLOW && (b = units_row(k)) != NULL; ++k) {
            const double whole = a->factor * units_amount(a->token, amount);
            if (b->kind == UNIT_FLOW && a->basis == b->basis) {
                const double seconds = units_amount(b->token, other);
                assert_true(strcmp(amount, other) != 0 ||
                            fabs(b->factor * seconds - whole) < 1e-12 * whole);
            }
        }
    }
}

static void units_are_those_of_their_writer(void **state) {
    (void)state;
    assert_string_equal(units_read_as("MMscf/d"), "Mscf/d");
    assert_string_equal(units_read_as("MMcfd"), "Mcfd");
    assert_string_equal(units_read_as("MMscf/h"), "MMscf/h");
    assert_string_equal(units_read_as("scf/min"), "scf/min");
    assert_string_equal(units_drop_of("bar(g)")->token, "bar");
    assert_string_equal(units_drop_of("psia")->token, "psi");
    assert_null(units_drop_of(NULL));
    struct unit_context site = {.liquid = true};
    assert_string_equal(units_shown(&site, UNIT_FLOW, UNITS_US), "gpm");
    site.own[UNIT_FLOW] = "bbl/d";
    assert_string_equal(units_shown(&site, UNIT_FLOW, UNITS_US), "bbl/d");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(units_read_what_people_write),
        cmocka_unit_test(units_refuse_what_is_unclear),
        cmocka_unit_test(units_suggest_what_they_read),
        cmocka_unit_test(units_flow_needs_its_stream),
        cmocka_unit_test(units_base_conditions_count),
        cmocka_unit_test(units_come_back),
        cmocka_unit_test(units_preferred_are_in_the_table),
        cmocka_unit_test(units_of_flow_count_an_amount),
        cmocka_unit_test(units_are_those_of_their_writer),
        cmocka_unit_test(units_atmosphere_thins_with_height),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
