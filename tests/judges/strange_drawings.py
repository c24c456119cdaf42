"""Drawings of strangers: 848 SVG files of another project's tests (W3C's among them) are checked and built without a crash, and what is printed is what is drawn.

Usage: strange_drawings.py TOOL [PART [OF]]: every OF-th file only, from the PART-th on. The files are those of Debian's package librsvg2-tests. Each is the drawing of a kit
on one sheet of A2: `check` and, if nothing stands against it, `build` must end by themselves within 10 seconds, with an exit code of docs/commands.md. The
printed page is then drawn by poppler, and the SVG by librsvg (rsvg-convert), at 96 dots an inch or more; where more than 1 % of the drawing differs by more than a
quarter of full contrast, beyond what a line moved by one dot explains, the file must stand in strange_drawings.txt, with the reason.
"""

import concurrent.futures
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import zipfile

from PIL import Image, ImageChops, ImageFilter

from common import HERE, Report

SOURCE = pathlib.Path("/usr/libexec/installed-tests/RSVG/fixtures")
DPI = 96
# Dots that a drawing has at least along its longer side, so that the softened edges of small ones do not count for much.
LEAST = 400
KIT = """name: strange
title: Strange
publisher: Nobody
edition: 1.0.0
date: 2026-01-15
copyright: none
source-language: en
languages: [en]
drawing: {file: drawing.svg, units-per-inch: 96}
papers: [a2]
"""


def ran(*command, seconds=10):
    """Exit code and output; a command that does not end is told as such."""
    try:
        done = subprocess.run([str(word) for word in command], capture_output=True, timeout=seconds)
    except subprocess.TimeoutExpired:
        return "no end", b"", b""
    return done.returncode, done.stdout, done.stderr


def expected(reasons=HERE / "strange_drawings.txt"):
    """The files that differ, with the reason; lines are `NAME  REASON`."""
    lines = [line for line in reasons.read_text("utf-8").splitlines() if line.strip() and not line.startswith("#")]
    return dict(line.split(None, 1) for line in lines)


def printed(folder, dpi, size):
    """The drawing as poppler draws its part of the page; nothing if that part is larger than the page."""
    with zipfile.ZipFile(next((folder / "out").glob("*.zip"))) as archive:
        archive.extractall(folder / "package")
    promises = json.loads((folder / "package/promises.json").read_text("utf-8"))
    paper = next(paper for paper in promises["papers"] if not paper.get("variant"))
    x, y = (round((paper["tile_mm"][i] - paper["sheets"][0]["area_mm"][i]) / 25.4 * dpi) for i in (0, 1))
    whole = (paper["width_mm"] / 25.4 * dpi, paper["height_mm"] / 25.4 * dpi)
    if x < 0 or y < 0 or x + size[0] > whole[0] or y + size[1] > whole[1]:
        return None
    part = ["-x", x, "-y", y, "-W", size[0], "-H", size[1]]
    file = folder / "package" / paper["file"]
    code, _, err = ran("pdftoppm", "-r", dpi, "-f", 1, "-l", 1, "-singlefile", "-png", *part, file, folder / "page", seconds=60)
    if code:
        raise RuntimeError(f"pdftoppm: {err[-200:]}")
    with Image.open(folder / "page.png") as page:
        return page.convert("RGB")


def drawn(folder, zoom=1):
    """The SVG as librsvg draws it; nothing if it cannot."""
    out = folder / "drawn.png"
    code, _, _ = ran("rsvg-convert", "-d", DPI, "-p", DPI, "-z", zoom, "-b", "white", "-o", out, folder / "drawing.svg", seconds=60)
    if code:
        return None
    with Image.open(out) as picture:
        return picture.convert("RGB")


def differing(folder):
    """The share of the drawing's dots that differ; nothing if librsvg cannot draw it, or it does not fit on the sheet in one."""
    theirs = drawn(folder)
    if theirs is None:
        return None
    zoom = -(-LEAST // max(theirs.size))
    theirs = theirs if zoom == 1 else drawn(folder, zoom)
    ours = printed(folder, DPI * zoom, theirs.size)
    if ours is None:
        return None
    # A dot counts only if it is darker or lighter than anything within one dot of its place in the other picture.
    over = [channel_over(a, b) for a, b in ((ours, theirs), (theirs, ours))]
    off = ImageChops.lighter(*over).point(lambda value: 255 if value > 64 else 0)
    return sum(off.histogram()[128:]) / (theirs.width * theirs.height)


def channel_over(one, other):
    """How far each dot of a picture lies outside the range of the other's dots around it, in its worst channel."""
    high, low = other.filter(ImageFilter.MaxFilter(3)), other.filter(ImageFilter.MinFilter(3))
    beyond = ImageChops.lighter(ImageChops.subtract(one, high), ImageChops.subtract(low, one))
    red, green, blue = beyond.split()
    return ImageChops.lighter(ImageChops.lighter(red, green), blue)


def tried(tool, file):
    """What became of one file: refused, printed, a crash; and how much of it differs."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch)
        (folder / "kit.yaml").write_text(KIT, "utf-8")
        (folder / "drawing.svg").write_bytes(file.read_bytes())
        code, out, err = ran(tool, "check", folder, "--format", "json")
        if code not in (0, 1, 2):
            return file, f"check: {code} {err[-300:]}", None
        if code:
            codes = {finding["code"] for finding in json.loads(out)["findings"] if finding["severity"] == "error"}
            return file, "refused" if codes else f"check: {code} without an error", None
        code, _, err = ran(tool, "build", folder, "--quiet", seconds=30)
        if code:
            return file, f"build: {code} {err[-300:]}", None
        return file, "printed", differing(folder)


def main(tool, part=0, of=1):
    """All files, or every so manieth."""
    report = Report("strange_drawings")
    files = sorted(SOURCE.rglob("*.svg"))
    report.expect(len(files) > 800, f"{len(files)} files in {SOURCE}: is librsvg2-tests installed?")
    files = files[part::of]
    reasons, seen = expected(), set()
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        results = list(pool.map(lambda file: tried(tool, file), files))
    for file, what, share in results:
        name = file.relative_to(SOURCE).as_posix()
        report.expect(what in ("refused", "printed"), f"{name}: {what}")
        if share is not None and share > 0.01:
            seen.add(name)
            report.expect(name in reasons, f"{name}: {share:.1%} of it is printed otherwise than librsvg draws it")
    compared = [name for name, what, share in results if share is not None]
    count = lambda wanted: sum(what == wanted for _, what, _ in results)
    report.fact(f"{len(files)} files: {count('refused')} refused, {count('printed')} printed, {len(compared)} compared, {len(seen)} differ as told")
    report.expect(compared, "no picture was compared")
    names = {file.relative_to(SOURCE).as_posix() for file in files}
    for name in sorted((set(reasons) & names) - seen):
        report.expect(False, f"{name} stands in the list, but no longer differs")
    sys.exit(1 if report.close() else 0)


if __name__ == "__main__":
    if not 2 <= len(sys.argv) <= 4:
        sys.exit("usage: strange_drawings.py TOOL [PART [OF]]")
    main(pathlib.Path(sys.argv[1]).resolve(), *map(int, sys.argv[2:]))
