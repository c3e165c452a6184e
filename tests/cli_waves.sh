#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# `lowlift waves` as typed: files, the wave itself, messages, same bytes again.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"
hammer=scenarios/dump-hammer.yaml

run 0 waves --from '2 s' --to '2.4 s' --out a "$hammer"
exists a/dump-hammer.waves.{pressure.csv,json,svg}
whole_summary a/dump-hammer.waves.json
matches out 'waves at 1100 m/s, quarter wave 2.75 Hz'
[ "$(wc -l <a/dump-hammer.waves.pressure.csv)" -gt 10000 ] || fail "not every place at every moment"
run 0 waves --from '2 s' --to '2.4 s' --quiet --out b "$hammer"
diff -r a b >/dev/null || fail "other bytes the second time"
run 0 waves --to '20 ms' --plot png --no-files --set line_before.cells=4 --out c scenarios/fuel-gas-line.yaml
exists c/fuel-gas-line.waves.png

run 3 waves "$decline"
says err 'has no line; give line_before.length'
run 2 waves --from '2 s' --to '1 s' "$hammer"
says err 'must be later than --from'
run 2 waves --from 2 "$hammer"
says err "--from: found '2'"

# The vessel is all but still while the pipe hammers: the answer says so, in the file's own unit, and
# so does the page.
run 0 run --no-files --no-plot "$hammer"
says out 'on its seat at the limit'
says out 'the pressure in the line before the regulator swings by 23'
says out 'bar(g)'
! grep -q kPa out || fail 'two units of pressure'
run 0 page --out d "$hammer"
matches d/dump-hammer.page.html '"controlled pressure":\["bar\(g\)"'
! grep -q 'kPa(g)' d/dump-hammer.page.html || fail 'two units of pressure in the page'

# Tubing that feeds the pilot.
run 0 waves --to '20 ms' --no-plot --out e --set 'line_supply.length=20 ft' --set 'line_supply.bore=0.18 in' "$decline"
says out 'line supply: '
matches e/decline.waves.pressure.csv '^supply,'
run 3 waves --set 'line_supply.length=20 ft' "$decline"
says err 'line_supply.bore'
