// SPDX-License-Identifier: MIT
// Windows of flow in words, as `trims` and `decline` both tell them on a terminal.
#pragma once

#include "scenario/scenario.h"
#include "steady/trim_window.h"

enum { WINDOW_TEXT_SIZE = 40, WINDOW_TEXT_NAME_MAX = 24 };

// Width of a column for these names: the longest, but within `least` and `most`.
int window_text_width(const char *const *name, size_t count, int least, int most);

// A name in at most `width` characters: the middle of a longer one gives way to "..".
void window_text_name(const char *name, int width, char text[WINDOW_TEXT_SIZE]);

// The lower end of a window as a number, "below X" where the search ended there, "none".
void window_text_lowest(const struct scenario_case *scenario, double flow, double looked_at,
                        char text[WINDOW_TEXT_SIZE]);

// What becomes of a kick below it, "-" where there is no such end.
void window_text_below(const struct trim_window *window, bool kicked, char text[WINDOW_TEXT_SIZE]);
const char *window_text_reason(enum verdict verdict);

// At which flow the set screw was turned, and that it is left there; `anew`: for each pressure of
// the set. `normal` is the flow of most days [kg/s], NaN if not known.
void window_text_screw(const struct scenario_case *scenario, bool anew, double normal);

// Lines about one trim: where its screw was turned instead, and where it is steady again.
void window_text_notes(const struct scenario_case *scenario, const char *name, double adjusted,
                       const struct trim_window *window);

// What "shut" means as a reason, if any trim has it.
void window_text_shut(const struct scenario_case *scenario);
bool window_text_is_shut(const struct trim_window *window);
