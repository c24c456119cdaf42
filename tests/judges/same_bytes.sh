#!/usr/bin/env bash
# Same input, same bytes: a kit built in other folders, time zones, locales, thread counts and umasks gives the same zip.
# Usage: same_bytes.sh KITWRIGHT KIT. The expected value is the first zip itself, compared byte by byte by cmp.
set -euo pipefail
tool=$(realpath "$1") kit=$(realpath "$2")
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

# made FOLDER ZONE LOCALE THREADS UMASK: a copy of all kits (one may share settings with its neighbours) and a build in it.
made() {
  mkdir -p "$scratch/$1"
  cp -r "$(dirname "$kit")/." "$scratch/$1/"
  (umask "$5" && cd "$scratch/$1" && TZ=$2 LC_ALL=$3 LANG=$3 RAYON_NUM_THREADS=$4 HOME=$scratch/$1 \
    "$tool" build "$(basename "$kit")" --out "$scratch/$1/made" --quiet >/dev/null)
  ls "$scratch/$1/made"/*.zip
}

first=$(made a UTC C 1 022)
for other in "b/deeper Pacific/Kiritimati C.UTF-8 2 077" "ç/ü America/St_Johns tr_TR.UTF-8 8 000" "d/again Asia/Kathmandu ar_EG.UTF-8 3 027"; do
  # shellcheck disable=SC2086
  zip=$(made $other)
  cmp "$first" "$zip" || { echo "  same_bytes: COMPLAINT $(basename "$kit") differs with: $other"; exit 1; }
done
echo "  same_bytes: $(basename "$kit") is the same in 4 builds, $(stat -c %s "$first") bytes"
