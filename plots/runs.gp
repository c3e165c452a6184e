# SPDX-License-Identifier: MIT
# What run.gp, compare.gp and text.gp read from their arguments, after style.gp.

runs = int(number(1))
time_start = number(2)
time_end = number(3)
close_from = number(4)
has_set = item(numbers, 5) ne "nan" && item(numbers, 5) ne "-nan"
set_pressure = has_set ? number(5) : 0
has_chamber = int(number(6))

# Blocks of a data file (sim/plot_data.h).
block_whole = 0
block_close = 1
block_path = 2
block_loop = 3
block_contacts = 4
block_contacts_close = 5
