// SPDX-License-Identifier: MIT
// Bracketed roots: exact answers, hostile functions, and no more calls than a good method needs.
#include "support.h"

#include "models/root.h"

struct count {
    int calls;
    double shift;
};

static double cubic(void *context, double x) {
    ((struct count *)context)->calls++;
    return x * x * x - 2.0 * x - 5.0;
}

static double step(void *context, double x) {
    struct count *c = context;
    c->calls++;
    return x < c->shift ? -1.0 : 1.0;
}

static double flat(void *context, double x) { // a root of ninth order
    struct count *c = context;
    c->calls++;
    return pow(x - c->shift, 9.0);
}

static double steep(void *context, double x) {
    struct count *c = context;
    c->calls++;
    return exp(50.0 * x) - exp(50.0 * c->shift);
}

static double line(void *context, double x) {
    struct count *c = context;
    c->calls++;
    return x - c->shift;
}

static double square(void *context, double x) {
    (void)context;
    return x * x + 1.0;
}

static void test_known_root(void **state) {
    (void)state; // E: Wallis's cubic, 2.0945514815423265
    struct count c = {0};
    assert_close(root_bracketed(cubic, &c, 2.0, 3.0, 1e-15), 2.0945514815423265, 1e-15, 0.0);
    assert_true(c.calls <= 12);
    c.calls = 0; // either order of the ends
    assert_close(root_bracketed(cubic, &c, 3.0, 2.0, 1e-15), 2.0945514815423265, 1e-15, 0.0);
}

static void test_hostile_functions(void **state) {
    (void)state;
    for (int i = 1; i < 10; i++) {
        struct count c = {0, 0.1 * i};
        assert_close(root_bracketed(step, &c, 0.0, 1.0, 1e-14), 0.1 * i, 0.0, 2e-14);
        assert_true(c.calls < 120); // bisection needs 47; guarded steps at most a few times that
        c.calls = 0;
        assert_close(root_bracketed(steep, &c, -1.0, 2.0, 1e-14), 0.1 * i, 0.0, 2e-14);
        assert_true(c.calls < 120);
        c.calls = 0; // where the function is nothing to many digits, close is all one can ask
        assert_close(root_bracketed(flat, &c, 0.0, 1.0, 1e-14), 0.1 * i, 0.0, 1e-10);
        assert_true(c.calls < 200);
    }
}

static void test_line_is_quick(void **state) {
    (void)state;
    struct count c = {0, 0.3};
    assert_close(root_bracketed(line, &c, -1e6, 1e6, 1e-12), 0.3, 0.0, 1e-9);
    assert_true(c.calls <= 6);
}

static void test_root_at_an_end(void **state) {
    (void)state;
    struct count c = {0, 1.0};
    assert_close(root_bracketed(line, &c, 1.0, 2.0, 1e-12), 1.0, 0.0, 1e-12);
    assert_close(root_bracketed(line, &c, 0.0, 1.0, 1e-12), 1.0, 0.0, 1e-12);
    assert_close(root_bracketed(line, &c, 1.0, 1.0, 1e-12), 1.0, 0.0, 0.0);
}

static void test_without_a_change_of_sign(void **state) {
    (void)state; // the end with the smaller value
    assert_close(root_bracketed(square, NULL, -1.0, 3.0, 1e-12), -1.0, 0.0, 0.0);
    assert_close(root_bracketed(square, NULL, -3.0, 1.0, 1e-12), 1.0, 0.0, 0.0);
}

// Roots of a function that changes a little from one search to the next.
static void test_root_near_the_last_one(void **state) {
    (void)state;
    static const root_function functions[] = {line, steep, step, flat};
    for (int k = 0; k < 4; k++) {
        struct root_memory memory = {0};
        struct count c = {0};
        int calls = 0;
        for (int i = 0; i <= 200; i++) {
            c.shift = 0.5 + 0.4 * sin(0.05 * i);
            c.calls = 0;
            double near = root_near(functions[k], &c, -1.0, 2.0, 1e-14, &memory);
            assert_close(near, c.shift, 0.0, k == 3 ? 1e-10 : 2e-14);
            calls += c.calls;
        }
        print_message("function %d: %.1f calls a search\n", k, calls / 201.0);
    }
}

static void test_root_near_leaves_the_bracket_to_the_bracket(void **state) {
    (void)state; // the memory points outside, or at a slope of nothing
    struct count c = {0, 0.3};
    const struct root_memory memories[] = {{true, 50.0, 1.0},        {true, -50.0, (double)NAN},
                                           {true, 0.9, 0.0},         {true, 0.9, -1e-9},
                                           {true, (double)NAN, 1.0}, {true, 0.9, (double)INFINITY}};
    for (size_t i = 0; i < sizeof memories / sizeof memories[0]; i++) {
        struct root_memory m = memories[i];
        assert_close(root_near(steep, &c, 0.0, 1.0, 1e-14, &m), 0.3, 0.0, 1e-12);
        m = memories[i];
        assert_close(root_near(line, &c, 0.0, 1.0, 1e-14, &m), 0.3, 0.0, 1e-12);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_known_root),
        cmocka_unit_test(test_hostile_functions),
        cmocka_unit_test(test_line_is_quick),
        cmocka_unit_test(test_root_at_an_end),
        cmocka_unit_test(test_without_a_change_of_sign),
        cmocka_unit_test(test_root_near_the_last_one),
        cmocka_unit_test(test_root_near_leaves_the_bracket_to_the_bracket),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
