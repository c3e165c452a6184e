# SPDX-License-Identifier: MIT
# One colour a verdict, in the order of enum verdict (sim/judge/verdict.h), then "solver gave up": greens
# come to rest, oranges keep moving, reds hit the seat, blues do not do their work, greys are not
# known. Told apart by lightness too, for colour-blind readers and grey prints.
array verdict_colour[13] = [0x009E73, 0x8FD1BB, 0xC9E4F5, 0xE69F00, 0xF5D48A, 0xD55E00, 0x8A3B00, \
                            0xBBBBBB, 0x0072B2, 0x56B4E9, 0x5E3C99, 0x2B3A67, 0x777777]
