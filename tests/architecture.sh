#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# The house rules that a compiler does not know: models/ stands on libm alone, the core on little
# more, includes never turn upward from room to room, no calls run in a circle, public names tell
# where they live, files stay short and all are built. Starts few programs: each rule looks at all
# files in one go.
set -euo pipefail
cd "$(dirname "$0")/.."

# For each room of sim/ the rooms it may include, besides itself and base.
declare -A below=(
    [base]=""
    [maths]=""
    [units]=""
    [yaml]=""
    [answer]="units"
    [field]="units maths models"
    [hardware]="field units maths models"
    [scenario]="yaml field units maths models"
    [solve]="maths models"
    [judge]="maths"
    [run]="scenario field solve judge units maths models"
    [steady]="run scenario field solve judge units maths models"
    [library]="lowlift.h steady run scenario field solve judge units maths models"
    [page]="run yaml hardware scenario field solve units"
    [study]="steady answer run scenario field solve judge units maths models"
    [among]="study hardware steady answer run scenario field solve judge units maths models"
    [map]="study steady answer run scenario field solve judge units maths models"
    [trims]="among study steady answer run scenario field solve judge units maths models"
    [remedy]="among study steady answer run scenario field solve judge units maths models"
    [show]="answer units"
    [site]="among study answer steady run scenario field solve judge units maths models"
    [handout]="site show remedy trims study answer steady run scenario field solve judge units maths models"
    [shell]="lowlift.h library show study answer run scenario solve units models"
    [command]="lowlift.h library shell handout site show remedy trims map among study answer steady run scenario hardware field solve judge units maths models"
)
# Rooms whose files must not call each other in a circle.
no_circles="base maths units yaml answer field hardware scenario solve judge run steady study among map trims remedy site show library handout shell command"
# The source roots, so that a test of this test can point at a tree of its own.
root=${1:-.}

failed=0
fail() {
    echo "architecture: $*" >&2
    failed=1
}
fail_each() { # FINDINGS, one a line; a program that itself fails has ended the script before
    local line
    [ -z "$1" ] || while IFS= read -r line; do fail "$line"; done <<<"$1"
}

# --- Arrows point down: sim/'s rooms, then models/, then libm.

while IFS=: read -r file included; do
    room=${file#"$root"/sim/}
    room=${room%%/*}
    included=${included#*\"}
    included=${included%%\"*}
    target=${included%%/*}
    if [ -z "${below[$room]+there}" ]; then
        fail "$file lies in no room of the list in tests/architecture.sh"
    elif [[ " $room base ${below[$room]} " != *" $target "* ]]; then
        fail "$file includes $included: $room stands below $target, or beside it"
    fi
done < <(grep -roE '^#include "[^"]+"' "$root"/sim/*/ --include='*.[ch]')
findings=$(
    find "$root/sim" -maxdepth 1 -name '*.[ch]' -not -name 'lowlift.[ch]' -printf 'in no room: %p\n'
    grep -nE '#include ("\.\./|<(sundials|cvode|kinsol|nvector|stdio|stdlib))' "$root"/models/*.[ch] |
        sed 's/^/models reach outside: /' || true
    # What is said to people is cleaned for a terminal; errors of the library come cleaned.
    grep -nE '\b(fprintf|vfprintf|fputs|fputc|putc|fwrite|perror) ?\((stderr|.*, ?stderr\))|\bperror\(' \
        "$root"/sim/*/*.c | grep -vE '/base/progress\.c|fputs\(lowlift_errors\(' |
        sed 's/^/talks past base\/clean.h: /' || true
    # A precision counts bytes: what people read is cut between letters.
    grep -nE '%-?[0-9]*\.[0-9]+s' "$root"/sim/*/*.[ch] |
        sed 's/^/cuts letters, see clean_whole of base\/clean.h: /' || true
    grep -nE '#include "(\.\./)*tests/' "$root"/sim/*/*.[ch] | sed 's/^/sim includes a test: /' || true
    # What lowlift.h offers, the program has from there.
    grep -nE '\b(scenario_(load|load_text|open|change|override|check|warn|free)|simulate(_so)?) ?\(' \
        "$root"/sim/shell/*.c "$root"/sim/command/*.c | sed 's/^/goes past lowlift.h: /' || true
    awk -v root="$root/" '
        FNR == 1 && count > 400 { print last " is over 400 lines: split it by idea" }
        FNR == 1 && $0 != "// SPDX-License-Identifier: MIT" {
            print FILENAME " does not begin with its licence line"
        }
        { count = FNR; last = FILENAME }
        END { if (count > 400) print last " is over 400 lines: split it by idea" }
    ' "$root"/models/*.[ch] "$root"/sim/*/*.[ch]
    awk -v root="$root/" '
        FNR == NR { gsub(/[()]/, " "); for (i = 1; i <= NF; i++) listed[$i]; next }
        FNR == 1 && !(substr(FILENAME, length(root) + 1) in listed) {
            print FILENAME " is not in CMakeLists.txt"
        }
        { nextfile }
    ' "$root/CMakeLists.txt" "$root"/models/*.c "$root"/sim/*/*.c
)
fail_each "$findings"
[ "$root" = . ] || exit $failed

# --- What models/ imports

objects=$(mktemp -d)
trap 'rm -rf "$objects"' EXIT
# Compiled here, since sanitizers and coverage add imports of their own; as one, since starting a
# compiler takes longer than its work. Its debugging information tells which file a symbol is of.
printf '#include "%s"\n' "$PWD"/models/*.c | "${CC:-cc}" -std=c17 -O0 -g -fno-math-errno \
    -fno-stack-protector -x c - -c -o "$objects/models.o"
nm -g -l --format=posix "$objects/models.o" | awk -F '\t' '{
    file = $2; sub(/:[0-9]+$/, "", file); sub(/.*\//, "", file); sub(/\.[ch]$/, ".o:", file)
    print "models/" file " " $1 }' >"$objects/symbols"
[ "$(grep -c '^models/[a-z0-9_]*\.o: [a-z0-9_]* T ' "$objects/symbols")" -ge 100 ] ||
    fail "models/: its symbols are not found"
nm -D --defined-only --format=posix "$("${CC:-cc}" -print-file-name=libm.so.6)" |
    sed 's/[@ ].*//' >"$objects/libm"
findings=$(awk '
    FNR == NR { allowed[$1]; next }
    $3 != "U" { allowed[$2] }
    $3 == "U" { used[$1 " " $2] }
    END {
        split("memcpy memmove memset _GLOBAL_OFFSET_TABLE_", more, " ")
        for (i in more) allowed[more[i]]
        for (key in used) {
            split(key, part, " ")
            sub(/\.o:$/, ".c", part[1])
            if (!(part[2] in allowed)) print part[1] " uses " part[2] ": not in libm"
        }
    }' "$objects/libm" "$objects/symbols")
fail_each "$findings"

# --- What the core imports: itself, its three seams, SUNDIALS, libm, and of the C library memory,
# texts, numbers and writing to a stream that is open; no files, no signals, no other library.

build=${LOWLIFT_BUILD:-build/release}
# Only what is built today: objects of files that are gone may still lie about.
for part in lowlift_core lowlift_sim; do
    for source in sim/*/*.c; do
        object="$build/CMakeFiles/$part.dir/$source.o"
        [ ! -f "$object" ] || printf '%s\0' "$object"
    done | xargs -0 -r nm -A --format=posix |
        sed "s|^$build/CMakeFiles/$part.dir/||; s|\.c\.o:|.o:|" >"$objects/$part-all"
    grep -E '^[^ ]+ [^ ]+ [A-Zuvwi] ' "$objects/$part-all" >"$objects/$part" || true
    cat "$objects/$part" >>"$objects/symbols"
done
findings=$(awk '
    FNR == NR { allowed[$1]; next }
    FILENAME ~ /symbols$/ && ($1 ~ /^models\//) && $3 != "U" { allowed[$2]; next }
    FILENAME ~ /symbols$/ { next }
    $3 != "U" { allowed[$2] }
    $3 == "U" { used[$1 " " $2] }
    END {
        split("eigenvalues_find scenario_read_file yaml_tree_read " \
              "abort calloc free malloc qsort realloc snprintf vsnprintf strtod " \
              "memcpy memmove memset memchr memcmp strchr strcmp strcspn strlen strncmp strrchr " \
              "strspn strstr newlocale uselocale freelocale " \
              "ferror fprintf fputc fputs fwrite stderr __ctype_b_loc __ctype_tolower_loc " \
              "__assert_fail _GLOBAL_OFFSET_TABLE_", more, " ")
        for (i in more) allowed[more[i]]
        for (key in used) {
            split(key, part, " ")
            sub(/\.o:$/, ".c", part[1])
            sub(/@.*/, "", part[2])
            # Sanitizers, coverage and hardening compilers add names of their own.
            if (part[2] ~ /^(CV|KIN|N_V|SUN)|^__(asan|ubsan|gcov|stack_chk|.*_chk$)/) continue
            if (!(part[2] in allowed)) print part[1] " uses " part[2] ": not for the core"
        }
    }' "$objects/libm" "$objects/symbols" "$objects/lowlift_core")
fail_each "$findings"

# --- What belongs to the whole process is nobody's, but for the program's own shell: two programs may
# be one process.

findings=$(awk '
    BEGIN {
        split("setlocale signal sigaction sigprocmask pthread_sigmask umask chdir fchdir putenv setenv " \
              "unsetenv clearenv srand srandom rand random strtok localtime gmtime ctime asctime tmpnam " \
              "system popen exit _exit quick_exit atexit abort fork vfork posix_spawnp setrlimit " \
              "fesetround feenableexcept", list, " ")
        for (i in list) whole[list[i]]
        own["sim/shell/interruption.o: sigaction"]; own["sim/shell/interruption.o: pthread_sigmask"]
        own["sim/show/plot_process.o: pthread_sigmask"]; own["sim/show/plot_process.o: posix_spawnp"]
    }
    $3 == "U" {
        sub(/@.*/, "", $2)
        if ($2 in whole && !(($1 " " $2) in own)) print $1 " calls " $2 ", which changes the process"
    }' "$objects/symbols" | sed 's/\.o:/.c/')
fail_each "$findings"

# --- Nothing is kept between calls: of what can be written to, one thing is in the library (that a
# signal came, which only the program notes), the rest is the program's own; which process of several
# it is, in a build with MPI.

# Sanitizers and coverage put counters and descriptions there.
if ! grep -qE '^LOWLIFT_(SANITIZE|COVERAGE):BOOL=ON' "$build/CMakeCache.txt" 2>/dev/null; then
    kept=$(awk '$2 !~ /^\.gomp/ && ($3 == "b" || $3 == "B" || $3 == "C") {
        sub(/\.o:/, ".c", $1); sub(/\.[0-9]+$/, "", $2)
        sub(/^[a-z0-9_]+\./, "", $2) # of a function, as clang calls it
        print $1 " " $2 ": kept between calls" }' "$objects/lowlift_core-all" "$objects/lowlift_sim-all" |
        LC_ALL=C sort)
    fail_each "$(LC_ALL=C comm -13 - <(echo "$kept") <<'END'
sim/base/atomic_file.c names: kept between calls
sim/base/atomic_file.c registry: kept between calls
sim/base/ranks.c alone: kept between calls
sim/base/ranks.c own: kept between calls
sim/base/ranks.c together: kept between calls
sim/shell/interruption.c first_time: kept between calls
sim/shell/request.c dashed: kept between calls
sim/show/plot_process.c folder: kept between calls
sim/show/plot_process.c names: kept between calls
sim/show/plot_process.c running: kept between calls
sim/solve/integrate.c interrupted: kept between calls
END
    )"
fi

# --- A public name begins with a word of its file's name, or of a header that the file includes, or
# with a word of the name of a struct that such a header defines.

findings=$(printf '%s\n' models/*.h sim/*/*.h | sed 's|.*/||' | sort | uniq -d |
    sed 's/^/two headers are called /')
fail_each "$findings"
findings=$(awk '
    function add(file, name,   part, count, i) { # the words of a name
        count = split(name, part, "_")
        for (i = 1; i <= count; i++) words[file " " part[i]]
    }
    FNR == 1 {
        file = FILENAME
        name = file; sub(/.*\//, "", name); own = name; sub(/\.[ch]$/, "", own)
        if (name ~ /\.h$/) add(name, own)
    }
    FILENAME ~ /\.h$/ && /^(struct|enum) [a-z0-9_]+ \{/ { add(name, $2) }
    FILENAME ~ /\.c$/ && /^#include "/ {
        header = $2; gsub(/"/, "", header); sub(/.*\//, "", header)
        included[file] = included[file] " " header
    }
    FILENAME ~ /symbols$/ && $3 != "U" && $2 !~ /^[_.]/ {
        source = $1; sub(/\.o:$/, ".c", source)
        own = source; sub(/.*\//, "", own); sub(/\.c$/, "", own)
        first = $2; sub(/_.*/, "", first)
        good = ("_" own "_") ~ ("_" first "_")
        count = split(included[source], list, " ")
        for (i = 1; i <= count && !good; i++) good = (list[i] " " first) in words
        if (!good) print source ": public name " $2 " tells nothing of where it lives"
    }' models/*.[ch] sim/*/*.[ch] "$objects/symbols")
fail_each "$findings"

# --- No calls in a circle: a header and its .c are one file.

awk -v rooms=" $no_circles " '
    $1 ~ /^sim\// {
        file = $1; sub(/^sim\//, "", file); sub(/\.o:$/, "", file)
        room = file; sub(/\/.*/, "", room)
        if (index(rooms, " " room " ") == 0) next
        if ($3 == "U") uses[file " " $2]
        else home[$2] = file
    }
    END {
        for (key in uses) {
            split(key, part, " ")
            if (part[2] in home && home[part[2]] != part[1]) print part[1], home[part[2]]
        }
    }' "$objects/symbols" | sort -u >"$objects/calls"
circle=$({ tsort "$objects/calls" 2>&1 >/dev/null || true; } | sed '/contains a loop/d; s/^tsort: //' |
    sort -u | paste -sd' ')
[ -z "$circle" ] || fail "files of sim/ call each other in a circle: $circle"
exit $failed
