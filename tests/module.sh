#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# The module that pages hold lies in plots/, so that nobody needs its compiler to write a page. This
# tells whether it is that of the source as it stands; `tests/module.sh refresh` builds it anew,
# after any change of the core. Compared are the sources it was made from, not its bytes, which
# another compiler would change.
set -euo pipefail
cd "$(dirname "$0")/.."

sources() { # all that goes into it, one hash; comments and layout change nothing
    find models sim/{base,maths,units,yaml,field,hardware,scenario,solve,judge,run,steady,page} \
        -type f \( -name '*.[ch]' -o -name '*.cmake' \) | LC_ALL=C sort | xargs cat |
        sed 's|//.*||' | tr -d '[:space:]' | sha256sum | cut -c 1-64
}

case "${1:-}" in
'')
    if [ "$(sources)" != "$(head -n 1 plots/lowlift.wasm.made)" ] ||
        [ "$(sha256sum <plots/lowlift.wasm | cut -c 1-64)" != "$(tail -n 1 plots/lowlift.wasm.made)" ]; then
        echo "plots/lowlift.wasm is not of this source: tests/module.sh refresh" >&2
        exit 1
    fi
    ;;
refresh)
    tests/setup.sh wasm
    tests/wasm.sh
    cp build/wasm/lowlift.wasm plots/lowlift.wasm
    { sources; sha256sum <plots/lowlift.wasm | cut -c 1-64; } >plots/lowlift.wasm.made
    ;;
*)
    echo "usage: $0 [refresh]" >&2
    exit 2
    ;;
esac
