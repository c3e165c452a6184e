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

# A regulator so small, and draws so few, that each study takes a tenth of a second or two and can be
# killed hundreds of times; invented.
cat >small.yaml <<'END'
duty: reducing
actuation: direct
fluid: {molar_mass: 28.9651 g/mol}
vessel: {volume: about 10 L}
demand: {rate: 35 kg/h}
inlet: {pressure: 9 bar(g)}
set: {pressure: 100 kPa(g)}
trim: {port: 20 mm, travel: 3 mm}
trims: {full: {}, reduced: {port: 15 mm}}
actuator: {diaphragm_area: 100 cm2, spring_rate: 20 N/mm, moving_mass: about 200 g}
sense: {passage: ideal}
run: {duration: 0.5 s}
envelope: {lowest: 30 kg/h, normal: 35 kg/h, peak: 40 kg/h}
decline: {kind: exponential, start: 2026-01-01, rate_start: 35 kg/h, annual: 20 %, basis: effective}
observed: [{flow: 35 kg/h, seen: chatters}]
END
{
    echo 'weight,vessel.volume,actuator.moving_mass'
    for row in '9 L,180 g' '10 L,190 g' '11 L,200 g' '12 L,210 g'; do echo "0.25,$row"; done
} >draws.csv
declare -A study=(
    [map]='map --points 4x3'
    [linear]='map --linear --points 16x16'
    [uncertainty]='uncertainty --draws 10'
    [remedies]='remedies --kick 0 --steps 1 --to 110%'
    [remedies-draws]='remedies --kick 0 --steps 1 --to 110% --draws draws.csv'
    [trims]='trims --draws draws.csv'
    [decline]='decline --draws draws.csv --until 2027-01-01'
    [kick]='kick --points 2 --draws draws.csv'
    [compare]='compare --draws draws.csv'
    [match]='match --draws 10 --most 20'
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
    words+=(--threads 2 --quiet --no-plot small.yaml)
    begin=$EPOCHREALTIME
    run 0 "${words[@]}" --out "alone-$name"
    cp out "alone-$name.txt"
    end=$EPOCHREALTIME
    span=$((${end/[.,]/} - ${begin/[.,]/})) # [us]
    kills=0 ends=0 amid=0
    while :; do
        rm -rf "$name-out"
        "$lowlift" "${words[@]}" --out "$name-out" --checkpoint "$name.kept" >"$name.txt" 2>err </dev/null &
        pid=$!
        if [ "$kills" -lt "$wanted" ]; then
            wait_for=$((RANDOM * RANDOM % span + 1000)) # over all its length
            printf -v seconds '%d.%06d' $((wait_for / 1000000)) $((wait_for % 1000000))
            read -rt "$seconds" -u "$never" || true
            kill -KILL $pid 2>/dev/null || true
        fi
        code=0
        { wait $pid; } 2>/dev/null || code=$?
        if [ "$code" -eq 137 ]; then
            kills=$((kills + 1))
            # Behind the 48 bytes of a header stand finished points.
            [ -z "$(find . -maxdepth 1 -name "$name.kept*" -size +48c)" ] || amid=$((amid + 1))
            continue
        fi
        [ "$code" -eq 0 ] || { fail "$name: exit code $code after $kills kills"; cat err >&2; break; }
        ends=$((ends + 1))
        compare "$name"
        [ "$kills" -lt "$wanted" ] || break
        rm -f "$name".kept*
    done
    echo "$name: $kills kills, $amid of them with finished points, $ends times at the end"
    total=$((total + kills))
done
echo "$total kills"
exit $failed
