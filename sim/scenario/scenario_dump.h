// SPDX-License-Identifier: MIT
// A scenario as a plain text that takes no YAML library and no files to read: its tree with lines
// and columns, and the records it names. Made by the native program, read where there are neither,
// as in a page. Nothing is resolved in between: defaults, checks and messages stay those of the
// reader of scenarios.
//
// One item a line, fields parted by one tab; \\ \n \t \r and \xHH stand in texts:
//   lowlift-dump  1       NAME            first line; the name is printed as the file's
//   map           LINE    COLUMN          until its `end`: pairs of `key` and a value
//   list          LINE    COLUMN          until its `end`: values
//   key           LINE    COLUMN  TEXT
//   plain         LINE    COLUMN  TEXT    a scalar; `quoted` if it was in quotes
//   end
//   file          PATH    TEXT            behind the tree: a record, by the name it is asked for
#pragma once

#include "scenario/scenario.h"

#include <stdio.h>

// Writes the dump of a scenario file. False when the file cannot be read as YAML (reported);
// faults of its fields are left to whoever reads the dump. Errors of `out` are the caller's to see.
bool scenario_dump(const char *path, FILE *out, struct diagnostics *list);

// scenario_load of a dump. Its records are sought in the dump alone.
struct scenario *scenario_load_dump(const char *text, size_t length, struct diagnostics *out);
