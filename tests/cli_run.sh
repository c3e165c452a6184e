#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# lowlift run: what it prints, what it writes, what each option does, and the same bytes again.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

# --- what it prints and writes
run 0 run "$decline"
is_empty err
says out ', trim full'
says out 'verdict: slamming - '
says out 'because: '
says out 'wrote lowlift-out/decline.full.csv'
says out 'guessed, so measure them'
says out 'lowlift sizes no relief device'
exists lowlift-out/decline.full.{csv,json,svg}
whole_trace lowlift-out/decline.full.csv
whole_summary lowlift-out/decline.full.json
says lowlift-out/decline.full.csv 'controlled pressure [psig]'
says lowlift-out/decline.full.json '"verdict": "slamming"'
says lowlift-out/decline.full.json '"outcome": "done"'
tail -n 3 lowlift-out/decline.full.svg | grep -q '</svg>' || fail 'the picture has no end'
no_leftovers lowlift-out

# Samples lie 10 ms apart; rows between them belong to events.
tr -d '\r' <lowlift-out/decline.full.csv | awk -F, '
    NR == 1 { next }
    sprintf("%.9g", n * 0.01) == $1 { n++ }
    END { exit !(n > 100 && sprintf("%.9g", (n - 1) * 0.01) == $1) }' ||
    fail 'samples are not evenly spaced'

# --- the same bytes again, whatever the number of threads
cp out first.txt
one_second=(--set 'run.duration=1 s')
for threads in 1 2; do
    OMP_NUM_THREADS=$threads run 0 run --out "again$threads" --no-plot "$decline"
    for file in decline.full.csv decline.full.json; do
        same "lowlift-out/$file" "again$threads/$file"
    done
done
run 0 run "${one_second[@]}" --no-files --plot png --out png1 "$decline"
run 0 run "${one_second[@]}" --no-files --plot png --out png2 "$decline"
exists png1/decline.full.png
absent png1/decline.full.svg
same png1/decline.full.png png2/decline.full.png

# --- the same values at common times, whatever the spacing
for spacing in '10 ms' '2.5 ms' '4 ms'; do
    run 0 run --no-plot --out "every ${spacing% ms}" --set "run.sample_interval=$spacing" \
        --set 'run.duration=6 s' --set run.stop_early=no "$decline"
    tr -d '\r' <"every ${spacing% ms}/decline.full.csv" | awk -F, '
        NR > 1 && sprintf("%.9g", n * 0.02) == $1 { n++; print }' >"common ${spacing% ms}"
done
[ "$(wc -l <'common 10')" -eq 301 ] || fail 'not 301 common times'
same 'common 10' 'common 2.5'
same 'common 10' 'common 4'

# --- options: what they print and write, whatever comes out
run 0 run --trim reduced --no-plot --out options "$decline"
says out ', trim reduced'
says out 'verdict: steady'
exists options/decline.reduced.csv
run 0 run --quiet --no-plot --worst slamming --out quiet "$decline" # no worse than that: code 0
[ "$(cat out)" = slamming ] || fail "--quiet says: $(cat out)"
run 0 run "${one_second[@]}" --no-files --no-plot --out none "$decline"
absent none
run 0 run "${one_second[@]}" --no-files --out only-plot "$decline"
absent only-plot/decline.full.csv only-plot/decline.full.json
exists only-plot/decline.full.svg
run 0 run "${one_second[@]}" --no-plot --out only-files "$decline"
absent only-files/decline.full.svg
exists only-files/decline.full.csv
run 0 run "${one_second[@]}" --no-files --no-plot --sketch "$decline"
[ "$(wc -l <out)" -gt 40 ] || fail '--sketch draws nothing'
run 0 run --no-files --no-plot --tighter "$decline"
says out 'at a ten times tighter tolerance (1.0e-07): verdict slamming'
matches out '^  full  pressure swing +[0-9.]+ psi +[0-9.e-]+$'
run 0 run "${one_second[@]}" --no-files --no-plot --inputs "$decline"
says out 'trim.choking_ratio = 0.7;'

# --- overrides: repeated, for one trim, marked as a guess
run 0 run "${one_second[@]}" --no-files --no-plot --set 'friction.kinetic=8 lbf' \
    --set 'vessel.volume=about 6 ft3' "$decline"
says out 'friction.kinetic = 8 lbf;'
says out 'vessel.volume = 6 ft3;'
run 0 run --quiet --no-files --no-plot --set 'trims.full.port=1 1/2 in' "$decline"
[ "$(cat out)" = steady ] || fail 'the port of trim full was not changed'

# --- a set pressure that no travel holds is no error but an answer
run 0 run --no-files --no-plot --set 'inflow.rate=900 MMscf/d' "$decline"
says out 'verdict: wide open'
says out 'no travel of this trim holds the set pressure'

# --- a plug jammed shut by a unit slip, and a pressure above what the vessel stands
run 0 run --no-files --no-plot --set 'actuator.diaphragm_area=21 cm2' "$decline"
says out 'verdict: cannot open - '
says out 'the plug stays on its seat with the pressure'
matches out 'WARNING: the pressure reaches 25[0-9]+ psig, above the vessel limit of 125 psig'
! grep -q 'vessel limit of' first.txt || fail 'warns of a limit that is kept'

# --- units
run 0 run "${one_second[@]}" --no-plot --units metric --out metric "$decline"
says metric/decline.full.csv 'controlled pressure [kPa(g)]'
matches out 'controlled pressure at rest +344\.7 kPa\(g\)'
run 0 run "${one_second[@]}" --no-plot --units si --out si "$decline"
matches si/decline.full.csv 'controlled pressure \[Pa'
run 0 run --no-plot --units us --out us "$decline"
same us/decline.full.csv lowlift-out/decline.full.csv

# --- a verdict that is worse than wanted
run 0 run --quiet --no-files --no-plot --worst steady --trim reduced "$decline"
run 6 run --quiet --no-plot --worst ringing --out worse "$decline"
exists worse/decline.full.csv # a bad verdict is still written

# --- the solver gives up: the record up to there is whole
run 4 run --no-plot --out gave-up --set run.max_steps=500 "$decline"
says err 'run.max_steps'
whole_trace gave-up/decline.full.csv
tail -n 1 gave-up/decline.full.csv | grep -q ',stopped' || fail 'no row of the stop'
says gave-up/decline.full.json '"outcome": "failed"'

# --- the same bytes in any locale, and on seven threads, with the picture
mkdir locales
if [ -n "${LOWLIFT_LOCALES:-}" ]; then # made by the build
    export LOCPATH=$LOWLIFT_LOCALES
elif [ -e /usr/share/i18n/locales/de_DE ] && command -v localedef >/dev/null; then
    localedef -i de_DE -f UTF-8 locales/de_DE.UTF-8 2>/dev/null
    export LOCPATH=$work/locales
else
    echo 'cli_run: no German locale here; its test says little'
fi
for locale in de_DE.UTF-8 C.UTF-8; do
    threads=1
    [ "$locale" = C.UTF-8 ] || threads=7
    env LC_ALL="$locale" OMP_NUM_THREADS="$threads" "$lowlift" run --out "$locale" "$decline" >out 2>err || fail "in $locale"
    for file in decline.full.csv decline.full.json decline.full.svg; do
        same "lowlift-out/$file" "$locale/$file"
    done
done
# --- what was seen today, against what the model does with the values as they stand
told() { # SEEN [FLOW]
    sed "s|^observed:|observed:\n  - {flow: ${2:-0.15 MMscf/d}, seen: $1}|; /^readings:/,/^  stroke_shut/d" \
        scenarios/matched.yaml >told.yaml
    run 0 run --no-plot --no-files --trim full --set 'run.duration=8 s' told.yaml
}
for seen in quiet shut 'wide open'; do
    told "$seen"
    matches out "WARNING: not as seen: at 0\.15 MMscf/d \"$seen\" was seen"
done
not_warned() {
    ! grep -q 'not as seen' out || fail "warns of what was seen: $(grep -A2 'not as seen' out)"
}
told 'hits its seat' # as the run does
not_warned
told quiet '0.3 MMscf/d' # at another flow than today's
not_warned

finish
