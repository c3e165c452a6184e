#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# lowlift starter: whatever a technician knows, the scenario it writes reads and runs.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

well=(--body '3 in' --set-pressure '50 psig' --flow '0.15 MMscf/d' --vessel '8 ft3')

# --- to the terminal and to a file, the same text
run 0 starter "${well[@]}"
is_empty err
cp out terminal.yaml
run 0 starter "${well[@]}" --out file.yaml
says out 'lowlift run file.yaml'
same terminal.yaml file.yaml
matches file.yaml ': about '
matches file.yaml '^  spring_rate: \{value: [0-9.]+ lbf/in, low: [0-9.]+ lbf/in, high: [0-9.]+ lbf/in, guess: yes\}$'
matches file.yaml '^  # measure: drill shank'
run 0 check file.yaml
is_empty err
run 0 run --quiet --no-files --no-plot file.yaml

# --- where the guesses come from, with the same ranges as in the file
run 0 fields --hardware
is_empty err
matches out '^actuator\.spring_rate \(pilot\)$'
matches out '^    3 in   100, 189, 350 lbf/in$'
says file.yaml 'spring_rate: {value: 189 lbf/in, low: 100 lbf/in, high: 350 lbf/in, guess: yes}'
says out 'no source'
run 0 fields pilot --hardware
matches out '^pilot\.bleed \(three-way pilot\)$'
grep -q '^actuator\.spring_rate (' out && fail 'rows of another section'
run 2 fields pilto --hardware
says err "did you mean 'pilot'"

# --- an older file is kept unless told
run 5 starter "${well[@]}" --out file.yaml
says err 'file.yaml exists already'
run 0 starter "${well[@]}" --out file.yaml --force

# --- every build, in either system of units, small and large
try() { # ARGUMENT...
    run 0 starter "$@" --out try.yaml --force
    run 0 check try.yaml
    is_empty err
    run 0 run --no-files --no-plot try.yaml
    says out 'guessed, so measure them'
}
for duty in back-pressure reducing; do
    other=15
    [ "$duty" = back-pressure ] || other=250
    for actuation in pilot direct; do
        try "${well[@]}" --duty "$duty" --actuation "$actuation" --reduced-port '1 1/2 in' \
            --other-pressure "$other psig"
        try --body '50 mm' --set-pressure '345 kPa(g)' --flow '180 Sm3/h' --vessel '0.2 m3' \
            --duty "$duty" --actuation "$actuation" --other-pressure "$other psig"
    done
done
for body in '1 in' '2 in' '4 in' '6 in' '12 in'; do
    try "${well[@]}" --body "$body"
done
run 0 starter "${well[@]}" --reduced-port '1 1/2 in' --out two.yaml
run 0 compare --quiet --no-files --no-plot two.yaml
[ "$(wc -l <out)" -eq 2 ] || fail 'a reduced port makes no second trim'

# --- several reduced ports, the site, the vessel's limit, and the flows to be served
all=(--reduced-port '2 in' --reduced-port '1 1/2 in' --reduced-port '1 in' --altitude '5500 ft'
    --limit '125 psig' --lowest '100 Mscf/d' --peak '200 Mscf/d')
run 0 starter "${well[@]}" "${all[@]}" --out all.yaml
run 0 check --inputs all.yaml
is_empty err
matches out 'well formed, 4 trims$'
says out 'site.altitude = 5500 ft;'
says out 'vessel.pressure_limit = 125 psig;'
says out 'site.atmosphere = of the altitude'
for trim in full reduced reduced-2 reduced-3; do
    says out "  trim $trim: "
done
run 0 run --quiet --no-files --no-plot --trim reduced-3 all.yaml
run 0 trims --quiet --no-files --no-plot --set 'run.duration=0.5 s' --trim reduced-2 all.yaml
says out 'lowest 100 Mscf/d, normal 150 Mscf/d, peak 200 Mscf/d'
says out 'advice: '
run 0 starter "${well[@]}" --lowest '20 Mscf/d' --peak '150 Mscf/d' --out peak.yaml
run 0 check peak.yaml
run 2 starter "${well[@]}" "${all[@]}" "${all[@]}"
says err 'more than 5 --reduced-port'

# --- the port that is in it, the pilot, and a vessel by its shell
shell=(--body '2 in' --port '1 3/8 in' --reduced-port '3/4 in' --set-pressure '85 psig'
    --flow '0.4 MMscf/d' --other-pressure '55 psig')
run 0 starter "${shell[@]}" --vessel '24 in x 10 ft' --level 1/3 --pilot three-way --out shell.yaml
matches shell.yaml '^  port: 1 3/8 in$'
matches shell.yaml '^  volume: 20\.944 ft3$' # pi/4 x 2^2 x 10 ft3 less a third
matches shell.yaml '^  exhaust: three-way$'
matches shell.yaml '^  exhaust_lap: \{value: '
run 0 check shell.yaml
is_empty err
run 0 run --quiet --no-files --no-plot shell.yaml
run 0 starter "${shell[@]}" --vessel '24 in x 10 ft' --level '50 %' --orientation horizontal
matches out '^  volume: 15\.708 ft3$'
run 0 starter "${shell[@]}" --vessel '600 mm x 3 m' --out metres.yaml
run 0 starter --body '50 mm' --set-pressure '345 kPa(g)' --flow '180 Sm3/h' --vessel '600 mm x 3 m'
matches out '^  volume: \{value: 0\.565 m3, low: 0\.283 m3, high: 0\.707 m3, guess: yes\}$'
matches metres.yaml '^  volume: \{value: [0-9.]+ ft3, low: [0-9.]+ ft3, high: [0-9.]+ ft3, guess: yes\}$'
run 0 check metres.yaml
is_empty err

# --- pipes of the body's size, and what was seen: the file is then asked with match
run 0 starter "${shell[@]}" --vessel '8 ft3' --pipe-before '10 ft' --pipe-after '3 m' \
    --seen banging --quiet-at '3 MMscf/d' --out seen.yaml
says out 'lowlift match seen.yaml'
matches seen.yaml '^  length: 10 ft$'
matches seen.yaml '^  length: 3 m$'
# 2 in pipe: 1.939 in inside by schedule 80, 2.067 in by schedule 40 (ASME B36.10M; value from memory)
[ "$(grep -c 'bore: {value: 2.04 in, low: 1.9 in, high: 2.12 in, guess: yes}' seen.yaml)" -eq 2 ] ||
    fail 'the bore of a pipe'
matches seen.yaml '^  - \{flow: 3 MMscf/d, seen: quiet\}$'
matches seen.yaml '^  - \{flow: 0\.4 MMscf/d, seen: banging\}$'
run 0 check seen.yaml
is_empty err
# One regulator with typical values rests where that one bangs: said wherever it could be believed.
run 0 starter "${shell[@]}" --vessel '24 in x 7.5 ft' --seen banging --out bangs.yaml
run 0 run --no-files --no-plot bangs.yaml
matches out '^  WARNING: not as seen: at 0\.4 MMscf/d "banging" was seen'
run 0 kick --no-files --no-plot --points 2 --largest '0.5 psi' --from '0.39 MMscf/d' --to '0.41 MMscf/d' bangs.yaml
matches out '^  WARNING: not as seen: at 0\.4 MMscf/d "banging" was seen'
run 0 run --no-files --no-plot --trim reduced bangs.yaml
grep -q 'not as seen' out && fail 'of a trim that nobody saw'
run 0 run --no-files --no-plot --set 'friction.kinetic=1 lbf' bangs.yaml
grep -q 'not as seen' out && fail 'of a change that is a question'
run 0 uncertainty --no-files --no-plot --draws 10 --set 'run.duration=2 s' bangs.yaml
# shellcheck disable=SC2016 # as it is written
matches out '^  WARNING: what was seen on site \(`observed`\) did not go into this'
# It cannot have been quiet at a flow that its port does not pass: that row is named, and why.
run 0 starter "${shell[@]}" --vessel '24 in x 7.5 ft' --seen banging --quiet-at '12 MMscf/d' \
    --out small.yaml
run 0 match --no-files --no-plot --most 20 --draws 10 small.yaml
says out 'nothing in the ranges fits'
matches out '^  the nearest misses the row "at 12 MMscf/d: quiet": the trim cannot pass that flow'
says out 'another port was in it'

# --- what is missing or cannot be read, and nothing written
for option in --body --set-pressure --flow --vessel; do
    less=()
    for ((i = 0; i < ${#well[@]}; i += 2)); do
        [ "${well[i]}" = "$option" ] || less+=("${well[@]:i:2}")
    done
    run 2 starter "${less[@]}" --out bad.yaml
    says err "$option is missing"
    absent bad.yaml
done
bad() { # WORDS ARGUMENT...
    run 3 starter "${well[@]}" "${@:2}" --out bad.yaml
    matches err "$1"
    absent bad.yaml
}
bad 'psig or psia' --set-pressure '50 psi'
bad 'write 50 psig or 50 psia' --set-pressure '50 psi'
bad 'write 5500, or 5.5 if you mean a decimal' --altitude '5,500 ft'
bad 'altitude: .* allowed -500 m to 11000 m' --altitude '50000 ft'
bad 'limit: .* must be above the set pressure' --limit '40 psig'
bad 'seen: .*allowed quiet, .*did you mean banging\?' --seen bangin
bad 'quiet at: ' --quiet-at '25 gpm'
bad 'pipe after: .*must be above 0' --pipe-after '0 ft'
bad 'pipe before: .*needs a unit' --pipe-before 10
bad 'peak: is missing' --lowest '100 Mscf/d'
bad 'lowest: is missing' --peak '200 Mscf/d'
bad 'lowest: .* must not be above the flow' --lowest '1 MMscf/d' --peak '2 MMscf/d'
bad 'peak: .* must not be below the flow' --lowest '1 Mscf/d' --peak '2 Mscf/d'
bad 'flow' --lowest '1 gpm' --peak '2 MMscf/d'
bad 'unit' --vessel 8
bad 'flow' --flow '25 gpm'
bad 'length' --body '3 psig'
bad 'number' --body big
bad '.' --body '-3 in'
bad '.' --body '0 in'
bad '.' --flow '1e999 MMscf/d'
bad 'must be below the set pressure' --other-pressure '90 psig'
bad 'must be less than the full port' --reduced-port '5 in'
bad '.' --body $'3 in\nrun: {duration: 1 s}'
bad '.' --vessel '8 ft3, x: 3'
bad '.' --body '"3 in'
bad 'reduced port: .* must be less than the full port, .1 in' --port '1 in' --reduced-port '1 in'
bad 'port: .* must not be above the body' --port '4 in'
bad 'vessel: .* unit' --vessel '24 in x 10'
bad 'vessel: .* must be above 0' --vessel '24 in x -10 ft'
bad 'level: .* allowed with the size of a vessel' --level 1/3
bad 'orientation: .* allowed with the size of a vessel' --orientation vertical
bad 'level: .* allowed 0 to below 1' --vessel '24 in x 10 ft' --level '100 %'
bad 'level: ' --vessel '24 in x 10 ft' --level '3 in'
bad 'pilot: .* pilot-loaded' --actuation direct --pilot three-way
no_leftovers .
run 5 starter "${well[@]}" --out /proc/lowlift.yaml
run 5 starter "${well[@]}" --out no/such/folder.yaml
finish
