# SPDX-License-Identifier: MIT
# Among many regulators: for each trim or remedy the shares that do something, as dots with their 95 %
# intervals; to the right of it, where the study finds a number or a date, that in words.
#   numbers  items; shares of each; 1: there are words; items there are, also those left out
#   titles   what each share is of; heading of the words
#   labels   axis; how many draws it rests on
#   1.dat    name, place, share's number, share [%], its interval      2.dat  words, place
folder = ARG0[1 : strlen(ARG0) - strlen("among.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
# As high as its items need; the list of numbers begins with how many they are.
picture_high = 290 + 120 * int(numbers[1:strstrt(numbers, "\037") - 1] + 0)
if (picture_high > 900) { picture_high = 900 }
load folder . "style.gp"
down(pixels) = 1.0 - 1.0 * pixels / picture_high

items = int(number(1))
shares = int(number(2))
worded = int(number(3))
left_out = int(number(4)) - items

array name[items]
do for [i = 1:items] { name[i] = "" }
stats data(1) using (name[int(column(2))] = strcol(1), 0) nooutput
longest = 6
do for [i = 1:items] { longest = strlen(name[i]) > longest ? strlen(name[i]) : longest }
room = longest < 36 ? longest : 36

set xrange [0 : 100]
set yrange [items + 0.6 : 0.4]
set ytics () scale 0
do for [i = 1:items] { set ytics add (fitted_to(room, name[i]) i) }
if (format eq "text") {
    unset grid
    unset border
    set title heading noenhanced
    set xlabel label_of(1) noenhanced
    plot data(1) using ($3 == 1 ? $4 : NaN):2:5:6 with xerrorbars notitle
    exit
}

# The words may be long; what they leave is for the shares.
words_longest = 30
array words[items]
if (worded) {
    stats data(2) using (words[int(column(2))] = strcol(1), 0) nooutput
    do for [i = 1:items] {
        words_longest = strlen(words[i]) > words_longest ? strlen(words[i]) : words_longest
    }
}
rows = key_rows(shares, longest_of(1, shares))
left_edge = 0.03 + share_of(room) > 0.10 ? 0.03 + share_of(room) : 0.10
right_edge = worded ? 0.975 - label_share_of(words_longest < 58 ? words_longest : 58) : 0.97
panel_top = down(125 + 22 * rows)
panel_bottom = 1.0 - down(95)

set multiplot
set label 1 heading at screen 0.5, screen down(25) center noenhanced font heading_font
set label 2 label_of(2) . (left_out > 0 ? sprintf("; %d more are in the table", left_out) : "") \
    at screen 0.5, screen down(56) center noenhanced font label_font
if (worded) {
    # Above the shares too there is room for it.
    set label 3 fitted_to(104, item(titles, shares + 1)) at screen 0.985, graph 1 right offset 0,0.8 noenhanced font label_font
    do for [i = 1:items] {
        set label (20 + i) fitted_to(58, words[i]) at graph 1.02, first i left noenhanced font label_font
    }
}
set lmargin at screen left_edge
set rmargin at screen right_edge
set tmargin at screen panel_top
set bmargin at screen panel_bottom
set border 1
set grid xtics noytics
set xtics 20
set xlabel label_of(1) noenhanced
do for [i = 1:items - 1] {
    set arrow (10 + i) from graph 0, first i + 0.5 to graph 1, first i + 0.5 nohead lc rgb 0xDDDDDD lw 0.7 back
}
array mark[6] = [7, 5, 9, 13, 11, 4]
step = 0.7 / shares
place(k) = $2 - 0.35 + step * (k - 0.5)
is(k) = $3 == k ? 1 : NaN
size = items > 12 ? 0.7 : 1.2
told(v) = v > 99.95 ? "all" : v < 0.05 ? "none" : sprintf("%.0f %%", v)
beside = items * shares <= 30
plot for [k = 1:shares] data(1) using ($4 * is(k)):(place(k)):5:6 with xerrorbars pt mark[k] ps size \
         lw 1.8 dt 1 lc rgb ink[k] notitle, \
     for [k = 1:(beside ? shares : 0)] data(1) \
         using ($6 * is(k)):(place(k)):($6 > 88 ? "" : told($4)) with labels left offset 0.8,0 font label_font \
         tc rgb ink[k] notitle, \
     for [k = 1:(beside ? shares : 0)] data(1) \
         using ($5 * is(k)):(place(k)):($6 > 88 ? told($4) : "") with labels right offset -0.8,0 font label_font \
         tc rgb ink[k] notitle

unset label
unset arrow
set lmargin at screen 0.03
set rmargin at screen 0.97
set tmargin at screen down(70)
set bmargin at screen down(70 + 22 * rows)
unset border
unset tics
unset grid
unset xlabel
set yrange [0:1]
set key center center horizontal maxrows rows Left reverse samplen 1.5 width 1 font small_font noenhanced
plot for [k = 1:shares] NaN with points pt mark[k] ps 1.2 lc rgb ink[k] title title_of(k)
unset multiplot
