#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Titles, names, names of files and words of gnuplot that would steer a terminal, turn the direction of
# writing, end an element of XML or be run by a spreadsheet: what every command prints and writes is
# text, and valid where a standard says what is. Sources: RFC 3629, RFC 8259, XML 1.0.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

# The escapes are YAML's: control sequences, U+009B, U+202E, U+2066, U+2028, U+FFFF, half a pair.
# shellcheck disable=SC2016 # as it is written
title='"=cmd|x \e[31mred\e]0;owned\a \u009b2J \u202Etxt.exe \u2066x \u2028 ]]> \uFFFF <b>&amp; \" '"'"' `x` %s"'
evil=$'folder/e\e[31mv\xe2\x80\xaeil\xff<b>]]>.yaml'
mkdir folder
{ printf 'title: %s\n' "$title"; sed '/^title:/d; /^expect:/,$d' "$decline"; } >"$evil"
{ cat "$evil"; printf 'expect:\n  - {trim: full, quantity: verdict, value: "ste\\e[31mady"}\n'; } >expected.yaml

kept=0
try() { # ARGUMENT...: whatever it answers, out and err are kept
    local code=0
    "$lowlift" "$@" >"said.$kept.out" 2>"said.$kept.err" </dev/null || code=$?
    kept=$((kept + 1))
    [ "$code" -lt 10 ] || fail "lowlift $*: exit code $code"
}
short=(--set 'run.duration=1 s')
odd=$'o\e[3mut\xe2\x80\xae'

try run --sketch --out "$odd" "${short[@]}" "$evil"
try compare --out "$odd" "${short[@]}" "$evil"
try check --inputs "$evil"
try expect expected.yaml
try stability --points 2 --trim reduced --from 0.1MMscf/d --to 0.2MMscf/d --out "$odd" "$evil"
try map --linear --points 2x2 --out "$odd" "$evil"
try waves --no-plot --trim full --out "$odd" "${short[@]}" "$evil"
try page --out "$odd" "${short[@]}" "$evil"
try report --out "$odd" "${short[@]}" --trim full "$evil"
[ "$(find "$odd" -type f | wc -l)" -ge 14 ] || fail "too few files: $(ls "$odd")"

# Each way in which a message repeats what was typed.
bad=$'\e[31mX\xe2\x80\xae\n\xff'
try "$bad"
try run "$bad"
try run "--$bad" "$evil"
try run --plot "$bad" "$evil"
try run --trim "$bad" "$evil"
try run --set "$bad" "$evil"
try run --set "$bad=3 ft" "$evil"
try run --set "title=$bad" --quiet --no-files --no-plot "${short[@]}" "$evil"
try run --set "vessel.volume=$bad" "$evil"
try run --worst "$bad" "$evil"
try run --out "/proc/$bad" "$evil"
try map --across "$bad" "$evil"
try map --checkpoint "/proc/$bad" --points 2x2 "$evil"
try compare --draws "$bad" "$evil"
try decline --until "$bad" scenarios/envelope.yaml
try record "$bad"
try fields "$bad"
try verdicts "$bad"
try report --study "$bad" "$evil"
try starter --body "$bad" --set-pressure "$bad" --flow "$bad" --vessel "$bad"
printf 'trims:\n  "a\\e[31m": {}\nvessel:\n  "vol\\e[31mume": 3\n%s: 4\n' $'\xe2\x80\xae' >keys.yaml
try check keys.yaml
printf 'time [s],"p\e[31m [psig]"\n1,2\nx\e[31m,3\n' >odd.csv
try record odd.csv
mkdir -p fake && printf '#!/bin/sh\nprintf "\\033[31mbroken \\342\\200\\256\\n" >&2\nexit 1\n' >fake/gnuplot
chmod +x fake/gnuplot
PATH="$work/fake:$PATH" try run --no-files "${short[@]}" "$evil"
says "said.$((kept - 1)).err" 'gnuplot failed:  [31mbroken ?'

python3 - "$odd" said.* <<'END_PYTHON' || fail 'see above'
import glob, json, os, sys, unicodedata, xml.parsers.expat

def wrong(path, words):
    print(f'cli_hostile.sh: {path!a}: {words}', file=sys.stderr)
    wrong.any = True
wrong.any = False

def text_of(path):
    with open(path, 'rb') as file:
        data = file.read()
    try:
        return data.decode('utf-8')
    except UnicodeDecodeError as error:
        wrong(path, error)
        return ''

def check_plain(path, text, allowed='\n'):
    for letter in set(text) - set(allowed):
        if unicodedata.category(letter) in ('Cc', 'Cf', 'Zl', 'Zp', 'Cn'):
            at = text.index(letter)
            wrong(path, f'holds U+{ord(letter):04X}: {text[max(0, at - 30):at + 10]!a}')

count = {}
for path in sys.argv[2:]:
    check_plain(path, text_of(path))
    for line in text_of(path).split('\n')[:-1]:
        if path.endswith('.err') and ': ' not in line:
            wrong(path, 'what was typed ends a line: ' + line)
for name in os.listdir(os.fsencode(sys.argv[1])):
    path = os.path.join(os.fsencode(sys.argv[1]), name)
    kind = path.rsplit(b'.', 1)[-1].decode()
    count[kind] = count.get(kind, 0) + 1
    text = text_of(path)
    if kind == 'json':
        json.loads(text)
        text.encode('ascii')
    else:
        check_plain(path, text, '\r\n\t')
    if kind == 'svg':
        titles = []
        parser = xml.parsers.expat.ParserCreate()
        parser.StartElementHandler = lambda name, attributes: titles.append(name)
        parser.Parse(text, True)
        if titles.count('title') != 1 or 'using' in text.split('<title>')[1].split('</title>')[0]:
            wrong(path, 'titles of its parts are shown as tooltips')
    if kind == 'csv' and (text.startswith('=') or ',=' in text):
        wrong(path, 'holds a formula')
for kind, least in {'svg': 4, 'json': 4, 'csv': 5, 'html': 2}.items():
    if count.get(kind, 0) < least:
        wrong(sys.argv[1], f'only {count.get(kind, 0)} {kind}')
sys.exit(wrong.any)
END_PYTHON
finish
