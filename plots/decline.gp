# SPDX-License-Identifier: MIT
# Rate against date on a logarithmic axis, the window of each trim as a band, the dates marked on
# which the rate leaves them; on the right the windows side by side on the same axis.
#   1.dat  year, rate, its bounds     2.dat  year, rate of the record
# The numbers are those of sim/trims/decline_picture.c.
folder = ARG0[1 : strlen(ARG0) - strlen("decline.gp")]
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
year_start = number(2)
year_today = number(3)
year_end = number(4)
fitted = int(number(5))
date_of(n) = item(titles, trims + n)

# Ends of the windows and places of the crossings; NaN where there is none.
known(v) = v == v
given(n) = known(number(n)) && item(numbers, n) ne "inf" && item(numbers, n) ne "-inf" ? \
           number(n) : NaN
part(n, k) = given(5 + 7 * (n - 1) + k)
top(n) = part(n, 1)
kicked(n) = part(n, 2)
settled(n) = part(n, 3)
leaves(n) = part(n, 4)
early(n) = part(n, 5)
late(n) = part(n, 6)
turns(n) = part(n, 7)

# Names stand under the windows where they fit; else numbers do, and the key tells the names.
longest = 1
do for [n = 1:trims] {
    longest = strlen(title_of(n)) > longest ? strlen(title_of(n)) : longest
}
names_fit = 7.6 * longest * trims <= 0.19 * picture_wide
under(n) = names_fit ? title_of(n) : sprintf("%d", n)

# A date near one before it stands on the other side of its line, then higher, so that they do not
# overlap.
near = 0.035 * (year_end - year_start)
array step[trims]
rows = 0
do for [n = 1:trims] {
    # Nor over the axis.
    step[n] = known(leaves(n)) && leaves(n) - year_start < near
    do for [m = 1:n - 1] {
        if (known(leaves(n)) && known(leaves(m)) && abs(leaves(n) - leaves(m)) < near) {
            step[n] = step[m] + 1 > step[n] ? step[m] + 1 : step[n]
        }
    }
    rows = step[n] / 2 > rows ? step[n] / 2 : rows
}

# A range that holds the curve and the windows.
stats data(1) using 2 nooutput name "C"
low = C_min
high = C_max
do for [n = 1:trims] {
    do for [k = 1:3] {
        v = part(n, k)
        high = known(v) && v > high ? v : high
        low = known(v) && v < low ? v : low
    }
}
low = low / 1.6 * (low / high)**(0.14 * rows)
high = high * 1.6

set logscale y
set yrange [low : high]
set format y "%g"
log_axis = "y"
log_low = low
log_high = high
if (format ne "text") { load folder . "logtics.gp" }

if (format eq "text") {
    set title heading noenhanced
    set xlabel "year"
    set ylabel label_of(1) noenhanced
    set key outside below noenhanced
    set xrange [year_start : year_end]
    unset grid
    plot data(1) using 1:2 with lines title "rate", \
         for [n = 1:trims] kicked(n) with lines title title_of(n) . ", lowest steady when kicked"
    exit
}

set multiplot
set label 1 heading at screen 0.5, 0.965 center noenhanced font heading_font
set lmargin at screen 0.085
set rmargin at screen 0.74
set tmargin at screen 0.90
set bmargin at screen 0.085
set xrange [year_start : year_end]
set xtics format "%.0f"
set mxtics
set xlabel "year"
set ylabel label_of(1) noenhanced

box = 10
do for [n = 1:trims] {
    if (known(kicked(n)) && known(top(n))) {
        # Over one another more than three bands are one grey.
        if (trims <= 3) {
            set object box rect from graph 0, first kicked(n) to graph 1, first top(n) \
                fillcolor rgb colour[n] fillstyle transparent solid 0.09 noborder behind
        }
        set arrow box from graph 0, first kicked(n) to graph 1, first kicked(n) nohead \
            lc rgb colour[n] lw 1.4 dt (6,4) back
        box = box + 1
    }
    if (known(leaves(n))) {
        set arrow box from leaves(n), kicked(n) to leaves(n), low nohead lc rgb colour[n] lw 1.4 \
            dt (2,3)
        set label box date_of(n) at leaves(n), low * (high / low)**(0.13 * (step[n] / 2)) \
            rotate by 90 left offset (step[n] % 2 == 0 ? -1.2 : 1.4),0.6 noenhanced \
            font label_font textcolor rgb ink[n]
        box = box + 1
        if (known(early(n))) {
            set arrow box from early(n), kicked(n) to (known(late(n)) ? late(n) : year_end), kicked(n) \
                heads size graph 0.006,90 lc rgb colour[n] lw 3.2
            box = box + 1
        }
    }
}
if (year_today > year_start) {
    set arrow 2 from year_today, graph 0 to year_today, graph 1 nohead ls 11 dt (2,4) back
    set label 2 "last rate" at year_today, graph 0.985 right offset -0.6,0 font small_font
}
set key at graph 0.985, graph 0.985 right top Left reverse samplen 2.5 font small_font opaque fillcolor rgb 0xFFFFFF
plot data(1) using 1:3:4 with filledcurves lc rgb 0x444444 fs transparent solid (fitted ? 0.18 : 0) \
         noborder title (fitted ? "95 % band of the fit" : ""), \
     data(2) using 1:2 with points pt 7 ps 0.45 lc rgb 0x777777 title (fitted ? "record" : ""), \
     data(1) using 1:2 with lines lc rgb 0x222222 lw 2.2 dt 1 title "rate", \
     for [n = 1:trims] "+" using (leaves(n)):(kicked(n)) every ::0::0 with points pt 7 ps 1.4 \
         lc rgb colour[n] notitle, \
     NaN with points pt 7 ps 1.2 lc rgb 0x444444 title "leaves its window", \
     for [n = 1:(names_fit ? 0 : trims)] NaN with points pt 5 ps 1.6 lc rgb colour[n] \
         title sprintf("%d  ", n) . title_of(n) noenhanced

unset object
unset arrow
unset label
set lmargin at screen 0.79
set rmargin at screen 0.985
unset xlabel
unset ylabel
set format y ""
set xrange [0.4 : trims + 0.6]
unset xtics
set title "window of each trim" noenhanced offset 0,-0.4
unset key
set label 1 "light: only if left alone" at graph 0.5, graph -0.055 center font small_font
do for [n = 1:trims] {
    set label 10 + n under(n) at n, graph -0.015 center noenhanced font label_font
    if (known(kicked(n)) && known(top(n))) {
        set object 20 + n rect from n - 0.3, kicked(n) to n + 0.3, top(n) \
            fillcolor rgb colour[n] fillstyle solid 0.75 noborder
    }
    if (known(settled(n)) && known(top(n)) && !(settled(n) >= kicked(n))) {
        set object 40 + n rect from n - 0.3, settled(n) to n + 0.3, \
            (known(kicked(n)) ? kicked(n) : top(n)) \
            fillcolor rgb colour[n] fillstyle transparent solid 0.25 border lc rgb colour[n]
    }
}
plot NaN notitle
unset multiplot
