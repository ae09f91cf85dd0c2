#!/usr/bin/env bash
# install.sh GROUP...: installs what is missing of the named groups of packages.txt from Debian's packages.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
wanted=()
for group in "$@"; do
  while read -r package; do wanted+=("$package"); done < <(awk -F'|' -v g="$group" '
    !/^#/ { gsub(/ /, "", $1); gsub(/ /, "", $2); if ($1 == g) print $2 }' "$here/packages.txt")
done
missing=()
for package in "${wanted[@]}"; do
  state=$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null || true)
  [ "$state" = installed ] || missing+=("$package")
done
[ ${#missing[@]} -eq 0 ] && exit 0
as_root=()
if [ "$(id -u)" -ne 0 ]; then
  command -v sudo >/dev/null || {
    echo "These packages are missing and sudo is not here; ask your administrator for: ${missing[*]}" >&2; exit 1; }
  as_root=(sudo)
fi
echo "Installing from Debian: ${missing[*]}" >&2
# Waits for another package run to end instead of failing; never asks.
apt=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -o DPkg::Lock::Timeout=300 -q)
"${apt[@]}" update >&2
"${apt[@]}" install -y --no-install-recommends "${missing[@]}" >&2
