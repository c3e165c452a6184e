// SPDX-License-Identifier: MIT
#include "base/sha256.h"

#include <stdint.h>
#include <string.h>

enum { BLOCK = 64, ROUNDS = 64 };

// Fractional parts of the cube roots of the first 64 primes. FIPS 180-4, 4.2.2.
static const uint32_t constant[ROUNDS] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

static uint32_t turn(uint32_t x, int by) {
    return x >> by | x << (32 - by);
}

static void take_block(uint32_t hash[8], const unsigned char block[BLOCK]) {
    uint32_t w[ROUNDS], s[8];
    for (size_t t = 0; t < 16; t++) {
        w[t] = (uint32_t)block[4 * t] << 24 | (uint32_t)block[4 * t + 1] << 16 |
               (uint32_t)block[4 * t + 2] << 8 | block[4 * t + 3];
    }
    for (size_t t = 16; t < ROUNDS; t++) {
        const uint32_t a = w[t - 15], b = w[t - 2];
        w[t] = w[t - 16] + (turn(a, 7) ^ turn(a, 18) ^ a >> 3) + w[t - 7] +
               (turn(b, 17) ^ turn(b, 19) ^ b >> 10);
    }
    memcpy(s, hash, sizeof s);
    for (size_t t = 0; t < ROUNDS; t++) {
        const uint32_t e = s[4], a = s[0];
        const uint32_t one = s[7] + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) +
                             ((e & s[5]) ^ (~e & s[6])) + constant[t] + w[t];
        const uint32_t two =
            (turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & s[1]) ^ (a & s[2]) ^ (s[1] & s[2]));
        memmove(s + 1, s, 7 * sizeof s[0]);
        s[4] += one;
        s[0] = one + two;
    }
    for (size_t i = 0; i < 8; i++) {
        hash[i] += s[i];
    }
}

void sha256_bytes(const void *bytes, size_t size, unsigned char digest[SHA256_SIZE]) {
    uint32_t hash[8] = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                        0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    const unsigned char *at = bytes;
    size_t left = size;
    for (; left >= BLOCK; left -= BLOCK, at += BLOCK) {
        take_block(hash, at);
    }
    // The rest, a single one bit, zeros, and the length in bits.
    unsigned char last[2 * BLOCK] = {0};
    if (left > 0) {
        memcpy(last, at, left);
    }
    last[left] = 0x80;
    const size_t end = left < BLOCK - 8 ? BLOCK : 2 * BLOCK;
    for (size_t i = 0; i < 8; i++) {
        last[end - 1 - i] = (unsigned char)((uint64_t)size * 8 >> 8 * i);
    }
    for (size_t from = 0; from < end; from += BLOCK) {
        take_block(hash, last + from);
    }
    for (size_t i = 0; i < SHA256_SIZE; i++) {
        digest[i] = (unsigned char)(hash[i / 4] >> (24 - 8 * (i % 4)));
    }
}
