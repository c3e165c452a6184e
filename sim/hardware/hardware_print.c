// SPDX-License-Identifier: MIT
#include "field/field.h"
#include "hardware/hardware.h"

#include <string.h>

#define INCH 0.0254
#define PSI 6894.757293168361

static const double bodies[] = {1.0, 2.0, 3.0, 4.0, 6.0}; // [in]
#define SHOWN_SET 50.0                                    // [psig]

static const struct unit_context plain = {.atmosphere = 101325.0};

static void print_ends(FILE *out, enum unit_kind kind, const char *unit,
                       const struct sample_range *range) {
    fprintf(out, "%.3g, %.3g, %.3g%s%s", units_from_si(&plain, kind, unit, range->low),
            units_from_si(&plain, kind, unit, range->middle),
            units_from_si(&plain, kind, unit, range->high), unit[0] ? " " : "", unit);
}

static const char *builds_of(enum hardware_builds builds) {
    return builds & HARDWARE_BACK_PRESSURE ? "back-pressure, pilot or direct"
           : builds & HARDWARE_REDUCING    ? "reducing, pilot or direct"
           : builds == HARDWARE_ANY        ? "pilot or direct"
           : builds == HARDWARE_PILOT      ? "pilot"
           : builds == HARDWARE_DIRECT     ? "direct"
           : builds == HARDWARE_THREE_WAY  ? "three-way pilot"
                                           : "pilot with a bleed";
}

// One of the builds a row belongs to.
static enum hardware_builds kind_of(const struct hardware_row *row) {
    return row->builds & HARDWARE_BLEED       ? HARDWARE_BLEED
           : row->builds & HARDWARE_THREE_WAY ? HARDWARE_THREE_WAY
                                              : HARDWARE_DIRECT;
}

static void print_row(FILE *out, const struct hardware_row *row) {
    const enum unit_kind kind = field_at(field_index_of(row->field))->kind;
    const char *unit =
        kind == UNIT_VOLUME
            ? row->scale == HARDWARE_PIPE || (row->typical > 0.01 && row->scale == HARDWARE_NUMBER)
                  ? "ft3"
                  : "in3"
            : units_preferred(kind, UNITS_US, false);
    fprintf(out, "\n%s (%s)\n", row->field, builds_of(row->builds));
    struct hardware_build build = {.kind = kind_of(row), .set = SHOWN_SET * PSI};
    if (row->scale == HARDWARE_NUMBER) {
        const struct sample_range range = hardware_range(row, &build);
        fputs("  range    ", out);
        print_ends(out, kind, unit, &range);
        fprintf(out, "; %s\n", sample_shape_name(row->shape));
    } else {
        fprintf(out, "  range    %.3g, %.3g, %.3g of: %s; %s\n", row->low, row->typical, row->high,
                hardware_scale_name(row->scale), sample_shape_name(row->shape));
        for (size_t i = 0; i < sizeof bodies / sizeof bodies[0]; i++) {
            build.body = bodies[i] * INCH;
            build.port = hardware_port(build.body);
            const struct sample_range range = hardware_range(row, &build);
            fprintf(out, "    %.0f in   ", bodies[i]);
            print_ends(out, kind, unit, &range);
            fputc('\n', out);
        }
    }
    fprintf(out, "  why      %s\n  measure  %s\n", row->reason, row->measure);
}

static bool is_in(const struct hardware_row *row, const char *section) {
    const size_t length = section ? strlen(section) : 0;
    return !section || (strncmp(row->field, section, length) == 0 && row->field[length] == '.');
}

static void print_ties(FILE *out, const char *section) {
    const char *heading =
        "\nParts whose sizes go together, with the rank correlation of their draws:\n";
    for (size_t i = 0; i < hardware_count(); i++) {
        for (size_t k = i + 1; k < hardware_count(); k++) {
            const struct hardware_row *a = hardware_at(i), *b = hardware_at(k);
            // Both kinds of pilots are tied alike: those with a bleed stand for them.
            const int builds = a->builds & b->builds & (HARDWARE_BLEED | HARDWARE_DIRECT);
            const double tie = builds ? hardware_tie(a, b) : 0.0;
            if (tie != 0.0 && (is_in(a, section) || is_in(b, section))) {
                fprintf(out, "%s  %-24s %-24s %.2f (%s)\n", heading, a->field, b->field, tie,
                        builds & HARDWARE_BLEED ? "pilot" : "direct");
                heading = "";
            }
        }
    }
}

void hardware_print(FILE *out, const char *section) {
    fprintf(
        out,
        "Hardware that exists: low, typical and high value of what nobody has measured. All are\n"
        "common practice, no source. Nothing here depends on the pressure drop or flow of today.\n"
        "A body serves from %.0f psig up, or from its set pressure if that is lower. Bodies with\n"
        "a full port, set at %.0f psig.\n",
        HARDWARE_LOWEST_SET / PSI, SHOWN_SET);
    for (size_t i = 0; i < hardware_count(); i++) {
        if (is_in(hardware_at(i), section)) {
            print_row(out, hardware_at(i));
        }
    }
    print_ties(out, section);
}
