#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Installs the Debian packages that a task needs and that are missing: `run` builds and runs the
# program, `test` also builds the tests, `lint` also checks the source, `wasm` also builds the module
# for pages, `page` also tries pages in a browser. The one list of packages.
set -euo pipefail

run=(gcc libc6-dev cmake ninja-build pkg-config libsundials-dev libfyaml-dev libjansson-dev
     liblapacke-dev libgfortran-12-dev libnlopt-dev gnuplot-nox)
test=("${run[@]}" libcmocka-dev libgsl-dev locales python3)
lint=("${test[@]}" clang clang-format clang-tidy libomp-dev shellcheck libopenmpi-dev openmpi-bin
      gcovr)
wasm=("${test[@]}" clang lld llvm wasi-libc libclang-rt-dev-wasm32 dpkg-dev nodejs)
page=("${test[@]}" nodejs chromium fonts-dejavu-core)

case "${1:-}" in
run) wanted=("${run[@]}") ;;
test) wanted=("${test[@]}") ;;
lint) wanted=("${lint[@]}") ;;
wasm) wanted=("${wasm[@]}") ;;
page) wanted=("${page[@]}") ;;
*) echo "usage: $0 run|test|lint|wasm|page" >&2; exit 2 ;;
esac

if ! command -v apt-get >/dev/null || ! command -v dpkg-query >/dev/null; then
    echo "Not a Debian system: make sure that these (by Debian's names) are there:" >&2
    echo "  ${wanted[*]}" >&2
    exit 0
fi

missing=()
for package in "${wanted[@]}"; do
    # Any gnuplot, python3 and node will do, and pkg-config may be provided by another package.
    case "$package" in
    nodejs) command -v node >/dev/null && continue ;;
    gnuplot-nox | pkg-config | python3) command -v "${package%-nox}" >/dev/null && continue ;;
    esac
    status=$(dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null || true)
    [ "$status" = installed ] || missing+=("$package")
done
[ ${#missing[@]} -gt 0 ] || exit 0

as_root=()
if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null || {
        echo "As root, run: apt-get install ${missing[*]}" >&2
        exit 1
    }
    as_root=(sudo)
fi
echo "Installing ${missing[*]}"
export DEBIAN_FRONTEND=noninteractive
"${as_root[@]}" apt-get update -q
"${as_root[@]}" apt-get install -q -y --no-install-recommends "${missing[@]}"
