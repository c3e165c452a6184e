// SPDX-License-Identifier: MIT
#include "hardware/starter.h"

#include "field/field.h"
#include "hardware/hardware.h"
#include "hardware/starter_read.h"

#include <math.h>
#include <string.h>

struct starter {
    FILE *out;
    bool us; // units of what is filled in
    struct unit_context site;
    struct starter_known known;
    double other; // [Pa]
    struct hardware_build build;
};

// Fills in the other pressure where it is not known. A gauge set pressure of nothing, or a vacuum,
// counts as a tenth of the absolute one.
static bool starter_prepare(struct starter *s, const struct starter_inputs *inputs,
                            struct diagnostics *list) {
    if (!starter_read(inputs, &s->known, list)) {
        return false;
    }
    const struct starter_known *known = &s->known;
    s->us = known->us;
    s->site = known->site;
    s->other = known->other;
    if (!inputs->other_pressure) {
        s->other = inputs->duty == DUTY_BACK_PRESSURE
                       ? s->site.atmosphere + 0.3 * fmax(known->set - s->site.atmosphere, 0.0)
                       : 2.0 * known->set;
    }
    s->build = (struct hardware_build){
        .kind = hardware_kind(inputs->actuation,
                              inputs->three_way ? EXHAUST_THREE_WAY : EXHAUST_BLEED, inputs->duty),
        .body = known->body,
        .port = known->port,
        .set = fmax(known->set - s->site.atmosphere, 0.1 * known->set),
    };
    return true;
}

static void starter_number(double value, char *text, size_t size) {
    if (fabs(value) >= 1000.0) {
        snprintf(text, size, "%.0f", value);
    } else {
        snprintf(text, size, "%.3g", value);
    }
}

static const char *starter_unit(const struct starter *s, enum unit_kind kind) {
    return kind == UNIT_VOLUME ? s->us ? "in3" : "cm3"
                               : units_preferred(kind, s->us ? UNITS_US : UNITS_METRIC, false);
}

// A value in SI, written in the unit of the house.
static void starter_value(const struct starter *s, enum unit_kind kind, const char *unit,
                          double si) {
    char number[32];
    starter_number(units_from_si(&s->site, kind, unit, si), number, sizeof number);
    fprintf(s->out, "%s%s%s", number, unit[0] ? " " : "", unit);
}

// One guessed line without a range.
static void starter_guess(const struct starter *s, const char *name, enum unit_kind kind, double si,
                          const char *why) {
    fprintf(s->out, "  %s: about ", name);
    starter_value(s, kind, starter_unit(s, kind), si);
    fprintf(s->out, "  # %s\n", why);
}

// A guess with its range.
static void starter_range(const struct starter *s, const char *name, enum unit_kind kind,
                          const struct sample_range *range) {
    const char *unit = starter_unit(s, kind);
    if (kind == UNIT_VOLUME && range->low > 0.01) { // a vessel's
        unit = s->us ? "ft3" : "m3";
    }
    fprintf(s->out, "  %s: {value: ", name);
    starter_value(s, kind, unit, range->middle);
    fputs(", low: ", s->out);
    starter_value(s, kind, unit, range->low);
    fputs(", high: ", s->out);
    starter_value(s, kind, unit, range->high);
    fputs(", guess: yes}\n", s->out);
}

// All that the table of hardware knows of a section for this build, with its reasons, but for one
// field that was given.
static void starter_hardware(const struct starter *s, const char *section, const char *given) {
    const size_t length = strlen(section);
    for (size_t i = 0; i < hardware_count(); i++) {
        const struct hardware_row *row = hardware_at(i);
        if (strncmp(row->field, section, length) != 0 || row->field[length] != '.' ||
            !hardware_belongs(row, s->build.kind) || (given && strcmp(given, row->field) == 0)) {
            continue;
        }
        const struct sample_range range = hardware_range(row, &s->build);
        const enum unit_kind kind = field_at(field_index_of(row->field))->kind;
        fprintf(s->out, "  # %s;\n  # measure: %s\n", row->reason, row->measure);
        starter_range(s, row->field + length + 1, kind, &range);
    }
}

static void starter_vessel(const struct starter *s, const struct starter_inputs *inputs) {
    const struct starter_known *known = &s->known;
    fputs("\nvessel:\n", s->out);
    if (known->gas_space > 0.0) {
        fprintf(s->out,
                "  # gas space of a %s shell, %s, liquid to %s of its height, heads left out\n",
                inputs->vessel, inputs->horizontal ? "horizontal" : "vertical",
                inputs->level ? inputs->level : "1/3 (1/6 to 2/3: look at the level glass)");
    }
    if (known->gas_low < known->gas_high) {
        starter_range(s, "volume", UNIT_VOLUME,
                      &(struct sample_range){.low = known->gas_low,
                                             .middle = known->gas_space,
                                             .high = known->gas_high});
    } else if (known->gas_space > 0.0) {
        const char *unit = s->us ? "ft3" : "m3";
        fprintf(s->out, "  volume: %.5g %s\n",
                units_from_si(&s->site, UNIT_VOLUME, unit, known->gas_space), unit);
    } else {
        fprintf(s->out, "  volume: %s\n", inputs->vessel);
    }
    if (inputs->limit) {
        fprintf(s->out, "  pressure_limit: %s\n", inputs->limit);
    }
}

static void starter_service(const struct starter *s, const struct starter_inputs *inputs) {
    const bool back = inputs->duty == DUTY_BACK_PRESSURE;
    fputs(
        "# A first scenario. What was given stands as it is. Every value with `low` and `high`, or "
        "after\n# `about`, is a guess: a range of hardware that exists. Replace those you can "
        "measure by\n# what you find, beginning with the trim and the actuator.\n",
        s->out);
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
    starter_vessel(s, inputs);
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
    if (inputs->full) {
        fprintf(s->out, "  port: %s\n", inputs->full);
    }
    starter_hardware(s, "trim", inputs->full ? "trim.port" : NULL);
    for (size_t i = 0; i < inputs->port_count; i++) {
        if (i == 0) {
            fprintf(s->out, "\ntrims:\n  full: {}\n  reduced: {port: %s}\n", inputs->port[i]);
        } else {
            fprintf(s->out, "  reduced-%zu: {port: %s}\n", i + 1, inputs->port[i]);
        }
    }
}

// A pipe of the body's size.
static void starter_pipe(const struct starter *s, const char *section, const char *length) {
    if (length) {
        fprintf(s->out, "\n%s:\n  length: %s\n", section, length);
        starter_hardware(s, section, NULL);
    }
}

// What was seen. Where nobody said it, how to say it: lines to be completed.
static void starter_seen(const struct starter *s, const struct starter_inputs *inputs) {
    const char *off = inputs->seen || inputs->quiet_at ? "" : "# ";
    fprintf(
        s->out,
        "\n# What was seen or heard on site at which flow: `lowlift match` keeps the regulators "
        "that do so.\n# What else was different then stands in the row, such as %s: 40 psig or\n"
        "# trim.port: 2 in.%s\n%sobserved:\n",
        inputs->duty == DUTY_BACK_PRESSURE ? "downstream.pressure" : "inlet.pressure",
        off[0] ? " To say it, take away the # of the next lines and change them." : "", off);
    if (inputs->quiet_at) {
        fprintf(s->out, "  - {flow: %s, seen: quiet}\n", inputs->quiet_at);
    }
    if (inputs->seen || off[0]) {
        fprintf(s->out, "%s  - {flow: %s, seen: %s}\n", off, inputs->flow,
                inputs->seen ? inputs->seen : "hits its seat");
    }
}

static void starter_parts(const struct starter *s) {
    const bool pilot = !(s->build.kind & HARDWARE_DIRECT);
    fputs("\nactuator:\n", s->out);
    starter_hardware(s, "actuator", NULL);
    if (pilot) {
        fputs("  case: downstream  # the spring side sees what the pilot exhausts to\n", s->out);
    }
    fputs("\nfriction:\n", s->out);
    starter_hardware(s, "friction", NULL);
    if (pilot) {
        fprintf(s->out, "\npilot:\n  exhaust: %s\n",
                s->build.kind & HARDWARE_THREE_WAY ? "three-way" : "bleed");
        starter_hardware(s, "pilot", NULL);
    }
    fputs("\nsense:\n", s->out);
    starter_hardware(s, "sense", NULL);
}

bool starter_write(FILE *out, const struct starter_inputs *inputs, struct diagnostics *list) {
    struct starter s = {.out = out};
    if (!starter_prepare(&s, inputs, list)) {
        return false;
    }
    starter_service(&s, inputs);
    starter_trim(&s, inputs);
    starter_pipe(&s, "line_before", inputs->pipe_before);
    starter_pipe(&s, "line_after", inputs->pipe_after);
    starter_parts(&s);
    fputs("\nstart:\n", out);
    starter_guess(&s, "kick_pressure", UNIT_PRESSURE_DROP, 0.06 * s.build.set,
                  "6 % of the set pressure: does a disturbance die out?");
    starter_seen(&s, inputs);
    return true;
}
