#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# `lowlift uncertainty` and `lowlift remedies` as a user types them: files, refusals, exit codes, the
# same bytes for any number of threads, and a study that goes on from its checkpoint.
set -euo pipefail
cd "$(dirname "$0")/.."

program=$(realpath "${LOWLIFT_BINARY:-build/release/lowlift}")
scenario=$PWD/scenarios/decline.yaml
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"
fail() {
    echo "$*" >&2
    exit 1
}

small=(--draws 10 --trim full --set 'run.duration=20 s' "$scenario")
"$program" uncertainty --threads 1 --plot svg --out one "${small[@]}" >one.txt
"$program" uncertainty --threads 2 --plot svg --out two "${small[@]}" >two.txt
for file in csv json svg; do
    cmp "one/decline.uncertainty.$file" "two/decline.uncertainty.$file"
done
grep -q '^trim full' one.txt || fail "no case in the report"
grep -q 'wrote one/decline.uncertainty.csv' one.txt || fail "the report does not name its files"
[ "$(wc -l <one/decline.uncertainty.csv)" -eq 11 ] || fail "not one row a draw"
grep -q '"rank_correlation"' one/decline.uncertainty.json || fail "no correlations in the summary"

# A finished checkpoint gives the same answer without work, and is refused for other draws.
"$program" uncertainty --checkpoint kept --no-plot --out three "${small[@]}" >/dev/null
"$program" uncertainty --checkpoint kept --no-plot --out four "${small[@]}" >/dev/null
cmp one/decline.uncertainty.csv three/decline.uncertainty.csv
cmp one/decline.uncertainty.csv four/decline.uncertainty.csv
code=0
"$program" uncertainty --checkpoint kept --seed 2 --no-plot "${small[@]}" >/dev/null 2>errors ||
    code=$?
if [ "$code" -eq 0 ] || [ ! -s errors ]; then
    fail "a checkpoint of another study is taken"
fi

refused() { # exit code, key words, command and options
    local code=0 wanted=$1 words=$2
    shift 2
    "$program" "$@" "$scenario" >/dev/null 2>errors || code=$?
    [ "$code" -eq "$wanted" ] || fail "$*: exit code $code, expected $wanted"
    grep -q -- "$words" errors || fail "$*: no '$words' in: $(cat errors)"
    [ "$(wc -l <errors)" -eq 1 ] || fail "$*: more than one line"
}
refused 2 'nothing is uncertain' uncertainty --guesses '0 %'
refused 2 'such as 20 %' uncertainty --guesses '100 %'
refused 2 'did you mean friction.kinetic' uncertainty --shape friction.kinetik=uniform
refused 2 'allowed triangular' uncertainty --shape round
refused 2 'FIELD:FIELD=CORRELATION' uncertainty --together pilot.bleed
refused 2 'needs a unit' uncertainty --flows 0.1
refused 2 'whole number from 10' uncertainty --draws 3
refused 3 'did you mean full' uncertainty --trim ful
refused 2 'whole number from 1 to 9' remedies --steps 0
refused 2 'kick' remedies --kick '3 psig'
refused 3 'did you mean full' remedies --trim ful
refused 2 'upside down\|below\|less than\|above' remedies --from '1 MMscf/d' --to '0.1 MMscf/d'

few=(--steps 1 --from '100 %' --to '200 %' --set 'run.duration=20 s' "$scenario")
"$program" remedies --plot svg --threads 1 --out one "${few[@]}" >one.txt
"$program" remedies --plot svg --threads 2 --out two "${few[@]}" >two.txt
for file in csv json svg; do
    cmp "one/decline.remedies.$file" "two/decline.remedies.$file"
done
for words in 'without parts' 'with parts' 'left out' 'in short' 'trim reduced' 'manual'; do
    grep -q "$words" one.txt || fail "remedies does not say '$words'"
done
grep -q 'kicked by 3 psi up or down' one.txt || fail "remedies does not take the scenario's kick"
[ "$(grep -c '^  no clear effect' one.txt)" -le 2 ] || fail "what has no clear effect is not on one line"
"$program" remedies --kick 0 --no-plot --no-files "${few[@]}" >alone.txt
grep -q '^  left alone: ' alone.txt || fail "--kick 0 does not leave it alone"
"$program" remedies --trim reduced --no-plot --no-files "${few[@]}" >calm.txt
for words in 'steady as it stands' 'pilot.feedback_area' 'actuator.chamber_volume' 'vessel.volume' \
    'sense.bore' 'actuator.backlash' 'slugs' 'friction.kinetic' 'nothing to cure'; do
    grep -q "$words" calm.txt || fail "a steady one: remedies does not say '$words'"
done
awk 'length > 100 { print "a line is too long: " $0; exit 1 }' one.txt

for command in uncertainty remedies; do
    "$program" "$command" --help >help.txt
    grep -q "scenarios/decline.yaml" help.txt || fail "no example in the help of $command"
done
