// SPDX-License-Identifier: MIT
// Why draws fall at a row: the words that tell somebody which row or value to doubt.
#include "site/match_inside.h"

#include "steady/steadiness.h"

#include <math.h>

// A reason is told of a row where something fits when it is that of so many of those looked at.
#define TOLD_ABOVE 0.5

static bool row_moves(const struct match_row *row) {
    return !row->seen || (row->seen->seen >= SEEN_MOVES && row->seen->seen <= SEEN_CHATTERS);
}

enum match_fall match_falls_screened(const struct match_row *row, const double *screen) {
    const double rest = screen[SCREEN_REST];
    if (isnan(rest)) {
        return screen[SCREEN_PASSES] == 0.0 ? FALL_TOO_SMALL : FALL_NOT_HELD;
    }
    switch ((enum steadiness_rest)(int)rest) {
    case STEADINESS_STEADY:
    case STEADINESS_UNSTEADY:
        return row_moves(row) ? FALL_RESTS : FALL_MOVES;
    case STEADINESS_WIDE_OPEN:
        return FALL_WIDE_OPEN;
    default:
        return FALL_CLOSED;
    }
}

enum match_fall match_falls_run(const struct match *match, const struct match_row *row,
                                const double *result, double distance) {
    const double outcome = result[MATCH_OUTCOME];
    if (isfinite(distance)) {
        // Is it the record that it is far from, or already what was seen?
        struct match_row seen = *row;
        double off = HUGE_VAL;
        seen.recorded = false;
        match_rows_fit(match, &seen, result, &off);
        return row->recorded && off < distance ? FALL_RECORD : FALL_FIGURES;
    }
    if (!(outcome < VERDICT_COUNT)) {
        return FALL_NOT_HELD;
    }
    const enum verdict verdict = (enum verdict)(int)outcome;
    if (verdict > VERDICT_UNDECIDED) {
        return verdict == VERDICT_WIDE_OPEN ? FALL_WIDE_OPEN : FALL_CLOSED;
    }
    const bool rests = verdict <= VERDICT_FORCED;
    return row_moves(row) == !rests ? FALL_OTHERWISE : rests ? FALL_RESTS : FALL_MOVES;
}

static const char *const words[FALLS] = {
    [FALL_TOO_SMALL] = "the trim cannot pass that flow at the set pressure",
    [FALL_NOT_HELD] = "the plug does not get as far as that flow asks at the set pressure",
    [FALL_WIDE_OPEN] = "it stands wide open",
    [FALL_CLOSED] = "it stays shut, or can neither open nor shut as it must",
    [FALL_MOVES] = "it moves",
    [FALL_RESTS] = "it comes to rest",
    [FALL_OTHERWISE] = "it moves in another way",
    [FALL_FIGURES] = "its frequency or swing is another",
    [FALL_RECORD] = "its motion is not that of the record",
};

static enum match_fall mostly(const struct match *match, size_t row) {
    enum match_fall most = (enum match_fall)0;
    for (int k = 1; k < FALLS; k++) {
        most = match->fallen[row][k] > match->fallen[row][most] ? (enum match_fall)k : most;
    }
    return most;
}

const char *match_falls_word(enum match_fall fall) {
    return words[fall];
}

// What to look at; "" where the reason alone says it.
static const char *advice(enum match_fall fall) {
    return fall == FALL_TOO_SMALL || fall == FALL_NOT_HELD || fall == FALL_WIDE_OPEN
               ? ". Then another port was in it, or another set or line pressure held: say so in "
                 "that row (trim.port: ..., set.pressure: ..., downstream.pressure: ...); or it "
                 "stood wide open, unheard (seen: wide open)"
           : fall == FALL_RECORD ? ". Then it may be the record of another regulator, or of "
                                   "another flow or pressure"
                                 : "";
}

const char *match_falls_row(struct answer *answer, const struct match *match, size_t row) {
    const enum match_fall most = mostly(match, row);
    return answer_keep(answer, "%s in %zu of %zu looked at%s", words[most],
                       match->fallen[row][most], match->looked[row], advice(most));
}

void match_falls_note(struct answer *answer, const struct match *match, size_t row) {
    const enum match_fall most = mostly(match, row);
    const double share = (double)match->fallen[row][most] / ((double)match->looked[row] + 1e-9);
    if (most != FALL_RECORD && advice(most)[0] && share > TOLD_ABOVE) {
        answer_say(answer, ANSWER_WARNING, "at %s: %s", match->row[row].name,
                   match_falls_row(answer, match, row));
    }
}
