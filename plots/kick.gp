# SPDX-License-Identifier: MIT
# Smallest kick that does not die out against flow, and below it the swing with the flow rising and
# falling. Columns of a data file: sim/kick_plot.c.
folder = ARG0[1 : strlen(ARG0) - strlen("kick.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
load folder . "style.gp"

trims = int(number(1))
flow_low = number(2)
flow_high = number(3)
flow_today = number(4)
largest = number(5)

set xrange [flow_low : flow_high]
if (flow_high / flow_low > 8) {
    set logscale x
}
words = longest_of(1, trims) > 26 ? longest_of(1, trims) : 26
rows = key_rows(trims + 5, words)

if (format eq "text") {
    set xlabel label_of(1) noenhanced
    set title heading . ": " . label_of(2) noenhanced
    set key outside below noenhanced
    set yrange [0 : 1.1 * largest]
    plot for [trim = 1:trims] data(trim) using 1:2 with linespoints title title_of(trim) noenhanced
    exit
}

set multiplot
set label 1 heading at screen 0.5, 0.972 center noenhanced font heading_font
set lmargin at screen 0.085
set rmargin at screen 0.97
label_place = 0.022
today_shown = flow_today >= flow_low && flow_today <= flow_high
if (today_shown) {
    set arrow 2 from first flow_today, graph 0 to first flow_today, graph 1 nohead lt 7 back
}

# Kicks far smaller than the largest are told by their powers of ten; no kick at all stands lowest.
smallest = largest
do for [trim = 1:trims] {
    stats data(trim) using ($2 > 0 && !($3 > 0) && $2 < smallest ? smallest = $2 : 0) nooutput
}
logged = smallest < 0.05 * largest
lowest = 0.5 * smallest
placed(kick) = logged && kick < lowest ? lowest : kick

# Trims that stand the largest kick would lie on one another: each gets a height of its own.
panel_top = 0.895 - 0.0215 * rows
set tmargin at screen panel_top
set bmargin at screen 0.50
step = 0.06
raised(trim) = logged ? largest * (largest / lowest) ** (trim * step) : largest * (1 + trim * step)
set yrange [logged ? lowest : -0.03 * largest : raised(trims + 1.6)]
# Above the largest kick that was tried there is no scale, only who stands it.
if (logged) {
    set logscale y
    set ytics ()
    do for [power = ceil(log10(lowest)):floor(log10(1.0001 * largest))] {
        set ytics add (sprintf("%g", 10.0 ** power) 10.0 ** power)
    }
} else {
    quarter = 0.25 * largest
    size = 10.0 ** floor(log10(quarter))
    tick = (quarter < 1.5 * size ? 1 : quarter < 3.5 * size ? 2 : quarter < 7.5 * size ? 5 : 10) * size
    set ytics 0, tick, 1.0001 * largest
}
set object 9 rectangle from graph 0, first raised(0.4) to graph 1, graph 1 behind \
    fillcolor rgb 0xF0F0F0 fillstyle solid noborder
set label 4 "stand the largest kick tried" at graph 1, graph 1.035 right \
    font small_font tc rgb 0x555555
set format x ""
set title "the smallest kick of the pressure that does not die out" noenhanced offset 0,-0.4
set label 2 label_of(2) rotate by 90 center noenhanced font label_font \
    at screen label_place, screen 0.5 * (panel_top + 0.5)
plot for [trim = 1:trims] data(trim) \
         using 1:($3 > 0 ? raised(trim) : placed($2)) with lines lt trim lw 2, \
     for [trim = 1:trims] data(trim) using 1:($3 > 0 ? raised(trim) : NaN) \
         with points pt 8 ps 1.2 lc rgb colour[trim], \
     for [trim = 1:trims] data(trim) using 1:($3 > 0 || $4 > 0 || $5 > 0 ? NaN : placed($2)) \
         with points pt 7 ps 1.1 lc rgb colour[trim], \
     for [trim = 1:trims] data(trim) using 1:($4 > 0 && !($3 > 0) ? placed($2) : NaN) \
         with points pt 6 ps 1.2 lw 1.5 lc rgb colour[trim], \
     for [trim = 1:trims] data(trim) using 1:($5 > 0 ? placed($2) : NaN) \
         with points pt 2 ps 1.2 lw 1.5 lc rgb colour[trim]
unset label
unset object 9
unset logscale y
set ytics autofreq

set tmargin at screen 0.445
set bmargin at screen 0.085
top = 0
set autoscale y # statistics leave out what lies beyond a range
do for [trim = 1:trims] {
    do for [way = 6:7] {
        stats data(trim) using way nooutput name "S"
        top = S_records > 0 && S_max > top ? S_max : top
    }
}
top = top > 0 ? top : 1
set yrange [-0.03 * top : 1.08 * top]
set format x "%g"
if (flow_high / flow_low > 8) {
    log_axis = "x"
    log_low = flow_low
    log_high = flow_high
    load folder . "logtics.gp"
}
set xlabel label_of(1) noenhanced offset 0,0.3
set title "swing with the flow rising (full line) and falling (broken), the motion carried over" \
    noenhanced offset 0,-0.4
set label 2 label_of(3) rotate by 90 center noenhanced font label_font \
    at screen label_place, screen 0.265
plot for [trim = 1:trims] data(trim) using 1:6 with linespoints \
         lc rgb colour[trim] dt 1 lw 2 pt 9 ps 1, \
     for [trim = 1:trims] data(trim) using 1:7 with linespoints \
         lc rgb colour[trim] dt (6,4) lw 2 pt 11 ps 1
unset label
unset arrow

# What the colours and marks mean, in two lines below the heading.
set lmargin at screen 0.03
set rmargin at screen 0.97
set tmargin at screen 0.958
set bmargin at screen 0.955 - 0.0215 * rows - 0.012
unset border
unset tics
unset grid
unset xlabel
unset title
unset logscale
set xrange [0:1]
set yrange [0:1]
set key center center horizontal maxrows rows samplen 2 width 1 font small_font noenhanced
plot for [trim = 1:trims] NaN with lines lc rgb colour[trim] lw 2.2 \
         title title_of(trim) noenhanced, \
     NaN with points pt 2 ps 1.2 lw 1.5 lc rgb 0x444444 title "moves if left alone", \
     NaN with points pt 6 ps 1.2 lw 1.5 lc rgb 0x444444 title "held by friction until kicked", \
     NaN with points pt 7 ps 1.1 lc rgb 0x444444 title "settles, hunts if kicked", \
     NaN with points pt 8 ps 1.2 lc rgb 0x444444 title "every kick tried dies out", \
     NaN with lines lt 7 title (today_shown ? "the scenario's flow" : "")
unset multiplot
