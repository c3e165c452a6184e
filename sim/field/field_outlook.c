// SPDX-License-Identifier: MIT
// Rows of what surrounds the model: the flows and pressures to serve, the decline of the flow, and
// what was read on site.
#include "field/field_row.h"

static const char *const pressure_words[] = {"line", "set", NULL};
static const char *const kind_words[] = {"best", "exponential", "hyperbolic", "harmonic", NULL};
static const char *const basis_words[] = {"effective", "nominal", NULL};
static const char *const residual_words[] = {"log-rate", "rate", NULL};

static const struct field envelope_rows[] = {
    MAYBE("envelope", "lowest", UNIT_FLOW, ANY, "1e-12 kg/s", "1e5 kg/s", envelope.lowest,
          "smallest flow to be served"),
    MAYBE("envelope", "normal", UNIT_FLOW, ANY, "1e-12 kg/s", "1e5 kg/s", envelope.normal,
          "flow of most days"),
    MAYBE("envelope", "peak", UNIT_FLOW, ANY, "1e-12 kg/s", "1e5 kg/s", envelope.peak,
          "largest flow to be passed"),
    CHOICE("envelope", "pressure_of", ANY, false, "line", pressure_words, envelope.pressure_of,
           "what pressure_low and pressure_high are of: the line (downstream pressure, inlet when "
           "reducing) or the set pressure"),
    MAYBE("envelope", "pressure_low", UNIT_PRESSURE_LEVEL, ANY, "0 Pa(a)", "100 MPa(a)",
          envelope.pressure_low, "lowest pressure expected"),
    MAYBE("envelope", "pressure_high", UNIT_PRESSURE_LEVEL, ANY, "0 Pa(a)", "100 MPa(a)",
          envelope.pressure_high, "highest pressure expected"),
};

static const struct field decline_rows[] = {
    CHOICE("decline", "kind", ANY, false, "best", kind_words, decline.kind,
           "law of Arps; best: with a record, the one that fits it best"),
    TEXT("decline", "start", decline.start,
         "date of rate_start, as YYYY-MM-DD; with a record, fit from this date on"),
    MAYBE("decline", "rate_start", UNIT_FLOW, ANY, "1e-12 kg/s", "1e5 kg/s", decline.rate_start,
          "flow on that date"),
    MAYBE("decline", "annual", UNIT_FRACTION, ANY, "0.0001", "1000", decline.annual,
          "decline in the first year; a year is 365.25 days"),
    CHOICE("decline", "basis", ANY, false, NULL, basis_words, decline.basis,
           "that decline is effective (share lost after one year) or nominal (slope at the start)"),
    MAYBE("decline", "exponent", UNIT_NONE, ANY, "0", "2", decline.exponent,
          "b of a hyperbolic decline"),
    TEXT("decline", "record", decline.record,
         "CSV file beside the scenario, first line date,rate [UNIT], to fit in place of the above"),
    CHOICE("decline", "residual", ANY, false, "log-rate", residual_words, decline.residual,
           "what the fit makes small: log-rate, each rate counts by its percentage; rate, high "
           "rates count most"),
};

static const struct field readings_rows[] = {
    MAYBE("readings", "first_movement", UNIT_PRESSURE_DROP, PILOT, "0 psi", "1000 psi",
          readings.first_movement,
          "chamber pressure, rising, at which the stem begins to move; no drop on the plug"),
    MAYBE("readings", "full_travel", UNIT_PRESSURE_DROP, PILOT, "0 psi", "1000 psi",
          readings.full_travel, "the same when it arrives at full travel"),
    MAYBE("readings", "leaves_full_travel", UNIT_PRESSURE_DROP, PILOT, "0 psi", "1000 psi",
          readings.leaves_full_travel, "chamber pressure, falling, at which it leaves full travel"),
    MAYBE("readings", "last_movement", UNIT_PRESSURE_DROP, PILOT, "0 psi", "1000 psi",
          readings.last_movement, "the same when it has just shut"),
    MAYBE("readings", "stroke_open", UNIT_TIME, PILOT | GAS, "0.01 s", "1 h", readings.stroke_open,
          "from its first move to fully open, the pilot held wide open, at the set pressure"),
    MAYBE("readings", "stroke_shut", UNIT_TIME, PILOT | GAS, "0.01 s", "1 h", readings.stroke_shut,
          "from its first move off fully open to shut, the pilot held shut"),
    MAYBE("readings", "low_flow", UNIT_FLOW, ANY, "1e-12 kg/s", "1e5 kg/s", readings.low_flow,
          "a flow at which the held pressure was read, the screw left alone"),
    MAYBE("readings", "held_at_low_flow", UNIT_PRESSURE_LEVEL, ANY, "0 Pa(a)", "100 MPa(a)",
          readings.held_at_low_flow, "controlled pressure there"),
    MAYBE("readings", "high_flow", UNIT_FLOW, ANY, "1e-12 kg/s", "1e5 kg/s", readings.high_flow,
          "another flow, larger"),
    MAYBE("readings", "held_at_high_flow", UNIT_PRESSURE_LEVEL, ANY, "0 Pa(a)", "100 MPa(a)",
          readings.held_at_high_flow, "controlled pressure there"),
    MAYBE("readings", "droop", UNIT_PRESSURE_DROP, DIRECT, "0 psi", "1000 psi", readings.droop,
          "by how much the held pressure moves from just open to fully open"),
    MAYBE("readings", "rise", UNIT_PRESSURE_DROP, BACK | GAS, "0 psi", "1000 psi", readings.rise,
          "pressure that the vessel gains while the regulator is shut"),
    MAYBE("readings", "rise_time", UNIT_TIME, BACK | GAS, "0.01 s", "1 d", readings.rise_time,
          "in this time"),
    MAYBE("readings", "rise_flow", UNIT_FLOW, BACK | GAS, "1e-12 kg/s", "1e5 kg/s",
          readings.rise_flow, "with this flow coming in; without it, inflow.rate"),
    MAYBE("readings", "gauge", UNIT_PRESSURE_DROP, ANY, "0 psi", "100 psi", readings.gauge,
          "how well the gauge can be read, either way; without it, 2 % of what it shows"),
    MAYBE("readings", "watch", UNIT_TIME, ANY, "0 s", "1 min", readings.watch,
          "how well the times are taken, either way; without it, 0.3 s"),
};

static const struct field document_rows[] = {
    TEXT("document", "customer", document.customer, "for whom a report or a job card is made"),
    TEXT("document", "site", document.site, "where the regulator stands, and its tag"),
    TEXT("document", "date", document.date, "of the document, as it shall stand there"),
    TEXT("document", "author", document.author, "who made it and answers for it"),
    TEXT("document", "reference", document.reference, "number of an order or a drawing"),
    TEXT("document", "question", document.question,
         "what the report answers, one sentence; without it, the question of its study"),
};

const struct field_section field_sections_outlook[] = {
    SECTION("envelope", "flows and pressures to be served", envelope_rows),
    SECTION("decline", "how the flow will decline", decline_rows),
    SECTION("readings", "what two gauges and a watch gave on site", readings_rows),
    SECTION("document", "what reports and job cards say of themselves", document_rows),
};
const size_t field_sections_outlook_count =
    sizeof field_sections_outlook / sizeof field_sections_outlook[0];
