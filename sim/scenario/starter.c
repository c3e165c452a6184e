// SPDX-License-Identifier: MIT
#include "scenario/starter.h"

#include "scenario/starter_read.h"

#include <math.h>
#include <string.h>

// The regulator everything is scaled from, invented for this purpose: body 3 in, port 2.9 in.
#define BASE_TRAVEL_SHARE 0.29   // travel over port
#define BASE_AREA_SHARE 3.2      // diaphragm over port area
#define BASE_SPRING_SHARE 1.2    // spring force over travel, share of the drop on the diaphragm
#define BASE_PRELOAD_SHARE 0.068 // preload, share of the drop on the diaphragm
#define BASE_CHAMBER_SHARE 2.4   // chamber over the volume the diaphragm sweeps
#define BASE_DAMPING_SHARE 0.25  // damping over sqrt(spring rate x mass)
#define BASE_DIRECT_DROOP 0.1    // direct: rise of pressure that opens fully, share of gauge set
#define BASE_CAVITY_SHARE 1.5    // direct: room under the diaphragm over what it sweeps
#define BASE_BODY 0.0762         // [m]
#define BASE_MASS 2.68           // [kg]
#define BASE_MASS_POWER 2.5      // mass over body size
#define BASE_DROP_MAX 350e3      // a loading pressure beyond this is not used [Pa]

struct starter {
    FILE *out;
    bool us; // units of what is filled in
    struct unit_context site;
    double body;    // [m]
    double port;    // [m]
    double set;     // [Pa]
    double other;   // [Pa]
    double travel;  // [m]
    double area;    // [m2]
    double mass;    // [kg]
    double rate;    // [N/m]
    double preload; // [N]
};

static void starter_scale(struct starter *s, const struct starter_inputs *inputs) {
    const double drop = fmin(fabs(s->set - s->other), BASE_DROP_MAX);
    s->port = STARTER_PORT_SHARE * s->body;
    s->travel = BASE_TRAVEL_SHARE * s->port;
    s->area = BASE_AREA_SHARE * 0.25 * 3.14159265358979 * s->port * s->port;
    s->mass = BASE_MASS * pow(s->body / BASE_BODY, BASE_MASS_POWER);
    s->rate = BASE_SPRING_SHARE * drop * s->area / s->travel;
    s->preload = BASE_PRELOAD_SHARE * drop * s->area;
    if (inputs->actuation == ACTUATION_DIRECT) {
        s->rate = BASE_DIRECT_DROOP * fmax(s->set - s->site.atmosphere, 0.1 * s->set) * s->area /
                  s->travel;
    }
}

// Fills in the other pressure where it is not known, and scales.
static bool starter_prepare(struct starter *s, const struct starter_inputs *inputs,
                            struct diagnostics *list) {
    struct starter_known known;
    if (!starter_read(inputs, &known, list)) {
        return false;
    }
    s->us = known.us;
    s->site = known.site;
    s->body = known.body;
    s->set = known.set;
    s->other = known.other;
    if (!inputs->other_pressure) {
        s->other = inputs->duty == DUTY_BACK_PRESSURE
                       ? s->site.atmosphere + 0.3 * fmax(s->set - s->site.atmosphere, 0.0)
                       : 2.0 * s->set;
    }
    starter_scale(s, inputs);
    return true;
}

static void starter_number(double value, char *text, size_t size) {
    if (fabs(value) >= 1000.0) {
        snprintf(text, size, "%.0f", value);
    } else {
        snprintf(text, size, "%.3g", value);
    }
}

// One guessed line; the value is given in SI and written in the unit of the house.
static void starter_guess(const struct starter *s, const char *name, enum unit_kind kind, double si,
                          const char *why) {
    const char *token = units_preferred(kind, s->us ? UNITS_US : UNITS_METRIC, false);
    if (kind == UNIT_VOLUME) {
        token = s->us ? "in3" : "cm3";
    }
    char number[32];
    starter_number(units_from_si(&s->site, kind, token, si), number, sizeof number);
    fprintf(s->out, "  %s: about %s%s%s  # %s\n", name, number, token[0] ? " " : "", token, why);
}

static void starter_service(const struct starter *s, const struct starter_inputs *inputs) {
    const bool back = inputs->duty == DUTY_BACK_PRESSURE;
    fprintf(s->out, "# A first scenario. What was given stands as it is; every value after `about` "
                    "is a guess:\n"
                    "# replace the guesses you can measure, beginning with the trim and the "
                    "actuator.\n");
    fprintf(s->out, "title: %s %s regulator, %s\n", inputs->body,
            back ? "back-pressure" : "reducing",
            inputs->actuation == ACTUATION_PILOT ? "pilot-loaded" : "direct-acting");
    fprintf(s->out, "duty: %s\nactuation: %s\n", back ? "back-pressure" : "reducing",
            inputs->actuation == ACTUATION_PILOT ? "pilot" : "direct");
    if (inputs->altitude) {
        fprintf(s->out, "\nsite:\n  altitude: %s\n", inputs->altitude);
    }
    fputs("\nfluid:\n", s->out);
    fputs("  gravity: {value: 0.65, low: 0.6, high: 0.75, guess: yes}  # a common separator gas\n",
          s->out);
    starter_guess(s, "temperature", UNIT_TEMPERATURE, 299.82, "a warm day");
    fprintf(s->out, "\nvessel:\n  volume: %s\n", inputs->vessel);
    if (inputs->limit) {
        fprintf(s->out, "  pressure_limit: %s\n", inputs->limit);
    }
    fprintf(s->out, "\n%s:\n  rate: %s\n", back ? "inflow" : "demand", inputs->flow);
    fprintf(s->out, "\n%s:\n", back ? "downstream" : "inlet");
    if (inputs->other_pressure) {
        fprintf(s->out, "  pressure: %s\n", inputs->other_pressure);
    } else {
        starter_guess(s, "pressure", UNIT_PRESSURE_LEVEL, s->other,
                      back ? "0.3 of the set pressure" : "twice the set pressure, absolute");
    }
    fprintf(s->out, "\nset:\n  pressure: %s\n", inputs->set_pressure);
    fputs("  adjusted: at-flow  # the screw was turned until the gauge read it\n", s->out);
    if (inputs->lowest) {
        fprintf(s->out, "\nenvelope:\n  lowest: %s\n  normal: %s\n  peak: %s\n", inputs->lowest,
                inputs->flow, inputs->peak);
    }
}

static void starter_trim(const struct starter *s, const struct starter_inputs *inputs) {
    fputs("\ntrim:\n", s->out);
    starter_guess(s, "port", UNIT_LENGTH, s->port, "0.967 of the body: full port");
    starter_guess(s, "travel", UNIT_LENGTH, s->travel, "0.29 of the full port");
    starter_guess(s, "seat_land", UNIT_LENGTH, 0.01 * s->port, "0.01 of the full port");
    for (size_t i = 0; i < inputs->port_count; i++) {
        if (i == 0) {
            fprintf(s->out, "\ntrims:\n  full: {}\n  reduced: {port: %s}\n", inputs->port[i]);
        } else {
            fprintf(s->out, "  reduced-%zu: {port: %s}\n", i + 1, inputs->port[i]);
        }
    }
}

static void starter_actuator(const struct starter *s, const struct starter_inputs *inputs) {
    const bool pilot = inputs->actuation == ACTUATION_PILOT;
    fputs("\nactuator:\n", s->out);
    starter_guess(s, "diaphragm_area", UNIT_AREA, s->area, "3.2 times the full port's area");
    starter_guess(s, "spring_rate", UNIT_STIFFNESS, s->rate,
                  pilot ? "1.2 of the drop on the diaphragm opens it fully"
                        : "10 % of the set pressure opens it fully");
    if (pilot) {
        starter_guess(s, "preload", UNIT_FORCE, s->preload, "0.068 of the drop on the diaphragm");
    }
    starter_guess(s, "moving_mass", UNIT_MASS, s->mass, "5.9 lb at 3 in, power 2.5 of the body");
    starter_guess(s, "damping", UNIT_DAMPING, BASE_DAMPING_SHARE * sqrt(s->rate * s->mass),
                  "0.25 of sqrt(spring rate x mass)");
    if (pilot) {
        starter_guess(s, "chamber_volume", UNIT_VOLUME, BASE_CHAMBER_SHARE * s->area * s->travel,
                      "2.4 times what the diaphragm sweeps");
    }
    if (pilot) {
        fputs("  case: downstream  # the spring side sees what the pilot exhausts to\n", s->out);
    }
    fputs("\nfriction:\n", s->out);
    starter_guess(s, "kinetic", UNIT_FORCE, 22.0 * s->body / BASE_BODY,
                  "5 lbf at 3 in, in proportion to the body");
}

static void starter_pilot(const struct starter *s) {
    const char *same = "one pilot for all bodies";
    fputs("\npilot:\n", s->out);
    starter_guess(s, "moving_mass", UNIT_MASS, 0.14, same);
    starter_guess(s, "damping", UNIT_DAMPING, 65.0, same);
    starter_guess(s, "spring_rate", UNIT_STIFFNESS, 6.39e5, same);
    starter_guess(s, "travel", UNIT_LENGTH, 0.762e-3, same);
    starter_guess(s, "diaphragm_area", UNIT_AREA, 17.1e-4, same);
    starter_guess(s, "feedback_area", UNIT_AREA, 10.06e-4, "0.6 of the pilot's diaphragm");
    starter_guess(s, "supply_seat", UNIT_LENGTH, 1.93e-3, same);
    starter_guess(s, "bleed", UNIT_LENGTH, 1.42e-3, same);
}

bool starter_write(FILE *out, const struct starter_inputs *inputs, struct diagnostics *list) {
    struct starter s = {.out = out};
    if (!starter_prepare(&s, inputs, list)) {
        return false;
    }
    starter_service(&s, inputs);
    starter_trim(&s, inputs);
    starter_actuator(&s, inputs);
    if (inputs->actuation == ACTUATION_PILOT) {
        starter_pilot(&s);
    }
    fputs("\nsense:\n", out);
    starter_guess(&s, "bore", UNIT_LENGTH, 3.81e-3, "the narrowest fitting of the sense line");
    if (inputs->actuation == ACTUATION_DIRECT) {
        starter_guess(&s, "cavity_volume", UNIT_VOLUME,
                      36e-6 + BASE_CAVITY_SHARE * s.area * s.travel,
                      "1.5 times what the diaphragm sweeps, and the line");
    } else {
        starter_guess(&s, "cavity_volume", UNIT_VOLUME, 36e-6,
                      "2.2 in3 with the line's own volume");
    }
    fputs("\nstart:\n", out);
    starter_guess(&s, "kick_pressure", UNIT_PRESSURE_DROP,
                  0.06 * fmax(s.set - s.site.atmosphere, 0.1 * s.set),
                  "6 % of the set pressure: does a disturbance die out?");
    return true;
}
