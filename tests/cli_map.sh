#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# lowlift map: table, summary and picture; the same bytes whatever the cores; going on after a kill.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

run 0 map --linear --points 12x9 "$decline"
is_empty err
says out 'map of small motions of trim full over inflow.rate 15 to 1500 Mscf/d and trim.port'
matches out '^  trim full: unsteady; small motions double in '
matches out '^  trim reduced: steady; small motions halve in '
map="lowlift-out/decline.map.linear.12x9"
exists $map.csv $map.json $map.svg
whole_summary $map.json
no_leftovers lowlift-out
[ "$(wc -l <$map.csv)" -eq 109 ] || fail 'not one line a point, and a heading'
matches $map.csv '^inflow.rate \[Mscf/d\],trim.port \[in\],at rest,growth \[1/s\]'
says $map.svg 'port diameter [in]'
says $map.svg 'reduced'

# Simulated, with a checkpoint, on one core and on many.
run 0 map --points 4x3 --threads 1 --checkpoint points --out one "$decline"
matches out '^  trim full: slamming; .*; swing [0-9.]+ psi, seat hit'
exists points
run 0 map --points 4x3 --threads 5 --out many "$decline"
run 0 map --points 4x3 --checkpoint points --out again "$decline"
for ending in csv json svg; do
    same "one/decline.map.4x3.$ending" "many/decline.map.4x3.$ending"
    same "one/decline.map.4x3.$ending" "again/decline.map.4x3.$ending"
done
run 2 map --points 4x4 --checkpoint points "$decline"
says err 'points of another study'
run 2 map --points 4x3 --checkpoint points --set 'friction.kinetic=8 lbf' "$decline"
says err 'points of another study'
run 2 map --points 4x3 --checkpoint "$decline" "$decline"
says err 'not a file of finished points'

# Any two fields, in the units asked for.
run 0 map --linear --points 3x3 --across 'friction.kinetic=0..100 N' \
    --up 'vessel.volume=50..500 L' --log up --units metric --no-plot --out two "$decline"
matches two/decline.map.linear.friction.kinetic-vessel.volume.3x3.*.csv '^friction.kinetic \[N\],vessel.volume \['
run 0 map --linear --points 2x2 --across 'line_before.length=1..30 ft' --set 'line_before.bore=3 in' \
    --sketch --no-plot --out two "$decline"
says out 'line_before.length [ft]'
says out 'line_before.length 1 to 30 ft'
matches two/decline.map.linear.line_before.length-trim.port.2x2.*.csv '^line_before.length \[ft\],'
matches two/decline.map.linear.line_before.length-trim.port.2x2.*.csv '^30,'
matches two/decline.map.linear.line_before.length-trim.port.2x2.*.json '"unit": "ft"'
run 0 map --linear --points 20x10 --sketch --no-plot --no-files "$decline"
says out 'flow [Mscf/d]'
[ -z "$(find two -name '*.svg')" ] || fail '--no-plot drew'

# Different maps lie side by side in one folder; the same command writes over its own.
name() { # ARGUMENT...: sets `called` to the table's name
    run 0 map --no-plot --out names "$@" "$decline"
    called=$(sed -n 's/^wrote names\/\(.*\)\.csv$/\1/p' out)
}
is_called() { # NAME ARGUMENT...
    name "${@:2}"
    [ "$called" = "$1" ] || fail "map ${*:2}: called '$called', expected '$1'"
}
is_called decline.map.linear.trim-reduced.5x5 --linear --trim reduced --points 5x5
is_called decline.map.linear.3x2 --linear --points 3x2 --trim full --trim reduced # all, in order
is_called decline.map.3x2.fine --points 3x2 --fine
: >all-names
while read -ra words; do
    name --linear --points 3x2 "${words[@]}"
    once=$called
    is_called "$once" --linear --points 3x2 "${words[@]}"
    echo "$once" >>all-names
done <<'END'

--log none
--log up
--units metric
--trim full
--trim reduced --trim full
--set friction.kinetic=8lbf
--set friction.kinetic=9lbf
--up trim.port=1..2in
--up trim.port=1..3in
--across trim.port=1..2in --up inflow.rate=0.1..1MMscf/d
END
[ "$(sort all-names | uniq | wc -l)" -eq 11 ] || fail "two maps share a name: $(sort all-names)"
[ "$(find names -name '*.csv' | wc -l)" -eq 13 ] || fail 'the maps do not lie side by side'

# Bad usage: what was found, what is allowed.
refuses() { # WORDS ARGUMENT...
    local allowed=$1
    shift
    run 2 map "$@" "$decline"
    is_empty out
    says err "$allowed"
}
refuses "found '5'; allowed NxM" --points 5
refuses 'each 2 to 2000' --points 1x5
refuses "found '3x3x3'" --points 3x3x3
refuses 'did you mean trim.port?' --up 'trim.prot=1..2 in'
refuses 'allowed FIELD=FROM..TO' --up trim.port
refuses 'allowed FROM below TO' --up 'trim.port=3..2 in'
refuses 'trim.port' --up 'trim.port=1..3 km'
refuses 'both trim.port; allowed two fields' --across 'trim.port=1..2 in'
refuses 'allowed across, up, both, none' --log sideways
refuses 'must begin above 0' --across 'friction.kinetic=0..9 lbf' --log across
refuses 'agreed upon' --across 'set.pressure=20..60 psig' --log across
refuses 'nothing is simulated' --linear --fine
finish
