#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# The pages in a headless Chromium: every shipped scenario against `lowlift run`, then sliders, keys
# and buttons driven by a script, and the printed page. Pictures of it all stay in build/page.
set -euo pipefail
cd "$(dirname "$0")/.."

tests/module.sh
lowlift=${LOWLIFT_BINARY:-$PWD/build/release/lowlift}
place=$PWD/build/page
rm -rf "$place" && mkdir -p "$place/runs"
for file in scenarios/*.yaml tests/scenarios/decline.yaml; do
    "$lowlift" page --quiet --out "$place" "$file" 2>/dev/null || {
        grep -q 'quantity: refusal' "$file" || {
            echo "no page of $file" >&2
            exit 1
        }
    }
done
"$lowlift" lesson --quiet --out "$place"
node tests/page/yaml.mjs "$place"
node tests/page/live.mjs "$lowlift" "$place"
node tests/page/lesson.mjs "$place"
"$lowlift" report --quiet --study stability --out "$place" tests/scenarios/decline.yaml
"$lowlift" jobcard --quiet --out "$place" scenarios/oversized.yaml
node tests/page/report.mjs "$place" decline.report oversized.jobcard
