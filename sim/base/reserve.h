// SPDX-License-Identifier: MIT
// A look before the leap into a library that does not look whether it got memory (SUNDIALS), or
// says then that something else is wrong (libfyaml): is there as much as it will ask for, in many
// small pieces, one after the other? What is there is given back, and is what it then finds. Other
// threads may be quicker; that cannot be helped from here.
#pragma once

#include <stdbool.h>
#include <stddef.h>

bool reserve_is_there(size_t bytes);
