# shellcheck shell=bash
# SPDX-License-Identifier: MIT
# Sourced by tests/cli_*.sh: the program under test, a folder of its own to work in with a copy of
# the scenarios and of the tests' own (`stiff`), and a few checks. Nothing here is a test.
set -uo pipefail
lowlift=${LOWLIFT_BINARY:-build/release/lowlift}
[[ $lowlift == /* ]] || lowlift=$PWD/$lowlift
[ -x "$lowlift" ] || { echo "no program $lowlift" >&2; exit 1; }
source_root=$(cd "${BASH_SOURCE[0]%/*}/.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp -r "$source_root/scenarios" "$work"
cp -r "$source_root/tests/scenarios" "$work/stiff"
cd "$work" || exit 1
export LC_ALL=C
failed=0
# shellcheck disable=SC2034 # used by those that source this
decline=stiff/decline.yaml

fail() {
    echo "$(basename "$0"): $*" >&2
    failed=1
}

# Run lowlift with arguments and compare its exit code; output in $work/out and $work/err.
run() { # CODE ARGUMENT...
    local wanted=$1 code=0
    shift
    "$lowlift" "$@" >"$work/out" 2>"$work/err" </dev/null || code=$?
    [ "$code" -eq "$wanted" ] || {
        fail "lowlift $*: exit code $code, expected $wanted"
        head -n 5 "$work/err" >&2
    }
}

# Without starting a program: it is asked some hundred times.
says() { # FILE TEXT
    local all=
    IFS= read -rd '' all <"$1" || true
    [[ $all == *"$2"* ]] || {
        fail "$(basename "$1") does not say '$2' but:"
        head -n 5 "$1" >&2
    }
}

# A message or a page is looked through here, as grep would; a long table is left to grep.
has_match() { # FILE EXTENDED-REGEX
    local line=
    local -a all
    mapfile -t -n 2001 all <"$1"
    if [ "${#all[@]}" -gt 2000 ]; then
        grep -qE -- "$2" "$1"
        return
    fi
    for line in "${all[@]}"; do
        [[ $line =~ $2 ]] && return
    done
    return 1
}

matches() { # FILE EXTENDED-REGEX
    has_match "$1" "$2" || {
        fail "$(basename "$1") has no line like '$2' but:"
        head -n 5 "$1" >&2
    }
}

# Number of line ends, as wc -l tells it, in $lines.
count_lines() { # FILE
    local -a all
    mapfile all <"$1"
    lines=${#all[@]}
    [ "$lines" -eq 0 ] || [[ ${all[-1]} == *$'\n' ]] || lines=$((lines - 1))
}

one_line() { # FILE WORDS
    count_lines "$1"
    [ "$lines" -eq 1 ] || fail "$2: not one line but $lines: $(cat "$1")"
}

is_empty() { # FILE
    [ ! -s "$1" ] || {
        fail "$(basename "$1") should be empty but says:"
        head -n 5 "$1" >&2
    }
}

same() { # FILE FILE
    cmp -s "$1" "$2" || fail "$1 and $2 differ"
}

exists() { # FILE...
    local file
    for file in "$@"; do
        [ -s "$file" ] || fail "$file is missing or empty"
    done
}

absent() { # FILE...
    local file
    for file in "$@"; do
        [ ! -e "$file" ] || fail "$file should not be there"
    done
}

# No file aside is left in a folder.
no_leftovers() { # FOLDER
    local left
    for left in "$1"/.lowlift-* "$1"/*/.lowlift-*; do
        [ ! -e "$left" ] || fail "left behind: $left"
    done
}

# A trace is whole: one number of columns, times that do not fall, a last line with its end.
whole_trace() { # FILE
    [[ $(tail -c 2 "$1" && echo .) == $'\r\n.' ]] || fail "$1 has no last line end"
    awk -F, '
        { sub(/\r$/, ""); sub(/"[^"]*"$/, "event") }
        NR == 1 { columns = NF; if ($1 != "time [s]" || $NF != "event") exit 1; next }
        NF != columns || $1 + 0 < last { exit 1 }
        { last = $1 + 0 }
        END { if (NR < 2) exit 1 }' "$1" || fail "$1 is no whole trace"
}

# A summary is whole JSON: braces end where the file does.
whole_summary() { # FILE
    [ "$(head -c 1 "$1")$(tail -n 1 "$1")" = '{}' ] || fail "$1 is no whole JSON"
}

finish() {
    exit "$failed"
}
