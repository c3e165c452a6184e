#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# The core as a WebAssembly module: fetches and builds what it stands on, builds it, and runs
# scenarios in node against their `expect` rows and against the native program.
set -euo pipefail
cd "$(dirname "$0")/.."

parts=$PWD/build/wasm-parts # what the module stands on; kept between runs
mkdir -p "$parts" build/sundials-parts

# shellcheck source=tests/sundials_source.sh
source tests/sundials_source.sh

build_sundials() {
    local place
    place=$(sundials_source "$PWD/build/sundials-parts") || return
    cmake -G Ninja -S "$place" -B "$parts/build" "${sundials_options[@]}" \
        -DSUNDIALS_INDEX_SIZE=32 -DCMAKE_BUILD_TYPE=Release \
        -DCMAKE_TOOLCHAIN_FILE="$PWD/sim/page/wasm32-wasi.cmake" \
        -DCMAKE_INSTALL_PREFIX="$parts/sundials" &&
        cmake --build "$parts/build" --target install
}

quietly() { # log command...
    "${@:2}" >"$1" 2>&1 || {
        tail -n 30 "$1" >&2
        exit 1
    }
}

# Built anew when the way to compile changes.
stamp=$parts/$(sha256sum sim/page/wasm32-wasi.cmake | cut -c 1-12).built
if [ ! -f "$stamp" ]; then
    rm -rf "$parts/build" "$parts/sundials"
    quietly "$parts/sundials.log" build_sundials
    touch "$stamp"
fi
quietly "$parts/configure.log" cmake --preset wasm
quietly "$parts/build.log" cmake --build --preset wasm
module=build/wasm/lowlift.wasm
echo "$module: $(stat -c %s "$module") bytes, $(gzip -9 <"$module" | wc -c) compressed"

# --- The native program's word on every scenario, and the module's.

native=${LOWLIFT_BUILD:-build/release}
if [ ! -x "$native/tests/page_native" ]; then
    quietly "$parts/native.log" cmake --preset release
    quietly "$parts/native.log" cmake --build --preset release --target page_native
else # of the source as it stands
    quietly "$parts/native.log" cmake --build "$native" --target page_native
fi
cases=$PWD/build/wasm/cases
rm -rf "$cases" && mkdir -p "$cases"
"$native/tests/page_native" "$cases" scenarios/*.yaml
stems=()
for dump in "$cases"/*.dump; do stems+=("${dump%.dump}"); done
node tests/page/run.mjs "$module" "${stems[@]}"
