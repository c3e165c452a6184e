// SPDX-License-Identifier: MIT
#include "remedy/remedies_words.h"

#include "field/field.h"

#include <math.h>

const char *remedies_words_name(struct answer *answer, const struct remedies *r,
                                const struct remedies_entry *entry) {
    const char *text =
        entry->trim == r->trim
            ? ""
            : answer_keep(answer, "trim %s", scenario_trim_name(r->scenario, entry->trim));
    for (size_t i = 0; i < entry->count; i++) {
        text = answer_keep(answer, "%s%s%s", text, text[0] ? " + " : "", entry->remedy[i]->name);
    }
    return text;
}

const char *remedies_words_unit(struct answer *answer, const struct remedies *r,
                                const char *field) {
    const char *own = scenario_get_unit(r->scenario, r->trim, field);
    return own ? own : answer_unit(answer, field_at(field_index_of(field))->kind);
}

const char *remedies_words_change(struct answer *answer, const struct remedies *r,
                                  const struct remedies_try *attempt) {
    const char *text = "";
    for (size_t i = 0; i < attempt->count; i++) {
        const struct remedy *remedy = attempt->remedy[i];
        const char *comma = i > 0 ? ", " : "";
        if (remedy->way == REMEDY_CHOICE) {
            text = answer_keep(answer, "%s%s%s the other way", text, comma, remedy->field);
            continue;
        }
        const enum unit_kind kind = field_at(field_index_of(remedy->field))->kind;
        const char *unit = remedies_words_unit(answer, r, remedy->field);
        text = answer_keep(answer, "%s%s%s from %s to %s", text, comma, remedy->field,
                           answer_text_in(answer, kind, unit, attempt->today[i]),
                           answer_text_in(answer, kind, unit, attempt->value[i]));
    }
    return text;
}

const char *remedies_words_day(struct answer *answer, const struct remedies_try *attempt) {
    const double *row = attempt->row;
    const char *text = severity_outcome_name((size_t)row[SEVERITY_OUTCOME]);
    if (row[SEVERITY_SWING] > 0.0) {
        text = answer_keep(answer, "%s, swing %s", text,
                           answer_text(answer, UNIT_PRESSURE_DROP, row[SEVERITY_SWING]));
    }
    if (row[SEVERITY_CONTACTS] > 0.0) {
        text = answer_keep(answer, "%s, %.4g seat contacts/min", text, row[SEVERITY_CONTACTS]);
    }
    return text;
}

const char *remedies_words_range_name(const struct remedies_try *attempt) {
    const double range = attempt->row[REMEDIES_RANGE];
    return isfinite(range) ? steadiness_range_name((enum steadiness_range)range) : "";
}

const char *remedies_words_range(struct answer *answer, const struct remedies *r,
                                 const struct remedies_try *attempt) {
    const double range = attempt->row[REMEDIES_RANGE];
    const double top = attempt->row[REMEDIES_TOP];
    if (!isfinite(range)) {
        return "holds the set pressure at no travel";
    }
    if (range == STEADINESS_NOT_PASSED) {
        return remedies_words_range_name(attempt);
    }
    if (isfinite(attempt->row[REMEDIES_LOWEST]) && remedies_is_narrow(attempt)) {
        return answer_keep(answer, "steady between %s and %s only",
                           answer_text(answer, UNIT_FLOW, attempt->row[REMEDIES_LOWEST]),
                           answer_text(answer, UNIT_FLOW, top));
    }
    const char *text =
        range == STEADINESS_FROM
            ? answer_keep(answer, "steady from %s upward",
                          answer_text(answer, UNIT_FLOW, attempt->row[REMEDIES_LOWEST]))
            : answer_keep(answer, "steady %s", remedies_words_range_name(attempt));
    return top < r->high ? answer_keep(answer, "%s, passes no more than %s", text,
                                       answer_text(answer, UNIT_FLOW, top))
                         : text;
}

bool remedies_words_told(const struct remedies *r, size_t index) {
    if (index < r->single_count) {
        return true;
    }
    size_t before = 0;
    for (size_t i = r->single_count; i < index; i++) {
        before += r->entry[i].effect <= REMEDIES_MIXED;
    }
    return r->entry[index].effect <= REMEDIES_MIXED && before < REMEDIES_PAIRS_TOLD;
}
