# SPDX-License-Identifier: MIT
# Pressure and travel of the last part in letters, for a terminal.
folder = ARG0[1 : strlen(ARG0) - strlen("text.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
load folder . "style.gp"
load folder . "runs.gp"
load folder . "ranges.gp"

unset grid
set key outside below noenhanced
set xrange [close_from : time_end]
set xlabel "time [s]"
do for [quantity = 1:2] {
    set yrange [(quantity == 2 ? mark_top : low[quantity]) : high[quantity]]
    set title (quantity == 1 ? heading . ": " : "") . label_of(quantity) noenhanced
    plot for [run = 1:runs] data(run) index block_close using 1:quantity+1 \
        with lines title title_of(run) noenhanced
}
