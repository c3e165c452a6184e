// SPDX-License-Identifier: MIT
// lowlift for programs of somebody else's: open a scenario, change it, run its trims, read what
// came out. This is the one header that is installed; nothing else of the library can be seen.
//
//     struct lowlift_scenario *scenario = lowlift_open("oversized.yaml");
//     lowlift_set(scenario, "inflow.rate=0.15 MMscf/d");
//     struct lowlift_result *result = lowlift_run(scenario, 0);
//     if (result) {
//         printf("%s: %s\n", lowlift_verdict(result), lowlift_reason(result));
//     } else {
//         fputs(lowlift_errors(scenario), stderr);
//     }
//     lowlift_free(result);
//     lowlift_close(scenario);
//
// ERRORS. No function ends the program, prints, sets a signal handler or changes the locale. A NULL
// handle, a NULL text, a number beyond the last or an unknown name is answered as each function
// says, never with a crash; so is lack of memory. Mistakes in a scenario are texts for a person,
// one a line: `file:line:column: field: found X; allowed Y`, often with the name probably meant.
//
// THREADS. One handle is used by one thread at a time; different handles, also of the same file, by
// different threads at will. A result knows nothing of its scenario any more: either may be freed
// first, or go to another thread.
//
// OWNERSHIP. What a function returns as `const` belongs to the handle it was read from. It stays
// until that handle is closed or freed; only the text of lowlift_errors changes before, with the
// next call on the same scenario. Handles are closed or freed once, by lowlift_close or
// lowlift_free.
//
// NUMBERS. Numbers come in the units the scenario is written in, as in everything the program
// prints: lowlift_set(scenario, "output.units=SI") gives SI. Every number comes with its unit, and
// NaN stands for a number there is not. Texts are UTF-8. Numbers in texts are read and written with
// a decimal point in every locale. The same input gives the same numbers, to the last bit, on one
// machine, on any thread.
#pragma once

#include <stddef.h>

#if defined(__GNUC__)
#define LOWLIFT_API __attribute__((visibility("default")))
#else
#define LOWLIFT_API
#endif

#ifdef __cplusplus
extern "C" {
#endif

struct lowlift_scenario; // one regulator with its trims and its service
struct lowlift_result;   // what came of one trim

// Version of the library, such as "0.1.0".
LOWLIFT_API const char *lowlift_version(void);

// --- A scenario

// Reads a scenario file, or a text as if it were the file of that name (NULL: "text"); records that
// it names are looked for beside the file. The handle is NULL only when there is no memory for it.
// Where reading fails the handle has errors, and everything asked of it is answered with them.
LOWLIFT_API struct lowlift_scenario *lowlift_open(const char *path);
LOWLIFT_API struct lowlift_scenario *lowlift_open_text(const char *name, const char *text,
                                                       size_t length);

// Sets a field as if the file had said so: "section.name=value", the value with its unit. Of a
// trim: "trim.name=value" for all trims, "trims.NAME.name=value" for one. Returns 0, or the number
// of errors, after which the scenario is as it was before. Whether the values go together is asked
// by lowlift_check and lowlift_run, so that several can be set one after the other.
LOWLIFT_API int lowlift_set(struct lowlift_scenario *scenario, const char *assignment);

// Looks for what is missing, out of range or contradictory in any trim. Returns 0 or the number of
// errors. lowlift_errors then holds the errors, or else the warnings: what is possible but odd.
LOWLIFT_API int lowlift_check(struct lowlift_scenario *scenario);

// What was wrong in the last call on the scenario, one line each; "" when all was well. Never NULL.
LOWLIFT_API const char *lowlift_errors(const struct lowlift_scenario *scenario);

// The trims, numbered from 0. A scenario that could be read has at least one; else the count is 0.
// The name of a trim beyond the last is NULL.
LOWLIFT_API size_t lowlift_trim_count(const struct lowlift_scenario *scenario);
LOWLIFT_API const char *lowlift_trim_name(const struct lowlift_scenario *scenario, size_t trim);

// NULL is fine.
LOWLIFT_API void lowlift_close(struct lowlift_scenario *scenario);

// --- What a trim does. Either answers NULL after errors in the scenario or without memory.

// Simulates one trim from its start until the verdict is known. Typically 10 to 300 ms. Its
// channels are the trace: "time", then one number a sample each. A run that the solver gave up has
// the verdict "failed", the cause as its reason, and its channels up to there.
LOWLIFT_API struct lowlift_result *lowlift_run(struct lowlift_scenario *scenario, size_t trim);

// Small motions of one trim about its point of rest, without friction and seat contact: do they die
// out at the scenario's flow, and from which flow upward? The verdict is "steady", "unsteady",
// "shut", "wide open", "cannot open", "cannot shut", "no point of rest" or "failed". Its channels
// are of the modes (the eigenvalues: "growth rate", "frequency", "damping ratio", worst first, a
// pair once) and of the window ("neutral flow": where rest begins or ceases to be steady, rising).
// Typically 10 to 100 ms.
LOWLIFT_API struct lowlift_result *lowlift_stability(struct lowlift_scenario *scenario,
                                                     size_t trim);

// --- Reading a result

// The verdict, such as "slamming", and why, in words. NULL for a NULL result.
LOWLIFT_API const char *lowlift_verdict(const struct lowlift_result *result);
LOWLIFT_API const char *lowlift_reason(const struct lowlift_result *result);

// The figures: single numbers with a name, such as "pressure_swing". lowlift_figure gives NaN for
// one that this result does not have, with the unit NULL if there is no figure of that name at all.
// `unit` may be NULL; "" is the unit of a plain number. Beyond the last the name is NULL.
LOWLIFT_API size_t lowlift_figure_count(const struct lowlift_result *result);
LOWLIFT_API const char *lowlift_figure_name(const struct lowlift_result *result, size_t figure);
LOWLIFT_API double lowlift_figure(const struct lowlift_result *result, const char *name,
                                  const char **unit);

// The channels: rows of numbers with a name, such as "plug travel". lowlift_channel gives the
// numbers and fills their count and unit, either of which may be NULL; NULL, 0 and NULL for a name
// that there is not. Channels of a trace are all as long as "time". Beyond the last the name is
// NULL.
LOWLIFT_API size_t lowlift_channel_count(const struct lowlift_result *result);
LOWLIFT_API const char *lowlift_channel_name(const struct lowlift_result *result, size_t channel);
LOWLIFT_API const double *lowlift_channel(const struct lowlift_result *result, const char *name,
                                          size_t *count, const char **unit);

// NULL is fine.
LOWLIFT_API void lowlift_free(struct lowlift_result *result);

#ifdef __cplusplus
}
#endif
