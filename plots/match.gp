# SPDX-License-Identifier: MIT
# What a match has learnt: to the left each value in its range, before (grey, evenly likely from end
# to end) and after (5 to 95 % of the draws, with their middle); to the right, with a record, a
# cycle of it against the regulators that fit.
#   numbers  values shown; 1: there is a record; 1: there is a nearest wave; effective number
#   titles   record, draws, nearest wave     labels  axis of the pressure
#   1.dat    a row a value: name with its range, place of 5 %, 50 %, 95 %, what was learnt (0 to 2)
#   2.dat    phase of a cycle [%]; record, its 10 % and 90 %; draws' 5 %, 50 %, 95 %; nearest wave
folder = ARG0[1 : strlen(ARG0) - strlen("match.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
load folder . "style.gp"

values = int(number(1))
recorded = int(number(2))
nearest = int(number(3))
array value_name[values]
stats data(1) using (value_name[int($0) + 1] = strcol(1), 0) nooutput
colour(k) = k > 1.5 ? 0xD55E00 : k > 0.5 ? 0x0072B2 : 0x888888

set yrange [values + 0.6 : 0.4]
set xrange [0 : 100]
set ytics () scale 0
do for [i = 1:values] { set ytics add (value_name[i] i) }
set xlabel "place in what was likely before [%]" noenhanced
if (format eq "text") {
    unset key
    unset grid
    set title heading noenhanced
    plot data(1) using (100 * $3):($0 + 1):(100 * $2):(100 * $4) with xerrorbars
    exit
}

set multiplot
set label 1 heading at screen 0.5, 0.975 center noenhanced font heading_font
set lmargin at screen 0.375
set rmargin at screen (recorded ? 0.66 : 0.97)
set tmargin at screen 0.88
set bmargin at screen 0.11
set ytics font label_font noenhanced
set grid xtics noytics
set key at screen (recorded ? 0.66 : 0.97), 0.94 right top vertical maxrows 2 Left reverse samplen 1.2 font small_font
set style fill solid 1.0 noborder
kind(k) = column(5) > k - 0.5 && column(5) < k + 0.5 ? 1 : NaN
plot data(1) using (50):($0 + 1):(0):(100):($0 + 0.7):($0 + 1.3) with boxxyerror lc rgb 0xEEEEEE \
         title "before", \
     data(1) using (100 * $3 * kind(2)):($0 + 1):(100 * $2):(100 * $4):($0 + 0.78):($0 + 1.22) \
         with boxxyerror lc rgb 0xD55E00 title "pinned down", \
     data(1) using (100 * $3 * kind(1)):($0 + 1):(100 * $2):(100 * $4):($0 + 0.78):($0 + 1.22) \
         with boxxyerror lc rgb 0x0072B2 title "narrowed", \
     data(1) using (100 * $3 * kind(0)):($0 + 1):(100 * $2):(100 * $4):($0 + 0.78):($0 + 1.22) \
         with boxxyerror lc rgb 0xBBBBBB title "nothing learnt", \
     data(1) using (100 * $3):($0 + 1) with points pt 2 ps 0.6 lw 1.5 lc rgb 0x222222 title "middle"
if (recorded) {
    unset label 1
    set lmargin at screen 0.745
    set rmargin at screen 0.975
    set bmargin at screen 0.30
    set xlabel "a cycle, from its rising middle [%]"
    set ylabel label_of(1) noenhanced
    set yrange [*:*]
    set ytics autofreq scale 0.5
    set grid xtics ytics
    set key at screen 0.86, 0.02 center bottom vertical Left reverse samplen 1.5 font small_font noenhanced maxrows 5
    set style fill transparent solid 0.35 noborder
    plot data(2) using 1:5:7 with filledcurves lc rgb 0x0072B2 title title_of(2), \
         data(2) using 1:3:4 with filledcurves lc rgb 0x888888 title "record, most of its cycles", \
         data(2) using 1:6 with lines lw 1.5 lc rgb 0x0072B2 title "their middle", \
         data(2) using 1:2 with lines lw 2 lc rgb 0x222222 title title_of(1), \
         data(2) using 1:(nearest ? $8 : NaN) with lines lw 1.5 dt 2 lc rgb 0xD55E00 \
             title (nearest ? title_of(3) : "")
}
unset multiplot
