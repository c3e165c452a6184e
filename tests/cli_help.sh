#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Every command has a help page, and the example on it works as it is typed. Examples that README.md
# shows too, word by word, are run by cli_readme.sh and not once more here.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

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
declare -A in_readme=()
while read -r line; do
    in_readme[${line:-none}]=yes
done < <(awk '/^```/ { inside = ($0 == "```sh"); next } inside' "$source_root/README.md" |
    sed -E ':join; /\\$/ { N; s/\\\n//; b join }; s/ +/ /g; s/^ //')
[[ " ${!in_readme[*]}" == *' lowlift '*' lowlift '*' lowlift '*' lowlift '*' lowlift '* ]] ||
    fail 'README.md shows no commands'
# The commands of a page's example in $example: lines that begin with two blanks and the program's name,
# with their continuations.
find_example() { # FILE
    local line='' joined='' on='' more=''
    local -a all words
    mapfile -t all <"$1"
    example=()
    for line in "${all[@]}"; do
        if [[ $line == Example* ]]; then
            on=yes
        elif [ -n "$more" ] || [[ $on && $line == '  lowlift '* ]]; then
            joined+=${line%\\}
            more=''
            [[ $line != *\\ ]] || more=yes
            [ -z "$more" ] || continue
            read -ra words <<<"$joined"
            example+=("${words[*]}")
            joined=''
        elif [ "${#example[@]}" -gt 0 ]; then
            break
        fi
    done
}
text_of() { # FILE: $text, without starting a program
    IFS= read -rd '' text <"$1" || true
}

# Every line of the overview that begins with blanks is a command: none is skipped for its looks.
commands=$(sed -nE 's/^  ([a-z]+) .*/\1/p' overview)
[ "$(wc -w <<<"$commands")" -eq "$(grep -c '^ ' overview)" ] || fail "the overview lists only: $commands"
[ "$(wc -w <<<"$commands")" -ge 15 ] || fail "the overview lists only: $commands"
tried=0
for command in $commands; do
    run 0 "$command" --help
    is_empty err
    text_of out
    page=$text
    run 0 "$command" -h
    text_of out
    [ "$text" = "$page" ] || fail "$command: -h and --help differ"
    matches out "^Usage: lowlift $command"
    says out 'Exit codes: 0'
    says out 'Example'
    ! has_match out '.{101}' || fail "$command --help is wider than 100"
    find_example out
    [ "${#example[@]}" -gt 0 ] || fail "$command --help has no example"
    for line in "${example[@]}"; do
        [ -z "${in_readme[$line]:-}" ] || continue
        tried=$((tried + 1))
        eval "$line" >out 2>err || {
            fail "the example of $command --help fails: $line"
            cat err >&2
        }
    done
done
[ "$tried" -ge 5 ] || fail "only $tried examples are tried"

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
