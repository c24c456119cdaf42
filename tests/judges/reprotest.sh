#!/usr/bin/env bash
# Same input, same bytes, as Debian's reprotest tries it: build path, clock, home, locale, time zone, umask, kernel, cores, order of files in folders, host name.
# Usage: reprotest.sh KITWRIGHT KIT. Each of its two runs builds with 1, 2 and 8 threads; the expected value is the first zip, compared byte by byte.
set -uo pipefail
tool=$(realpath "$1") kit=$(realpath "$2")
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cp -r "$(dirname "$kit")" "$scratch/kits"
name=$(basename "$kit")
# Other users and groups would have to be made first.
if (cd "$scratch" && reprotest --variations=+all,-user_group -c "
  for threads in 1 2 8; do RAYON_NUM_THREADS=\$threads '$tool' build 'kits/$name' --out made/\$threads --quiet || exit 1; done
  cmp made/1/*.zip made/2/*.zip && cmp made/1/*.zip made/8/*.zip" . 'made/*/*.zip' >"$scratch/log" 2>&1); then
  echo "  reprotest: $name is the same in 6 builds, $(grep -m1 -oE '^[0-9a-f]{64}' "$scratch/log")"
else
  tail -20 "$scratch/log"
  echo "  reprotest: COMPLAINT $name differs"
  exit 1
fi
