#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# lowlift trims: the trims over an envelope, ranked, with the reason.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"
envelope=stiff/envelope.yaml

# Short runs and one pressure of the line: what is tested is what is said.
short=(--set 'run.duration=10 s')
run 0 trims --plot png "${short[@]}" --pressure-high '10 psig' "$envelope"
is_empty err
matches out '^  trim +full +reduced +small$'
matches out '^  rank +2 \(in place\) +1 +3$'
matches out '^  verdict today +slamming +steady +steady$'
matches out '^  WARNING: trim small: the peak settles at .* psig, above the vessel limit of 125 psig$'
matches out '^  settled pressure at the peak( +[0-9.]+ psig){3}$'
matches out '^  settled pressure there( +[0-9.]+ psig){3}$'
matches out '^  below it a kick leads to +(hunting|slamming) +shut +(shut|-)$'
matches out '^  below that a kick leads to +(hunting|slamming) +shut +(shut|-)$'
matches out '^  lowest steady flow, kicked( +([0-9.]+ Mscf/d|none)){3}$'
matches out '^  kick that must die out: 3 psi$'
says out "set screw: turned at 150 Mscf/d, the scenario's first flow; left there"
says out 'the gas that the pilot uses'
says out 'advice: fit reduced'
says out 'reduced passes the peak within 90 % of its travel and the vessel limit'
says out 'lowlift sizes no relief device'
exists lowlift-out/envelope.trims.csv lowlift-out/envelope.trims.json \
    lowlift-out/envelope.trims.png
whole_summary lowlift-out/envelope.trims.json
says lowlift-out/envelope.trims.json '"advice": "fit"'
says lowlift-out/envelope.trims.json '"trim": "reduced"'
says lowlift-out/envelope.trims.json '"settled_pressure_at_the_peak"'
says lowlift-out/envelope.trims.json '"below_lowest_kicked": "shut"'
says lowlift-out/envelope.trims.json '"margin"'
says lowlift-out/envelope.trims.json 'the peak settles at'
rows_of_one_width() { # FILE ROWS
    tr -d '\r' <"$1" |
        awk -F, -v rows="$2" '{ gsub(/"[^"]*"/, "quoted") } NR == 1 { n = NF } NF != n { exit 1 } END { exit NR != rows }' ||
        fail "$1 has not $2 rows of one width"
}
rows_of_one_width lowlift-out/envelope.trims.csv 4
says lowlift-out/envelope.trims.csv 'settled pressure at the peak [psig]'
rows_of_one_width lowlift-out/envelope.trims.windows.csv 4
rows_of_one_width lowlift-out/envelope.trims.points.csv 10
matches lowlift-out/envelope.trims.points.csv '^small,10,,peak,1500,100,[0-9.]+,wide open,'
no_leftovers lowlift-out

# An envelope by options, on a scenario that has none. The same bytes on any number of threads; a row
# for either end of the line pressure.
narrow=(--trim reduced --present full --lowest '100 Mscf/d' --peak '200 Mscf/d' --no-plot "${short[@]}"
    --pressure-low '10 psig' --pressure-high '20 psig')
run 0 trims "${narrow[@]}" --threads 1 --out one "$decline"
says out 'normal 150 Mscf/d'
says out 'advice: fit reduced'
run 0 trims "${narrow[@]}" --threads 3 --out three "$decline"
for file in csv windows.csv points.csv json; do
    same "one/decline.trims.$file" "three/decline.trims.$file"
done
rows_of_one_width one/decline.trims.csv 2
rows_of_one_width one/decline.trims.windows.csv 3
rows_of_one_width one/decline.trims.points.csv 7
# What an option says holds for the study too, which opens the scenario anew: set pressures.
run 0 trims --trim reduced --lowest '100 Mscf/d' --peak '200 Mscf/d' --pressure-of set --no-plot \
    --quiet "${short[@]}" --pressure-low '40 psig' --pressure-high '60 psig' --out set "$decline"
says out 'set pressure 40 psig to 60 psig'
says out "the scenario's first flow (anew at each set pressure)"
matches set/decline.trims.points.csv '^reduced,,40,normal,150,[0-9.]+,(39|40)'
matches set/decline.trims.points.csv '^reduced,,60,normal,150,[0-9.]+,(59|60)'

# None of them passes the peak. What is said of ports and flows needs shorter runs still.
narrow=(--no-files --no-plot --quiet --lowest '100 Mscf/d' --set 'run.duration=5 s')
run 0 trims "${narrow[@]}" --peak '6 MMscf/d' --trim reduced "$decline"
says out 'advice: none of these'
says out 'reduced comes nearest'
# The same trim under another name takes no parts either.
run 0 trims "${narrow[@]}" --peak '200 Mscf/d' --set 'trims.full.port=1.5 in' \
    --present reduced --kick '1 psi' --sketch "$decline"
matches out '^  rank +1 \(in place\) +2 \(in place\)$'
says out 'advice: leave it as it is'
says out 'kick that must die out: 1 psi'
says out 'E marks the envelope'
# A port that hardly differs has no more than enough: nobody buys it. Long names stand in full, a
# limit that is not given is not spoken of, a normal flow elsewhere is.
sed -e '/pressure_limit/d; s/full: {port: 2.9 in}/inch-and-quarter-fitted: {port: 1.4 in}/' \
    -e '/^expect:/,$d' "$decline" >scenarios/close.yaml
run 0 trims "${narrow[@]}" --normal '120 Mscf/d' --peak '200 Mscf/d' scenarios/close.yaml
says out 'advice: leave it as it is'
says out 'enough.'
matches out '^  trim +inch-and-quarter-fitted +reduced$'
says out "--set inflow.rate='120 Mscf/d'"
grep -q 'vessel limit' out && fail 'a vessel limit is spoken of'

# What cannot be asked.
run 3 trims "$decline"
says err "$decline:1:1: envelope: is missing"
run 3 trims --lowest '50 Mscf/d' "$decline"
says err 'envelope.peak: is missing'
run 3 trims --lowest '2 MMscf/d' --peak '1 MMscf/d' "$decline"
says err "envelope.peak: found '1 MMscf/d'; must be above envelope.lowest, '2 MMscf/d'"
run 3 trims --pressure-low '20 psig' --pressure-high '10 psig' "$envelope"
says err 'must not be below envelope.pressure_low'
run 3 trims --present smal "$envelope"
says err 'did you mean small?'
run 3 trims --lowest '5 psig' "$envelope"
says err 'unit of flow'
run 2 trims --kick '0 psi' "$envelope"
says err '--kick'
run 3 trims --pressure-of lines "$envelope"
says err 'envelope.pressure_of'
run 2 trims
says err 'no scenario file named'
sed '/^trims:/,/^  small/d; s/^sense:/trims: {}\nsense:/; /^expect:/,$d' "$envelope" >none.yaml
run 3 trims none.yaml
says err 'trims: '
run 5 trims "${narrow[@]:2}" --peak '200 Mscf/d' --trim reduced --out "$envelope" "$decline"
finish
