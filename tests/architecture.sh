#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# The house rules that a compiler does not know: models/ stands on libm alone, dependencies point
# one way, public names tell where they live, files stay short, and every file is built.
set -euo pipefail
cd "$(dirname "$0")/.."

objects=$(mktemp -d)
trap 'rm -rf "$objects"' EXIT
failed=0
fail() {
    echo "architecture: $*" >&2
    failed=1
}
names() { # kind object...: global symbols of that kind, one a line
    nm -g "--$1-only" --format=posix "${@:2}" | sed -n 's/ .*//p' | sed 's/@.*//'
}

# Compiled here, since sanitizers and coverage add imports of their own.
for source in models/*.c; do
    "${CC:-cc}" -std=c17 -O2 -fno-math-errno -fno-stack-protector -c "$source" \
        -o "$objects/$(basename "$source" .c).o"
done

# models/ imports only its own functions, libm, and what compilers emit for copying structs.
{
    names defined "$objects"/*.o
    nm -D --defined-only --format=posix "$("${CC:-cc}" -print-file-name=libm.so.6)" | sed 's/[@ ].*//'
    printf '%s\n' memcpy memmove memset _GLOBAL_OFFSET_TABLE_
} | sort -u >"$objects/allowed"
for object in "$objects"/*.o; do
    foreign=$(names undefined "$object" | sort -u | comm -23 - "$objects/allowed" | paste -sd' ')
    [ -z "$foreign" ] || fail "models/$(basename "$object" .o).c uses $foreign: not in libm"
done

# A public name begins with a word of its file's name, or of a header that the file includes, or
# with a word of the name of a struct that such a header defines.
declare -A words
for header in models/*.h sim/*.h; do
    structs=$(sed -nE 's/^(struct|enum) ([a-z0-9_]+) \{.*/\2/p' "$header" | tr '_\n' '||')
    name=$(basename "$header")
    [ -z "${words[$name]:-}" ] || fail "two headers are called $name"
    words[$name]="$(basename "$header" .h | tr _ '|')${structs:+|${structs%|}}"
done
check_names() { # source object
    local allowed name
    allowed=$(basename "$1" .c | tr _ '|')
    while read -r name; do
        allowed+="${words[$name]:+|${words[$name]}}"
    done < <(sed -nE 's|^#include "(.*/)?([a-z0-9_]+\.h)".*|\2|p' "$1")
    while read -r name; do
        [[ "$name" =~ ^((${allowed})(_.*)?|[_.].*)$ ]] ||
            fail "$1: public name $name tells nothing of where it lives"
    done < <(names defined "$2")
}
for source in models/*.c; do
    check_names "$source" "$objects/$(basename "$source" .c).o"
done
for source in sim/*.c; do
    object="${LOWLIFT_BUILD:-build/release}/CMakeFiles/lowlift_sim.dir/$source.o"
    [ ! -f "$object" ] || check_names "$source" "$object"
done

# Dependencies point one way: sim -> models -> libm.
outside=$(grep -nE '#include ("\.\./|<(sundials|cvode|kinsol|nvector|stdio|stdlib))' models/*.[ch] || true)
[ -z "$outside" ] || fail "models/ reaches outside: $outside"
outside=$(grep -nE '#include "(\.\./)*tests/' sim/*.[ch] || true)
[ -z "$outside" ] || fail "sim/ includes a test: $outside"

for source in models/*.c sim/*.c; do
    grep -Eq "(^| |\()$source( |\)|$)" CMakeLists.txt || fail "$source is not in CMakeLists.txt"
done
for source in models/*.[ch] sim/*.[ch]; do
    [ "$(wc -l <"$source")" -le 400 ] || fail "$source is over 400 lines: split it by idea"
    [ "$(head -n 1 "$source")" = "// SPDX-License-Identifier: MIT" ] ||
        fail "$source does not begin with its licence line"
done
exit $failed
