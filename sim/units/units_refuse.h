// SPDX-License-Identifier: MIT
// What is said about a number or unit that cannot be taken, and what to write instead. Each returns
// its text, written into message (UNIT_MESSAGE_SIZE bytes). Does not read numbers.
#pragma once

#include "units/units.h"

// A reduced token that is no unit of the kind, behind a number written as `digits`.
const char *units_refuse(const char *digits, const char *token, enum unit_kind kind, char *message);

// No unit of the kind; token NULL when there is none short enough to look for.
const char *units_refuse_unit(const char *token, enum unit_kind kind, char *message);

// Only what is allowed in its place, and the nearest of that.
const char *units_refuse_instead(const char *token, enum unit_kind kind, char *message);

// A unit where none belongs.
const char *units_refuse_any(const char *token, char *message);

// A text that does not begin with a number.
const char *units_refuse_text(enum unit_kind kind, char *message);

// A number with a comma in it: of thousands or decimal, nobody can tell.
const char *units_refuse_comma(const char *text, char *message);
