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

build_sundials() {
    local source
    source=$(find "$parts" -maxdepth 1 -type d -name 'sundials-*' -print -quit)
    if [ -z "$source" ]; then
        fetch_sundials
        source=$(find "$parts" -maxdepth 1 -type d -name 'sundials-*' -print -quit)
    fi
    cmake -G Ninja -S "$source" -B "$parts/build" -DCMAKE_BUILD_TYPE=Release \
        -DCMAKE_TOOLCHAIN_FILE="$PWD/sim/page/wasm32-wasi.cmake" \
        -DCMAKE_INSTALL_PREFIX="$parts/sundials" -DBUILD_SHARED_LIBS=OFF \
        -DBUILD_ARKODE=OFF -DBUILD_CVODES=OFF -DBUILD_IDA=OFF -DBUILD_IDAS=OFF \
        -DEXAMPLES_ENABLE_C=OFF -DEXAMPLES_ENABLE_CXX=OFF -DEXAMPLES_INSTALL=OFF \
        -DSUNDIALS_INDEX_SIZE=32 -DSUNDIALS_LOGGING_LEVEL=0
    cmake --build "$parts/build" --target install
}

[ -f "$parts/sundials/lib/libsundials_cvode.a" ] || build_sundials >"$parts/sundials.log" 2>&1 || {
    tail -n 30 "$parts/sundials.log" >&2
    exit 1
}
