#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# lowlift record: an invented log of the main demo says again what the demo does.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

log=scenarios/logged-pressure.csv
run 0 record "$log"
is_empty err
says out 'what it shows: repeating'
says out 'straight rises'
says out 'lowlift sizes no relief device'
# The run it was made from swings by 2.492 psi at 0.2683 Hz; gauge and noise take 0.15 psi.
matches out 'swing, of half the cycles more +2\.[3-6][0-9]* psi'
matches out 'frequency +0\.26[789][0-9]? Hz'
exists lowlift-out/logged-pressure.record.{json,svg}
whole_summary lowlift-out/logged-pressure.record.json
says lowlift-out/logged-pressure.record.json '"frequency"'
no_leftovers lowlift-out
run 0 record --out again "$log"
for file in json svg; do same "lowlift-out/logged-pressure.record.$file" "again/logged-pressure.record.$file"; done

# Every thirtieth sample only: it must not be believed.
awk 'NR < 3 || NR % 30 == 0' "$log" >slow.csv
run 0 record --no-files --no-plot slow.csv
says out 'WARNING: sampled too slowly'

# Shut in, and a unit that does not say gauge or absolute.
sed 's/psig/psi/' "$log" >unsaid.csv
run 3 record unsaid.csv
matches err '^unsaid\.csv:2:6: Vessel pressure: found .psi.; allowed .*psig or psia'
one_line err record
run 0 record --unit psig --no-files --no-plot unsaid.csv
sed 's/\[psig\]/[wombat]/; s/psig/wombat/' "$log" >odd.csv
run 3 record odd.csv
matches err 'allowed a unit of pressure: psig, psia'
run 2 record
run 2 record "$log" "$log"
run 3 record no-such.csv
run 2 record --dates year-first "$log"
says err 'allowed month-first, day-first'
run 2 record --rest '1 psig' "$log"
says err '--rest'

# A sine of 0.5 Hz about 50 psig, swing 4 psi, 20 samples a second for 40 s, with the plug that goes with
# it; spoiled in one way at a time.
swing() { # AWK-STATEMENTS OPTION...
    awk 'BEGIN { print "time [s],pressure [psig],plug travel [in]"
        for (i = 0; i < 800; i++) {
            t = i / 20; p = 50 + 2 * sin(3.14159265 * t); x = p > 50 ? 0.1 * (p - 50) : 0
            '"$1"'
            if (t != "") printf "%s,%s,%.4f\r\n", t, p, x
        } }' >swing.csv
    run 0 record --no-files --no-plot "${@:2}" swing.csv
}
swing '' --travel 'plug travel'
says out 'what it shows: repeating'
matches out 'shape 0\.[0-3][0-9]: sinusoidal'
matches out 'travel: at its least in 5[0-9] % of the samples, reached (19|20) times: if that is the seat, it slams'
! grep -q WARNING out || fail "warns of a good record: $(grep WARNING out)"
swing 'p = int(p + 0.5)'
says out 'WARNING: the gauge is too coarse: the swing is 4 of its smallest steps of 1 psi'
swing 'if (i > 300 && i < 330) t = ""'
says out "WARNING: a gap of 1.5 s"
swing 't += i % 2 ? 0.02 : 0'
says out 'WARNING: the samples are unevenly spaced'
swing 'if (i == 400) p = 90'
says out "1 single sample far from its neighbours was left out"
swing 'if (i == 400) p = ""; if (i == 500) t -= 1'
says out '2 samples were no number, or not later than the one before'
swing 'if (i > 5) t = ""'
says out 'fewer than 8 samples in a row: nothing can be said'
swing 'if (i < 5 || i > 65) t = ""' # one cycle and a half
says out 'WARNING: only 1 whole cycle: take a longer record'
swing 'if (i > 20) t = ""' # half of one does not drift: it comes back
says out 'what it shows: unclear'
says out 'WARNING: not one whole cycle: take a longer record'
# A clock to the second, twenty rows in each; and the newest row first. Both are the same sine.
for spoiled in 't = int(t)' 't = (799 - i) / 20'; do
    swing "$spoiled"
    matches out 'frequency +0\.(499[0-9]|5|500[0-9]) Hz'
    ! grep -q WARNING out || fail "warns of $spoiled: $(grep WARNING out)"
done
says out 'note: the newest row stands first: read from the end'
swing 't = int(t)'
says out 'note: many rows have one time: they were spread evenly up to the next one'
# A spreadsheet's days: bare they are too fast to be seconds; with their unit they are what they are.
awk 'BEGIN { print "time,pressure [bar(g)]"
    for (i = 0; i < 800; i++) printf "%.9f,%.4f\n", 46000 + i / 20 / 86400, 3 + 0.1 * sin(3.14159265 * i / 20) }' >days.csv
run 0 record --no-files --no-plot days.csv
says out 'is faster than any logger of a pressure: are'
matches out 'how sure: ([0-9]|10) %'
sed '1s/time/time [d]/' days.csv >stated.csv
run 0 record --no-files --no-plot stated.csv
matches out 'frequency +0\.(499[0-9]|5|500[0-9]) Hz'
matches out 'mean pressure +3 bar\(g\)'
matches out 'swing, of half the cycles more +0\.[12][0-9.]* bar'
sed '1s/time/time [fortnights]/' days.csv >odd.csv
run 3 record --no-files --no-plot odd.csv
matches err "time: found '46000.*'; allowed a clock, or a number whose unit the header says"
# The order of a date follows from the first that can be read in one way only.
awk 'BEGIN { print "time,pressure [psig]"
    for (i = 0; i < 800; i++) { s = 86380 + i / 20; d = s >= 86400
        s -= 86400 * d
        printf "%s %d:%02d:%05.2f,%.3f\n", d ? "3/1/2026" : "2/28/2026", s / 3600, s % 3600 / 60, s % 60, 50 + 2 * sin(3.14159265 * i / 20) } }' >dates.csv
run 0 record --no-files --no-plot dates.csv
matches out 'frequency +0\.(499[0-9]|5|500[0-9]) Hz'
# A quiet record: what the last digit of the gauge does is no motion.
swing 'p = 50 + 0.01 * (i % 3)'
says out 'what it shows: quiet'
! grep -qE 'shape|frequency' out || fail 'tells the shape of noise'
run 2 record --altitude '20 km' swing.csv
says err "--altitude: found '20 km'; allowed -500 m to 11000 m"
finish
