// SPDX-License-Identifier: MIT
// Texts that others wrote as values of JSON.
#pragma once

#include <jansson.h>

// What is no UTF-8 becomes '?': jansson would make no value of it. No text (NULL) is an empty one.
// NULL without memory.
json_t *json_text(const char *text);
