// SPDX-License-Identifier: MIT
// What the regulator comes to as it stands, and what to look at on site when the model is steady
// and the regulator is not.
#include "show/remedies_report.h"

#include "base/wrap.h"
#include "scenario/field.h"

struct look {
    const char *label, *field, *text;
};

// Our judgement of what descriptions most often get wrong; no source.
static const struct look look[] = {
    {"feedback", "pilot.feedback_area",
     "does the chamber really push the pilot back, and how hard (proportional band)?"},
    {"chamber", "actuator.chamber_volume",
     "chamber with its loading line: measure the line's length and bore"},
    {"gas space", "vessel.volume", "true gas space: less the liquid, plus the piping up to it"},
    {"sense line", "sense.bore",
     "its true bore, length and tap; wet, waxed, or a valve half shut?"},
    {"play", "actuator.backlash", "play in the linkage between actuator and plug"},
    {"slugs", "inflow.rate", "slugs and surges: record the flow, and give it as a schedule"},
    {"surges", "demand.rate", "surges of the demand: record the flow, and give it as a schedule"},
    {"friction", "friction.kinetic", "stem and packing: pull by hand, and note the force"},
};

static void print_checklist(FILE *out, const struct remedies *r) {
    fputs("  if the regulator on site hunts all the same, look at\n", out);
    for (size_t i = 0; i < sizeof look / sizeof look[0]; i++) {
        const size_t index = field_index_of(look[i].field);
        struct scenario_entry entry;
        if (!scenario_provenance(r->scenario, r->trim, index, &entry) || !entry.applies) {
            continue;
        }
        char label[24], text[300];
        snprintf(label, sizeof label, "%-12s", look[i].label);
        snprintf(text, sizeof text, "%s (%s: %s%.60s)", look[i].text, look[i].field,
                 entry.provenance == PROVENANCE_DEFAULT ? "not given, taken as " : "",
                 entry.provenance == PROVENANCE_NONE || !entry.text ? "not given" : entry.text);
        wrap_print(out, 4, label, text);
    }
}

void remedies_report_standing(FILE *out, const struct remedies *r) {
    const struct remedies_try *today = &r->tries[0];
    bool calm = today->row[SEVERITY_OUTCOME] <= VERDICT_FORCED;
    bool inside = remedies_lowest(today) <= r->flow;
    if (calm && inside) {
        fputs("  It is steady as it stands: there is nothing to cure at today's flow.\n", out);
        print_checklist(out, r);
    } else if (!calm && inside && r->kick == 0.0) {
        fputs("  It moves, yet small motions die out: it hunts only when disturbed. Without a kick "
              "every\n  remedy looks alike: give one with --kick.\n",
              out);
    } else if (calm) {
        fputs("  It comes to rest in this run, but today's flow is outside its steady range.\n",
              out);
    }
}
