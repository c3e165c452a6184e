// SPDX-License-Identifier: MIT
// A scenario file: what a user says about one regulator, its trims and its service. Read from YAML
// through the field table, changed from the command line, and turned into the parameters of a
// model. Does not simulate.
//
// scenario_load reports everything wrong with the words of a file; scenario_resolve (or
// scenario_check, for all trims at once) reports what is missing, out of range or contradictory.
// In between, overrides may still mend the file.
#pragma once

#include "base/diagnostic.h"
#include "field/field.h"
#include "field/seen.h"

#include <stdbool.h>
#include <stddef.h>

struct scenario;

// Reads a file. NULL when it cannot be read as YAML at all, or for lack of memory; otherwise a
// scenario, whose errors (if list->errors grew) must stop the caller. Free with scenario_free.
struct scenario *scenario_load(const char *path, struct diagnostics *out);

// The same from memory; name is printed as the file's, and records are looked for beside it.
struct scenario *scenario_load_text(const char *name, const char *text, size_t length,
                                    struct diagnostics *out);

void scenario_free(struct scenario *scenario); // NULL is fine

// A copy to change, while the original and its other copies are in use on other threads. The
// original must outlive it. NULL without memory. Free with scenario_free.
struct scenario *scenario_copy(const struct scenario *original);

// A number that tells scenarios apart by all they say, overrides included.
unsigned long scenario_fingerprint(const struct scenario *scenario);

// Applies "section.name=value" as if the file had said so. "trim.port=..." holds for all trims,
// "trims.NAME.port=..." for one. Places count within the text. Returns false after an error.
bool scenario_override(struct scenario *scenario, const char *assignment, struct diagnostics *out);

// The same, but an assignment with an error changes nothing.
bool scenario_change(struct scenario *scenario, const char *assignment, struct diagnostics *out);

// Trims: those named under `trims`, or a single one named "trim".
size_t scenario_trim_count(const struct scenario *scenario);
const char *scenario_trim_name(const struct scenario *scenario, size_t trim);

// Index of the trim with that name, or the number of trims; reports the nearest name if out is
// not NULL.
size_t scenario_trim_find(const struct scenario *scenario, const char *name,
                          struct diagnostics *out);

const char *scenario_title(const struct scenario *scenario);   // "" if none
const char *scenario_teaches(const struct scenario *scenario); // "" if none
const char *scenario_name(const struct scenario *scenario);    // as given to scenario_load

// Where the compressibility factor of a gas comes from: stated; by Dranchuk and Abou-Kassem from
// gravity, set pressure and temperature; or 1, because only the molar mass is known.
enum compressibility_source {
    COMPRESSIBILITY_GIVEN,
    COMPRESSIBILITY_CORRELATION,
    COMPRESSIBILITY_IDEAL,
};

// One trim of a scenario, ready for a model. Everything SI.
struct scenario_case {
    const char *title;                 // of the scenario; lives as long as the scenario
    const char *trim_name;             // the same
    struct regulator_parameters model; // its schedules' points live in memory below
    struct run_options run;
    struct start_options start;
    bool set_at_flow;      // the set pressure is what it holds at the first flow
    double set_pressure;   // at time 0 [Pa]
    double pressure_limit; // of the vessel [Pa]; NaN if not given
    double gravity;        // of the gas, air = 1 [-]; of the molar mass if that was given
    enum compressibility_source compressibility_from; // of a gas
    enum unit_system units;   // in which results are shown; never UNITS_AS_WRITTEN
    struct unit_context site; // for units_from_si
    struct envelope_options envelope;
    struct decline_options decline;
    struct readings_options readings;
    struct arena memory;
};

// Fills the case for one trim; false after errors. Free with scenario_case_free either way. A case
// refers to its scenario's texts, and cases of one scenario may be used on many threads at once.
bool scenario_resolve(const struct scenario *scenario, size_t trim, struct scenario_case *out,
                      struct diagnostics *list);
void scenario_case_free(struct scenario_case *resolved);

// Resolves every trim only to collect the errors; false if there are any.
bool scenario_check(const struct scenario *scenario, struct diagnostics *out);

// Warns of what is possible but odd, such as a trim with a larger port than the first.
void scenario_warn(const struct scenario *scenario, struct diagnostics *out);

// Load, override, check, and warn when nothing is wrong: NULL after any error.
struct scenario *scenario_open(const char *path, const char *const *overrides, size_t count,
                               struct diagnostics *out);

// Where each value comes from.
enum provenance {
    PROVENANCE_NONE,    // neither given nor defaulted
    PROVENANCE_DEFAULT, // the table's value or rule
    PROVENANCE_GIVEN,
    PROVENANCE_GUESS, // given, and marked as a guess
};

struct scenario_entry {
    const char *section;
    const char *name;
    const char *text; // as written, or the default's text
    enum provenance provenance;
    bool from_trim; // said by the named trim, not by the common part
    bool applies;   // belongs to this build
    struct place place;
};

// Row `index` of the field table as it stands for a trim; false beyond the last row.
bool scenario_provenance(const struct scenario *scenario, size_t trim, size_t index,
                         struct scenario_entry *entry);

// Sets a number by "section.name", SI (absolute pressure, kg/s), for studies; "trim.x" holds for
// all trims. False if there is no such number. The value counts as given.
bool scenario_set_si(struct scenario *scenario, const char *path, double si);

// The same for a quantity as it was written: a flow or a gauge pressure stays what it is when the
// gas or the site is another.
bool scenario_set_quantity(struct scenario *scenario, const char *path,
                           const struct quantity *quantity);

// Whether the command line changed what the scenario is about: any value of it, but for those of
// `run` and `output`.
bool scenario_is_changed(const struct scenario *scenario);

// Row of the field table that a path as of scenario_override means, field_count() if there is none.
// `trim` becomes the trim it names, or the number of trims when it holds for all.
size_t scenario_find(const struct scenario *scenario, const char *path, size_t *trim);

// Whether two trims say the same in every row of the table, and differ in their names only.
bool scenario_trims_alike(const struct scenario *scenario, size_t a, size_t b);

// SI value of a number for a trim, NaN if there is none or it follows from a rule.
double scenario_get_si(const struct scenario *scenario, size_t trim, const char *path);

// Unit in which a field was written, to show what becomes of it; NULL: none, or `output.units` says
// otherwise.
const char *scenario_get_unit(const struct scenario *scenario, size_t trim, const char *path);

// Range {value: , low: , high: } of a number in SI; false when none was stated.
bool scenario_get_range(const struct scenario *scenario, size_t trim, const char *path, double *low,
                        double *high);

// Ends of a guess that may be from factor[0] to factor[1] times what was written (15 psig, not its
// absolute value), within what the field allows; false for what is no guess, is 0, changes over
// time, or is a temperature, of which no share means anything.
bool scenario_get_guess(const struct scenario *scenario, size_t trim, const char *path,
                        const double factor[2], double *low, double *high);

// Whole file as text, at most limit bytes; NULL and an error at place otherwise. Free with free().
char *scenario_read_file(const char *path, size_t limit, size_t *length, struct place place,
                         struct diagnostics *out);

// One row of `expect`. Texts are "" where nothing was said.
struct scenario_expect {
    const char *quantity;  // a figure's name, `verdict`, or `refusal`
    const char *value;     // with unit; a verdict; or key words of the error expected
    const char *tolerance; // with unit, or %
    const char *source;    // of the number
    const char *trim;      // "" is the first trim
    struct place place;
};

size_t scenario_expect_count(const struct scenario *scenario);
const struct scenario_expect *scenario_expect_at(const struct scenario *scenario, size_t index);

enum { OBSERVED_CHANGES_MAX = 6 };

// What was seen on site at a flow, in plain words: one row of `observed`.
struct scenario_observed {
    struct place place;
    enum observed_seen seen;
    const char *said;  // as written
    const char *since; // "" if not said
    const char *trim;  // that was in place; "": the one the question is about
    struct quantity flow;
    const char *flow_text;
    double frequency_low, frequency_high; // [Hz]; NaN if not said
    double swing_low, swing_high;         // of the pressure [Pa]; NaN if not said
    // Fields that differed then.
    size_t change_count;
    const char *change[OBSERVED_CHANGES_MAX];
    const char *change_text[OBSERVED_CHANGES_MAX];
    struct quantity change_value[OBSERVED_CHANGES_MAX];
};

size_t scenario_observed_count(const struct scenario *scenario);
const struct scenario_observed *scenario_observed_at(const struct scenario *scenario, size_t index);

// SI value of a quantity at the scenario's site and with its stream; NaN when it has none.
double scenario_si(const struct scenario *scenario, size_t trim, const struct quantity *quantity);
