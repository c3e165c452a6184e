#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Results come in the units that a file's own values are written in: flow, volume and pressure.
# shellcheck source=tests/cli.sh
source "${0%/*}/cli.sh"

# A heater whose owner counts scf/min, in3 and bar. Flow: 12.5 scf/min is 18 Mscf/d.
own=own.yaml
sed -e 's|18 Mscf/d|12.5 scf/min|; s|0.25 ft3|432 in3|; s|duration: 40 s|duration: 1 s|' \
    -e 's|90 psig|6.2 bar(g)|; s|40 psig|2.8 bar(g)|; s|-3 psi|-0.2 bar|' \
    "$source_root/tests/scenarios/fuel-gas-pilot.yaml" | sed '/^expect:/,$d' >$own
cat >>$own <<'END'
envelope: {lowest: 6 scf/min, peak: 14 scf/min}
decline: {kind: exponential, start: 2024-01-01, rate_start: 12.5 scf/min, annual: 20 %, basis: effective}
END

# In all that a command says and writes there is no other unit of these kinds.
in_own_units() { # COMMAND ARGUMENT...
    rm -rf lowlift-out
    run 0 "$@" --no-plot --out told $own
    local other='Mscf|Sm3|kg/[sh]|ft3|m3|psi|kPa'
    # (The JSON of a run repeats the field table's own texts.)
    ! grep -vE '"text": "(= |0 m3|14.696|870)' out told/* | grep -E "$other" || fail "lowlift $1 speaks in other units than its file"
    mv out said
    cat said told/* >all
    matches all "$expected"
    rm -rf told
}
expected='bar'
in_own_units run --trim full
expected='scf/min'
in_own_units stability --trim full
in_own_units map --linear --points 4x4
in_own_units kick --trim full --from '100 %' --to '150 %' --points 2
in_own_units trims
in_own_units decline
matches all 'produced since the first date \[scf\]'
in_own_units remedies --trim full --steps 1 --set 'run.duration=0.2 s' \
    --set 'start.kick_pressure=0 bar'
matches all 'vessel.volume from 432 in3 to [0-9.]+ in3'

expected='bar'
in_own_units compare
in_own_units uncertainty --trim full --draws 10
run 0 check $own


# What a user asks for wins; gas by the day is read in thousands; mixed units say nothing.
run 0 compare --no-files --no-plot --units us $own
matches out 'psi'
run 0 stability --no-plot --no-files --trim full --set 'inflow.rate=0.15 MMscf/d' $decline
matches out 'Mscf/d'
! grep -q MMscf out || fail 'a rate of gas is told in millions'
run 0 stability --no-plot --no-files --trim full --set 'demand.rate=0.018 MMscf/d' $own
matches out 'Mscf/d'

finish
