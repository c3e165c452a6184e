# SPDX-License-Identifier: MIT
# Completion of lowlift for bash. Names of fields, sections, verdicts and trims are asked of the
# program itself, so that they are those of the installed version. Needs no other package.

# Add the lines of standard input that begin with a text, quoted where they have blanks.
_lowlift_offer() {
    local line
    while IFS= read -r line; do
        if [[ $line == "$1"* ]]; then
            COMPREPLY+=("$(printf '%q' "$line")")
        fi
    done
}

# Add paths: folders, and scenarios unless only folders are wanted.
_lowlift_paths() { # word [d]
    local path
    compopt -o filenames 2>/dev/null
    while IFS= read -r path; do
        COMPREPLY+=("$path")
    done < <(
        compgen -d -- "$1"
        [[ ${2:-} == d ]] || compgen -f -- "$1" | grep -E '\.ya?ml$'
    )
}

# Trims of the scenarios named on the line.
_lowlift_trims() {
    local file
    for file in "${COMP_WORDS[@]}"; do
        if [[ $file =~ \.ya?ml$ && -f $file ]]; then
            "$program" check "$file" 2>/dev/null | sed -nE 's/^  trim ([^:]+):.*/\1/p'
        fi
    done | sort -u
}

# Value of an option; false when the word before is no option with a value.
_lowlift_value() {
    case $previous in
    --set)
        compopt -o nospace 2>/dev/null
        _lowlift_offer "$word" < <("$program" fields 2>/dev/null |
            sed -nE 's/^  ([a-z_]+\.[a-z_]+): .*/\1=/p')
        ;;
    --trim) _lowlift_offer "$word" < <(_lowlift_trims) ;;
    --worst)
        _lowlift_offer "$word" < <("$program" verdicts 2>/dev/null |
            sed -nE '/^$/q; s/^\| ([a-z ]+) \| [A-Z].*/\1/p')
        ;;
    --units) _lowlift_offer "$word" < <(printf '%s\n' us metric si) ;;
    --plot) _lowlift_offer "$word" < <(printf '%s\n' svg png) ;;
    --duty) _lowlift_offer "$word" < <(printf '%s\n' back-pressure reducing) ;;
    --actuation) _lowlift_offer "$word" < <(printf '%s\n' pilot direct) ;;
    --out)
        if [[ $command == starter ]]; then
            _lowlift_paths "$word"
        else
            _lowlift_paths "$word" d
        fi
        ;;
    --present) _lowlift_offer "$word" < <(_lowlift_trims) ;;
    --pressure-of) _lowlift_offer "$word" < <(printf '%s\n' line set) ;;
    --lowest | --normal | --peak | --pressure-low | --pressure-high | --kick | --until) ;;
    --points | --largest | --threads | --steps | --from | --to | --draws | --seed | --guesses | --together | --flows) ;;
    --across | --up)
        compopt -o nospace 2>/dev/null
        _lowlift_offer "$word" < <("$program" fields 2>/dev/null |
            sed -nE 's/^  ([a-z_]+\.[a-z_]+): .*/\1=/p')
        ;;
    --log) _lowlift_offer "$word" < <(printf '%s\n' across up both none) ;;
    --shape) _lowlift_offer "$word" < <(printf '%s\n' triangular uniform log-uniform) ;;
    --checkpoint) _lowlift_paths "$word" ;;
    --body | --reduced-port | --set-pressure | --flow | --vessel | --other-pressure) ;;
    --altitude | --limit) ;;
    *) return 1 ;;
    esac
}

_lowlift_options() {
    case $command in
    run | compare)
        printf '%s\n' --trim --set --units --out --no-files --no-plot --plot --sketch --tighter \
            --worst --inputs --quiet
        ;;
    trims)
        printf '%s\n' --lowest --normal --peak --pressure-low --pressure-high --pressure-of \
            --present --kick
        ;;
    stability) printf '%s\n' --from --to --points ;;
    map) printf '%s\n' --across --up --log --points --linear --fine --checkpoint ;;
    kick) printf '%s\n' --from --to --points --largest ;;
    decline) printf '%s\n' --until --kick ;;
    remedies) printf '%s\n' --kick --steps --from --to --checkpoint ;;
    uncertainty)
        printf '%s\n' --draws --seed --guesses --shape --together --flows --list --checkpoint
        ;;
    starter)
        printf '%s\n' --body --reduced-port --set-pressure --flow --vessel --other-pressure \
            --altitude --limit --lowest --peak --duty --actuation --out
        ;;
    check) printf '%s\n' --inputs ;;
    fields) printf '%s\n' --markdown --figures ;;
    esac
    case $command in
    stability | map | kick | trims | decline | remedies | uncertainty) # and what studies have in common
        printf '%s\n' --trim --set --units --out --no-files --no-plot --plot --sketch --threads \
            --quiet
        ;;
    esac
    echo --help
}

_lowlift() {
    local program=$1 word=$2 previous=$3 command=${COMP_WORDS[1]}
    COMPREPLY=()
    if [[ $COMP_CWORD -eq 1 ]]; then
        _lowlift_offer "$word" < <("$program" --help 2>/dev/null |
            sed -nE 's/^  ([a-z]+) .*/\1/p'
            printf '%s\n' --help --version)
    elif [[ ${COMP_WORDS[COMP_CWORD]} == = || $previous == = ]]; then
        return # a value with its unit
    elif _lowlift_value; then
        return
    elif [[ $word == -* ]]; then
        _lowlift_offer "$word" < <(_lowlift_options)
    else
        case $command in
        run | compare | stability | map | kick | trims | decline | remedies | uncertainty | check | \
            expect)
            _lowlift_paths "$word"
            ;;
        fields)
            _lowlift_offer "$word" < <("$program" fields 2>/dev/null |
                sed -nE 's/^([a-z_]+): .*/\1/p')
            ;;
        esac
    fi
}

complete -F _lowlift lowlift
