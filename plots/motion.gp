# SPDX-License-Identifier: MIT
# Two runs as they go on, for slides: pressure and opening over time, and the plugs over their seats.
folder = ARG0[1 : strlen(ARG0) - strlen("motion.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
load folder . "style.gp"

frames = number(1)
step = number(2)
widest = number(3)
array port[2] = [number(4) / widest, number(5) / widest]
stats data(1) using 2 nooutput name "P1"
stats data(2) using 2 nooutput name "P2"
stats data(1) using 3 nooutput name "T1"
stats data(2) using 3 nooutput name "T2"
low = P1_min < P2_min ? P1_min : P2_min
high = P1_max > P2_max ? P1_max : P2_max
top = 1.08 * (T1_max > T2_max ? T1_max : T2_max)
end = frames * step
array first[frames + 1]
array second[frames + 1]
stats data(1) using (first[int($0) + 1] = $3, $3) nooutput
stats data(2) using (second[int($0) + 1] = $3, $3) nooutput
gap = 0.6 / top

do for [frame = 1 : frames] {
    now = frame * step
    set multiplot
    set label 1 heading at screen 0.5, 0.955 center noenhanced font heading_font
    set lmargin at screen 0.09
    set rmargin at screen 0.60
    set xrange [0 : end]
    set tmargin at screen 0.86
    set bmargin at screen 0.55
    set yrange [low - 0.05 * (high - low) : high + 0.05 * (high - low)]
    set ylabel label_of(1) noenhanced
    set format x ""
    plot for [run = 1:2] data(run) every ::0::frame using 1:2 with lines lt run lw (run == 1 ? 3.2 : 1.6)
    unset label 1
    set tmargin at screen 0.48
    set bmargin at screen 0.14
    set yrange [-0.04 * top : top]
    set ylabel label_of(2) noenhanced
    set xlabel label_of(3) noenhanced
    set format x "%g"
    plot for [run = 1:2] data(run) every ::0::frame using 1:3 with lines lt run lw (run == 1 ? 3.2 : 1.6)
    unset xlabel
    unset ylabel
    set lmargin at screen 0.64
    set rmargin at screen 0.98
    set tmargin at screen 0.86
    set bmargin at screen 0.14
    set xrange [0 : 2]
    set yrange [-0.5 : 1.15]
    unset border
    unset tics
    unset grid
    do for [run = 1:2] {
        middle = run - 0.5
        half = 0.08 + 0.26 * port[run]
        lift = gap * (run == 1 ? first[frame + 1] : second[frame + 1])
        set object 10 * run rectangle from middle - 0.46, -0.12 to middle - half, 0 fc rgb 0x777777 fs solid
        set object 10 * run + 1 rectangle from middle + half, -0.12 to middle + 0.46, 0 fc rgb 0x777777 fs solid
        set object 10 * run + 2 rectangle from middle - half - 0.06, lift to middle + half + 0.06, lift + 0.22 fc rgb colour[run] fs solid border rgb 0x000000
        set object 10 * run + 3 rectangle from middle - 0.03, lift + 0.22 to middle + 0.03, 1.15 fc rgb colour[run] fs solid
        set label 10 * run title_of(run) at middle, -0.3 center noenhanced
    }
    plot NaN notitle
    do for [run = 1:2] {
        unset label 10 * run
        do for [part = 0:3] { unset object 10 * run + part }
    }
    set border 3 ls 11
    set tics nomirror out scale 0.5
    set xtics autofreq
    set ytics autofreq
    set grid ls 10
    unset multiplot
}
