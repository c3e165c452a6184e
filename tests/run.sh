#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Installs what is missing, builds, and runs every test. Takes build presets by name (release when
# none is given): tests/run.sh asan. `tests/run.sh page` tries the pages in a headless Chromium instead,
# `tests/run.sh memory` takes memory from the program, once at every place where it asks for some.
set -euo pipefail
cd "$(dirname "$0")/.."

if [ "${1:-}" = page ]; then
    tests/setup.sh page
    tests/sundials.sh
    cmake --preset release ${CI:+-DLOWLIFT_WERROR=ON}
    cmake --build --preset release --target lowlift
    exec tests/page.sh
fi
if [ "${1:-}" = memory ]; then
    tests/setup.sh test
    tests/sundials.sh
    cmake --preset release -DLOWLIFT_TESTS=ON ${CI:+-DLOWLIFT_WERROR=ON}
    cmake --build --preset release --target lowlift lack
    exec tests/cli_memory.sh every
fi
tests/setup.sh test
tests/sundials.sh
for preset in "${@:-release}"; do
    # On the CI machine a warning of the release build is an error too.
    cmake --preset "$preset" -DLOWLIFT_TESTS=ON ${CI:+-DLOWLIFT_WERROR=ON}
    cmake --build --preset "$preset"
    ctest --preset "$preset"
done
