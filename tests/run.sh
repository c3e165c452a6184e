#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Installs what is missing, builds, and runs every test. Takes build presets by name (release when
# none is given): tests/run.sh asan. Or one of these instead:
#   page              the pages in a headless Chromium
#   memory            lack of memory at every place where the program asks for some
#   nonsense [COUNT]  all 10,000 nonsense scenarios (tests/nonsense)
#   kills [KILLS]     each study with a checkpoint killed 200 times
#   fuzz [SECONDS]    hostile input under the sanitizers (tests/fuzz.sh)
#   threads           what works on several threads under the thread sanitizer
#   coverage          lines and branches that the tests reach (tests/coverage.sh)
#   mutation [COUNT]  whether they notice when the code is wrong (tests/mutation.py)
#   pinned            records the figures of tests/pinned anew, and says which changed
set -euo pipefail
cd "$(dirname "$0")/.."

if [ "${1:-}" = page ]; then
    tests/setup.sh page
    tests/sundials.sh
    cmake --preset release ${CI:+-DLOWLIFT_WERROR=ON}
    cmake --build --preset release --target lowlift
    exec tests/page.sh
fi
release() { # TARGET...
    cmake --preset release -DLOWLIFT_TESTS=ON ${CI:+-DLOWLIFT_WERROR=ON}
    cmake --build --preset release --target "$@"
}
case "${1:-}" in
memory | nonsense | kills | fuzz | threads | coverage | mutation | pinned)
    tests/setup.sh lint
    tests/sundials.sh
    ;;
esac
case "${1:-}" in
memory)
    release lowlift lack
    exec tests/cli_memory.sh every
    ;;
nonsense)
    release nonsense
    exec build/release/tests/nonsense "${2:-10000}"
    ;;
kills)
    release lowlift
    exec tests/kills.sh "${2:-200}"
    ;;
fuzz)
    cmake --preset fuzz -DLOWLIFT_TESTS=ON
    cmake --build --preset fuzz
    exec tests/fuzz.sh "${2:-60}"
    ;;
threads)
    # Tells the sanitizer what OpenMP's own library, which is not built for it, orders.
    OMP_TOOL_LIBRARIES=$(realpath "$(clang -print-resource-dir)/../../libarcher.so")
    export OMP_TOOL_LIBRARIES TSAN_OPTIONS="ignore_noninstrumented_modules=1 halt_on_error=1"
    cmake --preset tsan -DLOWLIFT_TESTS=ON
    cmake --build --preset tsan --target test_study test_map test_library lowlift
    exec ctest --preset tsan -R '^(study|map|library)$'
    ;;
coverage)
    cmake --preset coverage -DLOWLIFT_TESTS=ON
    cmake --build --preset coverage
    exec tests/coverage.sh
    ;;
mutation)
    exec tests/mutation.py --count "${2:-120}"
    ;;
pinned)
    programs=()
    for source in tests/test_pinned_*.c; do
        name=$(basename "$source" .c)
        programs+=("tests/$name")
    done
    release "${programs[@]}"
    for program in "${programs[@]}"; do
        LOWLIFT_PINNED=record "build/release/$program"
    done
    exec git --no-pager diff --stat -- tests/pinned
    ;;
esac
tests/setup.sh test
tests/sundials.sh
for preset in "${@:-release}"; do
    # On the CI machine a warning of the release build is an error too.
    cmake --preset "$preset" -DLOWLIFT_TESTS=ON ${CI:+-DLOWLIFT_WERROR=ON}
    cmake --build --preset "$preset"
    ctest --preset "$preset"
done
