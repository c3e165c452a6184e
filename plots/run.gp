# SPDX-License-Identifier: MIT
# One run: the whole of it on the left, its last part enlarged on the right, same vertical axes.
folder = ARG0[1 : strlen(ARG0) - strlen("run.gp")]
data_folder = ARG1
output_file = ARG2
format = ARG3
heading = ARG4
titles = ARG5
labels = ARG6
numbers = ARG7
origin = ARG8
load folder . "style.gp"
load folder . "runs.gp"
load folder . "ranges.gp"

set multiplot
set label 1 heading at screen 0.5, 0.975 center noenhanced font heading_font
label_place = 0.02

column_left = 0.085
column_right = 0.575
column_block = block_whole
column_marks = block_contacts
column_from = time_start
column_to = time_end
column_heading = "whole run"
column_labels = 1
load folder . "panels.gp"

column_left = 0.605
column_right = 0.975
column_block = block_close
column_marks = block_contacts_close
column_from = close_from
column_heading = "last part"
column_labels = 0
load folder . "panels.gp"

load folder . "legend.gp"
unset multiplot
