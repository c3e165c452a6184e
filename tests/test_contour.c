// SPDX-License-Identifier: MIT
// Lines of one value across a grid: where they must run by plain geometry (E).
#include "support.h"

#include "maths/contour.h"

enum { SIDE = 41 };

static double grid[SIDE * SIDE];

static void fill(double (*value)(double x, double y)) {
    for (int j = 0; j < SIDE; j++) {
        for (int i = 0; i < SIDE; i++) {
            grid[j * SIDE + i] = value(i, j);
        }
    }
}

static size_t points(const struct contour *c) {
    return c->line_count > 0 ? c->end[c->line_count - 1] : 0;
}

static double plane(double x, double y) {
    return 3.0 * x + 2.0 * y;
}

static double bowl(double x, double y) {
    return hypot(x - 20.0, y - 20.0);
}

static double two_hills(double x, double y) {
    return exp(-0.02 * (x - 10.0) * (x - 10.0) - 0.02 * (y - 20.0) * (y - 20.0)) +
           exp(-0.02 * (x - 30.0) * (x - 30.0) - 0.02 * (y - 20.0) * (y - 20.0));
}

static double saddle(double x, double y) {
    return (x - 20.3) * (y - 20.4);
}

static void test_plane_gives_a_straight_line(void **state) {
    (void)state;
    struct contour c;
    fill(plane);
    assert_true(contour_find(grid, SIDE, SIDE, 100.7, &c));
    assert_int_equal(c.line_count, 1);
    assert_true(points(&c) > SIDE);
    for (size_t i = 0; i < points(&c); i++) {
        assert_close(plane(c.x[i], c.y[i]), 100.7, 1e-13, 0.0);
        assert_true(i == 0 || hypot(c.x[i] - c.x[i - 1], c.y[i] - c.y[i - 1]) < 1.5);
    }
    // From edge to edge of the grid.
    size_t last = points(&c) - 1;
    assert_close(fabs(c.y[last] - c.y[0]), SIDE - 1, 1e-12, 0.0);
    contour_free(&c);
}

static void test_bowl_gives_a_closed_line(void **state) {
    (void)state;
    struct contour c;
    fill(bowl);
    assert_true(contour_find(grid, SIDE, SIDE, 12.3, &c));
    assert_int_equal(c.line_count, 1);
    size_t last = points(&c) - 1;
    assert_close(c.x[last], c.x[0], 0.0, 0.0);
    assert_close(c.y[last], c.y[0], 0.0, 0.0);
    double length = 0.0;
    for (size_t i = 0; i <= last; i++) {
        // A chord of one step off a circle of 12.3.
        assert_close(bowl(c.x[i], c.y[i]), 12.3, 0.0, 0.015);
        length += i > 0 ? hypot(c.x[i] - c.x[i - 1], c.y[i] - c.y[i - 1]) : 0.0;
    }
    assert_close(length, 2.0 * 3.14159265 * 12.3, 2e-3, 0.0);
    contour_free(&c);
}

static void test_lines_part_and_join(void **state) {
    (void)state;
    struct contour c;
    fill(two_hills);
    assert_true(contour_find(grid, SIDE, SIDE, 0.7, &c));
    assert_int_equal(c.line_count, 2);
    contour_free(&c);
    assert_true(contour_find(grid, SIDE, SIDE, 0.2, &c));
    assert_int_equal(c.line_count, 1);
    contour_free(&c);
    assert_true(contour_find(grid, SIDE, SIDE, 5.0, &c)); // nowhere
    assert_int_equal(c.line_count, 0);
    contour_free(&c);
}

static void test_saddle_lines_do_not_cross(void **state) {
    (void)state;
    struct contour c;
    fill(saddle);
    for (int k = -1; k <= 1; k += 2) {
        assert_true(contour_find(grid, SIDE, SIDE, 0.02 * k, &c));
        assert_int_equal(c.line_count, 2);
        for (size_t line = 0, i = 0; line < 2; line++) {
            bool right = c.x[i] > 20.3;
            for (; i < c.end[line]; i++) {
                assert_true((c.x[i] > 20.3) == right);
            }
        }
        contour_free(&c);
    }
}

static void test_gaps_are_left_out(void **state) {
    (void)state;
    struct contour c;
    fill(plane);
    grid[16 * SIDE + 23] = (double)NAN; // on the line 3 x + 2 y = 100.7
    assert_true(contour_find(grid, SIDE, SIDE, 100.7, &c));
    assert_int_equal(c.line_count, 2);
    for (size_t i = 0; i < points(&c); i++) {
        assert_close(plane(c.x[i], c.y[i]), 100.7, 1e-13, 0.0);
    }
    contour_free(&c);
}

static void test_smallest_grid(void **state) {
    (void)state;
    struct contour c;
    const double four[] = {0.0, 1.0, 0.0, 1.0};
    assert_true(contour_find(four, 2, 2, 0.25, &c));
    assert_int_equal(c.line_count, 1);
    assert_int_equal(points(&c), 2);
    assert_close(c.x[0], 0.25, 1e-15, 0.0);
    assert_close(c.x[1], 0.25, 1e-15, 0.0);
    contour_free(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plane_gives_a_straight_line),
        cmocka_unit_test(test_bowl_gives_a_closed_line),
        cmocka_unit_test(test_lines_part_and_join),
        cmocka_unit_test(test_saddle_lines_do_not_cross),
        cmocka_unit_test(test_gaps_are_left_out),
        cmocka_unit_test(test_smallest_grid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
