#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# What goes wrong around the program: full disks, closed pipes, signals, a missing gnuplot, texts
# that look like commands. Whatever happens, a file is whole or not there.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

# Where it only matters that something is written.
one_second=(--set 'run.duration=1 s')

# --- folders that cannot be written
echo 'a file' >occupied
run 5 run "${one_second[@]}" --out occupied "$decline"
says err 'occupied'
[ "$(cat occupied)" = 'a file' ] || fail 'a file in place of the folder was touched'
run 5 run "${one_second[@]}" --out /proc/lowlift-out "$decline"
says err '/proc/lowlift-out'
run 5 run "${one_second[@]}" --out no/such/parent "$decline"
run 5 compare "${one_second[@]}" --out occupied "$decline"
mkdir -p taken/decline.full.csv # a folder in place of the trace
run 5 run "${one_second[@]}" --out taken "$decline"
says err 'taken/decline.full.csv'
if [ "$(id -u)" -ne 0 ]; then # root may write anyway
    mkdir locked && chmod 555 locked
    run 5 run "${one_second[@]}" --out locked "$decline"
    chmod 755 locked
    mkdir kept && echo old >kept/decline.full.csv && chmod 444 kept/decline.full.csv
    run 5 run "${one_second[@]}" --out kept "$decline"
    [ "$(cat kept/decline.full.csv)" = old ] || fail 'a read-only file was replaced'
fi

# --- a disk that fills up, and a file size limit in place of one
if mkdir small && mount -t tmpfs -o size=64k tmpfs small 2>/dev/null; then
    run 5 run --out small "$decline"
    says err 'small/decline.full.csv: No space left on device'
    absent small/decline.full.csv
    run 5 run --no-files --out small "$decline"
    says err 'small/decline.full.svg: No space left on device'
    absent small/decline.full.svg
    no_leftovers small
    umount small
fi
( # blocks of 1 KiB; the trace has hundreds. By default the signal would end the program.
    ulimit -f 64
    exec "$lowlift" run --no-plot --out limited "$decline" >limited.out 2>limited.err
)
[ $? -eq 5 ] || fail 'a trace that does not fit is no output error'
[ "$(cat limited.err)" = 'lowlift run: limited/decline.full.csv: File too large' ] ||
    fail "a file size limit: says $(cat limited.err)"
absent limited/decline.full.csv limited/decline.full.json
no_leftovers limited

# --- outputs that are no files
new=(starter --body 3in --set-pressure 50psig --flow 1Mscf/d --vessel 8ft3)
run 0 "${new[@]}"
cp out new.yaml
mkfifo nobody
run 5 "${new[@]}" --out nobody
[ "$(cat err)" = 'lowlift starter: nobody: nobody reads from this pipe' ] || fail "a pipe: $(cat err)"
cat nobody >piped.yaml &
run 0 "${new[@]}" --out nobody
wait $!
same new.yaml piped.yaml
echo '# mine' >both.yaml
"$lowlift" "${new[@]}" --out /dev/stdout >>both.yaml || fail '--out /dev/stdout'
{ echo '# mine'; cat new.yaml; } | cmp -s - both.yaml || fail '/dev/stdout is not written to as it is'
run 5 "${new[@]}" --out /dev/full
says err '/dev/full: No space left on device'
# A pipe where a folder should be, from which nobody reads: no waiting.
run 5 run --no-plot --set 'run.duration=1 s' --out nobody "$decline"
says err 'lowlift run: nobody: Not a directory'

# --- names of their own: a trim that is called like a study, two programs in one folder
sed '/^expect:/,$d; s/^  reduced:/  map:/' "$decline" >named.yaml
grep -q '^  map:' named.yaml || fail 'no trim is called map'
run 0 map --linear --points 2x2 --no-plot --out names named.yaml
find names -type f | sort >before
run 0 run --trim map --no-plot "${one_second[@]}" --out names named.yaml
run 0 compare --no-plot "${one_second[@]}" --out names named.yaml
exists names/named.run.map.csv names/named.run.map.json
absent names/named.map.csv
for k in 1 2 3 4; do # as long a trace as it takes to be in each other's way
    "$lowlift" run --no-plot --set "friction.kinetic=$k lbf" --out "own$k" "$decline" >/dev/null &
    "$lowlift" run --no-plot --set "friction.kinetic=$k lbf" --out shared "$decline" >/dev/null &
done
wait
mixed=1
for k in 1 2 3 4; do
    cmp -s "own$k/decline.full.csv" shared/decline.full.csv &&
        cmp -s "own$k/decline.full.json" shared/decline.full.json && mixed=0
done
[ "$mixed" -eq 0 ] || fail 'trace and summary of a folder are of two runs'
exec {held}<shared
if flock -x "$held" 2>/dev/null; then # somebody else is writing there: wait for him
    "$lowlift" run --no-plot "${one_second[@]}" --out shared "$decline" >/dev/null &
    pid=$!
    cp shared/decline.full.json old.json
    while [ -z "$(find "/proc/$pid/fd" -lname '*/shared' 2>/dev/null)" ]; do
        kill -0 "$pid" 2>/dev/null || break
        sleep 0.02
    done
    same shared/decline.full.json old.json
    flock -u "$held"
    wait "$pid" || fail 'a folder that was held for a while'
    ! cmp -s shared/decline.full.json old.json || fail 'nothing was written after that'
fi
exec {held}<&-

# --- standard output that is full or closed
for command in fields verdicts --help --version --manual --completion 'run --help' "check $decline" \
    "run --no-files --no-plot --set run.duration=1s $decline" \
    "compare --no-files --no-plot --set run.duration=1s $decline" \
    "expect scenarios/two-inch.yaml" "starter --body 3in --set-pressure 50psig --flow 1Mscf/d \
    --vessel 8ft3"; do
    # shellcheck disable=SC2086 # several words
    "$lowlift" $command >/dev/full 2>err
    [ $? -eq 5 ] || fail "lowlift $command >/dev/full: not 5"
    says err ': cannot write to standard output: No space left on device'
    one_line err "lowlift $command >/dev/full"
done
(
    sleep 0.2
    exec "$lowlift" fields 2>pipe.err
) | true
[ "${PIPESTATUS[0]}" -eq 5 ] || fail 'a closed pipe is no output error'
says pipe.err 'cannot write to standard output'

# --- streams that are closed: no file takes their place
run 0 run --no-plot "${one_second[@]}" --out opened "$decline"
"$lowlift" run --inputs --no-plot "${one_second[@]}" --out closed "$decline" >&- 2>closed.err
[ $? -eq 5 ] || fail 'a closed standard output is no output error'
[ "$(cat closed.err)" = 'lowlift run: cannot write to standard output: Bad file descriptor' ] ||
    fail "a closed standard output: says $(cat closed.err)"
same opened/decline.full.csv closed/decline.full.csv
rm -r closed
"$lowlift" run --no-plot "${one_second[@]}" --out closed "$decline" <&- >&- 2>&-
[ $? -eq 5 ] || fail 'all streams closed'
same opened/decline.full.csv closed/decline.full.csv
(
    ulimit -s 100
    exec "$lowlift" --version >out 2>err
)
[ $? -eq 8 ] || fail 'a stack too small for any work'
says err 'lowlift: out of memory'

# --- no gnuplot: trace and summary are there all the same
PATH=/nonexistent "$lowlift" run "${one_second[@]}" --out no-gnuplot "$decline" >out 2>err
[ $? -eq 5 ] || fail 'a missing gnuplot is no output error'
says err 'gnuplot is not installed or not in PATH'
whole_trace no-gnuplot/decline.full.csv
whole_summary no-gnuplot/decline.full.json
absent no-gnuplot/decline.full.svg
no_leftovers no-gnuplot
mkdir fake && printf '#!/bin/sh\necho broken >&2\nexit 1\n' >fake/gnuplot && chmod +x fake/gnuplot
PATH="$work/fake:$PATH" "$lowlift" run "${one_second[@]}" --out fake-gnuplot "$decline" >out 2>err
[ $? -eq 5 ] || fail 'a failing gnuplot is no output error'
says err 'gnuplot failed: broken'
absent fake-gnuplot/decline.full.svg
no_leftovers fake-gnuplot
printf '#!/bin/sh\nexec sleep 1000000\n' >fake/gnuplot
LOWLIFT_PLOT_SECONDS=0.2 PATH="$work/fake:$PATH" "$lowlift" run "${one_second[@]}" \
    --out hanging "$decline" >out 2>err
[ $? -eq 5 ] || fail 'a hanging gnuplot is no output error'
says err 'gnuplot had not finished after 0.2 s and was stopped'
whole_trace hanging/decline.full.csv
absent hanging/decline.full.svg
no_leftovers hanging
LOWLIFT_PLOTS_DIR=/nonexistent "$lowlift" run "${one_second[@]}" --out no-script "$decline" >out 2>err
[ $? -eq 5 ] || fail 'a missing script is no output error'
says err 'LOWLIFT_PLOTS_DIR'

# --- a signal in the middle of a run: everything up to there, with a row that says so
long=(--set 'run.duration=5 d' --set run.stop_early=no --set 'run.sample_interval=1 s')
well_under_way() { # PID: signals are caught, and a tenth of a second of work is done
    local -a of
    until grep -qE '^SigCgt:.*[2367abef]$' "/proc/$1/status" && read -ra of <"/proc/$1/stat" &&
        [ "${of[13]}" -ge 10 ]; do
        kill -0 "$1" 2>/dev/null || return 1
        sleep 0.02
    done
}
interrupt() { # SIGNAL FOLDER COMMAND...
    # env: what a shell starts in the background ignores SIGINT.
    env --default-signal=INT "$lowlift" "${@:3}" --out "$2" "${long[@]}" "$decline" >out 2>err &
    local pid=$!
    well_under_way "$pid" || fail "$3 was over before it could be stopped"
    kill -"$1" "$pid"
    wait "$pid"
    local code=$?
    [ "$code" -eq 130 ] || fail "$3 stopped by $1: exit code $code"
    says err 'stopped by a signal at'
    no_leftovers "$2"
}
interrupt INT stopped run
whole_trace stopped/decline.full.csv
tail -n 1 stopped/decline.full.csv | grep -q ',stopped' || fail 'no row of the stop'
whole_summary stopped/decline.full.json
says stopped/decline.full.json '"outcome": "interrupted"'
exists stopped/decline.full.svg
interrupt TERM ended run --no-plot
tail -n 1 ended/decline.full.csv | grep -q ',stopped' || fail 'no row of the end'
interrupt INT both compare --no-plot
for trim in full reduced; do
    whole_trace "both/decline.$trim.csv"
    tail -n 1 "both/decline.$trim.csv" | grep -q ',stopped' || fail "$trim: no row of the stop"
done
[ "$(grep -c '"outcome": "interrupted"' both/decline.compare.json)" -eq 2 ] ||
    fail 'the summary of a stopped comparison'

# --- killed at any moment: what stands under its name is whole
fine=(--no-plot --set 'run.duration=15 s' --set run.stop_early=no --set 'run.sample_interval=1 ms')
run 0 run "${fine[@]}" --out reference "$decline"
for delay in 0.05 0.07 0.09 0.11 0.13 0.16; do
    "$lowlift" run "${fine[@]}" --out killed "$decline" >/dev/null 2>&1 &
    pid=$!
    sleep "$delay"
    kill -9 "$pid" 2>/dev/null
    wait "$pid" 2>/dev/null
    for file in decline.full.csv decline.full.json; do
        [ ! -e "killed/$file" ] || same "reference/$file" "killed/$file"
    done
    rm -rf killed
done

# --- texts that look like commands are texts
cat >evil.yaml <<'EOF'
title: "`touch pwned1` $(touch pwned2) \"; system('touch pwned3') | touch pwned4 # \\ %s %n '"
EOF
grep -v '^title:' "$decline" >>evil.yaml
run 0 compare "${one_second[@]}" --sketch --out evil evil.yaml
# shellcheck disable=SC2016 # as it is written
says out '`touch pwned1` $(touch pwned2)'
says evil/evil.compare.svg 'touch pwned2'
run 0 run "${one_second[@]}" --plot png --out "|touch pwned5; \`touch pwned6\` \$(touch pwned7) ' \" %s" evil.yaml
exists "|touch pwned5; \`touch pwned6\` \$(touch pwned7) ' \" %s/evil.full.png"
cp "$decline" '|touch pwned8;.yaml'
run 0 run "${one_second[@]}" --out weird '|touch pwned8;.yaml'
exists 'weird/|touch pwned8;.full.svg'
for file in pwned*; do
    [ ! -e "$file" ] || fail "a text was run as a command: $file"
done
finish
