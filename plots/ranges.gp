# SPDX-License-Identifier: MIT
# Vertical ranges shared by all runs and all columns of a picture: low[1..4], high[1..4] for
# pressure, travel, chamber pressure, flow. Below the travel there is room for one row of seat
# contact marks a run.

array low[4]
array high[4]
do for [quantity = 1:4] {
    low[quantity] = 0
    high[quantity] = 1
    if (quantity != 3 || has_chamber) {
        first_run = 1
        do for [run = 1:runs] {
            stats data(run) index block_whole using quantity+1 nooutput name "S"
            if (S_records > 0) {
                low[quantity] = first_run || S_min < low[quantity] ? S_min : low[quantity]
                high[quantity] = first_run || S_max > high[quantity] ? S_max : high[quantity]
                first_run = 0
            }
        }
        if (quantity == 1 && has_set) {
            low[1] = set_pressure < low[1] ? set_pressure : low[1]
            high[1] = set_pressure > high[1] ? set_pressure : high[1]
        }
        # A level that only trembles in its last digits is drawn as the straight line it is.
        size = high[quantity] - low[quantity]
        least = 0.002 * (abs(high[quantity]) > abs(low[quantity]) ? abs(high[quantity]) \
                                                                  : abs(low[quantity]))
        least = least > 0 ? least : 1
        if (size < least) {
            low[quantity] = low[quantity] - 0.5 * (least - size)
            high[quantity] = high[quantity] + 0.5 * (least - size)
            size = least
        }
        low[quantity] = low[quantity] - 0.06 * size
        high[quantity] = high[quantity] + 0.06 * size
    }
}
mark_step = 0.055 * (high[2] - low[2])
mark_top = low[2]
low[2] = low[2] - mark_step * runs
mark_height(run) = mark_top - mark_step * (run - 0.5)
