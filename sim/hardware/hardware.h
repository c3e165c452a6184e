// SPDX-License-Identifier: MIT
// Hardware that exists: between which values the parts of a regulator lie when nobody has measured
// them, by the trade's own logic. Each range says why, and how to measure the value on site. The
// body serves from the lowest set pressure of its range, so nothing here depends on the pressure
// drop or the flow of today.
//
// Ranges are common practice, no source, unless a row says otherwise; they are wide for that
// reason. `lowlift fields --hardware` prints them, `starter` writes them, `uncertainty` draws from
// them.
#pragma once

#include "maths/sample_plan.h"
#include "models/regulator.h"

#include <stdbool.h>
#include <stdio.h>

// A body is built to open fully from this set pressure up [Pa gauge]; 20 psi: common practice, no
// source. A regulator set lower serves from where it is set.
#define HARDWARE_LOWEST_SET (20.0 * 6894.757293168361)

// What a range is a multiple of. Lengths, areas, volumes, forces in SI.
enum hardware_scale {
    HARDWARE_NUMBER,       // one, in the unit of the row
    HARDWARE_BODY,         // nominal size of the body
    HARDWARE_SEAT,         // diameter of the port that is in it
    HARDWARE_PORT,         // diameter of the body's full port, for which its actuator is made
    HARDWARE_PORT_AREA,    // area of the body's full port
    HARDWARE_PILOT_SEAT,   // that port's diameter x (body / 2.5 in)^(1/4): strokes take longer in
                           // large bodies, as the square root of the size
    HARDWARE_SWEEP,        // what the typical diaphragm sweeps over the typical travel
    HARDWARE_LOWEST_RATE,  // lowest set pressure on the typical diaphragm, over the typical travel
    HARDWARE_LOWEST_FORCE, // lowest set pressure on the typical diaphragm
    HARDWARE_SET_RATE,     // set pressure on the typical diaphragm, over the typical travel
    HARDWARE_SPRING_SPAN,  // force of the typical spring over the typical travel
    HARDWARE_BODY_MASS,    // 1 kg at 3 in, with the power 2.5 of the body
    HARDWARE_SPRING_DRAG,  // square root of typical spring rate and moving mass
    HARDWARE_PILOT_AREA,   // the pilot's typical diaphragm
    HARDWARE_PILOT_RATE,   // set pressure on the pilot's typical diaphragm, over 1 in
    HARDWARE_PIPE,         // ten feet of pipe of the body's size: its volume
    HARDWARE_SUPPLY_SEAT,  // diameter of the pilot's typical supply seat
    HARDWARE_PILOT_TRAVEL, // the pilot's typical travel
    HARDWARE_SCALE_COUNT
};

// Builds a row belongs to, or'ed. A row that names neither duty belongs to both.
enum hardware_builds {
    HARDWARE_BLEED = 1,     // loaded by a pilot with a fixed bleed
    HARDWARE_THREE_WAY = 2, // by a three-way pilot
    HARDWARE_DIRECT = 4,
    HARDWARE_BACK_PRESSURE = 8,
    HARDWARE_REDUCING = 16,
    HARDWARE_PILOT = HARDWARE_BLEED | HARDWARE_THREE_WAY,
    HARDWARE_ANY = HARDWARE_PILOT | HARDWARE_DIRECT,
    HARDWARE_DUTY = HARDWARE_BACK_PRESSURE | HARDWARE_REDUCING
};

struct hardware_row {
    const char *field; // "section.name"
    enum hardware_builds builds;
    double low, typical, high; // multiples of the scale
    enum hardware_scale scale;
    enum sample_shape shape;
    // Parts that geometry ties: two rows of one group have rank correlation tie x tie. Group 0 is
    // none.
    int group;
    double tie;
    const char *reason;
    const char *measure; // how, on site
};

// What is known of a regulator before anything is measured.
struct hardware_build {
    enum hardware_builds kind; // of hardware_kind
    double body;               // [m]
    double port;               // that is in it; a smaller one keeps the actuator of the body [m]
    double set;                // [Pa gauge], above 0
};

size_t hardware_count(void);
const struct hardware_row *hardware_at(size_t index); // NULL beyond the last

// How it is moved and what it holds: one build, or'ed with one duty.
enum hardware_builds hardware_kind(enum regulator_actuation actuation, enum pilot_exhaust exhaust,
                                   enum regulator_duty duty);

// Does a row belong to such a regulator?
bool hardware_belongs(const struct hardware_row *row, enum hardware_builds kind);

// Row of a field for a build; NULL when the table does not know it.
const struct hardware_row *hardware_find(const char *field, enum hardware_builds kind);

// Range of a row for a build, in SI.
struct sample_range hardware_range(const struct hardware_row *row,
                                   const struct hardware_build *build);

// "port diameter", "port area": what the range of a row is a multiple of; "" for a plain number.
const char *hardware_scale_name(enum hardware_scale scale);

// Rank correlation that geometry gives two rows; 0: none.
double hardware_tie(const struct hardware_row *a, const struct hardware_row *b);

// Full port of a body whose port nobody has named [m].
double hardware_port(double body);

// The table for a person, with the ranges of some common body sizes: all of it (section NULL), or
// the rows of a section.
void hardware_print(FILE *out, const char *section);
