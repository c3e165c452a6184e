#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Every command has a help page, and the example on it works as it is typed. Examples that README.md
# shows too, word by word, are run by cli_readme.sh and not once more here.
# shellcheck source=tests/cli.sh
source "$(dirname "$0")/cli.sh"

mkdir bin && ln -s "$lowlift" bin/lowlift
export PATH="$work/bin:$PATH"

run 0 --help
is_empty err
cp out overview
run 0 -h
same out overview
run 0 --version
matches out '^lowlift [0-9]+\.[0-9]+\.[0-9]+ \(SUNDIALS [0-9.]+ (optimised|packaged)\)$'
run 2
same err overview
is_empty out

# Commands, one a line, with continuations joined and blanks evened out.
one_a_line() { # FILE
    sed -E ':join; /\\$/ { N; s/\\\n//; b join }; s/ +/ /g; s/^ //' "$1"
}
awk '/^```/ { inside = ($0 == "```sh"); next } inside' "$source_root/README.md" >readme.sh
one_a_line readme.sh >readme-commands
[ "$(grep -c '^lowlift ' readme-commands)" -ge 5 ] || fail 'README.md shows no commands'

# Every line of the overview that begins with blanks is a command: none is skipped for its looks.
commands=$(sed -nE 's/^  ([a-z]+) .*/\1/p' overview)
[ "$(wc -w <<<"$commands")" -eq "$(grep -c '^ ' overview)" ] || fail "the overview lists only: $commands"
[ "$(wc -w <<<"$commands")" -ge 15 ] || fail "the overview lists only: $commands"
for command in $commands; do
    run 0 "$command" --help
    is_empty err
    cp out "page-$command"
    run 0 "$command" -h
    same out "page-$command"
    matches "page-$command" "^Usage: lowlift $command"
    says "page-$command" 'Exit codes: 0'
    says "page-$command" 'Example'
    awk 'length > 100 { exit 1 }' "page-$command" || fail "$command --help is wider than 100"
    # The example: lines that begin with two spaces and the program's name, with continuations.
    awk '/^Example/ { on = 1; next }
         on && (/^  lowlift / || more) { print; more = /\\$/; found = 1; next }
         found { exit }' "page-$command" >"example-$command.sh"
    [ -s "example-$command.sh" ] || fail "$command --help has no example"
    # The part of it that README.md does not show.
    one_a_line "example-$command.sh" | grep -vxFf readme-commands >"rest-$command.sh" || true
    grep -q '[^ ]' "rest-$command.sh" || continue
    bash -euo pipefail "rest-$command.sh" >out 2>err || {
        fail "the example of $command --help fails: $(cat "example-$command.sh")"
        cat err >&2
    }
done

# An unknown option of any command: bad usage, a message on standard error, nothing on output.
for command in $commands; do
    run 2 "$command" --no-such-option "$decline"
    is_empty out
    says err '--no-such-option'
    says err "lowlift $command --help"
done
run 2 frobnicate
says err "found 'frobnicate'"
says err 'lowlift --help'
run 2 compere "$decline"
says err "did you mean 'compare'?"
finish
