#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Which lines and branches of models/ and sim/ the tests reach, after `cmake --build --preset
# coverage`; fails below what is asked. Arguments go to ctest, such as -R '^stability$'; `--kept` runs no
# test but reads what is there. Tables by file are left in build/coverage.
#
# Nothing is left out: of the branches of gcc 12 at -O0 (models/ at -O3, as its preset has it; without
# threads) those that no line has and those of asserts are a handful of 18,969. What the C library's lack
# of memory would reach counts as not reached, as the program ends in malloc.
set -euo pipefail
cd "$(dirname "$0")/.."
lines=${LOWLIFT_LINES:-95} branches=${LOWLIFT_BRANCHES:-85} build=${LOWLIFT_BUILD:-build/coverage}
if [ "${1:-}" != --kept ]; then
    find "$build" -name '*.gcda' -delete
    ctest --preset coverage "$@"
    # As tests/page.sh writes it.
    place=$(mktemp -d)
    trap 'rm -rf "$place"' EXIT
    LOWLIFT_PLOTS_DIR=plots "$build/lowlift" lesson --quiet --out "$place"
fi
# Objects of the program and of what only a page has, not those of the tests.
parts=("$build"/CMakeFiles/*.dir "$build"/tests/CMakeFiles/{lowlift_fixtures,test_page}.dir)
gcovr -j "$(nproc)" --root . --object-directory "$build" --filter 'models/' --filter 'sim/' \
    --gcov-ignore-parse-errors --json "$build/coverage.json" "${parts[@]}" >/dev/null
gcovr --root . --add-tracefile "$build/coverage.json" --branches --sort-percentage \
    --txt "$build/branches.txt"
gcovr --root . --add-tracefile "$build/coverage.json" --txt "$build/coverage.txt" \
    --json-summary "$build/summary.json" >/dev/null
python3 - "$build/summary.json" "$lines" "$branches" <<'PYTHON'
import collections, json, os, sys
kinds = ("line_covered", "line_total", "branch_covered", "branch_total")
folders = collections.defaultdict(collections.Counter)
for file in json.load(open(sys.argv[1], encoding="utf-8"))["files"]:
    for folder in {os.path.dirname(file["filename"]), "all"}:
        folders[folder].update({kind: file[kind] for kind in kinds})
for folder, sums in sorted(folders.items()):
    reached = [100 * sums[a] / max(1, sums[b]) for a, b in (kinds[:2], kinds[2:])]
    print(f"{folder:16} lines {reached[0]:5.1f} % of {sums[kinds[1]]:6}, "
          f"branches {reached[1]:5.1f} % of {sums[kinds[3]]:6}")
whole = folders["all"]
sys.exit(100 * whole[kinds[0]] < float(sys.argv[2]) * whole[kinds[1]] or
         100 * whole[kinds[2]] < float(sys.argv[3]) * whole[kinds[3]])
PYTHON
