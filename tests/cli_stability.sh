#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# `lowlift stability` and `lowlift kick` as typed: files, exit codes, messages, same bytes again.
set -euo pipefail
cd "$(dirname "$0")/.."

program=$(realpath "${LOWLIFT_BINARY:-build/release/lowlift}")
work=$(mktemp -d)
trap 'chmod -R u+w "$work"; rm -rf "$work"' EXIT
demo=scenarios/decline.yaml
failed=0
fail() {
    echo "$*" >&2
    failed=1
}
expect() { # code words command...: the exit code, and words that the message must hold
    local code=$1 words=$2 got=0
    shift 2
    "$program" "$@" >"$work/out" 2>"$work/err" || got=$?
    [ "$got" -eq "$code" ] || fail "lowlift $*: exit $got, expected $code: $(cat "$work/err")"
    grep -qF -- "$words" "$work/err" || fail "lowlift $*: no '$words' in: $(cat "$work/err")"
    [ "$(wc -l <"$work/err")" -le 2 ] || fail "lowlift $*: more than a line of message"
}

# Everything it promises is there, and the answer of the demo.
"$program" stability --points 30 --out "$work/a" "$demo" >"$work/out"
for file in flows.csv modes.csv drivers.csv json svg; do
    [ -s "$work/a/decline.stability.$file" ] || fail "no decline.stability.$file"
done
grep -q '^trim full: unsteady at 150 Mscf/d' "$work/out" || fail "full port is not unsteady"
grep -q '^trim reduced: steady at 150 Mscf/d' "$work/out" || fail "reduced port is not steady"
grep -q 'neutral flow' "$work/out" || fail "no neutral flow printed"
[ "$(wc -l <"$work/a/decline.stability.flows.csv")" -eq 61 ] || fail "not 2 x 30 rows of flows"

"$program" kick --from 90% --to 110% --points 2 --out "$work/a" "$demo" >"$work/out"
for file in kicks.csv sweep.csv json svg; do
    [ -s "$work/a/decline.kick.$file" ] || fail "no decline.kick.$file"
done
[ "$(wc -l <"$work/a/decline.kick.sweep.csv")" -eq 9 ] || fail "not 2 x 2 x 2 rows of the sweep"
grep -q 'held .* psi up' "$work/out" || fail "full port is not held by friction"

# The same bytes on one thread, and in silence.
"$program" stability --points 30 --threads 1 --quiet --out "$work/b" "$demo" >/dev/null
"$program" kick --from 90% --to 110% --points 2 --threads 1 --quiet --out "$work/b" "$demo" \
    >"$work/out"
if grep -q '^wrote' "$work/out"; then fail "--quiet names files"; fi
diff -r "$work/a" "$work/b" >/dev/null || fail "another number of threads, other bytes"

for command in stability kick; do
    "$program" $command --help | grep -q "lowlift $command .*scenarios/decline.yaml" ||
        fail "$command --help shows no example"
    expect 2 'no scenario file' $command
    expect 2 'one scenario at a time' $command "$demo" "$demo"
    expect 2 'upside down' $command --from 50% --to 20% "$demo"
    expect 2 'upside down' $command --from 0% "$demo"
    expect 2 "--from: found '20'" $command --from 20 "$demo"
    expect 2 "--to: found '3 psi'" $command --to '3 psi' "$demo"
    expect 2 "--points: found '1'" $command --points 1 "$demo"
    expect 2 "--points: found 'many'" $command --points many "$demo"
    expect 2 "--threads: found '0'" $command --threads 0 "$demo"
    expect 2 'allowed svg, png' $command --plot pdf "$demo"
    expect 2 '--help' $command --form 3 "$demo"
    expect 3 'did you mean full' $command --trim ful "$demo"
    expect 3 'did you mean' $command --set 'trim.prot=2 in' "$demo"
    expect 3 'no-such-file.yaml' $command no-such-file.yaml
done
expect 2 '--largest' kick --largest '0 psi' "$demo"
expect 2 '--largest' kick --largest '500 psi' "$demo"
expect 2 "--largest: found '3 lbf'" kick --largest '3 lbf' "$demo"

# A folder that cannot be made, and a picture whose script is missing.
: >"$work/file"
expect 5 'file' stability --points 2 --out "$work/file" "$demo"
LOWLIFT_PLOTS_DIR="$work" expect 5 'no stability.gp' stability --points 2 --out "$work/c" "$demo"

# A set pressure that no travel holds is no error here: it says so.
"$program" stability --no-files --no-plot --points 2 --trim reduced \
    --set 'inflow.rate=50 MMscf/d' "$demo" >"$work/out"
grep -q 'no travel holds the set pressure' "$work/out" || fail "no word of a set out of reach"
grep -q '^trim reduced: wide open' "$work/out" || fail "50 MMscf/d does not find it wide open"
exit $failed
