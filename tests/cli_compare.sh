#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# lowlift compare: one table, one picture, a trace for each trim.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

run 0 compare "$decline"
is_empty err
matches out '^( +trim)? +full +reduced$'
matches out '^  verdict  +slamming +steady$'
matches out '^  full: '
matches out '^  reduced: '
exists lowlift-out/decline.full.csv lowlift-out/decline.reduced.csv \
    lowlift-out/decline.compare.json lowlift-out/decline.compare.svg
for trim in full reduced; do
    whole_trace "lowlift-out/decline.$trim.csv"
done
# All over the same time, but for the last step of the solver.
for trim in full reduced; do tail -n 1 "lowlift-out/decline.$trim.csv" | cut -d, -f1; done |
    sort -n | awk 'NR == 1 { first = $1 } { last = $1 } END { exit !(last - first < 0.2) }' ||
    fail 'the runs do not end at the same time'
[ "$(grep -c '"outcome": "done"' lowlift-out/decline.compare.json)" -eq 2 ] ||
    fail 'the summary does not hold both runs'
no_leftovers lowlift-out

# The same bytes again.
OMP_NUM_THREADS=5 run 0 compare --out again "$decline"
for file in decline.full.csv decline.reduced.csv decline.compare.json decline.compare.svg; do
    same "lowlift-out/$file" "again/$file"
done

one_second=(--set 'run.duration=1 s')
# The order of --trim is the order of the columns.
run 0 compare --trim reduced --trim full --no-files --no-plot "${one_second[@]}" "$decline"
matches out '^( +trim)? +reduced +full$'
run 0 compare --quiet --no-files --no-plot --worst slamming "$decline" # as bad as that may be
[ "$(cat out)" = "$(printf 'full: slamming\nreduced: steady')" ] || fail "--quiet says: $(cat out)"

# What is set for all trims no longer tells them apart.
run 0 compare --no-files --no-plot "${one_second[@]}" --set 'trim.port=2 in' "$decline"
says out 'WARNING: trims full and reduced are the same but for their names'
says out 'trims.reduced.port'
run 0 compare --no-files --no-plot "${one_second[@]}" --set 'trims.full.port=2 in' "$decline"
! grep -q 'same but for their names' out || fail 'warns of trims that differ'

# Several scenarios: which files, which columns.
sed 's/^title: .*/title: more room/; s/volume: 5 ft3/volume: 8 ft3/' "$decline" >roomy.yaml
run 0 compare --no-plot "${one_second[@]}" --trim full --out two "$decline" roomy.yaml
matches out '^( +trim)? +decline full +roomy full$'
exists two/decline.full.csv two/roomy.full.csv two/decline.compare.json

# Files of one name from two folders do not overwrite one another.
mkdir other && cp roomy.yaml other/decline.yaml
run 0 compare --no-plot "${one_second[@]}" --trim full --out twins "$decline" other/decline.yaml
[ "$(find twins -name '*.csv' | wc -l)" -eq 2 ] || fail 'one trace has overwritten the other'

# Worst of all counts.
run 6 compare --quiet --no-files --no-plot --worst ringing "$decline"

# Overrides hold for all, or for one trim.
run 0 compare --quiet --no-files --no-plot --set 'trims.full.port=1 1/2 in' "$decline"
[ "$(cat out)" = "$(printf 'full: steady\nreduced: steady')" ] || fail "with two ports: $(cat out)"

run 2 compare --trim full "$decline"
says err 'found one trim only'
run 2 compare "$decline" "$decline" "$decline" "$decline"
says err 'at most 6 trims'
run 2 run --trim full --trim reduced "$decline"
says err 'one scenario and one trim at a time'
run 4 compare --no-plot --out gave-up --set run.max_steps=500 "$decline"
tail -n 1 gave-up/decline.full.csv | grep -q ',stopped' || fail 'no row of the stop'
finish
