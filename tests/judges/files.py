"""The zip as files: four other readers accept it, names suit every system, checksums are complete and right.

Expected values: SHA256SUMS in the form of `sha256sum` (GNU coreutils); forbidden names and characters: Microsoft's "Naming
Files, Paths, and Namespaces" (from memory); compression 0 and 8 only: APPNOTE.TXT 4.4.5 (from memory; what every reader knows).
"""

import hashlib
import json
import re
import zipfile

from common import main, run

DEVICES = {"con", "prn", "aux", "nul", *(f"{kind}{n}" for kind in ("com", "lpt") for n in range(1, 10))}
SUMS = "SHA256SUMS"


def judge(package, report):
    """All checks of the zip and of what it holds."""
    other_readers(package.zip, report)
    with zipfile.ZipFile(package.zip) as archive:
        entries = archive.infolist()
    names(entries, report)
    sums(package.folder, {e.filename for e in entries}, report)
    promised_files(package, report)


def other_readers(path, report):
    """unzip, 7-Zip, libarchive and Python each read every entry and check its CRC."""
    for command in (("unzip", "-tqq", path), ("7z", "t", "-bso0", "-bsp0", path), ("bsdtar", "-xOf", path), ("python3", "-m", "zipfile", "-t", path)):
        code, out, err = run(*command)
        said = "" if command[0] in ("bsdtar", "python3") else out
        report.expect(code == 0 and not err.strip() and not said.strip(), f"{command[0]}: {(err or out).strip()[-300:]} (code {code})")


def names(entries, report):
    """Entries are sorted, plain files at the top level, with one time stamp, one mode and names that any system takes."""
    found = [e.filename for e in entries]
    report.expect(found == sorted(found), "entries are not sorted by name")
    report.expect(len({name.lower() for name in found}) == len(found), "two names differ only in case")
    report.expect(len({e.date_time for e in entries}) == 1, f"time stamps differ: {sorted({e.date_time for e in entries})}")
    report.expect(len({e.external_attr for e in entries}) == 1, "modes differ")
    for entry in entries:
        name = entry.filename
        report.expect(re.fullmatch(r'[^\x00-\x1f<>:"/\\|?*]+[^\x00-\x1f<>:"/\\|?*. ]', name), f"`{name}` does not suit every system")
        report.expect(name.split(".")[0].lower() not in DEVICES, f"`{name}` is a device on Windows")
        report.expect(entry.compress_type in (0, 8), f"`{name}` is compressed by method {entry.compress_type}")
        report.expect(name.isascii() or entry.flag_bits & 0x800, f"`{name}` is not marked as UTF-8")


def sums(folder, entries, report):
    """Each entry but the list is on the list once, with the right sum; `sha256sum` agrees."""
    listed = [line.split("  ", 1) for line in (folder / SUMS).read_text("utf-8").splitlines()]
    named = [name for _, name in listed]
    report.expect(sorted(named) == sorted(entries - {SUMS}), f"{SUMS} names {sorted(set(named) ^ (entries - {SUMS}))} wrongly or not at all")
    for digest, name in listed:
        if (folder / name).is_file():
            report.expect(hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest, f"the sum of `{name}` is wrong")
    code, _, err = run("sha256sum", "--check", "--strict", "--quiet", SUMS, cwd=folder)
    report.expect(code == 0, f"sha256sum: {err.strip()}")


def promised_files(package, report):
    """The promises are plain JSON of a known form and name files that exist; every PDF is promised."""
    promises = json.loads((package.folder / "promises.json").read_bytes().decode("utf-8"))
    report.expect(promises["format"] == 1, f"promises of an unknown form {promises['format']}")
    promised = sorted(paper["file"] for paper in package.promises["papers"])
    there = [path.name for path in package.files(".pdf")]
    report.expect(promised == there, f"PDFs promised {promised}, there {there}")
    guides = [path.name for path in package.files(".html")]
    report.expect(len(guides) == len(promises["languages"]), f"{len(guides)} guides for {promises['languages']}")
    report.expect(all(any(name.endswith(f"-{tag}.html") for name in guides) for tag in promises["languages"]), f"a language has no guide: {guides}")


if __name__ == "__main__":
    main(judge)
