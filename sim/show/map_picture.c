// SPDX-License-Identifier: MIT
#include "show/map_output.h"

#include "study/map_lines.h"

#include <math.h>
#include <stdio.h>
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

enum { FILES = 6, LETTERS_ACROSS = 81, LETTERS_UP = 18 };

// Upper ends of the bands of decay and growth [1/s], by factors of ten in the time to change by e.
static const double band_end[] = {-10.0, -1.0, -0.1, 0.0, 0.1, 1.0, 10.0};
static const char *const band_name[] = {
    "die out within 0.1 s", "die out within 1 s", "die out within 10 s", "die out slowly",
    "grow slowly",          "grow within 10 s",   "grow within 1 s",     "grow within 0.1 s"};
// For a terminal, in the order of the classes.
static const char letters[] = "srfhiSCu_WX?-!?....++++";

struct picture {
    const struct study_request *request;
    const struct map *map;
    const struct scenario_case *base;
    int *point_class; // [map_count]
    struct map_lines lines;
};

static const char *unit_of(const struct picture *p, enum unit_kind kind) {
    return units_preferred(kind, p->base->units, p->base->model.phase == FLUID_LIQUID);
}

static double in_unit(const struct picture *p, enum unit_kind kind, double si) {
    return units_from_si(&p->base->site, kind, unit_of(p, kind), si);
}

static double place(const struct picture *p, const struct map_axis *axis, double index) {
    double last = (double)(axis->count - 1);
    return in_unit(p, axis->field->kind, map_axis_value(axis, fmin(fmax(index, 0.0), last)));
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

static bool prepare(struct picture *p) {
    const struct map *map = p->map;
    size_t count = map_count(map);
    p->point_class = malloc(count * sizeof *p->point_class);
    if (!p->point_class) {
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        p->point_class[i] = class_of(map, &map->row[i * MAP_WIDTH]);
    }
    return map_lines_find(map, in_unit(p, UNIT_PRESSURE_DROP, 1.0), &p->lines);
}

static void release(struct picture *p) {
    free(p->point_class);
    map_lines_free(&p->lines);
}

// --- Data files

// Rectangles of one colour: neighbours in a row are drawn as one.
static void write_cells(const struct picture *p, FILE *out) {
    const struct map_axis *x = &p->map->across, *y = &p->map->up;
    for (size_t j = 0; j < y->count; j++) {
        const int *row = &p->point_class[j * x->count];
        for (size_t i = 0, end; i < x->count; i = end) {
            for (end = i + 1; end < x->count && row[end] == row[i];) {
                end++;
            }
            fprintf(out, "%.9g %.9g %.9g %.9g %d\n", place(p, x, (double)i - 0.5),
                    place(p, x, (double)end - 0.5), place(p, y, (double)j - 0.5),
                    place(p, y, (double)j + 0.5), row[i]);
        }
    }
}

static void write_lines(const struct picture *p, const struct contour *c, FILE *out) {
    for (size_t line = 0, i = 0; line < c->line_count; line++) {
        for (; i < c->end[line]; i++) {
            fprintf(out, "%.9g %.9g\n", place(p, &p->map->across, c->x[i]),
                    place(p, &p->map->up, c->y[i]));
        }
        fputc('\n', out);
    }
}

// Where a level is written: in the middle of its longest line, unless that is a mere speck.
static void write_label(const struct picture *p, const struct contour *c, double level, int kind,
                        FILE *out) {
    enum { SPECK = 6 };
    size_t best = 0, longest = 0;
    for (size_t line = 0; line < c->line_count; line++) {
        size_t start = line > 0 ? c->end[line - 1] : 0, length = c->end[line] - start;
        if (length > longest) {
            longest = length;
            best = start + length / 2;
        }
    }
    if (longest > SPECK) {
        fprintf(out, "%.9g %.9g %d \"%.3g\"\n", place(p, &p->map->across, c->x[best]),
                place(p, &p->map->up, c->y[best]), kind, level);
    }
}

static void write_labels(const struct picture *p, FILE *out) {
    for (size_t k = 0; k < p->lines.swing_count; k++) {
        write_label(p, &p->lines.swing[k], p->lines.swing_level[k], 1, out);
    }
    for (size_t k = 0; k < p->lines.contact_count; k++) {
        write_label(p, &p->lines.contacts[k], p->lines.contact_level[k], 2, out);
    }
}

static void write_letters(const struct picture *p, FILE *out) {
    const struct map_axis *x = &p->map->across, *y = &p->map->up;
    for (int j = 0; j < LETTERS_UP; j++) {
        for (int i = 0; i < LETTERS_ACROSS; i++) {
            double u = (double)(x->count - 1) * i / (LETTERS_ACROSS - 1);
            double v = (double)(y->count - 1) * j / (LETTERS_UP - 1);
            size_t at = (size_t)lround(v) * x->count + (size_t)lround(u);
            fprintf(out, "%.9g %.9g %c\n", place(p, x, u), place(p, y, v),
                    letters[p->point_class[at]]);
        }
    }
}

static bool write_data(const void *context, size_t file, FILE *out) {
    const struct picture *p = context;
    switch (file) {
    case 0:
        write_cells(p, out);
        break;
    case 1:
        write_lines(p, &p->lines.boundary, out);
        break;
    case 2:
        for (size_t k = 0; k < p->lines.swing_count; k++) {
            write_lines(p, &p->lines.swing[k], out);
        }
        break;
    case 3:
        for (size_t k = 0; k < p->lines.contact_count; k++) {
            write_lines(p, &p->lines.contacts[k], out);
        }
        break;
    case 4:
        write_labels(p, out);
        break;
    default:
        write_letters(p, out);
        break;
    }
    return ferror(out) == 0;
}

// --- Texts and numbers

// A file without rows would be an error to gnuplot: it is told which have some.
static double any(const struct contour *c, size_t count) {
    size_t lines = 0;
    for (size_t k = 0; k < count; k++) {
        lines += c[k].line_count;
    }
    return lines > 0 ? 1.0 : 0.0;
}

static double any_label(const struct picture *p) {
    char *text = NULL;
    size_t size = 0;
    FILE *stream = open_memstream(&text, &size);
    if (stream) {
        write_labels(p, stream);
        fclose(stream);
    }
    free(text);
    return size > 0 ? 1.0 : 0.0;
}

struct list {
    const char *title[CLASS_COUNT + STUDY_REQUEST_TRIMS_MAX];
    double number[16 + CLASS_COUNT + 2 * STUDY_REQUEST_TRIMS_MAX];
    size_t titles, numbers;
};

static void add(struct list *list, double number) {
    list->number[list->numbers++] = number;
}

// Numbers of the classes there are, with their names as titles.
static void add_classes(const struct picture *p, struct list *list) {
    bool there[CLASS_COUNT] = {false};
    for (size_t i = 0; i < map_count(p->map); i++) {
        there[p->point_class[i]] = true;
    }
    size_t at = list->numbers;
    add(list, 0.0);
    for (int c = 0; c < CLASS_COUNT; c++) {
        if (there[c]) {
            list->title[list->titles++] = class_name(c);
            add(list, (double)c);
        }
    }
    list->number[at] = (double)list->titles;
}

static void add_axis(const struct picture *p, const struct map_axis *axis, struct list *list) {
    add(list, in_unit(p, axis->field->kind, axis->from));
    add(list, in_unit(p, axis->field->kind, axis->to));
    add(list, axis->logarithmic ? 1.0 : 0.0);
}

// Value of a trim of the scenario, as a mark; NaN outside of the map.
static double own_value(const struct picture *p, const struct map_axis *axis, size_t trim) {
    double si = scenario_get_si(p->map->scenario, trim, axis->path);
    bool inside = si >= axis->from && si <= axis->to;
    return inside ? in_unit(p, axis->field->kind, si) : (double)NAN;
}

// The same for all trims, as a line; NaN for a field of the trims.
static double common_value(const struct picture *p, const struct map_axis *axis) {
    return map_axis_is_of_trim(axis) ? (double)NAN : own_value(p, axis, p->map->trim);
}

// Trims differ on a map of a field of theirs only.
static bool marks_trim(const struct map *map, size_t trim) {
    return trim == map->trim || map_axis_is_of_trim(&map->across) || map_axis_is_of_trim(&map->up);
}

static void add_trims(const struct picture *p, struct list *list) {
    const struct map *map = p->map;
    for (size_t i = 0; i < p->request->trim_count; i++) {
        size_t trim = p->request->trim[i];
        if (!marks_trim(map, trim)) {
            continue;
        }
        double x = own_value(p, &map->across, trim), y = own_value(p, &map->up, trim);
        if (isfinite(x) && isfinite(y)) {
            list->title[list->titles++] = scenario_trim_name(map->scenario, trim);
            add(list, x);
            add(list, y);
        }
    }
}

static void axis_label(const struct picture *p, const struct map_axis *axis, char *text,
                       size_t size) {
    const char *unit = unit_of(p, axis->field->kind);
    const char *plain = map_axis_is_flow(axis)                 ? "flow"
                        : strcmp(axis->path, "trim.port") == 0 ? "port diameter"
                                                               : axis->path;
    snprintf(text, size, "%s%s%s%s", plain, unit[0] ? " [" : "", unit, unit[0] ? "]" : "");
}

static int draw(const struct picture *p) {
    char across[96], up[96], swing[64], rest[96];
    axis_label(p, &p->map->across, across, sizeof across);
    axis_label(p, &p->map->up, up, sizeof up);
    snprintf(swing, sizeof swing, "pressure swing [%s]", unit_of(p, UNIT_PRESSURE_DROP));
    snprintf(rest, sizeof rest, "all else as in trim %.60s",
             scenario_trim_name(p->map->scenario, p->map->trim));
    struct list list = {.titles = 0};
    add(&list, p->map->simulated ? 1.0 : 0.0);
    add_axis(p, &p->map->across, &list);
    add_axis(p, &p->map->up, &list);
    add(&list, common_value(p, &p->map->across));
    add(&list, common_value(p, &p->map->up));
    add(&list, any(&p->lines.boundary, 1));
    add(&list, any(p->lines.swing, p->lines.swing_count));
    add(&list, any(p->lines.contacts, p->lines.contact_count));
    add(&list, any_label(p));
    add_classes(p, &list);
    add_trims(p, &list);
    struct plot_script script = {.name = "map.gp",
                                 .heading = scenario_title(p->map->scenario),
                                 .title_count = list.titles,
                                 .title = list.title,
                                 .label_count = 4,
                                 .label = (const char *const[]){across, up, swing, rest},
                                 .number_count = list.numbers,
                                 .number = list.number,
                                 .file_count = FILES,
                                 .write = write_data,
                                 .context = p};
    return study_output_draw(p->request, &script);
}

int map_picture(const struct study_request *request, const struct map *map,
                const struct scenario_case *base) {
    struct picture p = {.request = request, .map = map, .base = base};
    int code = prepare(&p) ? draw(&p)
                           : study_output_fail(request, request->shared.folder, "out of memory");
    release(&p);
    return code;
}
