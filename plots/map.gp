# SPDX-License-Identifier: MIT
# A map of two fields: cells coloured by verdict or by the growth of small motions, lines of equal
# swing and seat-contact rate, the line on which small motions neither grow nor die out, and the
# trims.
folder = ARG0[1 : strlen(ARG0) - strlen("map.gp")]
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

simulated = int(number(1))
x_log = int(number(4))
y_log = int(number(7))
is_given(n) = item(numbers, n) ne "nan" && item(numbers, n) ne "-nan"
has_boundary = int(number(10))
has_swing = int(number(11))
has_contacts = int(number(12))
has_labels = int(number(13))
classes = int(number(14))
class_number(k) = int(number(14 + k))
trim_x(k) = number(14 + classes + 2 * k - 1)
trim_y(k) = number(14 + classes + 2 * k)

# How many trims are marked: what is left of the numbers.
count(list) = strlen(list) == 0 ? 0 : \
              1 + count(list[strstrt(list, separator) + 1 : strlen(list)])
trims = (count(numbers) - 14 - classes) / 2

# By the number of enum map_class in sim/map/map_picture.c: twelve verdicts from steady to cannot
# shut, four reasons for no verdict, four bands of decay (greens) and four of growth (reds), apart
# in lightness too, so that they differ for colour-blind readers and on a grey copy.
verdicts = 12
first_growing = 20
hatch_colour = 0x666666
array other_colour[12] = [ \
    0xEFE6F4, 0xFFFFFF, 0x222222, 0xA98DBD, \
    0x3FAF8A, 0x7CC9AE, 0xB0DFCE, 0xDDF2EA, 0xFCE8DA, 0xF6BF9C, 0xE88D5D, 0xC05426]
paint(class) = int(class) < verdicts ? verdict_colour[int(class) + 1] \
                                     : other_colour[int(class) - verdicts + 1]

set xrange [number(2) : number(3)]
set yrange [number(5) : number(6)]
set xlabel label_of(1) noenhanced
set ylabel label_of(2) noenhanced
if (x_log) {
    set logscale x
    set xtics (1) # replaced below
}
if (y_log) {
    set logscale y
    set ytics (1)
}

if (format eq "text") {
    # In the order of the classes, as written by sim/map/map_picture.c.
    letters = "srfhiSCu_WX?-!?....++++"
    legend = ""
    do for [k = 1:classes] {
        c = class_number(k) + 1
        legend = legend . "   " . letters[c : c] . " " . item(titles, k)
    }
    set title heading . "\n" . legend noenhanced
    set xtics autofreq
    set ytics autofreq
    unset grid
    set lmargin 10
    set rmargin 9
    plot data(6) using 2:3:1 with labels notitle
    exit
}

# Ticks of a logarithmic axis at 1, 2 and 5 of every power of ten.
if (x_log) {
    do for [power = -9:9] {
        do for [step in "1 2 5"] {
            set xtics add (sprintf("%g", step * 10.0**power) step * 10.0**power)
        }
    }
}
if (y_log) {
    do for [power = -9:9] {
        do for [step in "1 2 5"] {
            set ytics add (sprintf("%g", step * 10.0**power) step * 10.0**power)
        }
    }
}

set lmargin at screen 0.085
set rmargin at screen 0.72
set tmargin at screen 0.93
set bmargin at screen 0.09
set label 1 heading at screen 0.5, 0.972 center noenhanced font heading_font
set border 15 ls 11
set tics out nomirror scale 0.5 front
unset grid
# What the cells mean, hatched as they are; below it the key of lines and points.
row_height = 0.0245
hatch(class) = class < verdicts ? verdict_hatch(class + 1) : class >= first_growing ? 4 : 0
do for [k = 1:classes] {
    row_middle = 0.918 - row_height * (k - 1)
    set object 300 + k rectangle from screen 0.741, row_middle - 0.0075 to screen 0.766, row_middle + 0.0075 \
        fc rgb paint(class_number(k)) fs solid 1.0 border lc rgb 0x888888
    if (hatch(class_number(k)) > 0) {
        set object 330 + k rectangle from screen 0.741, row_middle - 0.0075 to screen 0.766, row_middle + 0.0075 \
            fc rgb hatch_colour fs transparent pattern hatch(class_number(k)) noborder
    }
    set label (300 + k) (simulated || class_number(k) < 15 ? "" : "small motions ") . item(titles, k) \
        at screen 0.773, row_middle left noenhanced font small_font
}
set key at screen 0.735, screen 0.93 - row_height * classes left top Left reverse samplen 2.4 \
    spacing 1.35 font small_font noenhanced nobox
set label 2 fitted_to(52, label_of(4)) at screen 0.735, 0.10 left noenhanced font label_font
set style textbox opaque noborder fillcolor rgb 0xFFFFFF margins 0.4, 0.4
set style fill solid 1.0 border

swing_line = 0x1F3A68
contact_line = 0x3D0B00

# The scenario's own values, and the trims as they are.
if (is_given(8)) {
    set arrow 1 from first number(8), graph 0 to first number(8), graph 1 nohead lt 7 front
}
if (is_given(9)) {
    set arrow 2 from graph 0, first number(9) to graph 1, first number(9) nohead lt 7 front
}
do for [k = 1:trims] {
    set label 10 + k title_of(classes + k) at first trim_x(k), first trim_y(k) \
        left offset 1.0, 0.1 font small_font noenhanced front boxed
}

plot data(1) using (0.5 * ($1 + $2)):(0.5 * ($3 + $4)):1:2:3:4:(paint($5)) \
         with boxxyerror lc rgb variable notitle, \
     for [k = 4:7] data(1) \
         using ($5 == k - 1 ? 0.5 * ($1 + $2) : NaN):(0.5 * ($3 + $4)):1:2:3:4 \
         with boxxyerror fs transparent pattern verdict_hatch(k) noborder lc rgb hatch_colour notitle, \
     data(1) using ($5 >= first_growing ? 0.5 * ($1 + $2) : NaN):(0.5 * ($3 + $4)):1:2:3:4 \
         with boxxyerror fs transparent pattern 4 noborder lc rgb 0x999999 notitle, \
     (has_swing ? data(3) : "/dev/null") using 1:2 with lines lc rgb swing_line lw 1.4 dt 1 \
         title (has_swing ? label_of(3) : "") noenhanced, \
     (has_contacts ? data(4) : "/dev/null") using 1:2 with lines lc rgb contact_line lw 1.4 dt (7,4) \
         title (has_contacts ? "seat contacts a minute" : ""), \
     (has_boundary ? data(2) : "/dev/null") using 1:2 with lines lc rgb 0x000000 lw 3 dt 1 \
         title (has_boundary ? "small motions neutral" : ""), \
     (has_labels ? data(5) : "/dev/null") using 2:3:1 with labels boxed font label_font \
         tc rgb 0x222222 notitle, \
     for [k = 1:trims] "+" using (trim_x(k)):(trim_y(k)) every ::0::0 with points pt 7 ps 1.6 \
         lc rgb 0xFFFFFF notitle, \
     for [k = 1:trims] "+" using (trim_x(k)):(trim_y(k)) every ::0::0 with points pt 7 ps 1.1 \
         lc rgb 0x000000 title (k == 1 ? (simulated ? "a trim as it is: its own verdict" : "a trim as it is: small motions") : ""), \
     NaN with lines lt 7 title (is_given(8) || is_given(9) ? "the scenario's own" : "")
