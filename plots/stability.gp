# SPDX-License-Identifier: MIT
# Damping and frequency of the swing against flow for every trim, and beside them what drives it:
# bars of the growth rate with one thing frozen at a time.
folder = ARG0[1 : strlen(ARG0) - strlen("stability.gp")]
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
changes = int(number(5))
bars = int(number(6))
longest = number(7)
change_data = data(trims + 1)
bar_data = data(trims + 2)
wide = flow_high / flow_low > 8

set xrange [flow_low : flow_high]
if (wide) {
    set logscale x
}

if (format eq "text") {
    set xlabel label_of(1) noenhanced
    set title heading . ": damping ratio of the swing" noenhanced
    set key outside below noenhanced
    set xzeroaxis
    plot for [trim = 1:trims] data(trim) using 1:2 with lines title title_of(trim) noenhanced
    exit
}

set multiplot
set label 1 heading at screen 0.5, 0.972 center noenhanced font heading_font
right_edge = bars > 0 ? 0.53 : 0.97
# Long names take the key more rows, and the panels leave room for them.
words = longest_of(1, trims) > 20 ? longest_of(1, trims) : 20
rows = key_rows(trims + (changes > 0 ? 2 : 1), words)
panel_top = 0.875 - 0.021 * (rows - 1)
label_place = 0.02

# Damping ratio; the unsteady side below zero is shaded.
set lmargin at screen 0.085
set rmargin at screen right_edge
set tmargin at screen panel_top
set bmargin at screen 0.42
low = 0
high = 0
do for [trim = 1:trims] {
    undefine S_*
    stats data(trim) using 2 nooutput name "S"
    if (exists("S_records")) {
        low = S_min < low ? S_min : low
        high = S_max > high ? S_max : high
    }
}
room = high - low > 0 ? 0.06 * (high - low) : 0.1
set yrange [low - 2 * room : high + room]
set format x ""
set title "damping ratio of the swing (below 0 it grows)" noenhanced offset 0,-0.4
set object 1 rectangle from graph 0, graph 0 to graph 1, first 0 behind \
    fillcolor rgb 0xFBEDE6 fillstyle solid noborder
set arrow 1 from graph 0, first 0 to graph 1, first 0 nohead ls 11 lw 1.6 front
set arrow 2 from first flow_today, graph 0 to first flow_today, graph 1 nohead lt 7 back
set label 2 "damping ratio" rotate by 90 center font label_font at screen label_place, screen 0.5 * (panel_top + 0.42)
plot for [trim = 1:trims] data(trim) using 1:2 with lines lt trim lw 2.2, \
     for [trim = 1:(changes > 0 ? trims : 0)] change_data \
         using ($2 == trim ? $1 : NaN):(0) with points pt 7 ps 1.1 lc rgb colour[trim]
unset object 1
unset arrow 1
unset label

set tmargin at screen 0.365
set bmargin at screen 0.10
set autoscale y
set offsets graph 0, graph 0, graph 0.08, graph 0.08
set format x "%g"
if (wide) {
    log_axis = "x"
    log_low = flow_low
    log_high = flow_high
    load folder . "logtics.gp"
}
set xlabel label_of(1) noenhanced offset 0,0.3
set title "frequency of the swing" noenhanced offset 0,-0.4
set label 2 "frequency [Hz]" rotate by 90 center font label_font at screen label_place, screen 0.23
set logscale y
swings = 0
do for [trim = 1:trims] {
    undefine F_*
    stats data(trim) using ($3 > 0 ? $3 : NaN) nooutput name "F"
    swings = swings || (exists("F_records") && F_records > 0)
}
if (!swings) {
    set yrange [0.1 : 10]
    set label 3 "nothing swings at these flows" at graph 0.5, graph 0.5 center font label_font
}
plot for [trim = 1:trims] data(trim) using 1:($3 > 0 ? $3 : NaN) with lines lt trim lw 2.2
unset logscale y
unset offsets
unset label
unset arrow 2
unset xlabel

# Bars, from the top: a line of words, then one bar a trim.
if (bars > 0) {
    unset logscale
    set lmargin at screen 0.585
    set rmargin at screen 0.985
    set tmargin at screen panel_top
    set bmargin at screen 0.10
    room = 1.5 # of the right half, so that the numbers stand beside the bars
    set xrange [-longest : room * longest]
    set yrange [bars : 0]
    unset ytics
    set border 1 ls 11
    set xtics autofreq
    set title "what drives it: growth of the swing at the scenario's flow" \
        noenhanced offset 0,-0.4
    set xlabel "growth [1/s]: to the left it decays, to the right it grows" offset 0,0.3
    set object 1 rectangle from first 0, graph 0 to first longest, graph 1 behind \
        fillcolor rgb 0xFBEDE6 fillstyle solid noborder
    set arrow 1 from first 0, graph 0 to first 0, graph 1 nohead ls 11 lw 1.6 back
    thick = 0.55 / trims
    bar_font = trims <= 3 ? label_font : format eq "svg" ? ",8" : ",7"
    top(trim) = 0.40 + (trim - 1) * thick
    cut(x) = x > longest ? longest : x < -longest ? -longest : x
    set style fill solid 0.85 noborder
    # Numbers of more than three trims would lie on one another: the table has them.
    said(x) = trims > 3 ? "" : x == x ? sprintf("%+.3g", x) : "no swing"
    if (trims > 3) {
        set label 5 "no bar: it does not swing" at graph 1, graph 0.98 right font label_font
    }
    plot for [trim = 1:trims] bar_data \
             using (0):($0):(cut(column(trim + 1)) < 0 ? cut(column(trim + 1)) : 0): \
                   (cut(column(trim + 1)) > 0 ? cut(column(trim + 1)) : 0): \
                   ($0 + top(trim) + 0.04 * thick):($0 + top(trim) + 0.88 * thick) \
             with boxxyerror lc rgb colour[trim], \
         for [trim = 1:trims] bar_data \
             using (longest * 1.03):($0 + top(trim) + 0.46 * thick):(said(column(trim + 1))) \
             with labels left font bar_font noenhanced tc rgb ink[trim], \
         bar_data using (-longest):($0 + 0.22):(($0 > 0 ? "if " : "") . strcol(1)) \
             with labels left font label_font noenhanced
    unset object 1
    unset arrow 1
    unset label
}

# What the colours mean, in one line below the heading.
set lmargin at screen 0.05
set rmargin at screen 0.95
set tmargin at screen 0.955
set bmargin at screen 0.955 - 0.0215 * rows - 0.011
unset border
unset tics
unset grid
unset xlabel
unset title
set logscale x
unset logscale
set xrange [0:1]
set yrange [0:1]
set key center center horizontal maxrows rows samplen 3 width 2 font small_font noenhanced
plot for [trim = 1:trims] NaN with lines lt trim lw 2.2 title title_of(trim) noenhanced, \
     NaN with lines lt 7 title "the scenario's flow", \
     NaN with points pt 7 ps 1.1 lc rgb 0x444444 title (changes > 0 ? "neutral" : "")
unset multiplot
