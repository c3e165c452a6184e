# SPDX-License-Identifier: MIT
# The window of flows of each trim as a bar over a logarithmic flow axis, with the envelope shaded;
# below, how far each trim is open at the flows of the envelope. The numbers are those of
# sim/trims/trim_picture.c.
folder = ARG0[1 : strlen(ARG0) - strlen("trims.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
load folder . "style.gp"
title_room = 40
key_of(n) = fitted_to(22, title_of(n))

known(v) = v == v
given(n) = known(number(n)) && item(numbers, n) ne "inf" && item(numbers, n) ne "-inf" ? \
           number(n) : NaN
trims = int(number(1))
array flow[3] = [given(2), given(3), given(4)]
today = given(5)
part(n, k) = given(5 + 12 * (n - 1) + k)
top(n) = part(n, 1)
kicked(n) = part(n, 2)
settled(n) = part(n, 3)
rank(n) = int(part(n, 4))
goes_on(n) = part(n, 5) == 1
stands_lower(n) = part(n, 6) == 1
opening_low(n, f) = part(n, 5 + 2 * f)
opening_high(n, f) = part(n, 6 + 2 * f)
verdict_of(n) = item(titles, trims + n)

# A range of flows that holds the envelope, today and the windows.
low = flow[1]
high = flow[3]
high = known(today) && today > high ? today : high
low = known(today) && today < low && today > 0 ? today : low
do for [n = 1:trims] {
    high = known(top(n)) && top(n) > high ? top(n) : high
    low = known(kicked(n)) && kicked(n) < low ? kicked(n) : low
    low = known(settled(n)) && settled(n) < low ? settled(n) : low
}
low = low / 1.8
high = high * 1.8

set logscale x
set format x "%g"
set xrange [low : high]
log_axis = "x"
log_low = low
log_high = high
bottom(n) = known(kicked(n)) ? kicked(n) : known(top(n)) ? top(n) : NaN

if (format eq "text") {
    set title heading . ": windows, " . label_of(2) noenhanced
    set xlabel label_of(1) . "; E marks the envelope" noenhanced
    set yrange [trims + 0.8 : 0]
    set ytics ()
    unset grid
    do for [n = 1:trims] {
        set ytics add (title_of(n) n)
        if (known(kicked(n)) && known(top(n))) {
            set arrow n from kicked(n), n to top(n), n heads
        }
    }
    set label 1 "E" at flow[1], 0.4 center
    set label 2 "E" at flow[3], 0.4 center
    plot NaN notitle
    exit
}

set multiplot
set label 1 heading at screen 0.5, 0.968 center noenhanced font heading_font
set label 2 label_of(2) at screen 0.5, 0.932 center noenhanced font small_font

longest = 1
do for [n = 1:trims] {
    longest = strlen(title_of(n)) > longest ? strlen(title_of(n)) : longest
}
left_edge = 0.03 + share_of(longest) > 0.13 ? 0.03 + share_of(longest) : 0.13
set lmargin at screen left_edge
set rmargin at screen 0.785
set tmargin at screen 0.885
set bmargin at screen 0.50
set yrange [trims + 0.6 : 0.4]
set format x ""
set ytics () scale 0
unset mytics
set object 1 rect from flow[1], graph 0 to flow[3], graph 1 fillcolor rgb 0x000000 \
    fillstyle transparent solid 0.07 noborder behind
set label 3 "envelope" at sqrt(flow[1] * flow[3]), graph 1.025 center font small_font
do for [n = 1:trims] {
    set ytics add (title_of(n) n)
    set label 10 + n sprintf("%d.  in the envelope: ", rank(n)) . verdict_of(n) \
        at graph 1.015, first n left noenhanced font label_font
    if (known(kicked(n)) && known(top(n))) {
        set object 10 + n rect from kicked(n), n - 0.3 to top(n), n + 0.3 \
            fillcolor rgb colour[n] fillstyle solid 0.75 noborder
    }
    if (known(settled(n)) && known(top(n)) && !(settled(n) >= kicked(n))) {
        set object 30 + n rect from settled(n), n - 0.3 to bottom(n), n + 0.3 \
            fillcolor rgb colour[n] fillstyle transparent solid 0.25 border lc rgb colour[n]
    }
    if (!known(settled(n))) {
        set label 50 + n stands_lower(n) ? "not steady at the largest flow it passes" : \
            "steady at no flow it passes" at sqrt(low * high), n center \
            font label_font textcolor rgb ink[n]
    }
    if (goes_on(n)) {
        set label 70 + n "and further down" at kicked(n), n left offset 0.5,0 font label_font \
            textcolor rgb 0xffffff
    }
}
set label 8 "light: only if left alone" at graph 1.015, graph 0.03 left font label_font
if (known(flow[2])) {
    set arrow 1 from flow[2], graph 0 to flow[2], graph 1 nohead ls 11 dt (2,4)
    set label 4 "normal" at flow[2], graph 0.02 left offset 0.4,0.3 font label_font
}
if (known(today) && today > 0) {
    set arrow 2 from today, graph 0 to today, graph 1 nohead lt 7 lw 1.8
    set label 5 "today" at today, graph 0.98 left offset 0.4,-0.3 font label_font
}
plot NaN notitle

set format x "%g"
load folder . "logtics.gp"
unset label
unset object
set object 1 rect from flow[1], graph 0 to flow[3], graph 1 fillcolor rgb 0x000000 \
    fillstyle transparent solid 0.07 noborder behind
set tmargin at screen 0.455
set bmargin at screen 0.085
set logscale y
set yrange [* : 130]
opens = 0
lowest_opening = 100
do for [n = 1:trims] {
    do for [i = 1:3] {
        opens = opens || opening_low(n, i) > 0 || opening_high(n, i) > 0
        lowest_opening = opening_low(n, i) > 0 && opening_low(n, i) < lowest_opening ? opening_low(n, i) : lowest_opening
    }
}
if (!opens) {
    set yrange [1 : 130]
}
if (opens && lowest_opening > 80) { # wide open everywhere: an axis without a decade has no ticks
    lowest_opening = 14
    set yrange [10 : 130]
}
set ytics autofreq scale 0.5
set format y "%g"
log_axis = "y"
log_low = 0.7 * lowest_opening
log_high = 130
load folder . "logtics.gp"
set xlabel label_of(1) noenhanced
set ylabel "opening [% of travel]" noenhanced
set arrow 3 from graph 0, first 90 to graph 1, first 90 nohead lt 7
set label 6 "90 %: beyond it a flow does not count as passed" at graph 0.01, first 90 left offset 0,0.6 font label_font
set key at screen 0.80, 0.44 left top Left reverse samplen 2.5 font small_font
$flows << EOD
1
2
3
EOD
plot for [n = 1:trims] $flows using (flow[int($1)]):(opening_low(n, int($1))) with linespoints \
         lt n pt 7 ps 0.9 title key_of(n) noenhanced, \
     for [n = 1:trims] $flows using (flow[int($1)]):(opening_high(n, int($1))) with linespoints \
         lt n pt 6 ps 0.9 notitle
unset multiplot
