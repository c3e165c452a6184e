#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# The tests of the house can fail: on a copy of the source, one fault at a time.
set -euo pipefail
cd "$(dirname "$0")/.."

copy=$(mktemp -d)
trap 'rm -rf "$copy"' EXIT
cp -r sim models CMakeLists.txt "$copy"
failed=0

passes() { # SCRIPT
    found=$(bash "tests/$1" "$copy" 2>&1 >/dev/null) || {
        echo "house: tests/$1 fails on a copy of the source: $found" >&2
        failed=1
    }
}
fails() { # SCRIPT
    ! found=$(bash "tests/$1" "$copy" 2>&1 >/dev/null) || {
        echo "house: tests/$1 finds nothing on a spoiled copy of the source" >&2
        failed=1
    }
}
says() { # WORDS
    [[ $found == *"$1"* ]] || {
        echo "house: not found: $1" >&2
        failed=1
    }
}
spoil() { # FILE LINE: put it behind the first one
    local -a all
    mapfile all <"$copy/$1"
    {
        printf '%s' "${all[0]}"
        printf '%s\n' "$2"
        printf '%s' "${all[@]:1}"
    } >"$copy/$1"
}

passes architecture.sh
passes numbers.sh
spoil sim/show/show.c 'static void shout(const char *s) { fprintf(stderr, "%s", s); }'
fails architecture.sh
says 'talks past base/clean.h'
cp sim/show/show.c "$copy/sim/show/show.c"

# Each room includes what stands above it, or beside it; each fault is told by itself.
upward=(
    'base/csv.c          units/units.h'
    'maths/arps.c        judge/series.h'
    'units/units.c       field/field.h'
    'yaml/yaml_tree.c    scenario/scenario.h'
    'field/field.c       scenario/scenario.h'
    'hardware/starter.c  scenario/scenario.h'
    'scenario/scenario.c run/start.h'
    'solve/equilibrium.c judge/cycles.h'
    'judge/verdict.c     run/simulate.h'
    'run/start.h         steady/steadiness.h'
    'steady/sweep.h      study/study.h'
    'answer/answer.h     scenario/scenario.h'
    'study/study.h       among/among.h'
    'among/among.h       trims/kick.h'
    'map/map.h           remedy/remedy.h'
    'trims/kick.h        map/map.h'
    'remedy/remedy.h     trims/kick.h'
    'site/record.h       shell/command.h'
    'show/show.h         study/study.h'
    'library/lowlift_run.c study/study.h'
    'page/page.h         study/study.h'
    'handout/live_page.c shell/command.h'
    'shell/option.h      command/all.h'
    'command/main.c      nowhere/else.h'
)
declare -A seen=()
for row in "${upward[@]}"; do
    read -r file header <<<"$row"
    spoil "sim/$file" "#include \"$header\""
    seen[${file%%/*}]=yes
done
spoil models/gas.h '#include "../sim/base/csv.h"'
spoil sim/command/main.c 'static void past(void) { simulate(0, 0); }'
spoil sim/base/csv.c 'static const char CUT[] = "%.60s";'
# A file in no room; one that is not built, too long, and without its licence.
echo '// SPDX-License-Identifier: MIT' >"$copy/sim/stray.h"
for ((i = 0; i < 401; i++)); do echo '//'; done >"$copy/sim/base/stray.c"
fails architecture.sh
for row in "${upward[@]}"; do
    read -r file header <<<"$row"
    says "sim/$file includes $header"
done
says 'models reach outside'
says 'goes past lowlift.h'
says 'cuts letters'
says "in no room: $copy/sim/stray.h"
for words in 'is not in CMakeLists.txt' 'is over 400 lines' 'does not begin with its licence line'; do
    says "sim/base/stray.c $words"
done
for room in "$copy"/sim/*/; do
    room=${room%/} && room=${room##*/}
    [ -n "${seen[$room]:-}" ] || {
        echo "house: no wrong include is tried in sim/$room" >&2
        failed=1
    }
done

# A number that judges and stands outside of the table.
spoil sim/judge/cycles.c 'static const double NEW = 0.37;'
spoil sim/run/simulate.c 'static const double NEW = 60.0;'
fails numbers.sh
says 'sim/judge/cycles.c has 0.37 1 times, expected 0'
says 'sim/run/simulate.c has 60.0 2 times, expected 1'
exit $failed
