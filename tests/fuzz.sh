#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Hostile input under the sanitizers, guided by libFuzzer, after `cmake --build --preset fuzz`:
#   tests/fuzz.sh SECONDS       that long, the targets sharing it
#   tests/fuzz.sh -runs SHARE   each target so many times: SHARE parts of the counts below
# New inputs are kept in build/fuzz/corpus, and what broke something in build/fuzz/broken-*. Ends
# with the executions of each target and of all.
set -euo pipefail
cd "$(dirname "$0")/.."
build=build/fuzz

# Thousands of executions in which a million of all are counted: what is cheap is tried more.
declare -A weight=([checkpoint]=120 [dates]=400 [draws]=30 [logger]=30 [options]=30 [record]=30
    [scenario]=30 [units]=340 [value]=80)

# A file that breaks something by using much memory or time is a finding too.
common=(-max_len=4096 -timeout=20 -rss_limit_mb=1024 -print_final_stats=1 -print_funcs=0
    -close_fd_mask=3)
export ASAN_OPTIONS=quarantine_size_mb=8:malloc_context_size=8${ASAN_OPTIONS:+:$ASAN_OPTIONS}

total=0 failed=0
for source in tests/fuzz/fuzz_*.c; do
    name=$(basename "$source" .c)
    name=${name#fuzz_}
    mkdir -p "$build/corpus/$name"
    if [ "${1:-}" = -runs ]; then
        amount=(-runs=$((${weight[$name]:-10} * 1000 * ${2:-1})))
    else
        count=$(find tests/fuzz -name 'fuzz_*.c' | wc -l)
        amount=(-max_total_time=$(((${1:-60} + count - 1) / count)))
    fi
    log=$build/$name.log
    code=0
    "$build/tests/fuzz_$name" "${common[@]}" "${amount[@]}" -artifact_prefix="$build/broken-$name-" \
        -seed="${FUZZ_SEED:-1}" "$build/corpus/$name" "tests/fuzz/corpus/$name" >"$log" 2>&1 || code=$?
    runs=$(sed -n 's/^stat::number_of_executed_units: *//p' "$log")
    total=$((total + ${runs:-0}))
    printf '%-10s %9d executions%s\n' "$name" "${runs:-0}" "$([ $code -eq 0 ] || echo ", BROKEN: $log")"
    [ $code -eq 0 ] || failed=1
done
printf '%-10s %9d executions\n' all "$total"
exit $failed
