// SPDX-License-Identifier: MIT
// Scenarios, their bodies [in], and why they lie outside of the table of hardware; each says the
// same in its own comment. Included in the table of test_shipped_hardware.c.
{"altitude", 3, NULL},
    {"decline", 3,
     "stiffer than exists, on purpose: the same slam at its plainest and quickest, which examples "
     "and tests stand on; `oversized` tells it in hardware that exists"},
    {"direct", 2, "a small diaphragm on little volume, so that it moves fast enough to chatter"},
    {"dump-hammer", 2, published},
    {"envelope", 3,
     "that of decline.yaml, stiffer than exists: its windows lie where a table shows them all"},
    {"flow-direction", 3,
     "the preload that holds the plug against flow from below is the lesson; that of decline.yaml "
     "otherwise. Of 40 regulators drawn from the ranges none is steady so"},
    {"fuel-gas-line", 0.5,
     "a smaller body than the table is for; what waves in a line do is the lesson"},
    {"fuel-gas-tank", 1, "as in fuel-gas.yaml"},
    {"fuel-gas", 1,
     "a stiff little regulator whose pilot has a large seat: that next to no volume follows it is "
     "the lesson"},
    {"hard-slam", 3, NULL}, {"inlet-pipe-long", 3, published}, {"inlet-pipe-short", 3, published},
    {"matched", 3, NULL},
    {"oil-cold", 3,
     "the oil damper is the lesson; that of decline.yaml otherwise. Of 40 regulators drawn from "
     "the ranges one tells it"},
    {"oil-good", 2, "a lightly damped plug on a small vessel, so that the oil alone decides"},
    {"oil-lost", 2, "as in oil-good.yaml"}, {"oil-warm", 3, "as in oil-cold.yaml"},
    {"oversized", 3, NULL}, {"recorded", 3, NULL}, {"refused", 3, published},
    {"relief-chatter", 3, published}, {"relief-grazing", 3, published},
    {"relief-hunting", 3, published}, {"relief-low-flow", 3, published},
    {"relief-ringing", 3, published}, {"restart", 3, NULL}, {"routh-above", 3, published},
    {"routh-below", 3, published},
    {"sense-laminar", 1.5, "as in sense-orifice.yaml but for its tube"},
    {"sense-line-long", 1, "as in fuel-gas-tank.yaml; what waves in a sense line do is the lesson"},
    {"sense-nudge", 1.5, "as in sense-orifice.yaml"},
    {"sense-orifice", 1.5, "no friction and a narrow sense line, so that the orifice alone damps"},
    {"six-inch", 6,
     "the spring and pilot of decline.yaml at twice the size, so that the two can be compared. Of "
     "40 regulators drawn from the ranges for a 6 in body none tells it"},
    {"slugging", 3,
     "that of decline.yaml with a softer spring, so that one port follows the slugs and a smaller "
     "one does not"},
    {"snap-blow", 2, NULL},
    {"stem-free", 3,
     "the missing feedback and the dragging stem are the lesson; that of decline.yaml otherwise"},
    {"stem-friction", 3,
     "the missing feedback and the dragging stem are the lesson; that of decline.yaml otherwise"},
    {"stopper-high", 3, "as in stopper-low.yaml"},
    {"stopper-low", 3,
     "a larger diaphragm and pilot than exist, so that only the land decides. Of 25 regulators "
     "drawn from the ranges none does both"},
    {"tap-far", 0.5, "a smaller body than the table is for; the place of the tap is the lesson"},
    {"tap-near", 0.5, "a smaller body than the table is for; the place of the tap is the lesson"},
    {"supply-line-long", 2, NULL}, {"two-inch", 2, NULL}, {"which-port", 3, NULL},
