#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# --draws: the same questions about many regulators, of a file or out of the ranges of guesses.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"
demo=scenarios/oversized.yaml
short=(--set 'run.duration=20 s' --no-plot)

# A file of five draws; one weighs half.
cat >few.csv <<'END'
weight,actuator.spring_rate,pilot.feedback_area,trims.full.port
0.5,175 lbf/in,0.8 in2,2.9 in
0.125,150 lbf/in,0.8 in2,2.8 in
0.125,200 lbf/in,0.9 in2,2.9 in
0.125,175 lbf/in,1.1 in2,2.9 in
0.125,250 lbf/in,0.7 in2,2.75 in
END
run 0 compare --draws few.csv "${short[@]}" --out one --threads 1 "$demo"
matches out '^  draws taken: 5$'
matches out '^  worth so many equal ones: 3.2$'
says out "full: comes to rest at today's flow in"
matches out 'regulators +that|that fit'
says out 'measure next: too few draws to tell; take at least 30'
says out 'lowlift sizes no relief device'
! grep -q '100 %' out || fail 'certain of draws'
exists one/oversized.compare.draws.csv one/oversized.compare.draws.json \
    one/oversized.compare.draws.shares.csv one/oversized.compare.draws.quantiles.csv
[ "$(wc -l <one/oversized.compare.draws.csv)" -eq 11 ] || fail 'not ten rows'
says one/oversized.compare.draws.csv 'actuator.spring_rate [lbf/in]'
# uncertainty with a file is the same study, on any number of threads, and from a checkpoint.
run 0 uncertainty --draws few.csv "${short[@]}" --out two --threads 2 --checkpoint kept "$demo"
same one/oversized.compare.draws.csv two/oversized.uncertainty.draws.csv
run 0 uncertainty --draws few.csv "${short[@]}" --out three --checkpoint kept "$demo"
same two/oversized.uncertainty.draws.json three/oversized.uncertainty.draws.json
run 2 uncertainty --draws few.csv "${short[@]}" --set 'set.pressure=49 psig' --checkpoint kept "$demo"
# Few of many, by weight: two of five are the heavy one and one of the others.
run 0 compare --draws few.csv --at-most 2 "${short[@]}" --no-files "$demo"
matches out '^  draws taken: 2$'

# A trim too small for today is an answer, not a draw to leave out: the trim in place is what holds.
run 0 compare --draws few.csv --trim reduced --set 'trims.reduced.port=0.2 in' "${short[@]}" \
    --no-files "$demo"
matches out '^  draws taken: 5$'
matches out "^  reduced +does not hold its pressure \(shut, stuck or wide open\) +all "
! grep -q 'left out' out || fail 'leaves out what the trim asked for cannot hold'

# Out of ranges: nothing was observed, and it says so.
run 0 compare --draws 12 --trim full "${short[@]}" --no-files "$demo"
says out 'nothing was observed, so all of this rests on guesses'
says out 'the widest'
says out 'of the regulators it could be'
run 0 uncertainty --draws 10 --trim full --set 'run.duration=5 s' --no-plot --no-files "$demo"
# shellcheck disable=SC2016 # as it is written
says out 'what was seen on site (`observed`) did not go into this'

# The other studies.
run 0 trims --draws few.csv --at-most 2 --lowest '100 Mscf/d' --peak '200 Mscf/d' --no-files \
    "${short[@]}" "$demo"
matches out '^  full +passes the peak +all '
says out 'full: steady over the envelope and passes the peak in'
run 0 kick --draws few.csv --at-most 2 --no-files "${short[@]}" --largest '1 psi' "$demo"
matches out '^  full +smallest kick that does not die out'
run 0 decline --draws few.csv --at-most 1 --no-files "${short[@]}" --trim reduced \
    --until 2030-01-01 --set decline.kind=exponential --set decline.start=2026-01-01 \
    --set 'decline.rate_start=0.15 MMscf/d' --set 'decline.annual=20 %' \
    --set decline.basis=effective "$demo"
matches out '^  reduced +leaves its window, left alone +not so far'
run 0 remedies --draws few.csv --at-most 1 --steps 1 --no-files --no-plot --set 'run.duration=2 s' \
    --set 'vessel.volume=5 ft3' "$demo"
matches out '^  remedy +is or does +share'
says out 'brings to rest what moves today'

# Mistakes.
run 2 trims --draws 5 --lowest '100 Mscf/d' --peak '200 Mscf/d' "$demo"
says err "--draws: found '5'; allowed a file of draws, or a whole number from 10 to 100000"
run 3 compare --draws nowhere.csv "$demo"
says err 'nowhere.csv'
sed 's/feedback_area/feedback_are/' few.csv >wrong.csv
run 3 kick --draws wrong.csv "$demo"
matches err 'wrong.csv:1:'
run 2 compare --draws few.csv "$demo" "$decline"
says err 'one scenario at a time'
run 2 compare --draws 20 scenarios/relief-ringing.yaml
says err 'there is nothing to draw'

finish
