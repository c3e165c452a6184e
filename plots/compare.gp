# SPDX-License-Identifier: MIT
# Two to six runs on the same axes: the whole of them, their last part enlarged, and travel against
# pressure, where a limit cycle is a loop. The last part is drawn bold there.
folder = ARG0[1 : strlen(ARG0) - strlen("compare.gp")]
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

set multiplot
set label 1 heading at screen 0.5, 0.975 center noenhanced font heading_font
label_place = 0.02

column_left = 0.085
column_right = 0.405
column_block = block_whole
column_marks = block_contacts
column_from = time_start
column_to = time_end
column_heading = "whole run"
column_labels = 1
load folder . "panels.gp"

column_left = 0.425
column_right = 0.645
column_block = block_close
column_marks = block_contacts_close
column_from = close_from
column_heading = "last part"
column_labels = 0
load folder . "panels.gp"

set lmargin at screen 0.735
set rmargin at screen 0.98
set tmargin at screen panel_top
set bmargin at screen 0.46
set title "travel against pressure" noenhanced offset 0,-0.4
set xrange [low[1] : high[1]]
set yrange [mark_top : high[2]]
set xtics autofreq
set xlabel label_of(1) noenhanced
set ylabel label_of(2) noenhanced offset 0.5,0
if (has_set) {
    set arrow 1 from first set_pressure, graph 0 to first set_pressure, graph 1 nohead lt 7 back
}
plot for [run = 1:runs] data(run) index block_path using 2:3 with lines lt run lw 0.4 dt 1, \
     for [run = 1:runs] data(run) index block_loop using 2:3 with lines lt run lw 2.4, \
     for [run = 1:runs] data(run) index block_loop using 2:3 every ::0::0 \
         with points pt 7 ps 0.6 lc rgb colour[run]
unset arrow 1

key_font = longest_of(1, runs) > 38 ? label_font : small_font
set tmargin at screen 0.35
set bmargin at screen 0.075
unset border
unset tics
unset grid
unset xlabel
unset ylabel
unset title
set xrange [0:1]
set yrange [0:1]
set key at screen 0.985, 0.36 right top Right samplen 3 spacing 1.3 font key_font
plot for [run = 1:runs] NaN with lines lt run lw 2.4 title title_of(run) noenhanced, \
     NaN with lines lt 7 title (has_set ? "set pressure" : ""), \
     NaN with points pt 9 ps 0.9 lc rgb 0x444444 title "seat contact"
unset multiplot
