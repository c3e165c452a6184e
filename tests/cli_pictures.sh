#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Pictures of answers that have little or nothing to show: no trim within a map, numbers written
# without a point, no flow that a trim passes, no point of rest, a regulator that never opens. Each is
# drawn all the same, and gnuplot has nothing to say.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

drawn() { # COMMAND ARGUMENT...
    rm -rf lowlift-out
    run 0 "$@" --quiet --plot svg
    is_empty err
    exists lowlift-out/*.svg
}
jammed=(--set 'actuator.preload=90000 lbf')
flooded=(--set 'inflow.rate=500 MMscf/d')
short=(--set 'run.duration=0.5 s')

map=(map --linear --points 6x5)
drawn "${map[@]}" --across 'inflow.rate=1..2 MMscf/d' "$decline"
drawn "${map[@]}" --across 'vessel.volume=1..2 ft3' "$decline"
drawn "${map[@]}" --up 'trim.port=1.9..2.5 in' "$decline"
drawn "${map[@]}" --across 'sense.cavity_volume=0.00001..0.001 ft3' "$decline"
drawn "${map[@]}" "${jammed[@]}" "$decline"
drawn map --points 2x2 "${short[@]}" "${flooded[@]}" "$decline"
drawn trims --lowest '0.02 scf/d' --peak '1 scf/d' "$decline"
drawn trims --lowest '20 Mscf/d' --peak '1 MMscf/d' --trim reduced "${short[@]}" "${jammed[@]}" \
    "$decline"
# Wide open everywhere, the axis of the opening has its numbers all the same.
drawn trims --lowest '20 MMscf/d' --peak '500 MMscf/d' --trim full "${short[@]}" "$decline"
matches lowlift-out/decline.trims.svg '>50<'
drawn decline "${jammed[@]}" stiff/envelope.yaml
for odd in jammed flooded; do
    declare -n changes=$odd
    drawn stability --points 5 "${changes[@]}" "$decline"
    drawn kick --points 2 "${short[@]}" "${changes[@]}" "$decline"
    drawn compare "${short[@]}" "${changes[@]}" "$decline"
    drawn uncertainty --draws 10 "${short[@]}" "${changes[@]}" "$decline"
done
drawn remedies --steps 1 --trim full "${short[@]}" "${jammed[@]}" "$decline"
drawn run --set 'run.duration=1e-6 s' --set 'run.sample_interval=1e-6 s' "$decline"
drawn run --set 'inflow.rate=0 scf/d' "${short[@]}" "$decline"

# Shares over many regulators, of which some number is none.
printf 'weight,friction.kinetic\n0.5,5 lbf\n0.25,8 lbf\n0.25,2 lbf\n' >few.csv
drawn compare --draws few.csv "${short[@]}" "$decline"
says lowlift-out/decline.compare.draws.svg 'share of the regulators that fit'

# A picture says where it is from: the site when it is known, the scenario, and what was changed.
drawn stability --points 5 --set 'document.site=Pad 3, Well 7' --set 'friction.kinetic=6 lbf' "$decline"
says lowlift-out/decline.stability.svg 'Pad 3, Well 7  |  decline.yaml  |  with friction.kinetic 6 lbf'
drawn stability --points 5 --set 'trims.reduced.travel=0.5 in' "$decline"
says lowlift-out/decline.stability.svg 'decline.yaml  |  with reduced.travel 0.5 in'

# Long names that differ at their end alone are told apart, and a trim on a map says what it does.
sed -e 's/^  full: {/  a-trim-with-a-name-of-forty-letters-full: {/' \
    -e 's/^  reduced: {/  a-trim-with-a-name-of-forty-letters-less: {/' -e '/^expect:/,$d' "$decline" >alike.yaml
drawn compare "${short[@]}" alike.yaml
for end in full less; do
    grep -q "letters-$end: [a-z ]*<" lowlift-out/alike.compare.svg || fail "no name that ends in $end"
done
drawn "${map[@]}" alike.yaml
says lowlift-out/alike.map.linear.6x5.svg 'letters-full: grow'
says lowlift-out/alike.map.linear.6x5.svg 'letters-less: die out'
finish
