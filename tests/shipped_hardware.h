// SPDX-License-Identifier: MIT
// Scenarios, their bodies [in], and why they lie outside of the table of hardware; each says the
// same in its own comment. Included in the table of test_shipped_hardware.c.
{"altitude", 3, NULL}, {"direct", 2, NULL}, {"dump-hammer", 2, published}, {"envelope", 3, NULL},
    {"flow-direction", 3, NULL}, {"fuel-gas-line", 1, NULL}, {"fuel-gas-tank", 1, NULL},
    {"fuel-gas", 1, NULL}, {"hard-slam", 3, NULL}, {"inlet-pipe-long", 3, published},
    {"inlet-pipe-short", 3, published}, {"matched", 3, NULL}, {"oil-cold", 3, NULL},
    {"oil-good", 1, NULL}, {"oil-lost", 1, NULL}, {"oil-warm", 3, NULL}, {"oversized", 3, NULL},
    {"recorded", 3, NULL}, {"refused", 3, published}, {"relief-chatter", 3, published},
    {"relief-grazing", 3, published}, {"relief-hunting", 3, published},
    {"relief-low-flow", 3, published}, {"relief-ringing", 3, published}, {"restart", 3, NULL},
    {"routh-above", 3, published}, {"routh-below", 3, published}, {"sense-laminar", 4, NULL},
    {"sense-line-long", 1, NULL}, {"sense-nudge", 4, NULL}, {"sense-orifice", 4, NULL},
    {"six-inch", 6, NULL}, {"slugging", 3, NULL}, {"snap-blow", 2, NULL}, {"stem-free", 3, NULL},
    {"stem-friction", 3, "the dragging stem is the fault that it teaches"},
    {"stopper-high", 3, NULL}, {"stopper-low", 3, NULL}, {"supply-line-long", 2, NULL},
    {"tap-far", 1, NULL}, {"tap-near", 1, NULL}, {"two-inch", 2, NULL}, {"which-port", 3, NULL},
