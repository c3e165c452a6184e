// SPDX-License-Identifier: MIT
// A number that tells scenarios apart by all they say, so that a study kept in a file is not taken
// up with another one. Places in the file do not count.
#include "scenario/scenario_data.h"

#include "base/fingerprint.h"

#include <string.h>

static unsigned long hash_text(unsigned long hash, const char *text) {
    return text ? fingerprint_bytes(hash, text, strlen(text) + 1) : hash;
}

static unsigned long hash_number(unsigned long hash, double value) {
    return fingerprint_bytes(hash, &value, sizeof value);
}

static unsigned long hash_quantity(unsigned long hash, const struct quantity *quantity) {
    hash = fingerprint_bytes(hash, &quantity->basis, sizeof quantity->basis);
    return hash_number(hash, quantity->value);
}

static unsigned long hash_schedule(unsigned long hash, const struct schedule_input *input) {
    hash = fingerprint_bytes(hash, &input->shape, sizeof input->shape);
    hash = hash_quantity(hash_quantity(hash, &input->base), &input->peak);
    hash = hash_number(hash_number(hash, input->start), input->period);
    hash = hash_number(hash, input->duration);
    for (size_t i = 0; i < input->count; i++) {
        hash = hash_quantity(hash_number(hash, input->time[i]), &input->value[i]);
    }
    return hash;
}

static unsigned long hash_table(unsigned long hash, const struct trim_table *table) {
    for (size_t i = 0; i < table->count; i++) {
        hash = hash_number(hash_number(hash, table->position[i]), table->value[i]);
    }
    return hash;
}

static unsigned long hash_values(unsigned long hash, const struct field_value *values,
                                 size_t count) {
    for (size_t i = 0; i < count; i++) {
        const struct field_value *v = &values[i];
        hash = fingerprint_bytes(hash, &v->provenance, sizeof v->provenance);
        hash = hash_quantity(hash_text(hash, v->text), &v->quantity);
        hash = fingerprint_bytes(hash, &v->whole, sizeof v->whole);
        if (v->ranged) {
            hash = hash_quantity(hash_quantity(hash, &v->low), &v->high);
        }
        if (v->schedule) {
            hash = hash_schedule(hash, v->schedule);
        }
        if (v->table) {
            hash = hash_table(hash, v->table);
        }
    }
    return hash;
}

unsigned long scenario_fingerprint(const struct scenario *scenario) {
    unsigned long hash = hash_values(FINGERPRINT_START, scenario->values, field_count());
    for (const struct scenario_trim *trim = scenario->trims; trim; trim = trim->next) {
        hash = hash_values(hash_text(hash, trim->name), trim->values, scenario->trim_rows);
    }
    return hash;
}
