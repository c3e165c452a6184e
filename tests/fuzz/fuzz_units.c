// SPDX-License-Identifier: MIT
// Numbers with units. The first byte says the kind of unit, the rest is what a user wrote.
#include "fuzz.h"

#include "units/units.h"

#include <math.h>

static void check_shown(const struct unit_context *site, const struct quantity *q, double si) {
    static const enum unit_system system[] = {UNITS_US, UNITS_METRIC, UNITS_SI};
    for (size_t i = 0; i < sizeof system / sizeof system[0]; i++) {
        const char *token = units_preferred(q->kind, system[i], site->liquid);
        fuzz_require(token);
        const double shown = units_from_si(site, q->kind, token, si);
        (void)shown;
    }
    // The way back gives the number that was written, but for rounding: a level loses what a gauge
    // pressure is smaller than the atmosphere.
    const struct unit *unit = q->token ? units_find(q->kind, q->token) : NULL;
    if (unit && fabs(si) > 1e-200 && fabs(si) < 1e200) {
        const double written = units_from_si(site, q->kind, q->token, si);
        struct quantity again = *q;
        double si_again;
        again.value = (written * unit->factor + unit->offset);
        fuzz_require(units_to_si(site, &again, &si_again) == NULL);
        fuzz_require(fabs(si_again - si) <= 1e-9 * fmax(fabs(si), fabs(q->value)));
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size == 0) {
        return 0;
    }
    const enum unit_kind kind = (enum unit_kind)(data[0] % UNIT_KIND_COUNT);
    char *text = fuzz_text(data + 1, size - 1);
    char message[UNIT_MESSAGE_SIZE];
    struct quantity q;
    const char *wrong = units_parse(text, kind, &q, message);
    if (wrong) {
        fuzz_require(wrong[0] != '\0' && strlen(wrong) < UNIT_MESSAGE_SIZE);
    } else {
        struct unit_context site = {101325.0, 101325.0, 288.15, 0.0188, (double)NAN, false, {0}};
        fuzz_require(q.kind == kind && isfinite(q.value));
        for (int liquid = 0; liquid < 2; liquid++) {
            double si = (double)NAN;
            site.liquid = liquid == 1;
            site.density = site.liquid ? 870.0 : (double)NAN;
            site.molar_mass = site.liquid ? (double)NAN : 0.0188;
            const char *missing = units_to_si(&site, &q, &si);
            fuzz_require(missing ? missing[0] != '\0' : !isnan(si));
            if (!missing) {
                check_shown(&site, &q, si);
            }
        }
    }
    free(text);
    return 0;
}
