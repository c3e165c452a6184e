#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# An installed lowlift serves a program of somebody else's: headers, library and pkg-config file.
set -euo pipefail

prefix=$(mktemp -d)
trap 'rm -rf "$prefix"' EXIT
cmake --install "${LOWLIFT_BUILD:-build/release}" --prefix "$prefix" >/dev/null

# The file was made for the configured prefix; pkg-config is told the one used here.
pc=$(find "$prefix" -name lowlift.pc)
export PKG_CONFIG_PATH="${pc%/*}"
read -ra flags <<<"$(pkg-config --define-variable=prefix="$prefix" --cflags --libs lowlift)"

# Every header, by the name that an installed one has.
{
    find "$prefix/include/lowlift" -name '*.h' -printf '#include <%P>\n' | sort
    echo 'int main(void) {'
    echo '    return integrate_options_default().relative_tolerance > 0.0 ? 0 : 1;'
    echo '}'
} >"$prefix/user.c"
# The headers use names of POSIX.1-2008.
"${CC:-cc}" -std=c17 -D_POSIX_C_SOURCE=200809L "$prefix/user.c" "${flags[@]}" -o "$prefix/user"
"$prefix/user"
for file in share/doc/lowlift/LICENSE share/lowlift/plots/compare.gp; do
    [ -f "$prefix/$file" ] || { echo "not installed: $file" >&2; exit 1; }
done
