#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# SUNDIALS compiled with optimisation, into build/sundials, where CMakeLists.txt finds it. The
# distribution's package is compiled without, which makes a run half as long again; the results are
# the same bytes. Where the source cannot be had the package serves, and `lowlift --version` says so.
set -euo pipefail
cd "$(dirname "$0")/.."
# shellcheck source=tests/sundials_source.sh
source tests/sundials_source.sh

folder=$PWD/build/sundials-parts
if [ -f build/sundials/built ] || [ "${LOWLIFT_SUNDIALS:-}" = package ]; then
    exit 0
fi
mkdir -p "$folder"
if ! place=$(sundials_source "$folder"); then
    echo "SUNDIALS: no source to be had here, so the packaged library serves (runs take longer)"
    exit 0
fi
echo "Building SUNDIALS from $(basename "$place")"
if {
    # What the package does not say, it does: indices of 64 bits, as its headers have them.
    cmake -G Ninja -S "$place" -B "$folder/build" "${sundials_options[@]}" \
        -DSUNDIALS_INDEX_SIZE=64 -DCMAKE_BUILD_TYPE=None -DCMAKE_C_FLAGS=-O2 \
        -DCMAKE_POSITION_INDEPENDENT_CODE=ON -DCMAKE_INSTALL_LIBDIR=lib \
        -DCMAKE_INSTALL_PREFIX="$PWD/build/sundials" &&
        cmake --build "$folder/build" --target install
} >"$folder/build.log" 2>&1; then
    touch build/sundials/built
else
    rm -rf build/sundials
    echo "SUNDIALS: its source does not build here, so the packaged library serves"
fi
