#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Signals: one, two in a row, one to the program and one to its group as timeout(1) sends them, while
# the machine has other things to do. Nothing here waits for a time to pass where it could wait for
# a sign; a program that never shows the sign is ended by ctest.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"
export TMPDIR=$work/temporary
mkdir "$TMPDIR"
mkfifo never
exec {never}<>never

# What waits starts no process, so that it sees the sign soon: maps compute on all cores meanwhile.
shopt -s nullglob dotglob
pause() { # SECONDS
    read -rt "$1" -u "$never" || true
}
size_of() { # FILE of some hundred bytes: $size
    local -a parts=()
    local part
    mapfile -d '' parts <"$1"
    size=$((${#parts[@]} - 1))
    for part in "${parts[@]}"; do size=$((size + ${#part})); done
}
until_ended() { # PID: its exit code in $code
    code=0
    wait "$1" || code=$?
}
until_larger() { # FILE BYTES PID: false when the program ended before
    until [ -s "$1" ] && size_of "$1" && [ "$size" -gt "$2" ]; do
        kill -0 "$3" 2>/dev/null || return 1
        pause 0.02
    done
}
nothing_left() {
    local left=("$TMPDIR"/* .lowlift-* ./*/.lowlift-*)
    [ "${#left[@]}" -eq 0 ] || fail "left behind: ${left[*]}"
}

# A map that takes minutes, and the first of its finished points: header 48 bytes, point 96.
# env: a shell starts what runs in the background with SIGINT ignored.
start_map() { # FOLDER WRAPPER...: its pid in $pid
    local folder=$1
    shift
    mkdir "$folder"
    "$@" "$lowlift" map --points 200x200 --set 'run.duration=2 s' --checkpoint "$folder/kept" \
        --out "$folder/map-out" "$decline" >"$folder/out" 2>"$folder/err" &
    pid=$!
}
has_begun() { # FOLDER PID
    until_larger "$1/kept" 144 "$2" || fail 'the map was over before it could be stopped'
}
stopped() { # FOLDER CODE WORDS
    [ "$code" -eq "$2" ] || fail "$3: exit code $code, expected $2"
    says "$1/err" 'stopped by a signal'
    absent "$1/map-out"
    size_of "$1/kept"
    [ "$size" -gt 144 ] || fail "$3: nothing was kept"
    rm -r "$1"
    nothing_left
}
# Two maps at once, each on all cores: each is what the machine has to do besides the other.
reset=(env "--default-signal=INT,TERM")
both_stopped() { # SIGNALS SIGNALS WRAPPER...: those that are sent to the one and to the other
    local sent=("$1" "$2") wrapper=("${@:3}") try signal
    local started=() codes=()
    for try in 0 1; do
        start_map "map$try" "${reset[@]}" "${wrapper[@]}"
        started+=("$pid")
    done
    for try in 0 1; do has_begun "map$try" "${started[try]}"; done
    for try in 0 1; do
        for signal in ${sent[try]}; do kill -"$signal" "${started[try]}"; done
    done
    for try in 0 1; do
        until_ended "${started[try]}"
        codes+=("$code")
    done
    for try in 0 1; do
        code=${codes[try]}
        stopped "map$try" 130 "${sent[try]} ${wrapper[*]}"
    done
}
both_stopped 'INT INT' 'INT TERM'
both_stopped 'TERM INT' 'TERM TERM'
both_stopped INT TERM
both_stopped INT TERM timeout 250 # which sends it on, to the program and to its group

# SIGINT that the caller ignores stays ignored; SIGTERM stops.
start_map map env --ignore-signal=INT
has_begun map "$pid"
kill -INT "$pid"
size_of map/kept
until_larger map/kept "$((size + 20 * 96))" "$pid" ||
    fail 'an ignored SIGINT stopped it'
kill -TERM "$pid"
until_ended "$pid"
stopped map 130 'SIGTERM while SIGINT is ignored'

# A closed terminal stops it in the same way, unless nohup has said that it shall not.
start_map map env --default-signal=HUP
has_begun map "$pid"
kill -HUP "$pid"
until_ended "$pid"
stopped map 130 'a closed terminal'
start_map map env --ignore-signal=HUP
has_begun map "$pid"
kill -HUP "$pid"
size_of map/kept
until_larger map/kept "$((size + 20 * 96))" "$pid" || fail 'an ignored SIGHUP stopped it'
kill -TERM "$pid"
until_ended "$pid"
stopped map 130 'SIGTERM while SIGHUP is ignored'

# A run keeps all up to there, and its picture: gnuplot is not hit by what hits the group.
mkdir slow
cat >slow/gnuplot <<END
#!$BASH
# Not sh: some clear the mask of signals that they are given.
echo \$\$ >"$work/gnuplot-runs"
while [ ! -e "$work/go-on" ]; do sleep 0.02; done
exec $(command -v gnuplot) "\$@"
END
chmod +x slow/gnuplot
start_plot() { # FOLDER
    rm -f gnuplot-runs go-on
    PATH="$work/slow:$PATH" "${reset[@]}" setsid "$lowlift" run --out "$1" "$decline" >out 2>err &
    pid=$!
    until_larger gnuplot-runs 0 "$pid" || fail 'gnuplot was never started'
}
start_plot finished
kill -INT -- "-$pid"
kill -TERM -- "-$pid"
touch go-on
until_ended "$pid"
[ "$code" -eq 0 ] || fail "a signal while gnuplot runs: exit code $code"
whole_trace finished/decline.full.csv
exists finished/decline.full.svg
nothing_left

# A later signal ends the program at once, with gnuplot and all that is half-made. How much later is
# the program's matter: it is sent until it acts.
start_plot ended
child=$(cat gnuplot-runs)
while kill -TERM "$pid" 2>/dev/null && [ "$(ps -o stat= -p "$pid")" != Z ]; do pause 0.2; done
until_ended "$pid"
[ "$code" -eq 143 ] || fail "two signals, the second a second later: exit code $code, expected 143"
kill -0 "$child" 2>/dev/null && fail 'gnuplot was left behind'
absent ended/decline.full.svg
nothing_left
finish
