#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Every shipped scenario reads, says what it teaches, and keeps what it promises.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

well_formed=()
for file in scenarios/*.yaml; do
    IFS= read -rd '' text <"$file" || true # without starting a program
    if [[ $text == *'quantity: refusal'* ]]; then
        run 3 check "$file"
    else
        well_formed+=("$file")
    fi
    [[ $text == '# '* ]] || fail "$file does not begin with what it is about"
    [[ $text == *$'\n# Teaches: '* ]] || fail "$file does not say what it teaches"
    [[ $text == *$'\nteaches: '* ]] || fail "$file has no field \`teaches\`"
    [[ $text == *$'\ntitle: '* ]] || fail "$file has no title"
    [[ $text == *$'\nexpect:'* ]] || fail "$file promises nothing"
    [[ ${text,,} =~ invented|published|'from memory' ]] || fail "$file does not say whose data it is"
done
run 0 check "${well_formed[@]}"
is_empty err
for file in "${well_formed[@]}"; do says out "$file: well formed"; done
[ "${#well_formed[@]}" -ge 10 ] || fail "only ${#well_formed[@]} scenarios"

run 0 expect scenarios/*.yaml stiff/*.yaml
is_empty err
grep MISSED out >&2
finish
