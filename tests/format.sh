#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Fails when a C file is not laid out as .clang-format says; `tests/format.sh fix` rewrites them.
set -euo pipefail
cd "$(dirname "$0")/.."

mode=(--dry-run -Werror)
[ "${1:-}" = fix ] && mode=(-i)
find models sim tests -name '*.[ch]' -print0 | xargs -0 clang-format "${mode[@]}"
