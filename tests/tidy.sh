#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Runs clang-tidy over every C file (or those named), with the compile commands of the clang build.
set -euo pipefail
cd "$(dirname "$0")/.."

[ -f build/clang/compile_commands.json ] || cmake --preset clang
if [ $# -gt 0 ]; then
    printf '%s\0' "$@"
else
    find models sim tests -name '*.c' -not -path 'tests/fuzz/*' -print0
fi | xargs -0 -n 1 -P "$(nproc)" clang-tidy --quiet -p build/clang
