# SPDX-License-Identifier: MIT
# Pressure along the lines over time: time to the right, distance from the regulator upward (before
# it below 0, after it above), pressure as colour, from dark blue over white-ish to dark red-brown,
# apart in lightness on either side.
folder = ARG0[1 : strlen(ARG0) - strlen("waves.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
load folder . "style.gp"

lines = int(number(1))
low = number(4)
high = number(5) > low ? number(5) : low + 1

set title heading noenhanced font heading_font
set xrange [number(2) : number(3)]
set xlabel label_of(1) noenhanced
set ylabel label_of(2) noenhanced
set cblabel label_of(3) noenhanced
set cbrange [low : high]
set palette defined (0 "#08306b", 0.25 "#4292c6", 0.5 "#f2f0e6", 0.75 "#e08214", 1 "#7f3b08")
set autoscale yfix
set view map
set pm3d corners2color mean
unset grid
set lmargin at screen 0.09
set rmargin at screen 0.86
set bmargin at screen 0.10
set tmargin at screen 0.92
splot for [n = 1 : lines] data(n) using 1:2:3 with pm3d notitle
