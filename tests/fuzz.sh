#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Hostile input under the sanitizers, guided by libFuzzer, after `cmake --build --preset fuzz`:
#   tests/fuzz.sh SECONDS       that long on one processor, the targets sharing it
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

fuzz_one() { # name seconds|-runs share; writes its log and how it ended
    local name=$1 amount code=0
    mkdir -p "$build/corpus/$name"
    if [ "$2" = -runs ]; then
        amount=(-runs=$((${weight[$name]:-10} * 1000 * $3)))
    else
        amount=(-max_total_time="$2")
    fi
    "$build/tests/fuzz_$name" "${common[@]}" "${amount[@]}" -artifact_prefix="$build/broken-$name-" \
        -seed="${FUZZ_SEED:-1}" "$build/corpus/$name" "tests/fuzz/corpus/$name" \
        >"$build/$name.log" 2>&1 || code=$?
    echo "$code" >"$build/$name.code"
}

names=()
for source in tests/fuzz/fuzz_*.c; do
    name=$(basename "$source" .c)
    names+=("${name#fuzz_}")
done
if [ "${1:-}" = -runs ]; then
    share=(-runs "${2:-1}")
else
    share=($(((${1:-60} + ${#names[@]} - 1) / ${#names[@]})))
fi
# As many at a time as there are processors.
for name in "${names[@]}"; do
    while [ "$(jobs -rp | wc -l)" -ge "$(nproc)" ]; do wait -n; done
    fuzz_one "$name" "${share[@]}" &
done
wait

total=0 failed=0
for name in "${names[@]}"; do
    code=$(cat "$build/$name.code")
    runs=$(sed -n 's/^stat::number_of_executed_units: *//p' "$build/$name.log")
    total=$((total + ${runs:-0}))
    printf '%-10s %9d executions%s\n' "$name" "${runs:-0}" \
        "$([ "$code" -eq 0 ] || echo ", BROKEN: $build/$name.log")"
    [ "$code" -eq 0 ] || failed=1
done
printf '%-10s %9d executions\n' all "$total"
exit $failed
