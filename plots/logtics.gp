# SPDX-License-Identifier: MIT
# Numbers on a logarithmic axis that spans little, where powers of ten alone would be one number or
# two: 1, 2, 5 of each, or every digit. The caller sets log_axis ("x" or "y"), log_low and log_high.
if (log_high / log_low < 80) {
    log_steps = log_high / log_low < 6 ? "1 1.5 2 3 4 5 6 7 8 9" : "1 2 5"
    if (log_axis eq "x") { set xtics () } else { set ytics () }
    do for [log_power = floor(log10(log_low)):ceil(log10(log_high))] {
        do for [log_step in log_steps] {
            log_at = log_step * 10.0**log_power
            if (log_at > 0.999 * log_low && log_at < 1.001 * log_high) {
                if (log_axis eq "x") {
                    set xtics add (sprintf("%g", log_at) log_at)
                } else {
                    set ytics add (sprintf("%g", log_at) log_at)
                }
            }
        }
    }
}
