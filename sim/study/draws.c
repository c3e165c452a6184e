// SPDX-License-Identifier: MIT
#include "study/draws.h"

#include "base/decimal.h"

#include <math.h>
#include <string.h>

bool draws_apply(const struct draws *draws, size_t index, struct scenario *scenario,
                 struct diagnostics *list) {
    bool fine = true;
    for (size_t i = 0; i < draws->field_count; i++) {
        const struct draws_cell *cell = &draws->cell[index * draws->field_count + i];
        if (cell->number && scenario_set_quantity(scenario, draws->field[i], &cell->quantity)) {
            continue;
        }
        struct arena memory = {0};
        const char *assignment = arena_format(&memory, "%s=%s", draws->field[i], cell->text);
        fine = scenario_change(scenario, assignment, list) && !memory.failed && fine;
        arena_free(&memory);
    }
    return fine;
}

double draws_effective(const struct draws *draws) {
    double sum = 0.0, squares = 0.0;
    for (size_t i = 0; i < draws->count; i++) {
        sum += draws->weight[i];
        squares += draws->weight[i] * draws->weight[i];
    }
    const double number = squares > 0.0 ? sum * sum / squares : 0.0;
    return draws->worth > 0.0 ? fmin(draws->worth, number) : number;
}

bool draws_start(struct draws *out, size_t count, size_t field_count, const char *const *field) {
    memset(out, 0, sizeof *out);
    struct arena *memory = &out->memory;
    out->field = arena_alloc(memory, (field_count + 1) * sizeof *out->field);
    out->weight = arena_alloc(memory, (count + 1) * sizeof *out->weight);
    out->cell = arena_alloc(memory, (count * field_count + 1) * sizeof *out->cell);
    if (memory->failed) {
        return false;
    }
    for (size_t i = 0; i < field_count; i++) {
        out->field[i] = arena_copy(memory, field[i], strlen(field[i]));
    }
    out->count = count;
    out->field_count = field_count;
    return !memory->failed;
}

// The unit in which a number is SI as it stands; "" for one without a unit.
static const char *si_token(enum unit_kind kind) {
    const enum unit_basis basis = kind == UNIT_FLOW ? BASIS_MASS : BASIS_PLAIN;
    const struct unit *unit;
    for (size_t i = 0; (unit = units_row(i)) != NULL; i++) {
        if (unit->kind == kind && unit->factor == 1.0 && unit->offset == 0.0 &&
            unit->basis == basis) {
            return unit->token;
        }
    }
    return "";
}

// "trims.NAME.port" is a field of the trim.
static const struct field *field_of(const char *path) {
    const char *dot = strncmp(path, "trims.", 6) == 0 ? strchr(path + 6, '.') : NULL;
    return field_at(dot ? field_index("trim", dot + 1) : field_index_of(path));
}

bool draws_set(struct draws *draws, size_t index, size_t field, double si) {
    struct draws_cell *cell = &draws->cell[index * draws->field_count + field];
    const struct field *row = field_of(draws->field[field]);
    if (!row) {
        return false;
    }
    struct decimal decimal = decimal_begin();
    const char *token = si_token(row->kind);
    cell->text = arena_format(&draws->memory, token[0] ? "%.17g %s" : "%.17g", si, token);
    decimal_end(decimal);
    cell->number = true;
    cell->quantity = units_quantity_si(row->kind, si);
    return !draws->memory.failed;
}

void draws_free(struct draws *draws) {
    arena_free(&draws->memory);
    memset(draws, 0, sizeof *draws);
}
