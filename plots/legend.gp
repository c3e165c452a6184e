# SPDX-License-Identifier: MIT
# What the marks mean, in one line below the heading.
set lmargin at screen 0.05
set rmargin at screen 0.95
set tmargin at screen 0.955
set bmargin at screen 0.925
unset border
unset tics
unset grid
unset xlabel
unset ylabel
unset title
set xrange [0:1]
set yrange [0:1]
set key center center horizontal samplen 3 width 2 font small_font
plot NaN with lines lt 7 title (has_set ? "set pressure" : ""), \
     NaN with points pt 9 ps 0.9 lc rgb 0x444444 title "seat contact"
unset key
