// SPDX-License-Identifier: MIT
// Texts that others wrote, for each place they go to. Sources: RFC 3629 (UTF-8), RFC 4180 (CSV),
// XML 1.0 (5th edition) production 2 (letters allowed), Unicode 15 (what is a control, a format or
// no character); what a spreadsheet takes for a formula: common practice, no source.
#include "support.h"

#include "base/clean.h"

#include <stdlib.h>

enum { PLACES = CLEAN_JSON + 1, ROOM = 256 };

static const char *cleaned(enum clean_place place, const char *text) {
    static char out[ROOM];
    char *written = NULL;
    size_t length = 0;
    const size_t used = clean_text(place, text, out, sizeof out);
    assert_int_equal(used, strlen(out));
    FILE *stream = open_memstream(&written, &length);
    assert_non_null(stream);
    clean_put(stream, place, text);
    assert_int_equal(fclose(stream), 0);
    assert_string_equal(written, out); // both ways are one
    free(written);
    return out;
}

static void test_terminal(void **state) {
    (void)state;
    static const char *const rows[][2] = {
        {"plain \xc3\xa9 \xe2\x82\xac \xf0\x9f\x98\x80",
         "plain \xc3\xa9 \xe2\x82\xac \xf0\x9f\x98\x80"},
        {"\x1b[31mred\x1b]0;title\a", " [31mred ]0;title "},
        {"two\nlines\rand\ttabs\x7f", "two lines and tabs "},
        {"\xc2\x9b"
         "31m",
         " 31m"},                             // U+009B, one letter that begins a sequence
        {"a\xe2\x80\xae z", "a? z"},          // U+202E turns the direction
        {"\xe2\x81\xa6x\xe2\x81\xa9", "?x?"}, // U+2066, U+2069
        {"\xe2\x80\xa8", " "},                // U+2028, a line end
        {"\xef\xbb\xbf|\xe2\x80\x8b|\xc2\xad", "?|?|?"}, // U+FEFF, U+200B, U+00AD
        {"\xef\xbf\xbf\xef\xb7\x90", "??"},              // U+FFFF, U+FDD0
        {"\xf3\xa0\x81\xa1", "?"},                       // U+E0061, a tag
        {"\xe0\xa4\x95\xe2\x80\x8d",
         "\xe0\xa4\x95\xe2\x80\x8d"}, // a joiner, which shapes what is seen
        {"\xed\xa0\x80", "?"},        // half of a surrogate pair
        {"\xc0\xaf\xff\x80", "???"},  // overlong, no UTF-8
        {"cut\xe2\x82", "cut"},
        {"cut\xf0\x9f\x98", "cut"},
        {"not cut\xe2\x82 here", "not cut? here"},
        {"", ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_string_equal(cleaned(CLEAN_TERMINAL, rows[i][0]), rows[i][1]);
    }
}

static void test_other_places(void **state) {
    (void)state;
    assert_string_equal(cleaned(CLEAN_PICTURE, "a]]>b]]]>\xef\xbf\xbe"), "a]] >b]]] >?");
    assert_string_equal(cleaned(CLEAN_PICTURE, "]]\x01>"), "]] >");
    assert_string_equal(cleaned(CLEAN_MARKUP, "<b a='\"'>&\n"),
                        "&lt;b a=&#39;&quot;&#39;&gt;&amp; ");
    assert_string_equal(cleaned(CLEAN_LINES, "<\n\x1b"), "&lt;\n ");
    assert_string_equal(cleaned(CLEAN_JSON, "\x1b\n\xe2\x80\xae\xff"), "\x1b\n\xe2\x80\xae?");
    assert_string_equal(cleaned(CLEAN_CSV, "say \"a\"\n\x1b"), "say \"\"a\"\"\n ");
    static const char *const formulas[] = {"=1+1", "@SUM(A1)", "+cmd|x", "-cmd|x", "\t=1", "\r=1"};
    for (size_t i = 0; i < sizeof formulas / sizeof formulas[0]; i++) {
        assert_int_equal(cleaned(CLEAN_CSV, formulas[i])[0], '\'');
    }
    static const char *const numbers[] = {"-1.5", "+3", "-inf", "-", "- and so on", "1e-3", ""};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        assert_string_equal(cleaned(CLEAN_CSV, numbers[i]), numbers[i]);
    }
}

// Whatever is in a text and however little room there is: what comes out is whole UTF-8 without
// controls, cleaning it again changes nothing, and a part is what a whole begins with.
static void test_any_bytes(void **state) {
    (void)state;
    unsigned long seed = 12345;
    for (int round = 0; round < 3000; round++) {
        static const char bits[] = "a]>&<\"'=\xc2\x9b\xe2\x80\xae\xf0\x9f\x98\x80\xff\x1b\n ";
        char text[24], part[ROOM], whole[ROOM], again[ROOM];
        size_t length = 0;
        for (; length + 1 < sizeof text; length++) {
            seed = seed * 6364136223846793005UL + 1442695040888963407UL;
            text[length] = bits[(seed >> 33) % (sizeof bits - 1)];
        }
        text[length] = '\0';
        for (int place = 0; place < PLACES; place++) {
            const size_t size = 1 + (seed >> 40) % 30;
            const size_t used = clean_text((enum clean_place)place, text, part, size);
            clean_text((enum clean_place)place, text, whole, sizeof whole);
            assert_true(used < size);
            assert_memory_equal(part, whole, used);
            clean_text(CLEAN_JSON, part, again, sizeof again);
            assert_string_equal(again, part); // no letter is cut
            clean_text(CLEAN_TERMINAL, whole, again, sizeof again);
            if (place == CLEAN_TERMINAL || place == CLEAN_PICTURE || place == CLEAN_MARKUP) {
                assert_string_equal(again, whole);
            }
            assert_true(place != CLEAN_PICTURE || !strstr(whole, "]]>"));
            assert_true(place != CLEAN_MARKUP || !strpbrk(whole, "<>\"'"));
        }
    }
}

// Of a text that is cut somewhere no letter is left in part.
static void test_whole_letters(void **state) {
    (void)state;
    static const struct {
        const char *text;
        int most, bytes;
    } rows[] = {
        {"abc", 2, 2},
        {"abc", 9, 3},
        {"", 4, 0},
        {"a\xc3\xa9z", 2, 1},
        {"a\xc3\xa9z", 3, 3},
        {"\xe2\x82\xac\xe2\x82\xac", 5, 3},
        {"x\xf0\x9f\x98\x80", 4, 1},
        {"\xf0\x9f\x98\x80z", 1, 4}, // the first letter whole, whatever its bytes
        {"ab\xff\xff", 3, 3},        // no letter, so nothing to keep whole
        {"ab\xe2\x82", 3, 2},        // cut before
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_int_equal(clean_whole(rows[i].text, rows[i].most), rows[i].bytes);
    }
}

static void test_say(void **state) {
    (void)state;
    char *written = NULL;
    size_t length = 0;
    static char name[2 * CLEAN_SAY_MAX];
    FILE *stream = open_memstream(&written, &length);
    assert_non_null(stream);
    clean_say(stream, "found '%s', %d", "a\nb\x1b[2J", 3);
    assert_int_equal(fflush(stream), 0);
    assert_string_equal(written, "found 'a b [2J', 3\n");
    memset(name, 'x', sizeof name - 1);
    clean_say(stream, "%s", name);
    assert_int_equal(fclose(stream), 0);
    assert_true(length < 2 * CLEAN_SAY_MAX);
    assert_int_equal(written[length - 1], '\n');
    free(written);
    stream = open_memstream(&written, &length);
    assert_non_null(stream);
    clean_say(stream, "%s: cannot be opened", name); // which is what counts
    assert_int_equal(fclose(stream), 0);
    assert_true(length <= CLEAN_SAY_MAX + 1);
    assert_non_null(strstr(written, " ... "));
    assert_string_equal(written + length - 19, ": cannot be opened\n");
    free(written);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_terminal),  cmocka_unit_test(test_other_places),
        cmocka_unit_test(test_any_bytes), cmocka_unit_test(test_whole_letters),
        cmocka_unit_test(test_say),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
