# shellcheck shell=bash
# SPDX-License-Identifier: MIT
# Sourced by what builds SUNDIALS itself: its source from the distribution's packages. The system's
# own lists of packages stay as they are.

# Fetch and unpack into a folder, once; prints the folder of the source. False when it cannot be had.
sundials_source() { # FOLDER
    local folder=$1 apt=$1/apt found source
    found=$(find "$folder" -mindepth 1 -maxdepth 1 -type d -name 'sundials-*' -print -quit 2>/dev/null)
    if [ -z "$found" ]; then
        command -v apt-get >/dev/null || return
        rm -rf "$apt" && mkdir -p "$apt/parts" "$apt/lists/partial" "$apt/cache/archives/partial"
        for source in /etc/apt/sources.list.d/*.sources; do
            [ -f "$source" ] || continue
            sed -E 's/^Types:.*/Types: deb-src/' "$source" >"$apt/parts/$(basename "$source")"
        done
        if [ -f /etc/apt/sources.list ]; then
            sed -nE 's/^deb(-src)? /deb-src /p' /etc/apt/sources.list >"$apt/parts/list.list"
        fi
        local own=(-o Dir::Etc::SourceList=/dev/null -o "Dir::Etc::SourceParts=$apt/parts"
            -o "Dir::State::Lists=$apt/lists" -o "Dir::Cache=$apt/cache")
        [ "$(id -u)" -ne 0 ] || own+=(-o APT::Sandbox::User=root)
        {
            timeout 120 apt-get -q "${own[@]}" update &&
                (cd "$folder" && timeout 120 apt-get -q "${own[@]}" --download-only \
                    --only-source source sundials) &&
                tar -C "$folder" -xf "$folder"/sundials_*.orig.tar.*
        } >"$folder/fetch.log" 2>&1 || return
        found=$(find "$folder" -mindepth 1 -maxdepth 1 -type d -name 'sundials-*' -print -quit)
    fi
    [ -n "$found" ] && printf '%s\n' "$found"
}

# What every build of it leaves out, and how it counts.
# shellcheck disable=SC2034 # used by those that source this
sundials_options=(-DBUILD_ARKODE=OFF -DBUILD_CVODES=OFF -DBUILD_IDA=OFF -DBUILD_IDAS=OFF
    -DEXAMPLES_ENABLE_C=OFF -DEXAMPLES_ENABLE_CXX=OFF -DEXAMPLES_INSTALL=OFF
    -DBUILD_SHARED_LIBS=OFF -DSUNDIALS_LOGGING_LEVEL=0)
