#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# The core as a WebAssembly module: fetches and builds what it stands on, builds it, and runs
# scenarios in node against their `expect` rows and against the native program.
set -euo pipefail
cd "$(dirname "$0")/.."

parts=$PWD/build/wasm-parts # what the module stands on; kept between runs
mkdir -p "$parts"

# --- SUNDIALS' source, from the distribution. The system's own lists of packages stay as they are.

fetch_sundials() {
    local apt=$parts/apt source
    rm -rf "$apt" && mkdir -p "$apt/parts" "$apt/lists/partial" "$apt/cache/archives/partial"
    for source in /etc/apt/sources.list.d/*.sources; do
        [ -f "$source" ] || continue
        sed -E 's/^Types:.*/Types: deb-src/' "$source" >"$apt/parts/$(basename "$source")"
    done
    if [ -f /etc/apt/sources.list ]; then
        sed -nE 's/^deb(-src)? /deb-src /p' /etc/apt/sources.list >"$apt/parts/list.list"
    fi
    local own=(-o Dir::Etc::SourceList=/dev/null -o "Dir::Etc::SourceParts=$apt/parts"
        -o "Dir::State::Lists=$apt/lists" -o "Dir::Cache=$apt/cache" -o APT::Sandbox::User=root)
    apt-get -q "${own[@]}" update
    (cd "$parts" && apt-get -q "${own[@]}" --only-source source sundials)
}

unpacked() {
    find "$parts" -maxdepth 1 -type d -name 'sundials-*' -print -quit
}

build_sundials() {
    [ -n "$(unpacked)" ] || fetch_sundials || return
    cmake -G Ninja -S "$(unpacked)" -B "$parts/build" -DCMAKE_BUILD_TYPE=Release \
        -DCMAKE_TOOLCHAIN_FILE="$PWD/sim/page/wasm32-wasi.cmake" \
        -DCMAKE_INSTALL_PREFIX="$parts/sundials" -DBUILD_SHARED_LIBS=OFF \
        -DBUILD_ARKODE=OFF -DBUILD_CVODES=OFF -DBUILD_IDA=OFF -DBUILD_IDAS=OFF \
        -DEXAMPLES_ENABLE_C=OFF -DEXAMPLES_ENABLE_CXX=OFF -DEXAMPLES_INSTALL=OFF \
        -DSUNDIALS_INDEX_SIZE=32 -DSUNDIALS_LOGGING_LEVEL=0 &&
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
fi
cases=$PWD/build/wasm/cases
rm -rf "$cases" && mkdir -p "$cases"
"$native/tests/page_native" "$cases" scenarios/*.yaml
stems=()
for dump in "$cases"/*.dump; do stems+=("${dump%.dump}"); done
node tests/page/run.mjs "$module" "${stems[@]}"
