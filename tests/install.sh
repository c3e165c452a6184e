#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# An installed lowlift, moved to another place, serves programs of somebody else's: in C through
# pkg-config, shared and static, and from Python. It shows no name but its own.
set -euo pipefail

folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
source=$PWD
fail() {
    echo "install: $*" >&2
    exit 1
}

cmake --install "${LOWLIFT_BUILD:-build/release}" --prefix "$folder/first" >/dev/null
mv "$folder/first" "$folder/moved-here"
prefix=$folder/moved-here
for file in share/doc/lowlift/LICENSE share/lowlift/plots/compare.gp bin/lowlift \
    share/lowlift/plots/live.html share/lowlift/plots/lowlift.wasm \
    share/lowlift/scenarios/oversized.yaml share/man/man1/lowlift.1 \
    share/bash-completion/completions/lowlift; do
    [ -f "$prefix/$file" ] || fail "not installed: $file"
done
headers=$(cd "$prefix/include" && find . -type f)
[ "$headers" = ./lowlift.h ] || fail "one header is to be installed, found $headers"

# --- Names: what both libraries show begins with lowlift_, and is in the header.

shared=$(find "$prefix" -name liblowlift.so)
static=$(find "$prefix" -name liblowlift.a)
libraries=${shared%/*}
declared=$(grep -oE '\blowlift_[a-z_]+\(' <(grep -v '^//' "$prefix/include/lowlift.h") |
    tr -d '(' | sort -u)
for names in "$(nm -D --defined-only "$shared")" "$(nm -g --defined-only "$static")"; do
    names=$(awk 'NF == 3 { print $3 }' <<<"$names" | sort -u)
    other=$(grep -v '^lowlift_' <<<"$names" || true)
    [ -z "$other" ] || fail "shows names that are not its own: $other"
    [ "$names" = "$declared" ] || fail "shows $names, but the header declares $declared"
done

# --- A program in C that compares two trims, and has a name of its own that lowlift has inside

cat >"$folder/user.c" <<'EOF'
#include <lowlift.h>
#include <stdio.h>

double root_near(double x);
double root_near(double x) {
    return x;
}

int main(int argc, char **argv) {
    struct lowlift_scenario *scenario = lowlift_open(argc > 1 ? argv[1] : NULL);
    lowlift_set(scenario, "inflow.rate=0.3 MMscf/d");
    for (size_t trim = 0; trim < lowlift_trim_count(scenario); trim++) {
        struct lowlift_result *run = lowlift_run(scenario, trim);
        const char *unit;
        double swing = lowlift_figure(run, "pressure_swing", &unit);
        if (run) {
            printf("%s: %s, %.4g %s\n", lowlift_trim_name(scenario, trim), lowlift_verdict(run),
                   root_near(swing), unit);
        }
        lowlift_free(run);
    }
    fputs(lowlift_errors(scenario), stderr);
    lowlift_close(scenario);
    return 0;
}
EOF

# What the program says of the two, from its own summaries.
expected=$(
    for trim in full reduced; do
        "$prefix/bin/lowlift" run --no-plot --trim $trim --set 'inflow.rate=0.3 MMscf/d' \
            --out "$folder" tests/scenarios/decline.yaml >/dev/null
        python3 - "$folder/decline.$trim.json" $trim <<'EOF'
import json, sys
run = json.load(open(sys.argv[1]))["runs"][0]
swing = run["pressure_swing"]
print("%s: %s, %.4g %s" % (sys.argv[2], run["verdict"], swing["value"], swing["unit"]))
EOF
    done
)
[[ $expected == full:*reduced:* ]] || fail "no expectation, but '$expected'"
same() { # what was said, by what
    [ "$1" = "$expected" ] || fail "$2 says '$1' and not '$expected'"
}

export PKG_CONFIG_PATH=$libraries/pkgconfig
read -ra flags <<<"$(pkg-config --cflags --libs lowlift)"
"${CC:-cc}" -std=c17 -Wall -Wextra -Wpedantic -Werror "$folder/user.c" "${flags[@]}" \
    -o "$folder/user"
same "$(LD_LIBRARY_PATH=$libraries "$folder/user" tests/scenarios/decline.yaml)" "the shared library"
readelf -d "$folder/user" | grep -q 'NEEDED.*\[liblowlift\.so\.[0-9]*\]' ||
    fail "the program does not ask for liblowlift.so by its version"

# With no shared one beside it the static one is taken.
mkdir "$folder/aside"
mv "$libraries"/liblowlift.so* "$folder/aside"
read -ra flags <<<"$(pkg-config --static --cflags --libs lowlift)"
"${CC:-cc}" -std=c17 "$folder/user.c" "${flags[@]}" -o "$folder/user-static"
same "$("$folder/user-static" tests/scenarios/decline.yaml)" "the static library"

# --- The same from Python

cat >"$folder/user.py" <<'EOF'
import ctypes, sys
from ctypes import POINTER, byref, c_char_p, c_double, c_int, c_size_t, c_void_p

lowlift = ctypes.CDLL(sys.argv[1])
for name, result, *arguments in [
    ("open", c_void_p, c_char_p),
    ("set", c_int, c_void_p, c_char_p),
    ("trim_count", c_size_t, c_void_p),
    ("trim_name", c_char_p, c_void_p, c_size_t),
    ("run", c_void_p, c_void_p, c_size_t),
    ("verdict", c_char_p, c_void_p),
    ("figure", c_double, c_void_p, c_char_p, POINTER(c_char_p)),
    ("free", None, c_void_p),
    ("close", None, c_void_p),
]:
    function = getattr(lowlift, "lowlift_" + name)
    function.restype, function.argtypes = result, arguments

scenario = lowlift.lowlift_open(sys.argv[2].encode())
lowlift.lowlift_set(scenario, b"inflow.rate=0.3 MMscf/d")
for trim in range(lowlift.lowlift_trim_count(scenario)):
    run, unit = lowlift.lowlift_run(scenario, trim), c_char_p()
    swing = lowlift.lowlift_figure(run, b"pressure_swing", byref(unit))
    print("%s: %s, %.4g %s" % (lowlift.lowlift_trim_name(scenario, trim).decode(),
                               lowlift.lowlift_verdict(run).decode(), swing, unit.value.decode()))
    lowlift.lowlift_free(run)
lowlift.lowlift_close(scenario)
EOF
same "$(cd "$folder" && python3 user.py "$folder/aside/liblowlift.so" \
    "$source/tests/scenarios/decline.yaml")" "Python"
