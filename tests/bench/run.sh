#!/usr/bin/env bash
# Installs what is missing, builds the benchmarks with the preset `bench` and runs them one after the other.
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
"$root/third_party/install.sh" build run test bench
cd "$root"
cmake --preset bench >/dev/null
cmake --build --preset bench
cmake --build build/bench --target bench
