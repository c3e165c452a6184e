#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# The program without memory: wherever it asks for some and gets none, it ends with one line and exit
# code 8, and leaves no file that is not whole. At some places here, at every one with `every`, where
# each request fails in a copy of the process (tests/lack/lack.c): a minute on two cores.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"
lack=${LOWLIFT_LACK:-$source_root/build/release/tests/lack.so}
[ -e "$lack" ] || {
    echo 'a build with a sanitizer has an allocator of its own: nothing to do'
    exit 0
}
export TMPDIR=$work/temporary
mkdir "$TMPDIR"
line='lowlift: out of memory'

# One thread, so that requests come in one order.
commands=(
    "run --no-plot --set run.duration=1s $decline"
    "map --linear --points 2x2 --threads 1 $decline"
    "stability --no-plot --threads 1 --points 2 --trim reduced --from 0.1MMscf/d --to 0.2MMscf/d $decline"
)
lacking() { # REQUEST COMMAND: exit code in $code
    code=0
    # shellcheck disable=SC2086 # several words
    env LACK="$1" LACK_CODE=8 LACK_LINE="$line" LACK_REPORT=report LD_PRELOAD="$lack" \
        "$lowlift" $2 --out lacking >out 2>err </dev/null || code=$?
}
nothing_half_made() { # COMMAND REQUEST
    local file
    [ -z "$(ls -A "$TMPDIR")" ] || fail "$1: left in TMPDIR without memory $2: $(ls "$TMPDIR")"
    [ -d lacking ] || return 0
    no_leftovers lacking
    for file in lacking/*; do
        [ ! -e "$file" ] || same "$file" "whole/${file#*/}"
    done
}

for command in "${commands[@]}"; do
    rm -rf whole lacking
    lacking -1 "$command"
    [ "$code" -eq 0 ] || fail "$command: exit code $code"
    is_empty err
    requests=$(sed -n 's/^requests //p' report)
    [ "$requests" -gt 500 ] || fail "$command: only $requests requests for memory are seen"
    mv lacking whole
    # Before anything is read, while it computes, and while it writes and draws.
    for at in 0 40 $((requests / 2)) $((requests - 160)) $((requests - 12)); do
        rm -rf lacking
        lacking "$at" "$command"
        [ "$code" -eq 8 ] || fail "$command without memory $at of $requests: exit code $code"
        [ "$(cat err)" = "$line" ] || fail "$command without memory $at: says $(cat err)"
        nothing_half_made "$command" "$at"
    done
    if [ "${1:-}" = every ]; then
        rm -rf lacking
        lacking all "$command"
        [ "$code" -eq 0 ] || fail "$command: exit code $code"
        echo "$command: $(grep -c ^aside report) of $(sed -n 's/^requests //p' report) with a file aside"
        says report 'bad 0'
        nothing_half_made "$command" 'all'
    fi
done

# Under a limit on all that it may have, threads with it. Whatever is not enough ends the same way.
for kilobytes in 12000 40000; do
    (
        ulimit -v "$kilobytes"
        exec "$lowlift" map --linear --points 20x20 --threads 16 --no-plot --no-files "$decline" \
            >out 2>err
    )
    code=$?
    [ "$code" -eq 0 ] || [ "$code" -eq 8 ] || fail "$kilobytes kB: exit code $code: $(cat err)"
    [ "$code" -ne 8 ] || [ "$(cat err)" = "$line" ] || fail "$kilobytes kB: says $(cat err)"
done
finish
