#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# lowlift map: table, summary and picture; the same bytes whatever the cores; going on after a kill.
# shellcheck source=tests/cli.sh
source "$(dirname "$0")/cli.sh"

run 0 map --linear --points 12x9 "$decline"
is_empty err
says out 'map of small motions of trim full over inflow.rate 15 to 1500 Mscf/d and trim.port'
matches out '^  full +unsteady; small motions grow'
matches out '^  reduced +steady; small motions die'
exists lowlift-out/decline.map.csv lowlift-out/decline.map.json lowlift-out/decline.map.svg
whole_summary lowlift-out/decline.map.json
no_leftovers lowlift-out
[ "$(wc -l <lowlift-out/decline.map.csv)" -eq 109 ] || fail 'not one line a point, and a heading'
matches lowlift-out/decline.map.csv '^inflow.rate \[Mscf/d\],trim.port \[in\],rest,growth \[1/s\]'
says lowlift-out/decline.map.svg 'port diameter [in]'
says lowlift-out/decline.map.svg 'reduced'

# Simulated, with a checkpoint, on one core and on many.
run 0 map --points 4x3 --threads 1 --checkpoint points --out one "$decline"
matches out '^  full +slamming; .*; swing [0-9.]+ psi, seat hit [0-9.]+ times a minute$'
exists points
run 0 map --points 4x3 --threads 5 --out many "$decline"
run 0 map --points 4x3 --checkpoint points --out again "$decline"
for ending in csv json svg; do
    same "one/decline.map.$ending" "many/decline.map.$ending"
    same "one/decline.map.$ending" "again/decline.map.$ending"
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
matches two/decline.map.csv '^friction.kinetic \[N\],vessel.volume \['
run 0 map --linear --points 60x30 --sketch --no-plot --no-files "$decline"
says out 'flow [Mscf/d]'
absent two/decline.map.svg

# Bad usage: what was found, what is allowed.
refuses() { # WORDS ARGUMENT...
    local words=$1
    shift
    run 2 map "$@" "$decline"
    is_empty out
    says err "$words"
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
