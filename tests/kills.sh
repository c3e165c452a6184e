#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Every study that keeps its finished points in a file, killed (SIGKILL) at random moments and gone on
# with until it is done: the same bytes as of one that was left alone. tests/kills.sh KILLS [STUDY...]
# kills each so many times; a study that comes to its end begins again with an empty file. The
# moments are other ones each time (RANDOM_SEED=N repeats them as far as a machine can).
# shellcheck source=tests/cli.sh
source "$(dirname "$0")/cli.sh"
wanted=${1:-20}
shift || true
RANDOM=${RANDOM_SEED:-$$}
echo "kills.sh: RANDOM_SEED=${RANDOM_SEED:-$$}"
mkfifo never
exec {never}<>never

# Small enough to be done in a second or two, large enough to be hit in between.
declare -A study=(
    [map]="map --points 6x5 --no-plot $decline"
    [linear]="map --linear --points 40x40 --no-plot $decline"
    [uncertainty]="uncertainty --draws 40 --no-plot $decline"
    [remedies]="remedies --kick 0 --steps 1 --from 100% --to 200% --no-plot $decline"
    [trims]="trims --draws 20 --trim full --no-plot scenarios/envelope.yaml"
    [decline]="decline --draws 20 --no-plot scenarios/envelope.yaml"
    [match]="match --draws 20 --most 60 --no-plot scenarios/matched.yaml"
)
[ $# -gt 0 ] || set -- "${!study[@]}"

compare() { # NAME
    local file
    for file in alone-"$1"/*.csv alone-"$1"/*.json; do
        same "$1-out/$(basename "$file")" "$file"
    done
    sed "s/alone-$1/$1-out/" "alone-$1.txt" >wanted.txt
    same "$1.txt" wanted.txt
}

total=0
for name in "$@"; do
    read -ra words <<<"${study[$name]}"
    words+=(--threads 2 --quiet)
    begin=$EPOCHREALTIME
    run 0 "${words[@]}" --out "alone-$name"
    cp out "alone-$name.txt"
    end=$EPOCHREALTIME
    span=$((${end/[.,]/} - ${begin/[.,]/})) # [us]
    kills=0 ends=0
    while :; do
        rm -rf "$name-out"
        "$lowlift" "${words[@]}" --out "$name-out" --checkpoint "$name.kept" >"$name.txt" 2>err </dev/null &
        pid=$!
        if [ "$kills" -lt "$wanted" ]; then
            wait_for=$((RANDOM * RANDOM % (span / 4 + 1) + 1000))
            printf -v seconds '%d.%06d' $((wait_for / 1000000)) $((wait_for % 1000000))
            read -rt "$seconds" -u "$never" || true
            kill -KILL $pid 2>/dev/null || true
        fi
        code=0
        { wait $pid; } 2>/dev/null || code=$?
        if [ "$code" -eq 137 ]; then
            kills=$((kills + 1))
            continue
        fi
        [ "$code" -eq 0 ] || { fail "$name: exit code $code after $kills kills"; cat err >&2; break; }
        ends=$((ends + 1))
        compare "$name"
        [ "$kills" -lt "$wanted" ] || break
        rm -f "$name".kept*
    done
    echo "$name: $kills kills, $ends times at the end"
    total=$((total + kills))
done
echo "$total kills"
exit $failed
