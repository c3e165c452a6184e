# SPDX-License-Identifier: MIT
# One column of panels over time: pressure, travel, chamber pressure (if any), flow. The caller sets
#   column_left, column_right   edges of the plotting area on the screen
#   column_block, column_marks  data blocks of the lines and of the seat contacts
#   column_from, column_to      time range
#   column_heading              text above
#   column_labels               1 writes the axis labels, at label_place on the screen
# and has loaded ranges.gp.

panel_top = 0.885
panel_bottom = 0.075
panel_gap = 0.03
panels = has_chamber ? 4 : 3
panel_height = (panel_top - panel_bottom - (panels - 1) * panel_gap) / panels

set lmargin at screen column_left
set rmargin at screen column_right
set xrange [column_from : column_to]
set xtics autofreq
panel_middle(n) = panel_top - (n - 1) * (panel_height + panel_gap) - 0.5 * panel_height
row = 0
do for [quantity = 1:4] {
    if (quantity != 3 || has_chamber) {
        set tmargin at screen panel_top - row * (panel_height + panel_gap)
        set bmargin at screen panel_top - row * (panel_height + panel_gap) - panel_height
        row = row + 1
        set yrange [low[quantity] : high[quantity]]
        set title (row == 1 ? column_heading : "") noenhanced offset 0,-0.4
        set format x (row == panels ? "%g" : "")
        set xlabel (row == panels ? "time [s]" : "") offset 0,0.4
        set format y (column_labels ? "%g" : "")
        # Labels, not axis titles: those stand at a distance that depends on the tics of the panel.
        if (column_labels) {
            set label 2 label_of(quantity) noenhanced rotate by 90 center font label_font \
                at screen label_place, screen panel_middle(row)
        }
        if (quantity == 1 && has_set) {
            set arrow 1 from graph 0, first set_pressure to graph 1, first set_pressure \
                nohead lt 7 back
        }
        plot for [run = 1:runs] data(run) index column_block using 1:quantity+1 \
                 with lines lt run, \
             for [run = 1:(quantity == 2 ? runs : 0)] data(run) index column_marks \
                 using 1:(mark_height(run)) with points pt 9 ps 0.7 lc rgb colour[run]
        unset arrow 1
        unset label
    }
}
unset title
unset xlabel
set format "%g"
