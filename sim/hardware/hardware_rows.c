// SPDX-License-Identifier: MIT
// Ranges of hardware, each with its reason. All are common practice, no source,
// but for the bore of pipes. They are log-uniform, since such values are known to a factor, but for
// those that are known nearly.
#include "hardware/hardware_rows.h"

// Ranges in SI of rows that are multiples of nothing.
#define INCH 0.0254
#define SQUARE_INCH (INCH * INCH)
#define CUBIC_INCH (INCH * INCH * INCH)
#define CUBIC_FOOT (1728.0 * CUBIC_INCH)

// Groups of parts that grow together: the actuator with what feeds it, and the pilot's head.
enum { ALONE, ACTUATOR, PILOT_HEAD };

#define LOG SAMPLE_LOG_UNIFORM

const struct hardware_row hardware_rows[] = {
    {"vessel.volume", HARDWARE_ANY | HARDWARE_BACK_PRESSURE, 5.0 * CUBIC_FOOT, 17.0 * CUBIC_FOOT,
     60.0 * CUBIC_FOOT, HARDWARE_NUMBER, LOG, ALONE, 0.0,
     "gas space of small separators and treaters, with their piping",
     "inside diameter and length of the shell, and the level in its glass"},
    {"vessel.volume", HARDWARE_ANY | HARDWARE_REDUCING, 1.0, 8.0, 100.0, HARDWARE_PIPE, LOG, ALONE,
     0.0, "from the bare header of a burner or two to one with a volume tank or scrubber",
     "lengths and bores of the pipes up to the valves of the users, and the tank's drawing"},

    {"trim.port", HARDWARE_ANY, 0.9, 0.967, 1.0, HARDWARE_BODY, SAMPLE_TRIANGULAR, ALONE, 0.0,
     "a full port is nearly the bore of its body", "size stamped on the seat ring, or a calliper"},
    {"trim.travel", HARDWARE_ANY, 0.2, 0.28, 0.36, HARDWARE_PORT, LOG, ALONE, 0.0,
     "a plug that lifts by a quarter of its port opens as much as the port",
     "way of the stem or indicator from shut to fully open"},
    {"trim.seat_land", HARDWARE_ANY, 0.01, 0.02, 0.04, HARDWARE_SEAT, LOG, ALONE, 0.0,
     "wide enough to bear the seat load, narrow enough to seal",
     "width of the bright ring on the seat"},
    {"trim.discharge", HARDWARE_ANY, 0.6, 0.75, 0.9, HARDWARE_NUMBER, SAMPLE_TRIANGULAR, ALONE, 0.0,
     "of a plug in a globe body", "give the maker's Cv as trim.coefficient instead"},

    {"line_before.bore", HARDWARE_ANY, 0.95, 1.02, 1.06, HARDWARE_BODY, SAMPLE_TRIANGULAR, ALONE,
     0.0, "pipe of the body's size, schedule 80 to 40 (ASME B36.10M; value from memory)",
     "schedule of the pipe, or its outside diameter and wall"},
    {"line_after.bore", HARDWARE_ANY, 0.95, 1.02, 1.06, HARDWARE_BODY, SAMPLE_TRIANGULAR, ALONE,
     0.0, "pipe of the body's size, schedule 80 to 40 (ASME B36.10M; value from memory)",
     "schedule of the pipe, or its outside diameter and wall"},

    {"actuator.diaphragm_area", HARDWARE_PILOT, 3.0, 5.0, 8.0, HARDWARE_PORT_AREA, LOG, ACTUATOR,
     0.9, "has to lift the plug against the drop on its port with a part of it",
     "middle of case and plate diameter, or force over chamber pressure at two travels"},
    {"actuator.diaphragm_area", HARDWARE_DIRECT, 12.0, 20.0, 34.0, HARDWARE_PORT_AREA, LOG,
     ACTUATOR, 0.97, "so large that the drop on the port moves the held pressure little",
     "middle of case and plate diameter"},
    {"actuator.spring_rate", HARDWARE_PILOT, 0.123, 0.232, 0.43, HARDWARE_LOWEST_RATE, LOG,
     ACTUATOR, 0.75, "opens fully at the lowest set pressure, with preload and plug force to spare",
     "chamber pressure at first movement and at full travel, x area / travel"},
    {"actuator.spring_rate", HARDWARE_DIRECT, 0.06, 0.1, 0.17, HARDWARE_SET_RATE, LOG, ACTUATOR,
     0.97, "the held pressure moves by 5 to 20 % of set over the travel",
     "held pressure just open and fully open, x area / travel"},
    {"actuator.preload", HARDWARE_PILOT, 0.05, 0.1, 0.2, HARDWARE_LOWEST_FORCE, LOG, ALONE, 0.0,
     "shuts the plug through its friction, and leaves the most for the travel",
     "chamber pressure at first movement without a drop, x area"},
    {"actuator.moving_mass", HARDWARE_ANY, 1.3, 2.7, 5.5, HARDWARE_BODY_MASS, LOG, ALONE, 0.0,
     "plug, stem, plates and a third of the spring", "weigh it, or its spare part"},
    {"actuator.damping", HARDWARE_ANY, 0.1, 0.25, 0.7, HARDWARE_SPRING_DRAG, LOG, ALONE, 0.0,
     "diaphragm and guides; a few swings of a plug that is let go",
     "count the swings after a tap with the line empty"},
    {"actuator.chamber_volume", HARDWARE_PILOT, 0.6, 1.5, 4.0, HARDWARE_SWEEP, LOG, ACTUATOR, 0.85,
     "the case over the diaphragm, with its tubing",
     "fill the case with water, or inside sizes of the case"},

    {"friction.kinetic", HARDWARE_ANY, 0.0055, 0.011, 0.02, HARDWARE_SPRING_SPAN, LOG, ALONE, 0.0,
     "rising and falling differ by 1 to 5 % of the chamber's span",
     "half the gap between chamber pressure rising and falling, x area / 1.3"},

    {"pilot.moving_mass", HARDWARE_PILOT, 0.05, 0.14, 0.4, HARDWARE_NUMBER, LOG, ALONE, 0.0,
     "diaphragm plates, stem and a third of the spring", "weigh it, or its spare part"},
    {"pilot.damping", HARDWARE_PILOT, 20.0, 65.0, 200.0, HARDWARE_NUMBER, LOG, ALONE, 0.0,
     "diaphragm and stem; hardly matters", "no simple way; look whether it matters first"},
    {"pilot.diaphragm_area", HARDWARE_PILOT, 1.5 * SQUARE_INCH, 2.65 * SQUARE_INCH,
     5.0 * SQUARE_INCH, HARDWARE_NUMBER, LOG, PILOT_HEAD, 0.9, "one pilot serves many bodies",
     "middle of case and plate diameter"},
    {"pilot.feedback_area", HARDWARE_PILOT, 0.15, 0.35, 0.7, HARDWARE_PILOT_AREA, LOG, PILOT_HEAD,
     0.8, "with the pilot's spring it makes the band: 2 to 20 % of set",
     "smaller diaphragm or bellows of the pilot; held pressure at two flows"},
    {"pilot.spring_rate", HARDWARE_PILOT, 2.5, 6.0, 15.0, HARDWARE_PILOT_RATE, LOG, PILOT_HEAD, 0.8,
     "spring and diaphragm give 0.07 to 0.4 in under the set pressure",
     "turns of the screw a psi of set pressure, with its pitch"},
    {"pilot.supply_seat", HARDWARE_BLEED, 0.0145, 0.0185, 0.0235, HARDWARE_PILOT_SEAT, LOG,
     ACTUATOR, 0.85, "a full stroke open takes 1 to 4 s in a 2 or 3 in body",
     "drill shank that fits; seconds from shut to fully open"},
    {"pilot.supply_seat", HARDWARE_THREE_WAY, 0.011, 0.0145, 0.019, HARDWARE_PILOT_SEAT, LOG,
     ACTUATOR, 0.85, "a full stroke open takes 1 to 4 s in a 2 or 3 in body",
     "drill shank that fits; seconds from shut to fully open"},
    {"pilot.bleed", HARDWARE_BLEED, 0.011, 0.015, 0.02, HARDWARE_PILOT_SEAT, LOG, ACTUATOR, 0.85,
     "a full stroke shut takes 1 to 6 s in a 2 or 3 in body",
     "drill shank that fits; seconds from fully open to shut"},
    {"pilot.bleed", HARDWARE_THREE_WAY, 0.013, 0.017, 0.023, HARDWARE_PILOT_SEAT, LOG, ACTUATOR,
     0.85, "a full stroke shut takes 1 to 6 s in a 2 or 3 in body",
     "drill shank that fits; seconds from fully open to shut"},
    {"pilot.travel", HARDWARE_PILOT, 0.25, 0.4, 0.8, HARDWARE_SUPPLY_SEAT, LOG, ALONE, 0.0,
     "a quarter of the supply seat opens it fully",
     "way between the pilot's stops, by depth gauge"},
    {"pilot.exhaust_lap", HARDWARE_THREE_WAY, 0.3, 0.55, 0.9, HARDWARE_PILOT_TRAVEL, LOG, ALONE,
     0.0, "between the two seats both are open",
     "way of the pilot's stem until the exhaust is quiet"},

    {"sense.bore", HARDWARE_ANY, 0.1 * INCH, 0.15 * INCH, 0.3 * INCH, HARDWARE_NUMBER, LOG, ALONE,
     0.0, "the narrowest fitting of 1/4 to 3/8 in tubing", "drill shank that fits"},
    {"sense.cavity_volume", HARDWARE_PILOT, CUBIC_INCH, 2.2 * CUBIC_INCH, 8.0 * CUBIC_INCH,
     HARDWARE_NUMBER, LOG, ALONE, 0.0, "under the pilot's diaphragm, with the line's own volume",
     "length and bore of the line, and the pilot's case"},
    {"sense.cavity_volume", HARDWARE_DIRECT, 1.6, 2.4, 4.0, HARDWARE_SWEEP, LOG, ACTUATOR, 0.97,
     "under the diaphragm, more than it sweeps, with the line's own volume",
     "inside sizes of the case"},
};

const size_t hardware_row_count = sizeof hardware_rows / sizeof hardware_rows[0];
