// SPDX-License-Identifier: MIT
#include "run/blow.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

double blow_load(const struct simulation *s) {
    const struct regulator *r = &s->start.regulator;
    const struct regulator_mode mode = regulator_mode_at(r, s->start.kick_end);
    const double force = regulator_static_shut_force(r, &mode, s->start.kick_end);
    return force < 0.0 ? -force : (double)NAN;
}

double blow_share(const struct simulation *s) {
    return s->seat_force > 0.0 ? s->seat_force / blow_load(s) : (double)NAN;
}

enum blow blow_grade(const struct simulation *s) {
    const double share = blow_share(s);
    return !isfinite(share)                 ? BLOW_NONE
           : share < s->limits.blow_least   ? BLOW_TOUCH
           : share < s->limits.hammer_least ? BLOW_BLOW
                                            : BLOW_HAMMER;
}

const char *blow_name(enum blow blow) {
    static const char *const name[] = {"", "touch", "blow", "hammer"};
    return name[blow];
}

double blow_fastest(const struct simulation *s) {
    double fastest = (double)NAN;
    for (size_t i = 0; i < s->seat_count; i++) {
        fastest = fmax(fastest, s->seat[i].speed);
    }
    return fastest;
}

double blow_seated(const struct simulation *s) {
    const double start = s->judged.figures.window_start;
    const double shut = s->limits.shut_travel * s->start.regulator.parameters.trim.rated_travel;
    size_t seen = 0, seated = 0;
    for (size_t i = 0; i < s->count; i++) {
        if ((double)i * s->step >= start) {
            seen++;
            seated += s->channel[CHANNEL_TRAVEL][i] <= shut;
        }
    }
    return seen > 0 && s->seat_count > 0 ? (double)seated / (double)seen : (double)NAN;
}

void blow_say(struct simulation *s) {
    const enum verdict verdict = s->judged.verdict;
    const enum blow blow = blow_grade(s);
    if ((verdict != VERDICT_SLAMMING && verdict != VERDICT_CHATTER) || blow == BLOW_NONE) {
        return;
    }
    const size_t used = strlen(s->judged.reason);
    snprintf(s->judged.reason + used, sizeof s->judged.reason - used,
             "; the hardest is a %s, %.2g times the load at rest there", blow_name(blow),
             blow_share(s));
}
