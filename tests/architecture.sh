#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# The house rules that a compiler does not know: models/ stands on libm alone, the core on little
# more, includes never turn upward from room to room, public names tell where they live, files stay
# short and all are built.
set -euo pipefail
cd "$(dirname "$0")/.."

# For each room of sim/ the rooms it may include, besides itself and base.
declare -A below=(
    [base]="command"
    [maths]=""
    [units]=""
    [answer]="units"
    [scenario]="study units maths models"
    [solve]="maths models"
    [judge]="maths"
    [run]="scenario solve judge units maths models"
    [steady]="run scenario solve judge units maths models"
    [study]="command show steady answer run scenario solve judge units maths models"
    [page]="run scenario solve units"
    [show]="command study steady run scenario solve judge answer units models"
    [command]="show study answer steady run scenario solve judge units maths models"
)
# The source roots, so that a test of this test can point at a tree of its own.
root=${1:-.}

objects=$(mktemp -d)
trap 'rm -rf "$objects"' EXIT
failed=0
fail() {
    echo "architecture: $*" >&2
    failed=1
}

# --- Arrows point down: sim/'s rooms, then models/, then libm.

while read -r file included; do
    room=${file#"$root"/sim/}
    room=${room%%/*}
    target=${included%%/*}
    if [ -z "${below[$room]+there}" ]; then
        fail "$file lies in no room of the list in tests/architecture.sh"
    elif [[ " $room base ${below[$room]} " != *" $target "* ]]; then
        fail "$file includes $included: $room stands below $target, or beside it"
    fi
done < <(grep -roE '^#include "[^"]+"' "$root"/sim/*/ --include='*.[ch]' |
    sed -E 's/^([^:]+):#include "(.*)"/\1 \2/')
loose=$(find "$root/sim" -maxdepth 1 -name '*.[ch]' -not -name 'lowlift.[ch]')
[ -z "$loose" ] || fail "in no room: $loose"
outside=$(grep -nE '#include ("\.\./|<(sundials|cvode|kinsol|nvector|stdio|stdlib))' \
    "$root"/models/*.[ch] || true)
[ -z "$outside" ] || fail "models/ reaches outside: $outside"
for file in "$root"/models/*.[ch] "$root"/sim/*/*.[ch]; do
    [ "$(head -n 1 "$file")" = "// SPDX-License-Identifier: MIT" ] ||
        fail "$file does not begin with its licence line"
done
while read -r lines file; do
    [ "$lines" -le 400 ] || [ "$file" = total ] || fail "$file is over 400 lines: split it by idea"
done < <(wc -l "$root"/models/*.[ch] "$root"/sim/*/*.[ch])
for source in "$root"/models/*.c "$root"/sim/*/*.c; do
    grep -Eq "(^| |\()${source#"$root"/}( |\)|$)" "$root/CMakeLists.txt" ||
        fail "$source is not in CMakeLists.txt"
done
[ "$root" = . ] || exit $failed

# --- What models/ imports

names() { # kind object...: global symbols of that kind, one a line
    nm -g "--$1-only" --format=posix "${@:2}" | sed -n 's/ .*//p' | sed 's/@.*//'
}

# Compiled here, since sanitizers and coverage add imports of their own.
(cd "$objects" && "${CC:-cc}" -std=c17 -O1 -fno-math-errno -fno-stack-protector -c \
    "$OLDPWD"/models/*.c)
{
    names defined "$objects"/*.o
    nm -D --defined-only --format=posix "$("${CC:-cc}" -print-file-name=libm.so.6)" | sed 's/[@ ].*//'
    printf '%s\n' memcpy memmove memset _GLOBAL_OFFSET_TABLE_
} | sort -u >"$objects/allowed"
for object in "$objects"/*.o; do
    foreign=$(names undefined "$object" | sort -u | comm -23 - "$objects/allowed" | paste -sd' ')
    [ -z "$foreign" ] || fail "models/$(basename "$object" .o).c uses $foreign: not in libm"
done

# --- What the core imports: itself, its three seams, SUNDIALS, libm, and of the C library memory,
# texts, numbers and writing to a stream that is open; no files, no signals, no other library.

build=${LOWLIFT_BUILD:-build/release}
mapfile -t core < <(find "$build/CMakeFiles/lowlift_core.dir" -name '*.o' 2>/dev/null)
if [ ${#core[@]} -gt 0 ]; then
    {
        cat "$objects/allowed"
        names defined "${core[@]}"
        printf '%s\n' eigenvalues_find scenario_read_file yaml_tree_read \
            abort calloc free malloc qsort realloc snprintf vsnprintf strtod \
            memchr memcmp strchr strcmp strcspn strlen strncmp strrchr strspn strstr \
            ferror fprintf fputc fputs fwrite stderr __ctype_b_loc __ctype_tolower_loc __assert_fail
    } | sort -u >"$objects/core_allowed"
    for object in "${core[@]}"; do
        # Sanitizers, coverage and hardening compilers add names of their own.
        foreign=$(names undefined "$object" |
            sed -E '/^(CV|KIN|N_V|SUN)|^__(asan|ubsan|gcov|stack_chk|.*_chk$)/d' | sort -u |
            comm -23 - "$objects/core_allowed" | paste -sd' ')
        [ -z "$foreign" ] || fail "${object#*lowlift_core.dir/} uses $foreign: not for the core"
    done
fi

# --- A public name begins with a word of its file's name, or of a header that the file includes, or
# with a word of the name of a struct that such a header defines.

words=$objects/words # header, then what names may begin with
for header in models/*.h sim/*/*.h; do
    {
        basename "$header" .h | tr _ '\n'
        sed -nE 's/^(struct|enum) ([a-z0-9_]+) \{.*/\2/p' "$header" | tr _ '\n'
    } | sed "s|^|$(basename "$header") |"
done >"$words"
twice=$(basename -a models/*.h sim/*/*.h | sort | uniq -d)
[ -z "$twice" ] || fail "two headers are called $twice"
for source in models/*.c sim/*/*.c; do
    object="$objects/$(basename "$source" .c).o"
    if [ "${source%%/*}" != models ]; then
        object="$build/CMakeFiles/lowlift_sim.dir/$source.o"
        [ -f "$object" ] || object="$build/CMakeFiles/lowlift_core.dir/$source.o"
    fi
    [ -f "$object" ] || continue
    names defined "$object" | awk -v source="$source" -v words="$words" '
        BEGIN {
            own = source; sub(/.*\//, "", own); sub(/\.c$/, "", own)
            count = split(own, part, "_"); for (i = 1; i <= count; i++) allowed[part[i]]
            while ((getline line < source) > 0)
                if (match(line, /^#include ".*"/)) {
                    header = line; sub(/^#include "/, "", header); sub(/".*/, "", header)
                    sub(/.*\//, "", header); included[header]
                }
            while ((getline line < words) > 0) {
                split(line, part, " "); if (part[1] in included) allowed[part[2]]
            }
        }
        /^[_.]/ { next }
        { first = $0; sub(/_.*/, "", first)
          if (!(first in allowed)) print source ": public name " $0 " tells nothing of where it lives" }'
done >"$objects/nameless"
while read -r line; do fail "$line"; done <"$objects/nameless"
outside=$(grep -rnE '#include "(\.\./)*tests/' sim --include='*.[ch]' || true)
[ -z "$outside" ] || fail "sim/ includes a test: $outside"
exit $failed
