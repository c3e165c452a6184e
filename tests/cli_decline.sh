#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# lowlift decline: dates on which the flow leaves the window of each trim.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"
envelope=stiff/envelope.yaml

# A record: the law chosen, the dates with their interval, the part behind dated too.
short=(--set 'run.duration=10 s')
run 0 decline --set 'run.duration=20 s' "$envelope"
is_empty err
matches out '^  full +[0-9]+ +[0-9.]+ +[0-9]+ +hunting +[0-9]+ +slamming +[0-9]+$'
matches out '^  reduced .* shut +[0-9]+$'
says out 'within 90 % of its travel and the vessel limit'
matches out '^  kick that must die out: 3 psi$'
says out "set screw: turned at 150 Mscf/d, the scenario's first flow; left there"
matches out '^  decline: hyperbolic, b 0\.[12]'
matches out '^  fitted to 81 rates from 2019-01-01 to 2025-12-01, 3 without flow left out'
says out 'why this law: lowest corrected Akaike criterion'
matches out '^  full: outside: left its window 2019-[0-9-]+, and .* since 20(19|20)-[0-9]{2}-[0-9]{2}$'
matches out '^  reduced: in its window; leaves it 20[0-9-]+ \(95 %: 20[0-9-]+ to 20[0-9-]+\)$'
exists lowlift-out/envelope.decline.csv lowlift-out/envelope.decline.rates.csv \
    lowlift-out/envelope.decline.json lowlift-out/envelope.decline.svg
whole_summary lowlift-out/envelope.decline.json
says lowlift-out/envelope.decline.json '"law": "hyperbolic"'
says lowlift-out/envelope.decline.json '"corrected_akaike"'
# One event, one date: in words, table, summary and picture.
left=$(sed -nE 's/^  full: outside: left its window ([0-9-]+),.*/\1/p' out)
[ -n "$left" ] || fail 'no date on which the full port left its window'
says lowlift-out/envelope.decline.csv ",already,$left,"
says lowlift-out/envelope.decline.json "\"leaves_its_window_date\": \"$left\""
says lowlift-out/envelope.decline.svg ">$left<"
[ "$(wc -l <lowlift-out/envelope.decline.csv)" -eq 4 ] || fail 'the table has not 3 rows'
matches lowlift-out/envelope.decline.rates.csv '^2019-02-01,'
matches lowlift-out/envelope.decline.rates.csv '^2055-12-01,'
no_leftovers lowlift-out

# A stated decline. E: 150 falling to the lowest flow of the reduced port, as the table prints it,
# by 20 % a year takes ln(150/lowest)/-ln(0.8) years from 2026-01-01.
stated=(--set decline.kind=exponential --set decline.start=2026-01-01
    --set 'decline.rate_start=0.15 MMscf/d' --set 'decline.annual=20 %'
    --set decline.basis=effective "${short[@]}")
run 0 decline --trim reduced --plot png --threads 1 --out one "${stated[@]}" "$decline"
tr -d '\r' <one/decline.decline.csv | awk -F, 'NR == 2 { print $5, $18 }' >row
read -r lowest date <row
expected=$(awk -v q="$lowest" 'BEGIN { printf "%d", 365.25 * log(150 / q) / -log(0.8) }')
[ "$(date -u -d "2026-01-01 + $expected days" +%F)" = "$date" ] ||
    fail "leaves on $date, but $expected days after 2026-01-01 were expected"

# The same bytes again, whatever the number of threads, and whether it is drawn in the terminal too.
run 0 decline --trim reduced --plot png --sketch --quiet --threads 3 --out three "${stated[@]}" "$decline"
says out 'lowest steady when kicked'
for file in csv rates.csv json png; do
    same "one/decline.decline.$file" "three/decline.decline.$file"
done

# It may not cross while anyone looks.
run 0 decline --trim reduced --no-files --no-plot --until 2030-01-01 "${stated[@]}" "$decline"
says out 'in its window; leaves it not before 2030-01-01'
# Too small at first, then in its window.
run 0 decline --trim small --no-files --no-plot --set 'run.duration=20 s' --set decline.record= --set decline.kind=harmonic \
    --set decline.start=2020-02-29 --set 'decline.rate_start=2 MMscf/d' \
    --set 'decline.annual=150 %' --set decline.basis=nominal "$envelope"
matches out '^  small: too small today; passes the flow from 20[0-9-]+ on, and leaves its window '
# Between what it is steady at left alone and kicked.
run 0 decline --trim full --no-files --no-plot "${stated[@]}" --set 'decline.rate_start=3.2 MMscf/d' "$decline"
matches out '^  full: steady only until something disturbs it; moves by itself from 2026-[0-9-]+ on$'

# What cannot be asked.
run 3 decline "$decline"
says err "$decline:1:1: decline: is missing"
run 3 decline --set decline.kind=exponential "$decline"
says err 'decline.basis: is missing; say whether'
run 3 decline --set decline.record=nowhere.csv "$envelope"
says err 'nowhere.csv'
printf 'date,rate [MMscf/d]\n2020-01-01,1\n2020-01-32,1\n' >stiff/bad.csv
run 3 decline --set decline.record=bad.csv "$envelope"
says err "stiff/bad.csv:3:1: decline.record: found '2020-01-32'; allowed days 01 to 31"
{ echo 'date,rate [Mscf/d]' && seq -f '2020-01-0%g,1' 8 | awk -F, '{ print $1 "," NR }'; } \
    >stiff/rising.csv
run 3 decline --set decline.record=rising.csv "$envelope"
says err 'the rates do not fall'
run 2 decline --until yesterday "$envelope"
says err 'YYYY-MM-DD'
run 2 decline --until 2020-01-01 "$envelope"
says err 'allowed a date after 2025-12-01'
run 2 decline --kick '-1 psi' "$envelope"
says err '--kick'
run 5 decline --trim small "${short[@]}" --out "$envelope" "$envelope"
finish
