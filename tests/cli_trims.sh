#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# lowlift trims: the trims over an envelope, ranked, with the reason.
# shellcheck source=tests/cli.sh
source "$(dirname "$0")/cli.sh"
envelope=scenarios/envelope.yaml

run 0 trims --plot png --set 'run.duration=20 s' "$envelope"
is_empty err
matches out '^ +full +reduced +small$'
matches out '^  rank +2 \(in place\) +1 +3$'
matches out '^  verdict today +slamming +steady +steady$'
matches out '^  WARNING: trim small: the peak takes the pressure to .* psig, above the vessel limit of 125 psig$'
says out 'advice: fit reduced'
says out 'reduced passes the peak within the vessel limit'
says out 'lowlift sizes no relief device'
exists lowlift-out/envelope.trims.csv lowlift-out/envelope.trims.json \
    lowlift-out/envelope.trims.png
whole_summary lowlift-out/envelope.trims.json
says lowlift-out/envelope.trims.json '"advice": "fit"'
says lowlift-out/envelope.trims.json '"trim": "reduced"'
# A row for each trim at either end of the line pressure, all of one width.
tr -d '\r' <lowlift-out/envelope.trims.csv |
    awk -F, 'NR == 1 { n = NF } NF != n { exit 1 } END { if (NR != 7) exit 1 }' ||
    fail 'the table has not 6 rows of one width'
no_leftovers lowlift-out

# The same bytes on any number of threads.
narrow=(--trim reduced --lowest '100 Mscf/d' --peak '200 Mscf/d' --plot png)
run 0 trims "${narrow[@]}" --threads 1 --out one "$decline"
run 0 trims "${narrow[@]}" --threads 3 --out three "$decline"
for file in csv json png; do
    same "one/decline.trims.$file" "three/decline.trims.$file"
done

# An envelope by options, on a scenario that has none.
narrow=(--no-files --no-plot --quiet --lowest '100 Mscf/d')
run 0 trims "${narrow[@]}" --peak '200 Mscf/d' "$decline"
says out 'normal 150 Mscf/d'
says out 'advice: fit reduced'
run 0 trims "${narrow[@]}" --peak '6 MMscf/d' --trim reduced "$decline"
says out 'advice: none of these'
says out 'reduced comes nearest'
# The same trim under another name takes no parts either.
run 0 trims "${narrow[@]}" --peak '200 Mscf/d' --set 'trims.full.port=1.5 in' \
    --present reduced --kick '1 psi' --sketch "$decline"
matches out '^  rank +1 \(in place\) +2 \(in place\)$'
says out 'advice: leave it as it is'
says out 'kick that a steady trim must stand: 1 psi'
says out 'E marks the envelope'

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
run 2 trims
says err 'no scenario file named'
sed '/^trims:/,/^  small/d; s/^sense:/trims: {}\nsense:/; /^expect:/,$d' "$envelope" >none.yaml
run 3 trims none.yaml
says err 'trims: '
run 5 trims --out "$envelope" "$envelope"
finish
