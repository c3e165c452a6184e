#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Installs what is missing, builds, and compares the full with the reduced port of a regulator on
# a separator. The pictures and tables go into demo-output/, and with them a live page: the model
# itself, to try in any browser.
set -euo pipefail
cd "$(dirname "$0")/.."

tests/setup.sh run
tests/sundials.sh
cmake --preset release -DLOWLIFT_TESTS=OFF
cmake --build --preset release --target lowlift
build/release/lowlift compare --out demo-output scenarios/oversized.yaml
build/release/lowlift page --out demo-output scenarios/oversized.yaml
