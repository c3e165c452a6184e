#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# `lowlift stability` and `lowlift kick` as typed: files, exit codes, messages, same bytes again.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

refuses() { # CODE TEXT ARGUMENT...: exit code, and what the one line of message must hold
    run "$1" "${@:3}"
    says err "$2"
    count_lines err
    [ "$lines" -le 2 ] || fail "lowlift ${*:3}: more than a line of message"
}
rows() { # FILE COUNT
    count_lines "$1"
    [ "$lines" -eq "$2" ] || fail "$1 has $lines lines, expected $2"
}

# Everything promised is there, and the answer of the demo.
run 0 stability --points 30 --out a "$decline"
exists a/decline.stability.{trims.csv,changes.csv,flows.csv,modes.csv,drivers.csv,json,svg}
whole_summary a/decline.stability.json
matches out '^  trim full: unsteady at 150 Mscf/d'
matches out '^  trim reduced: steady at 150 Mscf/d'
matches out '^  full +2[0-9]{3}\.[0-9] +unsteady +steady +0\.7[0-9]+$' # the neutral flow
says a/decline.stability.json '"trim full: unsteady at 150 Mscf/d'
rows a/decline.stability.flows.csv 61
run 0 kick --from 90% --to 110% --points 2 --out a "$decline"
exists a/decline.kick.{kicks.csv,sweep.csv,json,svg}
whole_summary a/decline.kick.json
matches out '^  full +135 +held +0\.[0-9]+ +up +slamming'
matches out '^  reduced +165 +steady +none up to 10 psi'
rows a/decline.kick.sweep.csv 9
no_leftovers a

# The same bytes on one thread, and in silence.
run 0 stability --points 30 --threads 1 --quiet --out b "$decline"
run 0 kick --from 90% --to 110% --points 2 --threads 1 --quiet --out b "$decline"
if grep -q '^wrote' out; then fail "--quiet names files"; fi
diff -r a b >/dev/null || fail "another number of threads, other bytes"

# Other units, other formats.
run 0 stability --units metric --plot png --no-files --points 5 --out c "$decline"
exists c/decline.stability.png
absent c/decline.stability.json
matches out 'Sm3/h'

for command in stability kick; do
    refuses 2 'no scenario file' $command
    refuses 2 'one scenario at a time' $command "$decline" "$decline"
    refuses 2 'upside down' $command --from 50% --to 20% "$decline"
    refuses 2 'upside down' $command --from 0% "$decline"
    refuses 2 "--from: found '20'" $command --from 20 "$decline"
    refuses 2 "--to: found '3 psi'" $command --to '3 psi' "$decline"
    refuses 2 "--points: found '1'" $command --points 1 "$decline"
    refuses 2 "--points: found 'many'" $command --points many "$decline"
    refuses 2 "--threads: found '0'" $command --threads 0 "$decline"
    refuses 2 'allowed svg, png' $command --plot pdf "$decline"
    refuses 2 '--help' $command --form 3 "$decline"
    refuses 3 'did you mean full' $command --trim ful "$decline"
    refuses 3 'did you mean' $command --set 'trim.prot=2 in' "$decline"
    refuses 3 'no-such-file.yaml' $command no-such-file.yaml
done
refuses 2 '--largest' kick --largest '0 psi' "$decline"
refuses 2 '--largest' kick --largest '500 psi' "$decline"
refuses 2 "--largest: found '3 lbf'" kick --largest '3 lbf' "$decline"

# A folder that cannot be made, and a picture whose script is missing.
: >file
refuses 5 'file' stability --points 2 --out file "$decline"
LOWLIFT_PLOTS_DIR="$work" refuses 5 'no stability.gp' stability --points 2 --out d "$decline"

# Nothing is steady, or nothing changes: no empty place is left for a table without rows.
run 0 stability --no-files --no-plot --points 2 --trim reduced "$decline"
matches out '^  steady range +at every flow$'
if grep -q 'another way' out; then fail 'a heading without a table'; fi
if grep -q ' $' out; then fail 'blanks at the end of a line'; fi
[ "$(cat -s out | wc -l)" -eq "$(wc -l <out)" ] || fail 'two empty lines'

# A set pressure that no travel holds is no error: it says so.
run 0 stability --no-files --no-plot --points 2 --trim reduced --set 'inflow.rate=50 MMscf/d' \
    "$decline"
says out 'no travel holds the set pressure'
matches out '^  trim reduced: wide open'
finish
