// SPDX-License-Identifier: MIT
// The core as a page calls it, linked natively without libfyaml, LAPACKE, jansson and whatever else
// the native program stands on. tests/wasm.sh runs the same module in node.
#include "support.h"

#include "page/page.h"

#include <stdbool.h>
#include <stdlib.h>

static const char *dump_path; // of tests/scenarios/decline.yaml

static char *read_dump(size_t *length) {
    FILE *file = fopen(dump_path, "rb");
    assert_non_null(file);
    char *text = calloc(1, 1 << 20);
    assert_non_null(text);
    *length = fread(text, 1, (1 << 20) - 1, file);
    assert_int_equal(fclose(file), 0);
    assert_true(*length > 0);
    return text;
}

static struct page *open_dump(void) {
    size_t length;
    char *text = read_dump(&length);
    struct page *page = page_open(text, length);
    free(text);
    assert_non_null(page);
    return page;
}

static void run(struct page *page, size_t trim, double slice) {
    assert_true(page_start(page, trim));
    for (double until = slice; page_advance(page, until); until += slice) {
    }
    assert_true(page_finish(page));
}

static void test_expect_rows_are_met(void **state) {
    (void)state;
    struct page *page = open_dump();
    assert_true(page_ready(page));
    assert_string_equal(page_messages(page), "");
    assert_int_equal(page_trims(page), 2);
    const char *rows = page_expect(page);
    assert_non_null(rows);
    assert_non_null(strstr(rows, "tests/scenarios/decline.yaml:"));
    assert_non_null(strstr(rows, ": met: full verdict = slamming"));
    assert_int_equal(page_missed(page), 0);
    page_close(page);
}

// The same bytes wherever the slices end.
static void test_slices(void **state) {
    (void)state;
    struct page *whole = open_dump(), *sliced = open_dump();
    run(whole, 0, (double)INFINITY);
    run(sliced, 0, 0.037);
    assert_string_equal(page_verdict(whole), "slamming");
    assert_string_equal(page_verdict(sliced), "slamming");
    assert_true(page_samples(whole) > 1000);
    assert_int_equal(page_samples(whole), page_samples(sliced));
    for (size_t c = 0; c < page_channels(); c++) {
        assert_memory_equal(page_channel(whole, c), page_channel(sliced, c),
                            page_samples(whole) * sizeof(double));
    }
    for (size_t i = 0; i < page_figures(); i++) {
        double a = page_figure(whole, i), b = page_figure(sliced, i);
        assert_true(a == b || (isnan(a) && isnan(b)));
    }
    page_close(whole);
    page_close(sliced);
}

static void assert_refused(struct page *page, const char *assignment, const char *message) {
    assert_false(page_set(page, assignment));
    if (!strstr(page_messages(page), message)) {
        print_error("%s: %s", assignment, page_messages(page));
    }
    assert_non_null(strstr(page_messages(page), message));
}

static void test_fields_are_the_products_own(void **state) {
    (void)state;
    struct page *page = open_dump();
    assert_refused(page, "inflow.rate=0.4", "a flow needs a unit: MMscf/d");
    assert_refused(page, "inflow.rat=3 kg/h", "no field 'inflow.rat'; did you mean inflow.rate?");
    assert_refused(page, "set.pressure=50 psi", "psig or psia? write 50 psig or 50 psia");
    assert_refused(page, "set.pressure=[1, 2", "flow sequence without a closing bracket");
    assert_refused(page, "inflow.rate={record: here.csv}",
                   "cannot open 'tests/scenarios/here.csv'");
    assert_true(page_set(page, "trims.full.port=1 1/2 in"));
    run(page, 0, (double)INFINITY);
    assert_string_equal(page_verdict(page), "steady");
    assert_true(page_set(page, "trims.full.port=2 7/8 in")); // as it was
    run(page, 0, (double)INFINITY);
    assert_string_equal(page_verdict(page), "slamming");
    assert_refused(page, "trims.full.port=-3 in", "trim.port");
    page_close(page);
}

static double figure(struct page *page, const char *name) {
    for (size_t i = 0; i < page_figures(); i++) {
        if (strcmp(page_figure_name(i), name) == 0) {
            return page_figure(page, i);
        }
    }
    fail_msg("no figure %s", name);
    return 0.0;
}

static double last(const struct page *page, const char *name) {
    for (size_t c = 0; c < page_channels(); c++) {
        if (strcmp(page_channel_name(c), name) == 0) {
            return page_channel(page, c)[page_samples(page) - 1];
        }
    }
    fail_msg("no channel %s", name);
    return 0.0;
}

// Going on from where a run ended, first with nothing changed, then with more flow: the plug opens,
// and the screw stays, so that the pressure rises by the trim's droop instead of being set anew.
static void test_going_on(void **state) {
    (void)state;
    struct page *page = open_dump();
    run(page, 1, (double)INFINITY);
    assert_string_equal(page_verdict(page), "steady");
    double travel = last(page, "plug travel"), pressure = last(page, "controlled pressure");
    assert_true(page_go_on(page));
    page_advance(page, 1.0);
    assert_close(last(page, "plug travel"), travel, 1e-3, 0.0);
    assert_close(last(page, "controlled pressure"), pressure, 1e-4, 0.0);
    assert_true(page_set(page, "inflow.rate=0.6 MMscf/d"));
    assert_true(page_go_on(page));
    page_advance(page, 20.0);
    assert_true(last(page, "plug travel") > 2.0 * travel);
    assert_true(page_finish(page));
    assert_true(figure(page, "pressure_offset") > 5e3);
    page_close(page);
}

// A kick raises the pressure by what was asked and moves nothing else.
static void test_kick(void **state) {
    (void)state;
    struct page *page = open_dump();
    assert_true(page_set(page, "start.kick_pressure=0 psi"));
    run(page, 1, (double)INFINITY);
    double pressure = last(page, "controlled pressure"), travel = last(page, "plug travel");
    const double drop = 2.0 * 6894.757;
    page_kick(page, drop);
    assert_true(page_go_on(page));
    page_advance(page, 1e-6);
    const double *record = page_channel(page, 0);
    assert_close(record[0], pressure + drop, 1e-6, 0.0);
    assert_close(page_channel(page, 1)[0], travel, 1e-9, 0.0);
    assert_true(page_finish(page));
    assert_true(page_go_on(page)); // and it is used up
    page_advance(page, 1e-6);
    assert_true(page_channel(page, 0)[0] < pressure + 1.01 * drop);
    page_close(page);
}

// Contacts in order, each with a blow.
static void test_contacts(void **state) {
    (void)state;
    struct page *page = open_dump();
    run(page, 0, (double)INFINITY);
    assert_true(page_contacts(page) > 5);
    for (size_t i = 0; i < page_contacts(page); i++) {
        assert_true(i == 0 || page_contact_time(page, i) > page_contact_time(page, i - 1));
        assert_true(page_contact_speed(page, i) > 0.0 && page_contact_force(page, i) > 0.0);
    }
    assert_true(isnan(page_contact_time(page, page_contacts(page))));
    page_close(page);
}

static size_t field_of(struct page *page, const char *path) {
    size_t i = 0;
    while (i < page_fields() && strcmp(page_field_path(page, i), path) != 0) {
        i++;
    }
    return i;
}

static void test_fields(void **state) {
    (void)state;
    struct page *page = open_dump();
    size_t friction = field_of(page, "friction.kinetic"), port = field_of(page, "trim.port");
    assert_string_equal(page_field_text(page, 0, friction), "5 lbf");
    assert_int_equal(page_field_source(page, 0, friction), 3);
    assert_true(page_field_applies(page, 0, friction));
    assert_false(page_field_applies(page, 0, field_of(page, "demand.rate")));
    assert_close(page_field_si(page, 0, port), 2.9 * 0.0254, 1e-12, 0.0);
    assert_close(page_field_si(page, 1, port), 1.5 * 0.0254, 1e-12, 0.0);
    assert_string_equal(page_field_words(page, field_of(page, "duty")), "back-pressure reducing");
    assert_true(page_set(page, "trims.reduced.port=2 in"));
    assert_close(page_field_si(page, 1, port), 2.0 * 0.0254, 1e-12, 0.0);
    assert_string_equal(page_field_path(page, page_fields()), "");
    assert_string_equal(page_field_help(page_fields()), "");
    assert_string_equal(page_field_text(page, 7, port), "");
    assert_true(isnan(page_field_si(page, 0, page_fields())));
    run(page, 0, 1.0);
    assert_string_equal(page_channel_unit(page, 0), "psig");
    assert_close(page_channel_shown(page, 0, 101325.0 + 6894.757), 1.0, 2e-4, 0.0);
    page_close(page);
}

// What is asked before a run, of a run, and of what is not there.
static void test_asked_at_any_time(void **state) {
    (void)state;
    void *room = page_room(8);
    assert_non_null(room);
    page_room_free(room);
    page_close(NULL);
    struct page *page = open_dump();
    assert_string_equal(page_trim_name(page, 1), "reduced");
    assert_string_equal(page_trim_name(page, 2), "");
    assert_false(page_start(page, 2));
    assert_false(page_go_on(page));
    assert_string_equal(page_verdict(page), "");
    assert_string_equal(page_figure_text(page, 0), "-");
    assert_true(isnan(page_figure(page, 0)));
    assert_string_equal(page_channel_unit(page, 0), "");
    assert_close(page_channel_shown(page, 0, 3.0), 3.0, 0.0, 0.0);

    assert_true(page_start(page, 1));
    assert_true(page_advance(page, 2.0));
    assert_true(page_time(page) >= 2.0 && page_time(page) < 3.0);
    assert_string_equal(page_verdict(page), ""); // it still runs
    while (page_advance(page, (double)INFINITY)) {
    }
    assert_true(page_finish(page));
    assert_true(page_time(page) >= (double)(page_samples(page) - 1) * page_sample_interval(page));
    assert_string_equal(page_verdict(page), "steady");
    assert_true(page_reason(page)[0] != '\0');
    for (size_t i = 0; i < page_figures(); i++) {
        assert_true((strcmp(page_figure_text(page, i), "-") == 0) == isnan(page_figure(page, i)));
    }
    assert_true(page_channel_unit(page, 0)[0] != '\0');

    const size_t contact = page_contacts(page), channel = page_channels();
    assert_true(isnan(page_contact_time(page, contact)));
    assert_true(isnan(page_contact_speed(page, contact)));
    assert_true(isnan(page_contact_force(page, contact)));
    assert_null(page_channel(page, channel));
    assert_string_equal(page_channel_name(channel), "");
    assert_string_equal(page_channel_unit(page, channel), "");
    assert_string_equal(page_figure_name(page_figures()), "");
    assert_true(isnan(page_figure(page, page_figures())));
    assert_string_equal(page_figure_text(page, page_figures()), "-");
    assert_string_equal(page_field_help(page_fields()), "");
    assert_string_equal(page_field_words(page, page_fields()), "");
    assert_string_equal(page_field_text(page, 2, 0), "");
    page_close(page);
}

static void starter_says(const char *inputs, const char *text, const char *messages) {
    struct page_starter *starter = page_starter_open(inputs, strlen(inputs));
    assert_non_null(starter);
    if (!strstr(page_starter_text(starter), text) ||
        !strstr(page_starter_messages(starter), messages)) {
        fail_msg("starter: '%s' / '%s'", page_starter_text(starter),
                 page_starter_messages(starter));
    }
    assert_true((page_starter_text(starter)[0] == '\0') == (messages[0] != '\0'));
    page_starter_close(starter);
}

static void test_starter(void **state) {
    (void)state;
    starter_says("", "", "body is missing");
    starter_says("body\t3 in\n", "", "set-pressure is missing");
    starter_says("body\t3 in\nset-pressure\t50 psig", "", "flow is missing");
    starter_says(
        "a line without a value\nbody\t2 in\nset-pressure\t50 psig\nflow\t0.15 MMscf/d\n"
        "vessel\t24 in x 10 ft\nduty\treducing\nactuation\tdirect\norientation\thorizontal\n",
        "duty: reducing", "");
    starter_says("body\t3 in\nset-pressure\t50 psig\nflow\t0.15 MMscf/d\nvessel\t8 ft3\n"
                 "duty\tback-pressure\npilot\tthree-way\nreduced-port\t1 1/2 in\n",
                 "three-way", "");
    starter_says("body\t3 in\nset-pressure\t50 psig\nflow\t0.15 MMscf/d\n", "",
                 "vessel is missing");
    starter_says("body\t3 in\nset-pressure\t50 psi\nflow\t0.15 MMscf/d\nvessel\t8 ft3\n", "",
                 "psig or psia");
    starter_says("body\t3 in\nset-pressure\t50 psig\nflow\t0.15 MMscf/d\nvessel\t8 ft3\n"
                 "reduced-port\t1 1/2 in\nreduced-port\t1 in\nactuation\tdirect\nnonsense\tx\ny\n",
                 "reduced-2: {port: 1 in}", "");
}

// Whatever is cut off or changed in a dump, it is read or refused, with a reason.
static void test_damaged_dumps(void **state) {
    (void)state;
    size_t length;
    char *text = read_dump(&length);
    struct page *page = page_open("", 0);
    assert_false(page_ready(page));
    assert_non_null(strstr(page_messages(page), "not a dump of a scenario"));
    assert_false(page_set(page, "set.pressure=50 psig"));
    assert_false(page_start(page, 0));
    assert_false(page_go_on(page));
    assert_int_equal(page_trims(page), 0);
    page_close(page);
    for (size_t cut = 0; cut < length; cut += 97) {
        page = page_open(text, cut);
        assert_false(page_ready(page));
        assert_true(page_messages(page)[0] != '\0');
        page_close(page);
    }
    unsigned seed = 1;
    for (int round = 0; round < 500; round++) {
        seed = (unsigned)((unsigned long long)seed * 48271u % 2147483647u);
        size_t at = seed % (length + 1);
        char kept = text[at];
        text[at] = "\t\n\\x0eqm"[seed / 7 % 8];
        page = page_open(text, length);
        assert_true(page_ready(page) || page_messages(page)[0] != '\0');
        page_close(page);
        text[at] = kept;
    }
    free(text);
}

int main(int argc, char **argv) {
    if (argc != 2) {
        fprintf(stderr, "usage: %s DUMP\n", argv[0]);
        return 2;
    }
    dump_path = argv[1];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_expect_rows_are_met),
        cmocka_unit_test(test_slices),
        cmocka_unit_test(test_fields_are_the_products_own),
        cmocka_unit_test(test_going_on),
        cmocka_unit_test(test_kick),
        cmocka_unit_test(test_contacts),
        cmocka_unit_test(test_fields),
        cmocka_unit_test(test_asked_at_any_time),
        cmocka_unit_test(test_starter),
        cmocka_unit_test(test_damaged_dumps),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
