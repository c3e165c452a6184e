#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Every command that README.md shows works as it is typed, one after the other, from the project's
# folder. The two that install and build are left out: they are what brings this test here.
set -euo pipefail
cd "$(dirname "$0")/.."

program=$(realpath "${LOWLIFT_BINARY:-build/release/lowlift}")
copy=$(mktemp -d)
trap 'rm -rf "$copy"' EXIT
cp -r scenarios "$copy"

awk '/^```/ { inside = ($0 == "```sh"); next } inside' README.md |
    grep -vxE 'scenarios/demo\.sh|tests/run\.sh' >"$copy/commands.sh"
count=$(grep -c '^lowlift ' "$copy/commands.sh" || true)
[ "$count" -ge 5 ] || { echo "README.md shows $count commands of lowlift; 5 expected" >&2; exit 1; }

cd "$copy"
export PATH="${program%/*}:$PATH" LC_ALL=C
if ! bash -euo pipefail -x commands.sh >output 2>errors; then
    echo "a command of README.md fails:" >&2
    tail -n 20 errors >&2
    exit 1
fi
# What it promises to leave behind.
for file in lowlift-out/decline.{compare,map.linear,map.16x12}.png lowlift-out/decline.full.csv \
    my-well.yaml; do
    [ -s "$file" ] || { echo "README.md promises $file" >&2; exit 1; }
done
