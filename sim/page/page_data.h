// SPDX-License-Identifier: MIT
// Inside of a page, shared by the files that read and change it.
#pragma once

#include "page/page.h"
#include "run/figure.h"
#include "run/simulate.h"
#include "scenario/scenario.h"

#include <stdbool.h>

struct page {
    struct scenario *read;    // as the dump says; NULL when it could not be read
    struct scenario *changed; // a copy of it with all assignments; NULL before the first
    struct diagnostics found; // about the dump
    bool ready;
    char **assignment; // those that hold, in order
    size_t assignments;
    char *messages, *expected; // NULL: nothing to say
    size_t missed;

    struct scenario *of_run; // read or changed, or an older change that only the run still needs
    struct scenario_case resolved;
    struct simulation simulation;
    struct simulation_run *run; // NULL when it is finished
    bool started;
    size_t trim;
    double kick;    // of the pressure, waiting for the next page_go_on [Pa]
    char text[160]; // of a figure
};

// The scenario with all assignments; NULL when the dump could not be read.
struct scenario *page_current(const struct page *page);
