// SPDX-License-Identifier: MIT
#include "command/study_subject.h"

#include <math.h>

int study_subject_open(const struct study_request *request, size_t index,
                       struct study_subject *out) {
    struct diagnostics list = {0};
    bool fine = scenario_resolve(request->scenario, request->trim[index], &out->resolved, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    out->set_reached = fine && steadiness_prepare(&out->resolved, &out->steadiness);
    return fine ? EXIT_CODE_DONE : EXIT_CODE_SCENARIO;
}

void study_subject_free(struct study_subject *subject) {
    scenario_case_free(&subject->resolved);
}

const char *study_subject_unit(const struct study_subject *subject, enum unit_kind kind) {
    const struct scenario_case *c = &subject->resolved;
    return units_preferred(kind, c->units, c->model.phase == FLUID_LIQUID);
}

double study_subject_shown(const struct study_subject *subject, enum unit_kind kind, double si) {
    return units_from_si(&subject->resolved.site, kind, study_subject_unit(subject, kind), si);
}

double study_subject_percent(const struct study_subject *subject, double travel) {
    return 100.0 * travel / subject->resolved.model.trim.rated_travel;
}

void study_subject_note(FILE *out, const struct study_subject *subject) {
    if (!subject->set_reached) {
        fprintf(out,
                "  note: no travel holds the set pressure at the scenario's flow; the set screw "
                "is left where\n        it begins to open at the set pressure\n");
    }
}

int study_subject_range(const struct study_subject *subject, const struct study_request *request,
                        const struct study_option own[3], long least, long most, double *low,
                        double *high, size_t *points) {
    const struct unit_context *site = &subject->resolved.site;
    double whole = subject->steadiness.flow;
    double *const end[] = {low, high};
    long count = (long)*points;
    int code = EXIT_CODE_DONE;
    for (int i = 0; i < 2 && code == EXIT_CODE_DONE; i++) {
        if (own[i].value) {
            code = study_request_quantity(request, &own[i], UNIT_FLOW, site, whole, end[i]);
        }
    }
    if (code == EXIT_CODE_DONE && own[2].value) {
        code = study_request_count(request, &own[2], least, most, &count);
    }
    *points = (size_t)count;
    if (code == EXIT_CODE_DONE && !(*low > 0.0 && *low < *high)) {
        const char *unit = study_subject_unit(subject, UNIT_FLOW);
        code = command_usage(request->command,
                             "flows from %.4g to %.4g %s: the range is empty or upside down; "
                             "allowed 0 < --from < --to",
                             study_subject_shown(subject, UNIT_FLOW, *low),
                             study_subject_shown(subject, UNIT_FLOW, *high), unit);
    }
    return code;
}

double study_subject_flow(double low, double high, size_t i, size_t count) {
    return i == 0           ? low
           : i + 1 == count ? high
                            : low * pow(high / low, (double)i / (double)(count - 1));
}
