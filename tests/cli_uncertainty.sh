#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# `lowlift uncertainty` as a user types it: files, refusals, exit codes, the same bytes for any
# number of threads, and a study that goes on from its checkpoint.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

small=(--draws 10 --trim full --set 'run.duration=20 s' "$decline")
run 0 uncertainty --threads 1 --plot svg --out one "${small[@]}"
cp out one.txt
run 0 uncertainty --threads 2 --checkpoint kept --plot svg --out two "${small[@]}"
for ending in csv json svg; do
    same "one/decline.uncertainty.$ending" "two/decline.uncertainty.$ending"
done
no_leftovers one
says one.txt 'how often each verdict came out'
matches one.txt '^  full  +[a-z ]+ +[0-9]+ +[0-9.]+ +[0-9.]+ +[0-9.]+$'
matches one.txt '^  trim full: .*the verdict'
says one.txt 'wrote one/decline.uncertainty.csv'
says one.txt "The maker's manual"
[ "$(wc -l <one/decline.uncertainty.csv)" -eq 11 ] || fail "not one row a draw"
summary=one/decline.uncertainty.json
whole_summary "$summary"
for key in draws seed guesses_within confidence uncertain cases outcomes values rank_correlation \
    share_of_variance draws_that_count set_pressure_out_of_reach values_contradict ranked_by; do
    says "$summary" "\"$key\""
done
awk 'length > 100 { exit 1 }' one.txt || fail "a line is too long"

# Every uncertain value with its range, on the terminal when asked.
absent listed
run 0 uncertainty --list --no-plot --no-files --out listed "${small[@]}" --set 'run.duration=1 s'
absent listed
matches out '^  pilot\.supply_seat +full +[0-9.]+ +[0-9.]+ +[0-9.]+ +in +log-uniform +hardware$'
grep -q '^  pilot.supply_seat .*log-uniform' one.txt && fail "the values are listed unasked"

# A share forced on the guesses, and a shape.
run 0 uncertainty --list --guesses '20 %' --no-plot --no-files "${small[@]}" --set 'run.duration=1 s'
matches out '^  pilot\.supply_seat +full +[0-9.]+ +[0-9.]+ +[0-9.]+ +in +triangular +guess$'
run 0 uncertainty --list --shape uniform --no-plot --no-files "${small[@]}" --set 'run.duration=1 s'
matches out '^  pilot\.supply_seat +full +[0-9.]+ +[0-9.]+ +[0-9.]+ +in +uniform +hardware$'

# Guesses make nothing certain: ten draws out of ten are not 100 %.
certain=(--draws 10 --trim full --set 'run.duration=20 s' --guesses '1 %')
run 0 uncertainty --no-plot --out certain "${certain[@]}" "$decline"
matches out '^  full  +slamming +10 +all +[0-9.]+ +>99\.9$'
says out 'slamming in all of 10 draws; 95 % sure more'
grep -qE '100(\.0)? ' out && fail 'guesses make something certain'

# Parts that geometry ties are drawn together, unless there are too few draws for it.
run 0 uncertainty --draws 30 --no-plot --out tied --trim full --set 'run.duration=1 s' "$decline"
says out 'drawn together, since their sizes go together'
says tied/decline.uncertainty.json '"together"'
says tied/decline.uncertainty.json '"hardware"'
grep -q 'drawn together' one.txt && fail 'ten draws of more values than that cannot be tied'

# A finished checkpoint gives the same answer without work, and is refused for other draws.
run 0 uncertainty --checkpoint kept --no-plot --out three "${small[@]}"
same one/decline.uncertainty.csv three/decline.uncertainty.csv
run 2 uncertainty --checkpoint kept --seed 2 --no-plot --out five "${small[@]}"
is_empty out
says err kept
absent five

# Several flows: each is a case of its own.
run 0 uncertainty --draws 10 --flows '100 Mscf/d, 300 Mscf/d' --set 'run.duration=5 s' \
    --no-plot --out flows "$decline"
[ "$(wc -l <flows/decline.uncertainty.csv)" -eq 41 ] || fail "not one row a draw, trim and flow"
matches out '^  trim reduced at 300 Mscf/d: '
[ "$(grep -c '"draws_that_count"' flows/decline.uncertainty.json)" -eq 4 ] || fail "not four cases"

refused() { # exit code, key words, options
    local words=$2
    run "$1" uncertainty "${@:3}" "$decline"
    matches err "$words"
    is_empty out
    one_line err "${*:3}"
}
refused 2 'nothing is uncertain' --guesses '0 %'
refused 2 '--guesses: .*such as 20 %' --guesses '100 %'
refused 2 '--shape: .*did you mean friction.kinetic' --shape friction.kinetik=uniform
refused 2 'allowed triangular' --shape round
refused 2 '--together: .*FIELD:FIELD=CORRELATION' --together pilot.bleed
refused 2 'contradict each other' --draws 10 --together pilot.bleed:pilot.supply_seat=0.9
refused 2 '--flows: .*needs a unit' --flows 0.1
refused 2 '--flows: more than 8 flows' --flows '1kg/h,2kg/h,3kg/h,4kg/h,5kg/h,6kg/h,7kg/h,8kg/h,9kg/h'
refused 2 'whole number from 10' --draws 3
refused 3 'did you mean full' --trim ful
finish
