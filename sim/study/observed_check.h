// SPDX-License-Identifier: MIT
// Does a scenario, with its values as they stand, do what was seen on site today? An answer about
// one regulator that rests where the customer hears it bang is about another regulator, and must
// say so.
#pragma once

#include "answer/answer.h"
#include "run/simulate.h"

// Simulates the rows of `observed` at the scenario's own flow in which nothing else differed, and
// adds a warning for each that comes out otherwise. No such rows, no cost. A scenario that
// the command line changed is a question, and not held against them.
void observed_check_tell(const struct scenario *scenario, struct answer *answer);

// The same for a trim that has been simulated already.
void observed_check_run(const struct scenario *scenario, size_t trim, const struct simulation *run,
                        const struct scenario_case *resolved, struct answer *answer);
