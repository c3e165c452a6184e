# SPDX-License-Identifier: MIT
# Colours, lines and the reading of arguments, common to all pictures. The scripts that
# sim/plot_script.c runs set, before they load this file (which would not see the ARG variables):
#   folder        of the scripts           data_folder   of the data files
#   output_file   - : standard output      format        svg, png, gif (moving) or text
#   heading       of the picture           titles        list of titles, of runs or trims
#   labels        list of axis labels      numbers       list: what the script says
#   origin        where the picture is from, for a corner of it
# The items of a list end with the character 0x1f. Texts come from users: they are only ever used as
# values, with `noenhanced`.

separator = "\037"
item(list, n) = n == 1 ? list[1 : strstrt(list, separator) - 1] : \
                item(list[strstrt(list, separator) + 1 : strlen(list)], n - 1)
# What a loop over nothing asks for, once all the same, is no number.
number(n) = item(numbers, n) eq "" ? NaN : item(numbers, n) + 0

# A text that fits into so many letters, else without its middle: names alike at their begin differ at
# their end, where a verdict stands too.
fitted_to(room, text) = strlen(text) <= room ? text : text[1 : (room - 3) / 3] . "..." . \
                        text[strlen(text) - (room - 3 - (room - 3) / 3) + 1 : strlen(text)]
title_room = 53
title_of(n) = fitted_to(title_room, item(titles, n))
# Rows that a horizontal key of so many entries takes on the whole width.
longest_of(from, to) = from > to ? 1 : (strlen(title_of(to)) > longest_of(from, to - 1) ? \
                       strlen(title_of(to)) : longest_of(from, to - 1))
# What so many letters take of the width, the small font's and the labels'.
share_of(letters) = 8.7 * letters / picture_wide
label_share_of(letters) = 7.7 * letters / picture_wide
key_rows(entries, longest) = ceil(1.0 * entries / floor((picture_wide - 60.0) / (8.8 * longest + 70)))
label_of(n) = item(labels, n)
data(n) = data_folder . "/" . n . ".dat"

set encoding utf8
set datafile missing "NaN"

# Palette for colour-blind readers: M. Okabe, K. Ito, "Color Universal Design" (2008). Yellow is
# left out because it is faint on white. Dashes tell the lines apart where colours do not.
array colour[6] = [0x0072B2, 0xD55E00, 0x009E73, 0xCC79A7, 0xE69F00, 0x56B4E9]
# The same, dark enough for letters on white (4.5 to 1).
array ink[6] = [0x0072B2, 0xB04A00, 0x00735A, 0xA03F7C, 0x8A5F00, 0x1B6FA8]
set linetype 1 lc rgb 0x0072B2 lw 1.6 dt 1
set linetype 2 lc rgb 0xD55E00 lw 1.6 dt (14,4)
set linetype 3 lc rgb 0x009E73 lw 1.6 dt (6,3)
set linetype 4 lc rgb 0xCC79A7 lw 1.6 dt (14,4,3,4)
set linetype 5 lc rgb 0xE69F00 lw 1.6 dt (3,3)
set linetype 6 lc rgb 0x56B4E9 lw 1.6 dt (9,3,3,3,3,3)
set linetype 7 lc rgb 0x444444 lw 1.4 dt (5,4)
set style line 10 lc rgb 0xDDDDDD lw 0.7 dt 1
set style line 11 lc rgb 0x444444 lw 1.0 dt 1

# The two terminals measure a font differently: these give the same sizes on the picture.
label_font = format eq "svg" ? ",12" : ",10"
small_font = format eq "svg" ? ",13" : ",10.5"
corner_font = format eq "svg" ? ",10" : ",8"
heading_font = format eq "svg" ? ",19" : ",15"
# So wide, the letters of a picture on A4 are a little over 6 pt. A script that needs less height says
# so before it loads this.
picture_wide = 1040
if (!exists("picture_high")) { picture_high = 900 }
if (format eq "svg") {
    set terminal svg size picture_wide,picture_high dynamic noenhanced font "DejaVu Sans,13" background "#ffffff"
}
if (format eq "text") {
    set terminal dumb 100 24 mono noenhanced
}
if (format eq "png") {
    set terminal pngcairo size picture_wide,picture_high noenhanced font "DejaVu Sans,11"
}
if (format eq "gif") {
    set terminal gif animate delay 10 loop 0 optimize size 800,450 noenhanced font "DejaVu Sans,10"
}
if (output_file eq "-") {
    set output
} else {
    set output output_file
}

# Site, date, scenario and what was changed from it, small in a corner.
if (format ne "text" && strlen(origin) > 0) {
    set label 999 fitted_to(170, origin) at screen 0.008, screen 12.0 / picture_high left noenhanced font corner_font \
        tc rgb 0x555555
}
set border 3 ls 11
set tics nomirror out scale 0.5
set grid ls 10
unset key
