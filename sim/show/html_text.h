// SPDX-License-Identifier: MIT
// Texts and bytes in forms that stand inside a page and are nothing else there.
#pragma once

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

// JSON such that no end of an element stands in it.
void html_text_json(FILE *out, const char *json);

// Base64 (RFC 4648, section 4); the short one writes into a text with room for it.
void html_text_base64(FILE *out, const void *bytes, size_t size);
void html_text_base64_short(const void *bytes, size_t size, char *text);

// Whether a text is UTF-8 (RFC 3629).
bool html_text_is_utf8(const char *text);
