# SPDX-License-Identifier: MIT
# One colour a verdict, in the order of enum verdict (sim/judge/verdict.h), then "solver gave up": greens
# come to rest, oranges keep moving, reds hit the seat, blues do not do their work, greys are not
# known. Told apart by lightness too, for colour-blind readers and grey prints: what rests is light,
# what moves darker, what hits the seat dark; and what moves is hatched besides, densely where it hits.
array verdict_colour[13] = [0xA6DCC7, 0x6CC0A0, 0xC9E4F5, 0xE69F00, 0xF0C060, 0xC2410C, 0x7A2E00, \
                            0xE9E9E9, 0x0072B2, 0x3A96D0, 0x5E3C99, 0x2B3A67, 0x777777]
moves(k) = k == 4 || k == 5
hits(k) = k == 6 || k == 7
verdict_hatch(k) = moves(k) ? 4 : hits(k) ? 2 : 0 # patterns of gnuplot: strokes, crossed strokes
