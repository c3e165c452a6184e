# SPDX-License-Identifier: MIT
# How sure the verdicts are: above, for each trim and flow, the share of each verdict as a bar in
# pieces, with the interval of all that does not move by itself; below, how strongly the outcome goes with each
# uncertain value.
#   numbers  cases; values shown; outcomes; cases of the lower picture; correlation beyond chance
#   titles   outcomes               labels  axis above, axis below
#   1.dat    a row a case: name, share of each outcome, share calm, its interval
#   2.dat    a row a value: name, correlation for each case
folder = ARG0[1 : strlen(ARG0) - strlen("uncertainty.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
load folder . "style.gp"
load folder . "verdicts.gp"

cases = int(number(1))
values = int(number(2))
outcomes = int(number(3))
cases_below = int(number(4))
beyond = number(5)

array case_name[cases]
stats data(1) using (case_name[int($0) + 1] = strcol(1), 0) nooutput
array value_name[values]
stats data(2) using (value_name[int($0) + 1] = strcol(1), 0) nooutput

array found[outcomes]
do for [k = 1:outcomes] {
    stats data(1) using k+1 nooutput name "S"
    found[k] = S_max > 0
}

if (format eq "text") {
    unset grid
    unset border
    set xrange [-1 : 1]
    set yrange [values + 0.5 : 0.5]
    set title heading noenhanced
    set xlabel label_of(2) noenhanced
    set ytics ()
    do for [i = 1:values] { set ytics add (value_name[i] i) }
    set arrow 1 from 0, graph 0 to 0, graph 1 nohead
    set key outside below noenhanced
    plot for [c = 1:cases_below] data(2) using (column(c + 1)):($0 + 1) with points \
        title case_name[c]
    exit
}

set multiplot
set label 1 heading at screen 0.5, 0.975 center noenhanced font heading_font
left = 0.27

# --- Shares

share_room = cases < 3 ? 0.13 + 0.05 * cases : 0.28 + 0.02 * (cases < 9 ? cases - 3 : 6)
set lmargin at screen left
set rmargin at screen 0.97
set tmargin at screen 0.88
set bmargin at screen 0.88 - share_room
set xrange [0 : 100]
set yrange [cases + 0.5 : 0.5]
set ytics () scale 0
do for [i = 1:cases] {
    set ytics add (fitted_to(34, case_name[i]) i)
}
set xlabel label_of(1) noenhanced offset 0,0.4
set grid noytics
set border 1
up_to(k) = (k < 1 ? 0 : sum [j = 1:k] 100 * column(j + 1))
middle(k) = 0.5 * (up_to(k - 1) + up_to(k))
# Room for a number in a piece.
written(k) = column(k + 1) > 0.999 ? "all of these draws" : sprintf("%.0f %%", 100 * column(k + 1))
room_for(k) = column(k + 1) >= 0.045 ? 1 : NaN
seen(k) = column(k + 1) > 0 ? 1 : NaN
set style fill solid 1.0 noborder
# The verdicts that occur, hatched as they are in the bars, from the right.
legend_step = 0.108
legend_count = 0
do for [k = outcomes:1:-1] {
    if (found[k]) {
        legend_at = 0.97 - legend_step * (legend_count % 8 + 1)
        legend_row = 0.947 - 0.024 * (legend_count / 8)
        set object (400 + k) rectangle from screen legend_at, legend_row - 0.006 to screen legend_at + 0.018, legend_row + 0.006 \
            fc rgb verdict_colour[k] fs solid 1.0 noborder
        if (k <= 7 && verdict_hatch(k) > 0) {
            set object (430 + k) rectangle from screen legend_at, legend_row - 0.006 to screen legend_at + 0.018, legend_row + 0.006 \
                fc rgb 0x555555 fs transparent pattern verdict_hatch(k) noborder
        }
        set label (400 + k) item(titles, k) at screen legend_at + 0.023, legend_row left font small_font noenhanced
        legend_count = legend_count + 1
    }
}
set label 5 "dot and line: does not move by itself, with its 95 % interval" at screen 0.97, screen 0.892 right \
    font small_font
height = cases < 3 ? 0.3 : 0.36
set style textbox opaque noborder fillcolor rgb 0xFFFFFF margins 0.6, 0.4
plot for [k = 1:outcomes] data(1) \
         using (middle(k) * seen(k)):($0 + 1):(up_to(k - 1)):(up_to(k)):($0 + 1 - height):($0 + 1 + height) \
         with boxxyerror lc rgb verdict_colour[k] notitle, \
     for [k = 4:(outcomes < 7 ? outcomes : 7)] data(1) \
         using (middle(k) * seen(k)):($0 + 1):(up_to(k - 1)):(up_to(k)):($0 + 1 - height):($0 + 1 + height) \
         with boxxyerror fs transparent pattern verdict_hatch(k) noborder lc rgb 0x555555 notitle, \
     for [k = 1:outcomes] data(1) using (middle(k) * room_for(k)):($0 + 1):(written(k)) with labels boxed \
         font label_font tc rgb 0x222222 notitle, \
     data(1) using (100 * column(outcomes + 2)):($0 + 1 + height + 0.08):(100 * column(outcomes + 3)):(100 * column(outcomes + 4)) \
         with xerrorbars pt 7 ps 0.5 lw 1.4 lc rgb 0x222222 notitle

# --- What counts

unset label
unset object
set tmargin at screen 0.88 - share_room - 0.115
set bmargin at screen 0.085 + (cases_below > 1 ? 0.03 + 0.02 * ((cases_below + 2) / 3) : 0)
set xrange [-1 : 1]
set yrange [values + 0.6 : 0.4]
set ytics () scale 0
do for [i = 1:values] { set ytics add (value_name[i] i) }
set xlabel label_of(2) noenhanced offset 0,0.2
set grid xtics noytics
set xtics 0.25
set arrow 1 from 0, graph 0 to 0, graph 1 nohead ls 11 front
set object 1 rectangle from -beyond, graph 0 to beyond, graph 1 fs solid 1.0 noborder \
    fc rgb 0xF0F0F0 behind
set label 2 "more of it makes it better" at graph 0, graph 1.025 left font small_font
set label 3 "more of it makes it worse" at graph 1, graph 1.025 right font small_font
set label 4 "chance" at 0, graph 1.025 center font small_font tc rgb 0x666666
# Not the colours of the verdicts.
array case_colour[6] = [0x2B3A67, 0xCC79A7, 0x777777, 0x56B4E9, 0x8A6BBE, 0xB0B0B0]
thick = 0.8 / cases_below
low(c) = $0 + 0.6 + thick * (c - 1)
set key at screen 0.5, 0.01 center bottom horizontal Left reverse samplen 1.2 font small_font
if (cases_below == 1) { unset key }
plot for [c = 1:cases_below] data(2) \
    using (0.5 * column(c + 1)):(low(c) + 0.5 * thick):(0):(column(c + 1)):(low(c)):(low(c) + 0.9 * thick) \
    with boxxyerror lc rgb case_colour[c] title fitted_to(40, case_name[c]) noenhanced
unset multiplot
