#!/usr/bin/env bash
# Installs what is missing, builds and runs every test. Ends with one line that counts them.
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
"$root/third_party/install.sh" build run test
build=$root/build/release
cd "$root"; mkdir -p "$root/build"
cmake --preset release -DKERFKILN_TESTS=ON ${KERFKILN_CMAKE_ARGS:-} >"$root/build/configure.log" 2>&1 || { cat "$root/build/configure.log" >&2; exit 1; }
cmake --build "$build" -j "${KERFKILN_JOBS:-2}" -- --quiet
results=$build/test-results
rm -rf "$results" && mkdir -p "$results"
status=0
GTEST_OUTPUT="xml:$results/" ctest --test-dir "$build" -j 2 --output-on-failure || status=$?
python3 "$root/tests/support/count_results.py" "$results" "$status"
