#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Every shipped scenario reads, says what it teaches, and keeps what it promises.
# shellcheck source=tests/cli.sh
source "$(dirname "$0")/cli.sh"

for file in scenarios/*.yaml; do
    if grep -q 'quantity: refusal' "$file"; then
        run 3 check "$file"
    else
        run 0 check "$file"
        is_empty err
    fi
    head -n 1 "$file" | grep -q '^# ' || fail "$file does not begin with what it is about"
    grep -q '^# Teaches: ' "$file" || fail "$file does not say what it teaches"
    grep -q '^teaches: ' "$file" || fail "$file has no field \`teaches\`"
    grep -q '^title: ' "$file" || fail "$file has no title"
    grep -q '^expect:' "$file" || fail "$file promises nothing"
    grep -qi 'invented\|published\|from memory' "$file" || fail "$file does not say whose data it is"
done
count=$(find scenarios -name '*.yaml' | wc -l)
[ "$count" -ge 10 ] || fail "only $count scenarios"

run 0 expect scenarios/*.yaml
is_empty err
grep MISSED out >&2
finish
