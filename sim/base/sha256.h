// SPDX-License-Identifier: MIT
// SHA-256 of some bytes, as a page's content policy names its own scripts. Source: FIPS 180-4.
#pragma once

#include <stddef.h>

enum { SHA256_SIZE = 32 };

void sha256_bytes(const void *bytes, size_t size, unsigned char digest[SHA256_SIZE]);
