// SPDX-License-Identifier: MIT
#include "show/window_output.h"

#include "scenario/shown.h"
#include "show/study_output.h"
#include "show/window_text.h"

void window_output_headings(struct csv *csv, const struct scenario_case *scenario) {
    const char *flow = shown_unit(scenario, UNIT_FLOW);
    csv_heading(csv, "largest flow", flow);
    csv_heading(csv, "settled pressure at largest flow", shown_unit(scenario, UNIT_PRESSURE_LEVEL));
    csv_heading(csv, "lowest steady flow kicked", flow);
    csv_text(csv, "below it");
    csv_heading(csv, "lowest steady flow settled", flow);
    csv_text(csv, "below that");
    csv_heading(csv, "steady again below about", flow);
    csv_heading(csv, "steady up to", flow);
}

void window_output_row(struct csv *csv, const struct scenario_case *scenario,
                       const struct trim_window *window) {
    char text[WINDOW_TEXT_SIZE];
    csv_number(csv, shown_number(scenario, UNIT_FLOW, window->largest));
    csv_number(csv, shown_number(scenario, UNIT_PRESSURE_LEVEL, window->pressure));
    csv_number(csv, shown_number(scenario, UNIT_FLOW, window->kicked));
    window_text_below(window, true, text);
    csv_text(csv, text);
    csv_number(csv, shown_number(scenario, UNIT_FLOW, window->settled));
    window_text_below(window, false, text);
    csv_text(csv, text);
    csv_number(csv, shown_number(scenario, UNIT_FLOW, window->again));
    csv_number(csv, shown_number(scenario, UNIT_FLOW, window->top));
}

static json_t *shown_json(const struct scenario_case *scenario, enum unit_kind kind, double si) {
    return study_output_number(shown_number(scenario, kind, si), shown_unit(scenario, kind));
}

void window_output_json(json_t *object, const struct scenario_case *scenario,
                        const struct trim_window *window) {
    char text[WINDOW_TEXT_SIZE];
    json_object_set_new(object, "largest_flow", shown_json(scenario, UNIT_FLOW, window->largest));
    json_object_set_new(object, "settled_pressure_at_largest_flow",
                        shown_json(scenario, UNIT_PRESSURE_LEVEL, window->pressure));
    json_object_set_new(object, "lowest_steady_flow_kicked",
                        shown_json(scenario, UNIT_FLOW, window->kicked));
    window_text_below(window, true, text);
    json_object_set_new(object, "below_lowest_kicked", json_string(text));
    json_object_set_new(object, "lowest_steady_flow_settled",
                        shown_json(scenario, UNIT_FLOW, window->settled));
    window_text_below(window, false, text);
    json_object_set_new(object, "below_lowest_settled", json_string(text));
    json_object_set_new(object, "steady_again_below_about",
                        shown_json(scenario, UNIT_FLOW, window->again));
}
