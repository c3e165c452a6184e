// SPDX-License-Identifier: MIT
// What plots/map.gp is given.
#include "answer/picture.h"
#include "map/map_lines.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// What a point is coloured by: a verdict, one of these, or a band of growth. plots/map.gp knows the
// colour of each by its number.
enum map_class {
    CLASS_OUT_OF_REACH = VERDICT_COUNT,
    CLASS_IMPOSSIBLE,
    CLASS_FAILED,
    CLASS_NO_REST,
    CLASS_BAND, // the first of the bands
    CLASS_COUNT = CLASS_BAND + 8
};

enum { LETTERS_ACROSS = 81, LETTERS_UP = 18 };

// Upper ends of the bands of decay and growth [1/s], by factors of ten in the time to change by e.
static const double band_end[] = {-10.0, -1.0, -0.1, 0.0, 0.1, 1.0, 10.0};
static const char *const band_name[] = {
    "die out within 0.1 s", "die out within 1 s", "die out within 10 s", "die out slowly",
    "grow slowly",          "grow within 10 s",   "grow within 1 s",     "grow within 0.1 s"};
// For a terminal, in the order of the classes.
static const char letters[] = "srfhiSCu_WX?-!?....++++";

struct sheet {
    struct answer *answer;
    const struct map *map;
    int *point_class; // [map_count]
    struct map_lines lines;
};

static double place(const struct sheet *s, const struct map_axis *axis, double index) {
    const double last = (double)(axis->count - 1);
    return map_axis_shown(axis, s->answer, map_axis_value(axis, fmin(fmax(index, 0.0), last)));
}

static int class_of_growth(double growth) {
    int band = 0;
    while (band < 7 && growth >= band_end[band]) {
        band++;
    }
    return CLASS_BAND + band;
}

static int class_of(const struct map *map, const double *row) {
    if (row[MAP_REST] >= (double)MAP_OUT_OF_REACH) {
        return row[MAP_REST] == (double)MAP_OUT_OF_REACH ? CLASS_OUT_OF_REACH : CLASS_IMPOSSIBLE;
    }
    if (map->simulated) {
        return isnan(row[MAP_VERDICT]) ? CLASS_FAILED : (int)row[MAP_VERDICT];
    }
    switch ((enum steadiness_rest)row[MAP_REST]) {
    case STEADINESS_STEADY:
    case STEADINESS_UNSTEADY:
        return class_of_growth(row[MAP_GROWTH]);
    case STEADINESS_SHUT:
        return VERDICT_SHUT;
    case STEADINESS_WIDE_OPEN:
        return VERDICT_WIDE_OPEN;
    case STEADINESS_CANNOT_OPEN:
        return VERDICT_CANNOT_OPEN;
    case STEADINESS_CANNOT_SHUT:
        return VERDICT_CANNOT_SHUT;
    case STEADINESS_NO_REST:
        return CLASS_NO_REST;
    case STEADINESS_FAILED:
        break;
    }
    return CLASS_FAILED;
}

static const char *class_name(int class) {
    static const char *const own[] = {"set pressure out of reach", "not possible", "failed",
                                      "no point of rest"};
    return class < VERDICT_COUNT ? verdict_name((enum verdict) class)
           : class < CLASS_BAND  ? own[class - VERDICT_COUNT]
                                 : band_name[class - CLASS_BAND];
}

static bool prepare(struct sheet *s) {
    const struct map *map = s->map;
    const size_t count = map_count(map);
    s->point_class = malloc(count * sizeof *s->point_class);
    if (!s->point_class) {
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        s->point_class[i] = class_of(map, &map->row[i * MAP_WIDTH]);
    }
    return map_lines_find(map, answer_shown(s->answer, UNIT_PRESSURE_DROP, 1.0), &s->lines);
}

// --- Data

// Rectangles of one colour: neighbours in a row are drawn as one. Columns: left, right, lower and
// upper edge, class.
static void add_cells(const struct sheet *s) {
    struct picture_data *data = picture_data(s->answer, 5);
    const struct map_axis *x = &s->map->across;
    const struct map_axis *y = &s->map->up;
    for (size_t j = 0; j < y->count; j++) {
        const int *row = &s->point_class[j * x->count];
        for (size_t i = 0, end; i < x->count; i = end) {
            for (end = i + 1; end < x->count && row[end] == row[i];) {
                end++;
            }
            const double cell[] = {place(s, x, (double)i - 0.5), place(s, x, (double)end - 0.5),
                                   place(s, y, (double)j - 0.5), place(s, y, (double)j + 0.5),
                                   (double)row[i]};
            picture_row(data, NULL, cell);
        }
    }
}

// Lines of `count` levels, with breaks between them. True when there is any: a file without rows
// would be an error to gnuplot, so it is told which have some.
static bool add_lines(const struct sheet *s, const struct contour *contour, size_t count) {
    struct picture_data *data = picture_data(s->answer, 2);
    for (size_t k = 0; k < count; k++) {
        const struct contour *c = &contour[k];
        for (size_t line = 0, i = 0; line < c->line_count; line++) {
            for (; i < c->end[line]; i++) {
                const double at[] = {place(s, &s->map->across, c->x[i]),
                                     place(s, &s->map->up, c->y[i])};
                picture_row(data, NULL, at);
            }
            picture_break(data);
        }
    }
    return data->rows > 0;
}

// Length from point to point, as a share of the picture's sides.
static double length_of(const struct sheet *s, const struct contour *c, size_t start, size_t end) {
    double length = 0.0;
    for (size_t i = start + 1; i < end; i++) {
        length += hypot((c->x[i] - c->x[i - 1]) / (double)s->map->across.count,
                        (c->y[i] - c->y[i - 1]) / (double)s->map->up.count);
    }
    return length;
}

// Where a level is written: in the middle of its longest line, unless that is a mere speck.
static void add_label(const struct sheet *s, struct picture_data *data, const struct contour *c,
                      double level) {
    static const double speck = 0.1;
    size_t best = 0;
    double longest = 0.0;
    for (size_t line = 0; line < c->line_count; line++) {
        const size_t start = line > 0 ? c->end[line - 1] : 0;
        const double length = length_of(s, c, start, c->end[line]);
        if (length > longest) {
            longest = length;
            best = start + (c->end[line] - start) / 2;
        }
    }
    if (longest > speck) {
        const double at[] = {place(s, &s->map->across, c->x[best]),
                             place(s, &s->map->up, c->y[best])};
        picture_row(data, answer_keep(s->answer, "%.3g", level), at);
    }
}

static bool add_labels(const struct sheet *s) {
    struct picture_data *data = picture_data(s->answer, 2);
    for (size_t k = 0; k < s->lines.swing_count; k++) {
        add_label(s, data, &s->lines.swing[k], s->lines.swing_level[k]);
    }
    for (size_t k = 0; k < s->lines.contact_count; k++) {
        add_label(s, data, &s->lines.contacts[k], s->lines.contact_level[k]);
    }
    return data->rows > 0;
}

static void add_letters(const struct sheet *s) {
    struct picture_data *data = picture_data(s->answer, 2);
    const struct map_axis *x = &s->map->across;
    const struct map_axis *y = &s->map->up;
    for (int j = 0; j < LETTERS_UP; j++) {
        for (int i = 0; i < LETTERS_ACROSS; i++) {
            const double u = (double)(x->count - 1) * i / (LETTERS_ACROSS - 1);
            const double v = (double)(y->count - 1) * j / (LETTERS_UP - 1);
            const size_t point = (size_t)lround(v) * x->count + (size_t)lround(u);
            const char name[] = {letters[s->point_class[point]], '\0'};
            const double at[] = {place(s, x, u), place(s, y, v)};
            picture_row(data, name, at);
        }
    }
}

// --- Texts and numbers

// Numbers of the classes there are, with their names as titles.
static void add_classes(const struct sheet *s) {
    bool there[CLASS_COUNT] = {false};
    size_t count = 0;
    for (size_t i = 0; i < map_count(s->map); i++) {
        count += !there[s->point_class[i]];
        there[s->point_class[i]] = true;
    }
    picture_number(s->answer, (double)count);
    for (int c = 0; c < CLASS_COUNT; c++) {
        if (there[c]) {
            picture_title(s->answer, "%s", class_name(c));
            picture_number(s->answer, (double)c);
        }
    }
}

static void add_axis(const struct sheet *s, const struct map_axis *axis) {
    const char *unit = map_axis_unit(axis, s->answer);
    picture_number(s->answer, map_axis_shown(axis, s->answer, axis->from));
    picture_number(s->answer, map_axis_shown(axis, s->answer, axis->to));
    picture_number(s->answer, axis->logarithmic ? 1.0 : 0.0);
    picture_axis_in(s->answer,
                    map_axis_is_flow(axis)                 ? "flow"
                    : strcmp(axis->path, "trim.port") == 0 ? "port diameter"
                                                           : axis->path,
                    unit);
}

// Value of a trim of the scenario, as a mark; NaN outside of the map.
static double own_value(const struct sheet *s, const struct map_axis *axis, size_t trim) {
    const double si = scenario_get_si(s->map->scenario, trim, axis->path);
    const bool inside = si >= axis->from && si <= axis->to;
    return inside ? map_axis_shown(axis, s->answer, si) : (double)NAN;
}

// The same for all trims, as a line; NaN for a field of the trims.
static double common_value(const struct sheet *s, const struct map_axis *axis) {
    return map_axis_is_of_trim(axis) ? (double)NAN : own_value(s, axis, s->map->trim);
}

static void add_trims(const struct sheet *s, const struct study_job *job) {
    const struct map *map = s->map;
    const bool of_trim = map_axis_is_of_trim(&map->across) || map_axis_is_of_trim(&map->up);
    for (size_t i = 0; i < job->trim_count; i++) {
        const size_t trim = job->trim[i];
        const double x = own_value(s, &map->across, trim);
        const double y = own_value(s, &map->up, trim);
        // Trims differ on a map of a field of theirs only.
        if ((of_trim || trim == map->trim) && isfinite(x) && isfinite(y)) {
            // As it is itself: the cell under it is a whole range, with all else of one trim.
            const double *row = map_trim_row(map, trim);
            const char *own = map->simulated || isnan(row[MAP_GROWTH]) ? map_outcome(map, row)
                              : row[MAP_GROWTH] > 0.0                  ? "grow"
                                                                       : "die out";
            picture_title(s->answer, "%s: %s", scenario_trim_name(map->scenario, trim), own);
            picture_number(s->answer, x);
            picture_number(s->answer, y);
        }
    }
}

static void draw(const struct sheet *s, const struct study_job *job) {
    const struct map *map = s->map;
    struct answer *answer = s->answer;
    picture_begin(answer, "map.gp", answer->title);
    add_cells(s);
    const bool line[] = {add_lines(s, &s->lines.boundary, 1),
                         add_lines(s, s->lines.swing, s->lines.swing_count),
                         add_lines(s, s->lines.contacts, s->lines.contact_count), add_labels(s)};
    add_letters(s);
    picture_number(answer, map->simulated ? 1.0 : 0.0);
    add_axis(s, &map->across);
    add_axis(s, &map->up);
    picture_axis(answer, "pressure swing", UNIT_PRESSURE_DROP);
    picture_label(answer, "all else as in trim %s", scenario_trim_name(map->scenario, map->trim));
    picture_number(answer, common_value(s, &map->across));
    picture_number(answer, common_value(s, &map->up));
    for (size_t i = 0; i < sizeof line / sizeof line[0]; i++) {
        picture_number(answer, line[i] ? 1.0 : 0.0);
    }
    add_classes(s);
    add_trims(s, job);
}

void map_picture(const struct map *map, const struct study_job *job, struct answer *answer) {
    struct sheet sheet = {.answer = answer, .map = map};
    if (prepare(&sheet)) {
        draw(&sheet, job);
    } else {
        answer->failed = true;
    }
    free(sheet.point_class);
    map_lines_free(&sheet.lines);
}
