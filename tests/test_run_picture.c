// SPDX-License-Identifier: MIT
// Pictures of made-up runs: that they are drawn, whole, and that no text in them is ever run.
// No outside source: what is checked is this program's own promise.
#include "show/plot_script.h"
#include "study/run_picture.h"
#include "support.h"

#include <dirent.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

static const double PI = 3.14159265358979323846;

enum { SAMPLES = 1500, CONTACTS = 60 };

static char folder[] = "/tmp/lowlift-plot-test-XXXXXX";
static char path[512];

static struct {
    double time[SAMPLES], pressure[SAMPLES], travel[SAMPLES], chamber[SAMPLES], flow[SAMPLES];
    double contact[CONTACTS];
} run[2];

static struct run_curve series[2];

// An invented slamming run, growing from its start, and an invented steady one.
static void runs_fill(void) {
    for (size_t i = 0; i < SAMPLES; ++i) {
        double time = 0.02 * (double)i;
        double size = 1.0 / (1.0 + 200.0 * exp(-0.9 * time));
        double phase = 2.0 * PI * 1.7 * time;
        run[0].time[i] = run[1].time[i] = time;
        run[0].pressure[i] = 50.0 + 2.4 * size * sin(phase) + 0.4 * size * sin(2.0 * phase + 1.0);
        run[0].travel[i] = fmax(0.0, 0.16 + 0.26 * size * cos(phase));
        run[0].chamber[i] = 24.0 + 7.0 * size * cos(phase + 0.6);
        run[0].flow[i] = 0.9 * run[0].travel[i] * run[0].pressure[i] / 50.0;
        run[1].pressure[i] = 50.3 + 1.6 * exp(-0.5 * time) * sin(phase);
        run[1].travel[i] = 0.24 + 0.07 * exp(-0.5 * time) * cos(phase);
        run[1].chamber[i] = 27.0 + 3.0 * exp(-0.5 * time) * cos(phase + 0.6);
        run[1].flow[i] = 0.6 * run[1].travel[i];
    }
    for (size_t i = 0; i < CONTACTS; ++i) {
        run[0].contact[i] = 6.1 + (double)i / 1.7;
    }
    for (size_t k = 0; k < 2; ++k) {
        series[k] = (struct run_curve){
            .title = k == 0 ? "full port, 2.9 in: slamming" : "reduced port, 1.8 in: steady",
            .count = SAMPLES,
            .time = run[k].time,
            .pressure = run[k].pressure,
            .travel = run[k].travel,
            .chamber = run[k].chamber,
            .flow = run[k].flow,
            .contact_count = k == 0 ? 40 : 0,
            .contact = run[0].contact,
        };
    }
}

static struct run_page page_make(size_t count) {
    runs_fill();
    return (struct run_page){
        .title = "3 in regulator on a small separator (invented)",
        .set_pressure = 50.0,
        .close_from = 26.5,
        .count = count,
        .curve = series,
    };
}

// Every so many-th sample only, from begin to end, which is drawn sooner.
static void thin_out(size_t every) {
    for (size_t k = 0; k < 2; ++k) {
        series[k].count = SAMPLES / every;
        for (size_t i = 0; i < series[k].count; ++i) {
            run[k].time[i] = run[k].time[i * every];
            run[k].pressure[i] = run[k].pressure[i * every];
            run[k].travel[i] = run[k].travel[i * every];
            run[k].chamber[i] = run[k].chamber[i * every];
            run[k].flow[i] = run[k].flow[i * every];
        }
    }
}

static int setup(void **state) {
    (void)state;
    return mkdtemp(folder) != NULL ? 0 : -1;
}

static int teardown(void **state) {
    (void)state;
    return rmdir(folder); // fails when anything was left behind
}

static void path_set(const char *name) {
    snprintf(path, sizeof path, "%s/%s", folder, name);
}

// The picture of a page in US units, drawn to a file.
static bool draw_to(const struct run_page *page, const char *to, enum plot_format format,
                    char message[512]) {
    struct answer answer = {.title = "", .units = UNITS_US};
    snprintf(message, 512, "nothing to draw: a run has no record");
    const bool good = run_picture_add(&answer, page) &&
                      plot_script_draw(&answer.picture, to, format, message, 512);
    assert_false(answer.failed);
    answer_free(&answer);
    return good;
}

static void draw(const struct run_page *page, enum plot_format format) {
    char message[512] = "";
    if (!draw_to(page, path, format, message)) {
        fail_msg("%s", message);
    }
}

static size_t file_read(char *text, size_t size) {
    FILE *stream = fopen(path, "rb");
    assert_non_null(stream);
    size_t length = fread(text, 1, size - 1, stream);
    text[length] = '\0';
    fclose(stream);
    return length;
}

static char text[4000000];

static void test_svg(void **state) {
    (void)state;
    for (size_t count = 1; count <= 2; ++count) {
        struct run_page page = page_make(count);
        path_set("run.svg");
        draw(&page, PLOT_SVG);
        size_t length = file_read(text, sizeof text);
        assert_in_range(length, 20000, 2000000);
        assert_non_null(strstr(text, "controlled pressure [psig]"));
        assert_non_null(strstr(text, "chamber pressure [psig]"));
        assert_non_null(strstr(text, "seat contact"));
        assert_true(strstr(text, "full port, 2.9 in") != NULL || count == 1);
        if (count == 2) { // the same bytes again
            static char again[sizeof text];
            draw(&page, PLOT_SVG);
            memcpy(again, text, length);
            assert_int_equal(file_read(text, sizeof text), length);
            assert_memory_equal(text, again, length);
        }
        unlink(path);
    }
}

static void test_png(void **state) {
    (void)state;
    struct run_page page = page_make(2);
    path_set("run.png");
    draw(&page, PLOT_PNG);
    size_t length = file_read(text, sizeof text);
    assert_in_range(length, 20000, 1000000);
    assert_memory_equal(text, "\x89PNG\r\n\x1a\n", 8);
    // Width and height, big-endian, in the first chunk (P: ISO/IEC 15948, PNG).
    assert_memory_equal(text + 16, "\0\0\x04\x10\0\0\x03\x84", 8);
    unlink(path);
}

static void test_text(void **state) {
    (void)state;
    struct run_page page = page_make(2);
    path_set("run.txt");
    draw(&page, PLOT_TEXT);
    file_read(text, sizeof text);
    assert_non_null(strstr(text, "plug travel [in]"));
    assert_non_null(strstr(text, "reduced port"));
    unlink(path);
}

// A build without chamber, a run at rest, a single contact, many runs, no set pressure.
static void test_bare_pages(void **state) {
    (void)state;
    struct run_page page = page_make(2);
    thin_out(10);
    struct run_curve many[RUN_PICTURE_MAX];
    for (size_t i = 0; i < RUN_PICTURE_MAX; ++i) {
        many[i] = series[i % 2];
        many[i].chamber = NULL;
    }
    for (size_t i = 0; i < SAMPLES; ++i) {
        run[1].travel[i] = 0.0;
        run[1].flow[i] = 0.0;
        run[1].pressure[i] = 50.0;
    }
    page.curve = many;
    page.set_pressure = (double)NAN;
    path_set("run.svg");
    static const size_t counts[] = {1, 2, RUN_PICTURE_MAX};
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        page.count = counts[i];
        draw(&page, PLOT_SVG);
        file_read(text, sizeof text);
        assert_null(strstr(text, "chamber pressure"));
        assert_null(strstr(text, "set pressure"));
    }
    page.curve = &series[1];
    page.count = 1;
    draw(&page, PLOT_SVG);
    unlink(path);
}

static void test_texts_are_not_run(void **state) {
    (void)state;
    static const char *const attacks[] = {
        "`touch MARK`",
        "$(touch MARK)",
        "'; system('touch MARK'); '",
        "\"; system(\"touch MARK\"); \"",
        "\n!touch MARK\n",
        "\\\"`touch MARK`",
        "@ARG2 {/Symbol a} _b^c %s %n \\n",
        "|touch MARK",
        "\x1f\x1f`touch MARK`",
        "",
    };
    char mark[512];
    snprintf(mark, sizeof mark, "%s/MARK", folder);
    for (size_t i = 0; i < sizeof attacks / sizeof attacks[0]; ++i) {
        // The attack with the full path of the mark in it.
        char attack[1024] = "";
        const char *hole = strstr(attacks[i], "MARK");
        snprintf(attack, sizeof attack, "%.*s%s%s",
                 hole != NULL ? (int)(hole - attacks[i]) : (int)strlen(attacks[i]), attacks[i],
                 hole != NULL ? mark : "", hole != NULL ? hole + 4 : "");
        struct run_page page = page_make(2);
        thin_out(25); // the texts are what matters
        page.title = attack;
        series[0].title = attack;
        series[1].title = attack;
        path_set("run.svg");
        draw(&page, PLOT_SVG);
        draw(&page, PLOT_TEXT);
        assert_int_not_equal(access(mark, F_OK), 0);
        unlink(path);
    }
}

// A target that gnuplot would take for a command.
static void test_output_is_no_command(void **state) {
    (void)state;
    char before[1024];
    char message[512] = "";
    assert_non_null(getcwd(before, sizeof before));
    assert_int_equal(chdir(folder), 0);
    struct run_page page = page_make(1);
    thin_out(25);
    bool good = draw_to(&page, "|touch MARK.svg", PLOT_SVG, message);
    int found = access("MARK.svg", F_OK);
    unlink("|touch MARK.svg");
    unlink("MARK.svg");
    assert_int_equal(chdir(before), 0);
    assert_true(good);
    assert_int_not_equal(found, 0);
}

static void assert_fails(const struct run_page *page, const char *words) {
    char message[512] = "";
    assert_false(draw_to(page, path, PLOT_SVG, message));
    if (strstr(message, words) == NULL) {
        fail_msg("message without `%s`: %s", words, message);
    }
    assert_null(strchr(message, '\n'));
    assert_int_not_equal(access(path, F_OK), 0);
}

static void test_failures(void **state) {
    (void)state;
    struct run_page page = page_make(1);
    path_set("run.svg");
    char *search = strdup(getenv("PATH"));
    setenv("PATH", folder, 1);
    assert_fails(&page, "gnuplot is not installed");
    setenv("PATH", search, 1);
    free(search);

    setenv("LOWLIFT_PLOTS_DIR", folder, 1);
    assert_fails(&page, "LOWLIFT_PLOTS_DIR");
    char script[512];
    snprintf(script, sizeof script, "%s/run.gp", folder);
    FILE *stream = fopen(script, "w");
    assert_non_null(stream);
    fputs("set output ARG2\nplot no_such_thing\n", stream);
    fclose(stream);
    assert_fails(&page, "gnuplot failed: ");
    stream = fopen(script, "w");
    assert_non_null(stream);
    fputs("set print ARG2\nprint \"half a pict\"\n", stream);
    fclose(stream);
    assert_fails(&page, "only a part");
    unlink(script);
    unsetenv("LOWLIFT_PLOTS_DIR");

    series[0].count = 0;
    assert_fails(&page, "no record");
    page = page_make(1);
    snprintf(path, sizeof path, "%s/none/run.svg", folder);
    assert_fails(&page, "No such file");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_svg),
        cmocka_unit_test(test_png),
        cmocka_unit_test(test_text),
        cmocka_unit_test(test_bare_pages),
        cmocka_unit_test(test_texts_are_not_run),
        cmocka_unit_test(test_output_is_no_command),
        cmocka_unit_test(test_failures),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
