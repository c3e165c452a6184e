# SPDX-License-Identifier: MIT
# A logger's record: all of it above, its last cycles enlarged below.
#   numbers  first and last time; begin and end of the enlarged part
#   titles   what the column is called, and what it shows    labels  axis of the pressure
#   1.dat    time, pressure; an empty line at a gap          2.dat  the same of the enlarged part
folder = ARG0[1 : strlen(ARG0) - strlen("record.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
load folder . "style.gp"

set ylabel label_of(1) noenhanced
set xlabel "time [s]"
unset key
if (format eq "text") {
    set title titles[1 : strlen(titles) - 1] noenhanced
    set xrange [number(3) : number(4)]
    plot data(2) using 1:2 with lines notitle
    exit
}
set multiplot
set label 1 heading at screen 0.5, 0.975 center noenhanced font heading_font
set lmargin at screen 0.09
set rmargin at screen 0.97
set tmargin at screen 0.88
set bmargin at screen 0.56
set xrange [number(1) : number(2)]
set title title_of(1) noenhanced offset 0,-0.4
plot data(1) using 1:2 with lines lt 1
unset label 1
set tmargin at screen 0.43
set bmargin at screen 0.10
set xrange [number(3) : number(4)]
set title "the last part" offset 0,-0.4
plot data(2) using 1:2 with linespoints lt 1 pt 7 ps 0.25
unset multiplot
