// SPDX-License-Identifier: MIT
#include "base/decimal.h"

#include <stdlib.h>

#ifdef __wasi__
// A module has the C locale and no other; to ask for it would ask its host for an environment.
struct decimal decimal_begin(void) {
    return (struct decimal){0};
}

void decimal_end(struct decimal d) {
    (void)d;
}
#else
struct decimal decimal_begin(void) {
    // The whole C locale is a constant of the C library, which hands it out without memory.
    struct decimal d = {.own = newlocale(LC_ALL_MASK, "C", (locale_t)0)};
    d.before = uselocale(d.own);
    return d;
}

void decimal_end(struct decimal d) {
    uselocale(d.before);
    if (d.own != (locale_t)0) {
        freelocale(d.own);
    }
}
#endif

double decimal_read(const char *text) {
    struct decimal d = decimal_begin();
    double value = strtod(text, NULL);
    decimal_end(d);
    return value;
}
