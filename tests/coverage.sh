#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Which lines and branches of models/ and sim/ the tests reach, after `cmake --build --preset
# coverage`; fails below what is asked. Arguments go to ctest, such as -R '^stability$'. A list by
# file is left in build/coverage/coverage.txt.
#
# Left out: asserts, whose other branch is a mistake of ours that no test can make, and which stop the
# program (their lines count, as what they guard is reached).
set -euo pipefail
cd "$(dirname "$0")/.."
lines=${LOWLIFT_LINES:-95} branches=${LOWLIFT_BRANCHES:-85}
find build/coverage -name '*.gcda' -delete
ctest --preset coverage "$@"
gcovr --root . --object-directory build/coverage --filter 'models/' --filter 'sim/' \
    --exclude-branches-by-pattern '.*\bassert\(.*' --exclude-unreachable-branches \
    --gcov-ignore-parse-errors --sort-percentage --branches --txt build/coverage/branches.txt \
    build/coverage >/dev/null
gcovr --root . --object-directory build/coverage --filter 'models/' --filter 'sim/' \
    --exclude-branches-by-pattern '.*\bassert\(.*' --exclude-unreachable-branches \
    --gcov-ignore-parse-errors --txt build/coverage/coverage.txt --print-summary \
    --fail-under-line "$lines" --fail-under-branch "$branches" build/coverage
