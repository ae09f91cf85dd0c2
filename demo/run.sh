#!/usr/bin/env bash
# Installs what is missing, builds the programs and writes the packets of the demo designs.
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
"$root/third_party/install.sh" build run
cd "$root"
mkdir -p build
cmake --preset release >build/configure.log 2>&1 || { cat build/configure.log >&2; exit 1; }
cmake --build build/release -j "${KERFKILN_JOBS:-2}" --target kerfkiln kerfkiln-viewer -- --quiet
bin=$root/build/release/bin
out=${1:-$root/demo/out}
mkdir -p "$out"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
main='core.volume|core.mass|glue.area|total.mass|fired.capacity|fired.mass|oversize.factor|cavity.height|thrown.height'
for design in "$root"/demo/*.json; do
  name=$(basename "$design" .json)
  echo
  "$bin/kerfkiln" packet "$design" --out "$out/$name" >"$log" 2>&1 || { cat "$log" >&2; exit 1; }
  # The main figures; the job sheet and figures.json have them all.
  "$bin/kerfkiln" figures "$design" 2>/dev/null | grep -E "^[^ ]|^  ($main) "
done
cat <<EOF

The packets are in $out
  job sheet      $out/*/job-sheet.pdf
  change a design in the viewer:
$(for design in "$root"/demo/*.json; do echo "    $bin/kerfkiln-viewer $design"; done)
EOF
