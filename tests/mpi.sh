#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# A program built with MPI: the same bytes for any number of ranks and threads, one voice, and a
# study that goes on after it was killed, with another number of ranks. Takes the launcher's path.
# shellcheck source=tests/cli.sh
source "$(dirname "$0")/cli.sh"
launcher=${1:-mpirun}
# Some launchers refuse the super-user, or more ranks than cores, unless told.
export OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1
export OMPI_MCA_rmaps_base_oversubscribe=1 OMPI_MCA_btl_base_warn_component_unused=0
export PRTE_MCA_rmaps_default_mapping_policy=:oversubscribe OMPI_MCA_hwloc_base_binding_policy=none

ranks() { # RANKS CODE ARGUMENT...
    local number=$1 wanted=$2 code=0
    shift 2
    "$launcher" -np "$number" "$lowlift" "$@" >out 2>err </dev/null || code=$?
    [ "$code" -eq "$wanted" ] || {
        fail "$number ranks: lowlift $*: exit code $code, expected $wanted"
        head -n 5 err >&2
    }
}

map=(map --points 8x5 --threads 1)
run 0 "${map[@]}" --out alone "$decline"
cp out alone.txt
is_empty err
for number in 1 2 3; do
    ranks "$number" 0 "${map[@]}" --out "by-$number" --checkpoint "kept-$number" "$decline"
    sed "s/by-$number/alone/" out >said.txt
    same said.txt alone.txt # one rank speaks
    for ending in csv json svg; do
        same "by-$number/decline.map.8x5.$ending" "alone/decline.map.8x5.$ending"
    done
    exists "kept-$number"
    absent "kept-$number.1" "kept-$number.2" # the first rank's file holds all
    [ "$(wc -c <"kept-$number")" -eq "$(wc -c <kept-1)" ] || fail "kept-$number is of another size"
    no_leftovers "by-$number"
done
ranks 2 0 "${map[@]}" --threads 2 --out threads "$decline"
same threads/decline.map.8x5.csv alone/decline.map.8x5.csv

# More ranks than points.
run 0 map --points 2x2 --linear --out few-alone "$decline"
ranks 8 0 map --points 2x2 --linear --out few "$decline"
same few/decline.map.linear.2x2.csv few-alone/decline.map.linear.2x2.csv

# Finished points in a file: header of 48 bytes, then 8 + 10 numbers of 8 + 8.
record=$((8 + 10 * 8 + 8))
finished() { # FILE: indices, one a line
    local file
    for file in "$1" "$1".[1-9]; do
        [ ! -s "$file" ] || tail -c +49 "$file" | od -An -v -tu8 -w$record | awk 'NF == 12 { print $1 }'
    done
}

in_session() { # SESSION: process ids
    awk -v session="$1" '$6 == session { print $1 }' /proc/[0-9]*/stat 2>/dev/null
}

# Killed at random moments, all processes at once, then taken up by another number of ranks.
RANDOM=20240611
kills=0
: >before
while [ "$kills" -lt 40 ]; do
    number=$((RANDOM % 3 + 1))
    setsid "$launcher" -np "$number" "$lowlift" "${map[@]}" --checkpoint killed --out resumed \
        "$decline" >/dev/null 2>&1 &
    group=$!
    for ((tick = RANDOM % 20 + 6; tick > 0; tick--)); do
        sleep 0.05
        kill -0 "$group" 2>/dev/null || break
    done
    if ! kill -0 "$group" 2>/dev/null && wait "$group"; then
        break
    fi
    mapfile -t processes < <(in_session "$group")
    [ ${#processes[@]} -eq 0 ] || kill -KILL "${processes[@]}" 2>/dev/null
    wait "$group" 2>/dev/null
    while [ -n "$(in_session "$group")" ]; do sleep 0.05; done
    kills=$((kills + 1))
    finished killed | sort -n | uniq >after
    [ -z "$(comm -13 <(sort after) <(sort before))" ] || fail "kill $kills lost a finished point"
    cp after before
done
if [ "$kills" -eq 0 ] || [ "$kills" -eq 40 ]; then
    fail "$kills kills: nothing was hit, or it never ended"
fi
same resumed/decline.map.8x5.csv alone/decline.map.8x5.csv
absent killed.1 killed.2
[ "$(finished killed | wc -l)" -eq 42 ] || fail "$(finished killed | wc -l) points kept, expected 42"
[ "$(finished killed | sort -n | uniq -d | wc -l)" -eq 0 ] || fail 'a point was repeated'
run 0 "${map[@]}" --checkpoint killed --out alone-resumed "$decline"
same alone-resumed/decline.map.8x5.csv alone/decline.map.8x5.csv
echo "killed $kills times" >&2

# Mistakes end all ranks, with one message.
ranks 3 2 map --points 5 "$decline"
[ "$(grep -c "found '5'; allowed NxM" err)" -eq 1 ] || fail 'the message does not come once'
ranks 2 2 "${map[@]}" --checkpoint "$decline" "$decline"
says err 'not a file of finished points'
ranks 2 3 map none.yaml
ranks 2 5 "${map[@]}" --linear --out "$decline/none" "$decline"

# Commands that share nothing still work.
ranks 2 0 run --trim reduced --out plain "$decline"
[ "$(grep -c 'wrote plain/decline.reduced.csv' out)" -eq 1 ] || fail 'two ranks speak'
whole_trace plain/decline.reduced.csv
finish
