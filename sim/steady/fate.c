// SPDX-License-Identifier: MIT
#include "steady/fate.h"

#include <math.h>
#include <string.h>

// Swings below this share of that of rest are ripple, as is what comes back by less than this share
// of the swing before.
#define FLOOR_SHARE 0.2
#define RIPPLE_SHARE 0.25
// The first crests belong to the kick.
#define FIRST_CRESTS 2
// Sizes below this share of the kick are not yet its swing: a line that rings in the first
// hundredths of a second would seem to grow into it.
#define SWINGS_FROM 0.1
// Crests and troughs in a row that must say the same, each against the one a whole cycle before, by
// ln of their sizes. A crest between samples is known a hundred times better than the least growth.
#define GROWS_FOR 6
#define GROWTH 1e-3
// Fewer where it grows at a pace that no slow drift beside the swing explains.
#define GROWS_FAST_FOR 4
#define FAST_GROWTH 3e-3

_Static_assert(GROWS_FOR + 4 <= FATE_CRESTS, "sizes a cycle before the first, with neighbours");

struct fate_watch fate_begin(double rest, double kick) {
    const double floor = FLOOR_SHARE * rest;
    return (struct fate_watch){
        .floor = floor, .least = SWINGS_FROM * fabs(kick), .threshold = floor};
}

// Size at a crest, to the mean of its neighbours, for 0 < i < count - 1.
static double size_at(const struct fate_watch *w, size_t i) {
    return fabs(w->value[i] - 0.5 * (w->value[i - 1] + w->value[i + 1]));
}

static void forget_first(struct fate_watch *w) {
    if (w->gone + 1 >= FIRST_CRESTS) {
        w->largest = fmax(w->largest, size_at(w, 1));
    }
    w->gone++;
    w->count--;
    memmove(w->value, w->value + 1, w->count * sizeof w->value[0]);
}

// A crest at sample i, moved to the vertex of the parabola through it and its neighbours.
static void add(struct fate_watch *w, const struct series *s, size_t i) {
    double value = s->value[i];
    if (i > 0 && i + 1 < s->count) {
        const double before = s->value[i - 1] - value, after = s->value[i + 1] - value;
        if (before * after > 0.0) {
            value -= 0.125 * (after - before) * (after - before) / (before + after);
        }
    }
    if (w->count == FATE_CRESTS) {
        forget_first(w);
    }
    w->value[w->count++] = value;
    const double swing = w->count > 1 ? fabs(value - w->value[w->count - 2]) : 0.0;
    w->threshold = fmax(w->floor, RIPPLE_SHARE * swing);
}

// Each size is larger than that a cycle before, and the last two than any before them.
static bool grows(const struct fate_watch *w, size_t crests, double change) {
    if (w->count < crests + 4) {
        return false;
    }
    const size_t last = w->count - 2;
    double largest = w->largest;
    for (size_t i = last; i > last - crests; i--) {
        const double before = size_at(w, i - 2);
        if (!(before > w->least) || !(log(size_at(w, i) / before) > change)) {
            return false;
        }
    }
    const size_t first = w->gone < FIRST_CRESTS ? FIRST_CRESTS - w->gone : 1;
    for (size_t i = first; i + 1 < last; i++) {
        largest = fmax(largest, size_at(w, i));
    }
    return size_at(w, last) > largest && size_at(w, last - 1) > largest;
}

bool fate_lives(struct fate_watch *w, const struct series *s) {
    // The last sample has no neighbour yet.
    for (; w->seen + 1 < s->count; w->seen++) {
        const size_t i = w->seen;
        const double now = s->value[i];
        w->high = now > s->value[w->high] ? i : w->high;
        w->low = now < s->value[w->low] ? i : w->low;
        const bool crest = w->direction >= 0 && s->value[w->high] - now > w->threshold;
        const bool trough = w->direction <= 0 && now - s->value[w->low] > w->threshold;
        if (!crest && !trough) {
            continue;
        }
        add(w, s, crest ? w->high : w->low);
        w->direction = crest ? -1 : 1;
        w->high = w->low = i;
        if (grows(w, GROWS_FOR, GROWTH) || grows(w, GROWS_FAST_FOR, FAST_GROWTH)) {
            return true;
        }
    }
    return false;
}
