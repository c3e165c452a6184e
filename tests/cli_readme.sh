#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Every command that README.md shows works as it is typed, one after the other, from the project's
# folder, and every line of output that it shows is one that the program prints. The two commands
# that install and build are left out: they are what brings this test here.
set -euo pipefail
cd "$(dirname "$0")/.."

program=$(realpath "${LOWLIFT_BINARY:-build/release/lowlift}")
copy=$(mktemp -d)
trap 'rm -rf "$copy"' EXIT
cp -r scenarios "$copy"

awk '/^```/ { inside = ($0 == "```sh"); next } inside' README.md |
    grep -vxE 'scenarios/demo\.sh|tests/run\.sh' >"$copy/commands.sh"
# What it shows of the output: the blocks of text.
awk '/^```/ { inside = ($0 == "```text"); next } inside' README.md >"$copy/shown"
count=$(grep -c '^lowlift ' "$copy/commands.sh" || true)
[ "$count" -ge 5 ] || { echo "README.md shows $count commands of lowlift; 5 expected" >&2; exit 1; }
[ "$(grep -c '[0-9]' "$copy/shown")" -ge 5 ] || {
    echo "README.md shows fewer than 5 lines of output with numbers" >&2
    exit 1
}

cd "$copy"
export PATH="${program%/*}:$PATH" LC_ALL=C
if ! bash -euo pipefail -x commands.sh >output 2>errors; then
    echo "a command of README.md fails:" >&2
    tail -n 20 errors >&2
    exit 1
fi
# What it promises to leave behind.
for file in lowlift-out/oversized.compare.png lowlift-out/oversized.{map.linear,map.6x6}.png \
    lowlift-out/oversized.full.csv lowlift-out/oversized.compare.draws.shares.csv my-well.yaml; do
    [ -s "$file" ] || { echo "README.md promises $file" >&2; exit 1; }
done

# What it tells of the dates.
for line in 'full: outside: left its window 2020-' 'half: .* since 2023-' 'reduced: in its window; leaves it 204'; do
    grep -q "^  $line" output || { echo "README.md tells of dates: $line" >&2; exit 1; }
done

# The demo's table is that of scenarios/demo.sh, which shows the same scenario as the first command.
grep -q 'compare .*scenarios/oversized\.yaml' scenarios/demo.sh
[[ $(grep -m 1 '^lowlift ' commands.sh) == 'lowlift compare '*' scenarios/oversized.yaml' ]] || {
    echo "README.md's first command is no longer the demo's" >&2
    exit 1
}
# Line by line, to the last digit and blank, in the order of the program's own table.
awk '
    FNR == NR { line[++lines] = $0; next }
    next_line < lines && $0 == line[next_line + 1] { next_line++ }
    END {
        if (next_line == lines) exit 0
        print "README.md shows, where the program prints no such line: " line[next_line + 1]
        exit 1
    }' shown output >&2
