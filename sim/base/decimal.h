// SPDX-License-Identifier: MIT
// Numbers in texts with a decimal point, whatever the locale of the program around us: the locale
// is changed for the thread that asks, for the moment it asks, and never for the process.
#pragma once

#include <locale.h>

// Between the two, what this thread reads and prints is as in the C locale, message texts too.
// decimal_end takes what decimal_begin returned. They may stand inside each other.
struct decimal {
    locale_t own, before;
};
struct decimal decimal_begin(void);
void decimal_end(struct decimal decimal);

// The number that a text begins with; 0 when there is none.
double decimal_read(const char *text);
