#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# `lowlift verdicts` prints every number that defines a verdict: in the files that judge, a number
# stands only in the table of sim/judge/verdict_table.c, or in the list below with the reason why it
# is no limit. 0, 1 and -1 need none. Takes a source root, so that this test can be tested.
set -euo pipefail
cd "$(dirname "$0")/.."
root=${1:-.}

# File, number, how often, why it is no limit.
cat >"${TMPDIR:-/tmp}/numbers.$$" <<'END'
judge/cycles.c          0.125   1  vertex of a parabola through three samples
judge/cycles.c          0.5     3  middle of a range, of a row of groups (twice)
judge/cycles.c          2       3  halves: of a list, of the groups (twice)
judge/series.c          0.5     1  middle sample
judge/series.c          1e-6    2  rounding of a time, in samples
judge/series.c          2       1  middle sample
judge/series.c          3       1  a slope needs three samples
judge/turning.c         0.125   1  vertex of a parabola through three samples
judge/turning.c         0.25    1  weights 1, 2, 1 of three turning points
judge/turning.c         0.5     3  vertex; mean of two neighbours; two swings a period
judge/turning.c         2       4  reversal of a list; last turning point but one; middle; intervals
judge/turning.c         2.0     1  weights 1, 2, 1
judge/turning.c         3       2  a turning point needs two neighbours
judge/verdict.c         100.0   1  shown in %
judge/verdict.c         3       1  a record needs three samples
judge/verdict_figures.c 0.5     1  m v^2 / 2
judge/verdict_figures.c 60.0    1  seconds a minute
judge/verdict_figures.c 86400.0 1  seconds a day
judge/verdict_motion.c  0.5     2  half of the part that is judged, against the other half (twice)
judge/verdict_motion.c  2.0     1  the half holds twice as many contacts as its half
judge/verdict_motion.c  100     1  letters of a text
judge/verdict_rest.c    0.25    1  middle of the later half of a trend
judge/verdict_rest.c    0.5     1  half a sample
judge/verdict_rest.c    0.75    1  middle of the earlier half of a trend
judge/verdict_rest.c    100.0   5  shown in %
judge/verdict_rest.c    2       4  ends of a list of turning points; two signals (twice)
judge/verdict_rest.c    3       1  swings of a list of turning points
judge/verdict_schedule.c 0.5    1  half a sample
judge/verdict_schedule.c 2      2  a swing has a turning point on either side
judge/verdict_study.c   0.5     1  half a sample
judge/verdict_study.c   100.0   1  shown in %
judge/verdict_study.c   2       2  trends of half the length; two signals
judge/verdict_study.c   4       1  place of an argument
judge/verdict_study.c   5       1  place of an argument
run/recorder.c          1024    1  memory
run/recorder.c          2       2  memory
run/recorder.c          200000  1  jumps that the trace keeps
run/recorder.c          4096    1  memory
run/simulate.c          1e-300  2  keeps a division from 0 / 0
run/simulate.c          60.0    1  seconds a minute
END
trap 'rm -f "${TMPDIR:-/tmp}/numbers.$$"' EXIT

files=()
for file in "$root"/sim/judge/*.c "$root"/sim/run/{recorder,simulate}.c; do
    [ "${file##*/}" = verdict_table.c ] || files+=("$file")
done
awk -v root="$root/sim/" '
    FNR == NR { wanted[$1 " " $2] = $3; next }
    {
        line = $0
        sub(/\/\/.*/, "", line)
        gsub(/"([^"\\]|\\.)*"/, "", line)
        if (line ~ /^#include/) next
        file = FILENAME
        file = substr(file, length(root) + 1)
        while (match(line, /[A-Za-z_0-9.]+([eE][-+][0-9]+)?/)) {
            word = substr(line, RSTART, RLENGTH)
            line = substr(line, RSTART + RLENGTH)
            # An exponent belongs to a number, not to a name that ends in e.
            if (word !~ /^\.?[0-9]/) { sub(/^[A-Za-z_][A-Za-z_0-9.]*/, "", word) }
            if (word !~ /^\.?[0-9]/ || word ~ /^[01](\.0)?$/) continue
            found[file " " word]++
        }
    }
    END {
        for (key in found) if (found[key] != wanted[key]) {
            split(key, part, " ")
            printf "numbers: sim/%s has %s %d times, expected %d: a limit belongs into " \
                   "sim/judge/verdict_table.c, anything else into the list of tests/numbers.sh\n",
                   part[1], part[2], found[key], wanted[key]
            bad = 1
        }
        for (key in wanted) if (!(key in found)) { print "numbers: " key " is no longer there"; bad = 1 }
        exit bad
    }' "${TMPDIR:-/tmp}/numbers.$$" "${files[@]}" >&2
