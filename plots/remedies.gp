# SPDX-License-Identifier: MIT
# What each remedy does: a bar a remedy over the flows at which it is steady, in the colour of its
# effect, with the verdict at today's flow beside it.
#   numbers  rows; lowest and highest flow looked at; today's flow; effects
#   titles   effects                labels  axis; heading of the verdicts
#   1.dat    a row a remedy: name, steady from, to, effect (-1: as it stands), group
#   2.dat    the same rows with the verdict as their name
folder = ARG0[1 : strlen(ARG0) - strlen("remedies.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
load folder . "style.gp"

rows = int(number(1))
lowest = number(2)
highest = number(3)
today = number(4)
effects = int(number(5))

array name[rows]
array result[rows]
array group[rows]
array effect[rows]
stats data(1) using (name[int($0) + 1] = strcol(1), group[int($0) + 1] = int(column(5)), \
                     effect[int($0) + 1] = int(column(4)), 0) nooutput
stats data(2) using (result[int($0) + 1] = strcol(1), 0) nooutput

# Green cures, blue helps, grey has no clear effect, orange and red are worse.
array effect_colour[6] = [0x009E73, 0x56B4E9, 0xCC79A7, 0xBBBBBB, 0xD55E00, 0x555555]
colour_of(e) = e < 0 ? 0x222222 : effect_colour[e + 1]
array effect_ink[6] = [0x00735A, 0x1B6FA8, 0xA03F7C, 0x666666, 0xB04A00, 0x555555]
ink_of(e) = e < 0 ? 0x222222 : effect_ink[e + 1]
# Told apart on a grey print too: what cures is plain, what helps has strokes, what is worse is dense.
array effect_hatch[6] = [0, 4, 6, 0, 2, 0]
hatch_of(e) = e < 0 ? 0 : effect_hatch[e + 1]

# A little room between the groups.
gap = 1.3
place(row) = row + gap * group[row]
last_place = rows + gap * group[rows]

set label 3 heading at screen 0.5, 0.975 center noenhanced font heading_font
set lmargin at screen 0.27
set rmargin at screen 0.78
set tmargin at screen 0.895
set bmargin at screen 0.08
set logscale x
set xrange [lowest : highest]
set yrange [last_place + 0.8 : 0.2]
set xlabel label_of(1) noenhanced offset 0,0.3
set format x "%g"
log_axis = "x"
log_low = lowest
log_high = highest
if (format ne "text") { load folder . "logtics.gp" }
set grid xtics noytics
set border 1
row_font = rows > 30 ? label_font : small_font

if (format eq "text") {
    unset grid
    set ytics ()
    do for [i = 1:rows] { set ytics add (sprintf("%s: %s", name[i], result[i]) place(i)) }
    set lmargin -1
    set rmargin -1
    set tmargin -1
    set bmargin -1
    set terminal dumb 110 (rows + 12) mono noenhanced
    unset label 3
    set title heading noenhanced
    set arrow 1 from today, graph 0 to today, graph 1 nohead
    plot data(1) using 2:(place(int($0) + 1)):2:3 with xerrorbars pt "["
    exit
}

set ytics () scale 0 font row_font
do for [i = 1:rows] { set ytics add (name[i] place(i)) }
do for [i = 1:rows] {
    set label (10 + i) result[i] noenhanced at graph 1.02, first place(i) left font row_font \
        tc rgb ink_of(effect[i])
}
array group_name[3] = ["without parts", "with parts", "two together"]
do for [i = 2:rows] {
    if (group[i] != group[i - 1]) {
        set label (100 + i) group_name[group[i]] at screen 0.01, first place(i) - 0.86 left \
            font label_font tc rgb 0x666666
        set arrow (100 + i) from screen 0.01, first place(i) - 0.55 - 0.5 * gap \
            to screen 0.99, first place(i) - 0.55 - 0.5 * gap nohead lc rgb 0xDDDDDD lw 1
    }
}
set label 1 label_of(2) noenhanced at graph 1.02, graph 1.015 left font label_font tc rgb 0x666666
set label 2 "today" at first today, graph 1.015 center font label_font tc rgb 0x666666
set arrow 1 from first today, graph 0 to first today, graph 1 nohead lt 7 front
set style fill solid 1.0 noborder
# The legend, of what occurs only.
array occurs[effects + 1]
do for [e = 0:effects] { occurs[e + 1] = 0 }
do for [i = 1:rows] { occurs[effect[i] + 2] = 1 }
step = 0.125
at = 0.5 - 0.5 * step * (sum [e = 1:effects + 1] occurs[e]) + 0.01
do for [e = -1:effects - 1] {
    if (occurs[e + 2]) {
        set object (200 + e) rectangle from screen at, 0.933 to screen at + 0.014, 0.945 \
            fc rgb colour_of(e) fs solid 1.0 noborder
        if (hatch_of(e) > 0) {
            set object (220 + e) rectangle from screen at, 0.933 to screen at + 0.014, 0.945 \
                fc rgb 0x222222 fs transparent pattern hatch_of(e) noborder
        }
        set label (200 + e) (e < 0 ? "as it stands" : item(titles, e + 1)) \
            at screen at + 0.02, 0.939 left font small_font
        at = at + step
    }
}
is(e) = effect[int($0) + 1] == e
# A row that is steady nowhere has no bar.
plot for [e = -1:effects - 1] data(1) \
    using (is(e) ? $2 : NaN):(place(int($0) + 1)):2:3:(place(int($0) + 1) - 0.33):(place(int($0) + 1) + 0.33) \
    with boxxyerror lc rgb colour_of(e) notitle, \
    for [e = 0:effects - 1] data(1) \
    using (is(e) && hatch_of(e) > 0 ? $2 : NaN):(place(int($0) + 1)):2:3:(place(int($0) + 1) - 0.33):(place(int($0) + 1) + 0.33) \
    with boxxyerror fs transparent pattern hatch_of(e) noborder lc rgb 0x222222 notitle
