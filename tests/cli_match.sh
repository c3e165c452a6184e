#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# `lowlift match` and `lowlift readings` as a user types them: files, the same bytes for any number
# of threads, checkpoints, what does not fit, and records that are no witness.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

matched=scenarios/matched.yaml
record=scenarios/matched-record.csv
# Without its readings, whose many cheap draws take most of the time.
sed '/^readings:/,/^  stroke_shut/d' "$matched" >seen.yaml
small=(--most 20 --draws 10 --set 'run.duration=20 s' seen.yaml)

# --- Readings alone

run 0 readings --no-files "$matched"
is_empty err
matches out 'chamber pressure of the spring over the travel +first_movement and full_travel +4\.4 psi'
matches out 'actuator\.spring_rate: 178\.8 lbf/in'
matches out 'full stroke open +stroke_open +2 s'
says out 'lowlift sizes no relief device'
run 2 readings "$decline"
says err 'nothing was read'
# Two gaps that should be the same friction: 0.3 psi and 2 psi.
gaps=(--set 'readings.gauge=0.05 psi' --set 'readings.last_movement=0.3 psi'
      --set 'readings.leaves_full_travel=1.3 psi')
run 3 readings "${gaps[@]}" "$matched"
matches err 'full_travel and leaves_full_travel contradict first_movement and last_movement: the chamber pressure of the friction'
run 3 match "${gaps[@]}" "$matched"
says err 'contradict'
run 3 readings --set 'readings.rise=3 psi' "$matched"
matches err 'readings\.rise_time: is missing'

# --- A match: the same bytes for any number of threads, and from a checkpoint

run 0 match --threads 1 --plot svg --out one --checkpoint kept "${small[@]}"
is_empty err
cp out one.txt
run 0 match --threads 3 --plot svg --out two "${small[@]}"
run 0 match --plot svg --out three --checkpoint kept "${small[@]}"
for ending in draws.csv json svg; do
    same "one/seen.match.$ending" "two/seen.match.$ending"
    same "one/seen.match.$ending" "three/seen.match.$ending"
done
no_leftovers one
whole_summary one/seen.match.json
awk 'length > 100 { exit 1 }' one.txt || fail "a line is too long"
matches one.txt '3 MMscf/d +quiet +2021-06 '
matches one.txt '0\.15 MMscf/d +hits its seat +2025-03 '
says one.txt 'nothing said about: '
head -n 1 one/seen.match.draws.csv | grep -q '^weight,fluid\.gravity,.*,trims\.full\.port,' ||
    fail "the draws have another header"
# The weights sum to 1, and each draw is a regulator that --set takes.
awk -F, 'NR > 1 { sum += $1 } END { exit !(sum > 1 - 1e-9 && sum < 1 + 1e-9) }' \
    one/seen.match.draws.csv || fail "the weights do not sum to 1"
run 0 match --no-files --no-plot --most 20 --draws 10 --set 'run.duration=20 s' "$matched"
matches out '^  pinned down: .*actuator\.preload'
awk 'length > 100 { exit 1 }' out || fail "a line is too long"
run 2 match --checkpoint kept --seed 2 "${small[@]}"
says err 'kept'

# --- What does not fit, and how that is said

cat >rows <<'END'
observed:
  - {flow: 0.15 MMscf/d, seen: hits its seat, swing: 60..90 psi}
END
sed '/^readings:/,$d' "$matched" | cat - rows >never.yaml
run 0 match --no-plot --most 20 --draws 10 --set 'run.duration=10 s' never.yaml
says out 'nothing in the ranges fits'
says out 'the nearest misses the row "at 0.15 MMscf/d: hits its seat"'
absent lowlift-out/never.match.draws.csv
sed '/^readings:/,$d' "$matched" >nothing.yaml
run 2 match nothing.yaml
says err 'nothing to match'
sed '/^readings:/,$d' "$matched" >wrong.yaml
cat >>wrong.yaml <<'END'
observed:
  - {flow: 0.15 MMscf/d, seen: slamm, swign: 2 psi}
  - {flow: 3, seen: quiet}
  - {flow: 3 MMscf/d, seen: quiet, swing: 2 psi, trim: ful}
END
run 3 match wrong.yaml
matches err 'observed\.seen: found .slamm.; allowed quiet, .*; did you mean slams\?'
matches err 'observed: found .swign.; .*did you mean swing\?'
matches err 'observed\.flow: found .3.; a flow needs a unit'
says err 'found a frequency or swing of what was seen'

# --- Records that are no witness

awk 'BEGIN { print "time [s],pressure [psig]"; for (i = 0; i < 400; i++) printf "%.2f,50.0%d\n", i / 20, i % 2 }' >still.csv
run 3 match --record still.csv "$matched"
matches err '^still\.csv: no record to match: it shows no motion that lasts'
awk 'NR < 2 || NR % 25 == 0' "$record" >slow.csv
run 3 match --record slow.csv "$matched"
says err 'sampled too slowly'
sed 's/psig/psia/' "$record" >other.csv
run 3 match --record other.csv "$matched"
says err "another regulator's, or gauge for absolute"
# The same pressure, eight times as fast: another regulator's.
awk -F, 'NR == 1 { print } NR > 1 { printf "%.5f,%s\n", $1 / 8, $2 }' "$record" >faster.csv
run 0 match --no-files --no-plot --record faster.csv "${small[@]}" --set 'run.duration=10 s'
says out 'nothing in the ranges fits'
tr -s '\n ' ' ' <out >flat
says flat 'its motion is not that of the record'
says flat 'it may be the record of another regulator'
run 3 match --record no-such.csv "$matched"
run 2 match --most 3 "$matched"
finish
