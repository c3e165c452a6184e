// SPDX-License-Identifier: MIT
// The services of which the proof draws its truths.
#pragma once

#include <stdbool.h>
#include <stddef.h>

enum { SERVICES = 3, TRIMS = 3 };

// A service, and the flows at which somebody looks at it, the first when it was new.
struct proof_service {
    const char *name, *quiet, *today;
};
extern const struct proof_service proof_services[SERVICES];

// Its scenario with rows of its own; false when it cannot be written.
bool proof_services_write(const char *path, size_t service, const char *rows);
