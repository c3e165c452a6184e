// SPDX-License-Identifier: MIT
#include "maths/contour.h"

#include <math.h>
#include <stdlib.h>

#define NO_EDGE ((size_t)0)

// A crossed edge of the grid is a point of a line; it is linked to at most two others, one in each
// of the cells beside it. Links count edges from 1.
struct tracing {
    const double *value;
    size_t columns, rows;
    double level;
    size_t *link; // [edges][2]
    struct contour *out;
    size_t points;
};

// Edges from (i, j) to the right come first, then those from (i, j) to the next row.
static size_t edge_right(const struct tracing *t, size_t i, size_t j) {
    return j * t->columns + i;
}

static size_t edge_up(const struct tracing *t, size_t i, size_t j) {
    return t->rows * t->columns + j * t->columns + i;
}

static void link_one(struct tracing *t, size_t from, size_t to) {
    size_t *link = &t->link[2 * from];
    link[link[0] == NO_EDGE ? 0 : 1] = to + 1;
}

static void link_both(struct tracing *t, size_t a, size_t b) {
    link_one(t, a, b);
    link_one(t, b, a);
}

// Which edges of the cell at (i, j) the level crosses, and which belong together.
static void trace_cell(struct tracing *t, size_t i, size_t j) {
    const double *low = &t->value[j * t->columns + i], *high = low + t->columns;
    if (!isfinite(low[0] + low[1] + high[0] + high[1])) {
        return;
    }
    // Corners counter-clockwise, and the edge from each to the next.
    bool above[4] = {low[0] > t->level, low[1] > t->level, high[1] > t->level, high[0] > t->level};
    size_t edge[4] = {edge_right(t, i, j), edge_up(t, i + 1, j), edge_right(t, i, j + 1),
                      edge_up(t, i, j)};
    size_t crossed[4], count = 0;
    for (int k = 0; k < 4; k++) {
        if (above[k] != above[(k + 1) % 4]) {
            crossed[count++] = edge[k];
        }
    }
    if (count == 2) {
        link_both(t, crossed[0], crossed[1]);
    } else if (count == 4) {
        // The value of the saddle inside decides which corners hang together.
        double across = low[0] + high[1], other = low[1] + high[0];
        double middle = (low[0] * high[1] - low[1] * high[0]) / (across - other);
        bool first = above[0] == (middle > t->level);
        link_both(t, crossed[0], crossed[first ? 1 : 3]);
        link_both(t, crossed[2], crossed[first ? 3 : 1]);
    }
}

static void add_point(struct tracing *t, size_t edge) {
    size_t half = t->rows * t->columns;
    bool up = edge >= half;
    size_t at = up ? edge - half : edge;
    double a = t->value[at], b = t->value[at + (up ? t->columns : 1)];
    size_t row = at / t->columns;
    double share = (t->level - a) / (b - a), x = (double)(at % t->columns), y = (double)row;
    t->out->x[t->points] = up ? x : x + share;
    t->out->y[t->points] = up ? y + share : y;
    t->points++;
}

// Follow the links from an edge, taking them away, until they end.
static void trace_line(struct tracing *t, size_t start) {
    size_t at = start;
    add_point(t, at);
    for (;;) {
        size_t *link = &t->link[2 * at];
        int way = link[0] != NO_EDGE ? 0 : 1;
        if (link[way] == NO_EDGE) {
            break;
        }
        size_t next = link[way] - 1;
        link[way] = NO_EDGE;
        size_t *back = &t->link[2 * next];
        back[back[0] == at + 1 ? 0 : 1] = NO_EDGE;
        at = next;
        add_point(t, at);
    }
    t->out->end[t->out->line_count++] = t->points;
}

static void trace_all(struct tracing *t, size_t edges) {
    for (size_t j = 0; j + 1 < t->rows; j++) {
        for (size_t i = 0; i + 1 < t->columns; i++) {
            trace_cell(t, i, j);
        }
    }
    // Open lines from one of their ends first; what is left are closed ones.
    for (size_t e = 0; e < edges; e++) {
        if (t->link[2 * e] != NO_EDGE && t->link[2 * e + 1] == NO_EDGE) {
            trace_line(t, e);
        }
    }
    for (size_t e = 0; e < edges; e++) {
        if (t->link[2 * e] != NO_EDGE) {
            trace_line(t, e);
        }
    }
}

bool contour_find(const double *value, size_t columns, size_t rows, double level,
                  struct contour *out) {
    size_t edges = 2 * columns * rows;
    *out = (struct contour){0};
    struct tracing t = {.value = value, .columns = columns, .rows = rows, .level = level};
    t.out = out;
    t.link = calloc(2 * edges + 1, sizeof *t.link);
    // Each edge is one point, and the first of a closed line comes twice.
    out->x = malloc((2 * edges + 1) * sizeof *out->x);
    out->y = malloc((2 * edges + 1) * sizeof *out->y);
    out->end = malloc((edges + 1) * sizeof *out->end);
    bool fine = t.link && out->x && out->y && out->end;
    if (fine) {
        trace_all(&t, edges);
    }
    free(t.link);
    return fine;
}

void contour_free(struct contour *contour) {
    free(contour->end);
    free(contour->x);
    free(contour->y);
    *contour = (struct contour){0};
}
