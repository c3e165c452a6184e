#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# lowlift record: an invented log of the main demo says again what the demo does.
# shellcheck source=tests/cli.sh
source "$(dirname "$0")/cli.sh"

log=scenarios/logged-pressure.csv
run 0 record "$log"
is_empty err
says out 'what it shows: repeating'
says out 'straight rises'
says out 'lowlift sizes no relief device'
# The run it was made from swings by 11.05 psi at 0.3828 Hz; gauge and noise take 0.15 psi.
matches out 'swing, of half the cycles more +1[01]\.?[0-9]* psi'
matches out 'frequency +0\.38[23][0-9]? Hz'
exists lowlift-out/logged-pressure.record.{json,svg}
whole_summary lowlift-out/logged-pressure.record.json
says lowlift-out/logged-pressure.record.json '"frequency"'
no_leftovers lowlift-out
run 0 record --out again "$log"
for file in json svg; do same "lowlift-out/logged-pressure.record.$file" "again/logged-pressure.record.$file"; done

# Every thirtieth sample only: it must not be believed.
awk 'NR < 3 || NR % 30 == 0' "$log" >slow.csv
run 0 record --no-files --no-plot slow.csv
says out 'WARNING: sampled too slowly'

# Shut in, and a unit that does not say gauge or absolute.
sed 's/psig/psi/' "$log" >unsaid.csv
run 3 record unsaid.csv
matches err '^unsaid\.csv:2:6: Vessel pressure: found .psi.; allowed .*psig or psia'
one_line err record
run 0 record --unit psig --no-files --no-plot unsaid.csv
run 2 record
run 2 record "$log" "$log"
run 3 record no-such.csv
run 2 record --dates year-first "$log"
says err 'allowed month-first, day-first'
run 2 record --rest '1 psig' "$log"
says err '--rest'
finish
