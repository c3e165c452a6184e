#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# `lowlift remedies` as a user types it: files, refusals, exit codes, the same bytes for any number
# of threads, and tries that go on from their checkpoint.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

few=(--steps 1 --from '100 %' --to '200 %' --set 'run.duration=5 s' "$decline")
run 0 remedies --plot svg --threads 1 --out one "${few[@]}"
cp out one.txt
run 0 remedies --plot svg --threads 2 --checkpoint kept --out two "${few[@]}"
for ending in csv json svg; do
    same "one/decline.remedies.$ending" "two/decline.remedies.$ending"
done
no_leftovers one
for words in 'without parts' 'with parts' 'left out' 'in short' 'trim reduced' 'manual' \
    'kick that must die out: 3 psi' 'kicked up or down: ' 'as it stands, at today'; do
    says one.txt "$words"
done
[ "$(grep -c '^  no clear effect' one.txt)" -le 2 ] || fail "what has no clear effect is not on one line"
awk 'length > 100 { exit 1 }' one.txt || fail "a line is too long"
summary=one/decline.remedies.json
whole_summary "$summary"
for key in trim flow kick as_it_stands remedies changes left_out stronger_is_worse action caution \
    because steady_range lowest_steady_flow_kicked highest_flow_passed; do
    says "$summary" "\"$key\""
done
says one/decline.remedies.csv 'lowest steady flow, kicked [Mscf/d]'

# A finished checkpoint gives the same answer, and is refused for another kick.
run 0 remedies --checkpoint kept --no-plot --out four "${few[@]}"
same one/decline.remedies.csv four/decline.remedies.csv
run 2 remedies --checkpoint kept --kick '2 psi' --no-plot --out five "${few[@]}"
is_empty out
says err kept
absent five

run 0 remedies --kick 0 --no-plot --out alone "${few[@]}"
matches out '^  left alone: '
matches out 'changes are undecided at today.s flow, and may cure it' # five seconds tell little
says alone/decline.remedies.csv 'lowest steady flow, left alone [Mscf/d]'
run 0 remedies --trim reduced --no-plot --no-files --out none "${few[@]}" --to '120 %' \
    --set 'run.duration=20 s'
absent none
for words in 'steady as it stands' pilot.feedback_area actuator.chamber_volume vessel.volume \
    sense.bore actuator.backlash slugs friction.kinetic 'nothing to cure'; do
    says out "$words"
done
! grep -q 'are undecided' out || fail 'speaks of cures where there is nothing to cure'

refused() { # exit code, key words, options
    local words=$2
    run "$1" remedies "${@:3}" "$decline"
    matches err "$words"
    is_empty out
    one_line err "${*:3}"
}
refused 2 'whole number from 1 to 9' --steps 0
refused 2 '--kick: .*psig' --kick '3 psig'
refused 2 '--kick: .*allowed more than nothing' --kick '0 psi'
refused 2 'upside down' --from '1 MMscf/d' --to '0.1 MMscf/d'
refused 2 'nothing flows' --set 'inflow.rate=0 MMscf/d'
refused 3 'did you mean full' --trim ful
finish
