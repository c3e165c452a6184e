// SPDX-License-Identifier: MIT
// The numbers that define the verdicts. Their values, units and reasons stand in the one table of
// verdict_table.c; no file that judges has a limit of its own.
#pragma once

#include <stdio.h>

struct verdict_limits {
    // Rest
    double steady_pressure; // swing that counts as rest, share of set pressure [-]
    double steady_travel;   // swing that counts as rest, share of rated travel [-]
    double scale_floor;     // the least set pressure that shares refer to, in atmospheres [-]
    double drift_time;      // time in which a drift must stay below those shares [s]
    double quiet_time;      // least time at rest [s]
    double quiet_periods;   // least time at rest, in periods [-]
    double quiet_share;     // least time at rest, share of the time since `from` [-]
    double quiet_schedules; // least time at rest, in periods of a schedule [-]
    double quiet_first;     // share of the record in which to look for rest first, at most [-]
    double ringing_damping; // damping ratio below which a decay is ringing [-]
    double settling_swings; // least number of swings of a decay without a trend [-]
    // Trends of decay and growth
    double trend_swings;       // least number of swings that make a trend [-]
    double trend_longest;      // longest trend looked for, in multiples of the shortest [-]
    double trend_floor_rest;   // least swing looked at, share of that of rest [-]
    double trend_floor_window; // least swing looked at, share of that in the quiet window [-]
    double trend_ripple;       // a swing below this share of the next one is a ripple [-]
    double trend_scatter;      // largest scatter of ln(swing) and of the period [-]
    double trend_over_scatter; // least change of ln(swing) over that scatter [-]
    double trend_least;        // least change of ln(swing) [-]
    double trend_persists;     // least slope of the later half over that of the earlier [-]
    double trend_seen;         // ln of the ratio over which a change must have been seen [-]
    double trend_reach;        // swing over that of rest from which a trend may be followed on [-]
    // Cycles
    double cycle_repeats;         // cycles that must agree [-]
    double cycle_tolerance;       // how closely, share of swing, period [-]
    double cycle_speed_tolerance; // how closely, share of contact speed [-]
    double cycle_floor;           // differences below this share of the swing of rest are none [-]
    double cycle_time_floor;    // differences of periods below this share of a sample are none [-]
    double cycle_samples;       // least number of samples a cycle [-]
    double cycle_pattern;       // cycles after which a motion may repeat at most [-]
    double cycle_band;          // way of a rise on each side of the middle, share of the range [-]
    double change_part;         // the last one of so many parts is looked at for a change [-]
    double change_least;        // change of ln(swing) that is one [-]
    double change_over_scatter; // least change over its scatter [-]
    double change_persists;     // least slope of the later half over that of the earlier [-]
    // Irregular motion
    double motion_share;        // last share of the record in which what keeps moving is judged [-]
    double irregular_cycles;    // least number of cycles or contacts before motion is irregular [-]
    double irregular_least;     // the same at the end of the run [-]
    double irregular_tolerance; // agreement of the statistics of two windows [-]
    double irregular_contacts;  // contacts that two windows may differ by anyway [-]
    double irregular_trend;     // length of a trend that forbids it, in shortest trends [-]
    // Schedules
    double schedule_periods;  // periods of a schedule that must agree [-]
    double schedule_pattern;  // periods after which a motion may repeat at most [-]
    double sustained_swings;  // swings that make an oscillation within one period [-]
    double sustained_floor;   // least swing looked at, share of that of the period [-]
    double sustained_spacing; // largest scatter of the times between its turning points [-]
    double sustained_damping; // largest damping ratio, share of ringing_damping [-]
    // Contacts and the ends of the travel
    double contact_separation; // separation before a new contact, share of rated travel [-]
    double chatter_rate;       // contacts a minute above which slamming is chatter [1/min]
    double last_share;         // last share of the record that is judged at the end of a run [-]
    double last_contacts;      // contacts in it that are slamming without a cycle [-]
    double open_travel;        // travel that counts as wide open, share of rated travel [-]
    double shut_travel;        // travel that counts as shut, share of rated travel [-]
    double
        stuck_pressure; // off the set pressure with the plug on its seat, share of set (gauge) [-]
    // Blows on the seat, as shares of the load at rest on it
    double blow_least;   // peak force of a blow; below it a contact is a touch [-]
    double hammer_least; // peak force of a hammer [-]
    // When to judge
    double judge_first;  // samples before the first judgement [-]
    double judge_growth; // growth of the record until the next [-]
};

struct verdict_limits verdict_limits_default(void);

// Names each limit in a table of number, unit and reason. Returns the error state of the stream.
int verdict_limits_print(FILE *stream, const struct verdict_limits *limits);
