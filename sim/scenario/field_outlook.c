// SPDX-License-Identifier: MIT
// Rows of what is to come: the flows and pressures to serve, and the decline of the flow.
#include "scenario/field_row.h"

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

const struct field_section field_sections_outlook[] = {
    SECTION("envelope", "flows and pressures to be served", envelope_rows),
    SECTION("decline", "how the flow will decline", decline_rows),
};
const size_t field_sections_outlook_count =
    sizeof field_sections_outlook / sizeof field_sections_outlook[0];
