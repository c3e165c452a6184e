// SPDX-License-Identifier: MIT
// What a page's writer stands on: SHA-256 against the examples of FIPS 180-4 (as NIST publishes
// them), base64 against RFC 4648 section 10, UTF-8 against RFC 3629, and texts that stay texts.
#include "support.h"

#include "base/clean.h"
#include "base/sha256.h"
#include "show/html_text.h"

#include <stdlib.h>

static void hashes_to(const char *text, size_t size, const char *wanted) {
    unsigned char digest[SHA256_SIZE];
    char hex[2 * SHA256_SIZE + 1];
    sha256_bytes(text, size, digest);
    for (size_t i = 0; i < SHA256_SIZE; i++) {
        snprintf(hex + 2 * i, 3, "%02x", digest[i]);
    }
    assert_string_equal(hex, wanted);
}

static void test_sha256(void **state) {
    (void)state;
    hashes_to("abc", 3, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    hashes_to("", 0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    const char *two = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
    hashes_to(two, 56, "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    char *million = malloc(1000000);
    assert_non_null(million);
    memset(million, 'a', 1000000);
    hashes_to(million, 1000000, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
    free(million);
}

static void test_base64(void **state) {
    (void)state;
    static const char *const rows[][2] = {{"f", "Zg=="},         {"fo", "Zm8="},
                                          {"foo", "Zm9v"},       {"foob", "Zm9vYg=="},
                                          {"fooba", "Zm9vYmE="}, {"foobar", "Zm9vYmFy"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char text[16];
        html_text_base64_short(rows[i][0], strlen(rows[i][0]), text);
        assert_string_equal(text, rows[i][1]);
    }
}

static void test_utf8(void **state) {
    (void)state;
    assert_true(html_text_is_utf8("plain, \xc3\xa9, \xe2\x82\xac, \xf0\x9f\x98\x80"));
    static const char *const wrong[] = {"\xff",         "\xc3",         "\xc0\xaf",
                                        "\xe0\x80\x80", "\xed\xa0\x80", "\xf4\x90\x80\x80",
                                        "\x80",         "a\xe2\x82"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        assert_false(html_text_is_utf8(wrong[i]));
    }
}

static void writes(const char *text, bool lines, const char *wanted) {
    char *written = NULL;
    size_t length;
    FILE *out = open_memstream(&written, &length);
    assert_non_null(out);
    clean_put(out, lines ? CLEAN_LINES : CLEAN_MARKUP, text);
    assert_int_equal(fclose(out), 0);
    assert_string_equal(written, wanted);
    free(written);
}

static void test_texts(void **state) {
    (void)state;
    writes("<b>&\"'", false, "&lt;b&gt;&amp;&quot;&#39;");
    writes("a\x1b[31m\tb\nc\x7f", false, "a [31m b c ");
    writes("a\nb", true, "a\nb");
    writes("a\xc2\x9b"
           "b\xc3\xa9",
           false, "a b\xc3\xa9"); // U+009B is a control, U+00E9 is not
}

static void test_json(void **state) {
    (void)state;
    char *written = NULL;
    size_t length;
    FILE *out = open_memstream(&written, &length);
    assert_non_null(out);
    html_text_json(out, "[\"</script>&\"]");
    assert_int_equal(fclose(out), 0);
    assert_string_equal(written, "[\"\\u003c/script\\u003e\\u0026\"]");
    free(written);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_sha256), cmocka_unit_test(test_base64),
                                       cmocka_unit_test(test_utf8), cmocka_unit_test(test_texts),
                                       cmocka_unit_test(test_json)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
