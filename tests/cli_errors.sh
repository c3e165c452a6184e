#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# What a user gets wrong: the code, the place and the words.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

usage() { # WORDS ARGUMENT...
    local words=$1
    shift
    run 2 "$@"
    is_empty out
    says err "$words"
    one_line err "lowlift $*"
}
refused() { # PLACE-AND-WORDS ARGUMENT...
    local words=$1
    shift
    run 3 "$@"
    is_empty out
    matches err "$words"
    absent lowlift-out
}

# --- usage
usage 'no scenario file named' run
usage 'no scenario file named' compare
usage 'no scenario file named' check
usage 'no scenario file named' expect
usage "did you mean '--trim'?" run --trims full "$decline"
usage "did you mean '--quiet'?" run --quite "$decline"
usage '--set needs a value' run "$decline" --set
usage "found '-x'" run -x "$decline"
usage "--plot: found 'jpg'; allowed svg, png" run --plot jpg "$decline"
usage "--units: found 'imperial'; allowed us, metric, si" run --units imperial "$decline"
usage "--worst: found 'stead'; allowed a verdict; did you mean 'steady'?" \
    run --worst stead "$decline"
usage "did you mean 'pilot'?" fields pilo
usage "found 'x'; allowed options only" verdicts x
usage "did you mean '--inputs'?" check --inptus "$decline"
usage '--body is missing' starter
usage "did you mean '--body'?" starter --bdy '3 in'
usage "found 'more'" starter --body '3 in' more
usage '--duty: found' starter --duty both

# The same mistake has the same code and kind of message in every command.
for command in run compare starter stability map kick remedies uncertainty trims decline check \
    expect fields verdicts; do
    usage "found '--hlep'; did you mean '--help'?" "$command" --hlep
    usage "lowlift $command: found '-x'; allowed -h and the long options" "$command" -x
done
for command in run compare stability map kick remedies uncertainty trims decline; do
    usage "$command: no scenario file named" "$command"
    usage "--plot: found 'pgn'; allowed svg, png; did you mean 'png'?" "$command" --plot pgn "$decline"
    usage '--units: found' "$command" --units imperial "$decline"
    refused 'cannot open' "$command" no-such.yaml
    refused "did you mean friction.kinetic\?" "$command" --set 'friction.kinetik=3 lbf' "$decline"
    refused "no trim 'ful'; did you mean full\?" "$command" --trim ful "$decline"
done
for command in stability map kick remedies uncertainty trims decline; do
    usage 'allowed one scenario at a time' "$command" "$decline" "$decline"
    usage '--threads: found' "$command" --threads none "$decline"
done
echo 'not a checkpoint' >no.checkpoint
for command in map remedies uncertainty; do
    run 2 "$command" --checkpoint no.checkpoint "$decline"
    says err 'no.checkpoint'
done

# --- overrides
refused "^<command line>:1:1: no field 'foo'" run --set foo=3 "$decline"
refused "did you mean friction.kinetic\?" run --set 'friction.kinetik=3 lbf' "$decline"
refused '^<command line>:1:18: friction.kinetic: .* needs a unit' \
    run --set friction.kinetic=3 "$decline"
refused 'psig or psia\?' run --set 'set.pressure=50 psi' "$decline"
refused '^<command line>:1:' run --set '=' "$decline"
refused '^<command line>:1:' run --set 'friction.kinetic' "$decline"
refused '^<command line>:1:' run --set 'friction.kinetic=' "$decline"
refused "did you mean trims.full.port\?" run --set 'trims.ful.port=2 in' "$decline"
refused "no trim 'ful'; did you mean full\?" run --trim ful "$decline"
refused 'vessel.volume: .* too large a number' run --set 'vessel.volume=1e999 ft3' "$decline"
refused 'allowed' run --set 'vessel.volume=-5 ft3' "$decline"
refused 'allowed' run --set 'vessel.volume=nan ft3' "$decline"
refused 'allowed' run --set 'run.relative_tolerance=1' "$decline"

# --- a volume too small for what the moving parts take from it
run 0 starter --duty reducing --actuation direct --body '2 in' --set-pressure '50 psig' \
    --flow '0.15 MMscf/d' --vessel '8 ft3' --out direct.yaml
refused 'sense.cavity_volume: must be more than the [0-9.]+ in3' \
    run --set 'sense.cavity_volume=2.2 in3' direct.yaml
refused 'vessel.volume: must be more than' \
    run --set 'vessel.volume=2 in3' --set sense.passage=ideal direct.yaml
run 0 run --quiet --no-files --no-plot --set 'sense.cavity_volume=2.2 in3' \
    --set actuator.swept_volume=no direct.yaml

# --- several errors in one pass, in the order of the file, for each command that reads one
sed 's/^  volume: 5 ft3/  volum: 5 ft3/; s/pressure: 50 psig/pressure: 50 psi/
     s/seat_land: 0 in/seat_land: 0/; s/duty: back-pressure/duty: backpressure/' \
    "$decline" >wrong.yaml
for command in run compare check; do
    refused '^wrong\.yaml:[0-9]+:[0-9]+: ' "$command" wrong.yaml
    [ "$(grep -cE '^wrong\.yaml:[0-9]+:[0-9]+: ' err)" -eq "$(wc -l <err)" ] ||
        fail "$command: a line without a place: $(cat err)"
    [ "$(wc -l <err)" -ge 4 ] || fail "$command: less than four errors: $(cat err)"
    cut -d: -f2 err | sort -nc 2>/dev/null || fail "$command: errors are not in order"
    says err 'did you mean vessel.volume?'
    says err 'psig or psia?'
    says err 'did you mean back-pressure?'
    says err 'a length needs a unit'
done
# One bad file among good ones is reported and the good ones are read.
run 3 check "$decline" wrong.yaml scenarios/two-inch.yaml
says out "$decline: well formed"
says out 'scenarios/two-inch.yaml: well formed'
says err 'wrong.yaml:'

# --- a warning is printed and stops nothing
sed 's/^  reduced: {port: 1 1\/2 in}/  reduced: {port: 3 in}/' "$decline" >wide.yaml
for command in check 'run --quiet --no-files --no-plot --set run.duration=1s' \
    'compare --quiet --no-files --no-plot --set run.duration=1s'; do
    # shellcheck disable=SC2086 # a command with its options
    run 0 $command wide.yaml
    matches err "^wide\\.yaml:[0-9]+:[0-9]+: warning: trims\\.reduced\\.port: found '3 in'; larger than"
    one_line err "$command"
done

# --- things that are no scenario
: >empty.yaml
refused '^empty\.yaml:.*empty' run empty.yaml
refused 'missing\.yaml' run missing.yaml
refused '^scenarios' run scenarios
printf 'title: a\0b\n' >zero.yaml
refused '^zero\.yaml' run zero.yaml
head -c 4096 /dev/urandom >noise.yaml
refused '^noise\.yaml' run noise.yaml
head -c 900 "$decline" >cut.yaml
refused '^cut\.yaml:' run cut.yaml
{ cat "$decline"; yes '# more' | head -c 2000000; } >large.yaml
refused 'large\.yaml' run large.yaml
cp "$decline" locked.yaml && chmod 0 locked.yaml
[ -r locked.yaml ] || refused 'locked\.yaml' run locked.yaml # root reads it all the same

# --- files that somebody may have named to see what stands in them: nothing of it is repeated
# shellcheck disable=SC2016 # as it is written
printf 'root:$6$salt$secrethash:19000:0:99999:7:::\ndaemon:*:19000:0:99999:7:::\n' >secret
printf 'secretuser,secretword\nme,secretword2\n' >secret.csv
printf 'secretuser: me\nsecretword: 3\nsecretword: 4\n"secret: word": {daemon: yes}\n' >secret.conf
sed "s|record: .*}|record: $PWD/secret}|" scenarios/recorded.yaml >asks.yaml
sed "s|record: .*|record: $PWD/secret|" scenarios/envelope.yaml >asks-too.yaml
for file in secret secret.csv secret.conf; do
    for command in "run $file" "check $file" "record $file" "record --pressure 2 --unit psig $file" \
        "record --pressure secretwort $file" "match --record $file scenarios/matched.yaml" \
        "compare --draws $file $decline" "map --checkpoint $file --points 2x2 $decline" \
        'run asks.yaml' 'decline asks-too.yaml'; do
        # shellcheck disable=SC2086 # a command with its options
        "$lowlift" $command >out 2>err && fail "lowlift $command: takes it for what it is not"
        [ -s err ] || fail "lowlift $command: says nothing"
        ! grep -q 'secretu\|secrethash\|secretword\|daemon' out err ||
            fail "lowlift $command: $(cat out err)"
    done
done
sed -i 's/secret/secret.csv/' asks.yaml asks-too.yaml
# What is a record by its header is told of as ever.
printf 'time [s],pressure [psig]\n0,50\n1,5o\n' >typo.csv
refused "typo.csv:3:3: pressure: found '5o'; allowed a number" record typo.csv

# --- a file that is missing is so in the same words everywhere
for command in run check 'match --record nowhere.csv scenarios/matched.yaml' \
    'compare --draws nowhere.csv stiff/decline.yaml' record; do
    # shellcheck disable=SC2086 # a command with its options
    case "$command" in
    *yaml) refused "nowhere.csv: cannot open 'nowhere.csv'" $command ;;
    *) refused "nowhere.csv: cannot open 'nowhere.csv'" $command nowhere.csv ;;
    esac
done
sed "s|record: .*}|record: nowhere.csv}|" scenarios/recorded.yaml >asks.yaml
refused "cannot open '.*nowhere.csv'" run asks.yaml

# --- more than is allowed is refused with the field, what was found and the range
usage "--until: found '9999-12-31'; allowed a date after 2025-12-01, from when on the decline runs, and at most 100 years on" \
    decline --until 9999-12-31 scenarios/envelope.yaml
usage "--threads: found '100000'; allowed a whole number from 1 to 1024" map --threads 100000 "$decline"
usage "--points: found '100000x100000'; allowed NxM, such as 60x40, each 2 to 2000" \
    map --points 100000x100000 "$decline"
usage "--points: found '1000000000'; allowed a whole number from 2 to 10000" \
    stability --points 1000000000 "$decline"
usage "--points: found '1000000000'; allowed a whole number from 2 to 1000" \
    kick --points 1000000000 "$decline"
usage "--draws: found '1000000000'; allowed a file of draws, or a whole number from 10 to 100000" \
    compare --draws 1000000000 "$decline"
usage "--at-most: found '1000000000'; allowed a whole number from 1 to 100000" \
    trims --draws 10 --at-most 1000000000 "$decline"
usage "--most: found '1000000000'; allowed a whole number from 20 to 100000" \
    match --most 1000000000 scenarios/matched.yaml
refused 'run.sample_interval: makes more than 5000000 samples' \
    run --set 'run.sample_interval=1 us' "$decline"
refused "run.duration: found '1000 d'; allowed 1e-6 s to 30 d" run --set 'run.duration=1000 d' "$decline"

# --- what looks odd but is fine
sed 's/$/\r/' "$decline" >crlf.yaml
run 0 run --no-plot --set 'run.duration=5 s' --out crlf crlf.yaml
run 0 run --no-plot --set 'run.duration=5 s' --out lf "$decline"
same crlf/crlf.full.csv lf/decline.full.csv
cp "$decline" './-odd name.yaml'
run 0 run --quiet --no-files --no-plot --set run.duration=1s -- '-odd name.yaml'
run 0 run --quiet --no-files --no-plot --set run.duration=1s './-odd name.yaml'

# --- expectations
run 0 expect "$decline"
cp "$decline" promise.yaml
grep -q '^expect:' promise.yaml || echo 'expect:' >>promise.yaml
echo '  - {trim: full, quantity: verdict, value: steady}' >>promise.yaml
run 7 expect promise.yaml
says out 'MISSED: full verdict = slamming, expected steady'
says out '1 missed'
run 3 expect wrong.yaml
run 0 expect scenarios/refused.yaml
sed 's/psig or psia/no such words/' scenarios/refused.yaml >refused.yaml
run 7 expect refused.yaml
finish
