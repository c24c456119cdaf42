"""How long a page takes to open: every page of a package's PDFs, drawn alone by two engines, as a viewer does when one turns to it.

Usage: tests/bench/pages.py PACKAGE.zip   Needs pdftoppm (poppler) and mutool (MuPDF). Prints a line a file: median and slowest page.
The time holds the start of the engine; an empty page, drawn in the same run, tells how much that is.
"""

import pathlib
import re
import statistics
import subprocess
import sys
import tempfile
import time
import zipfile

DPI = "100"
ROUNDS = 3
# A page of A4 with nothing on it (ISO 32000-1, 7.7.3); readers rebuild the missing cross-reference table.
EMPTY = b"""%PDF-1.4
1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj
2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj
3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]>>endobj
trailer<</Root 1 0 R>>
"""


def engines(file, page, out):
    """What each engine is called to draw one page."""
    return {
        "poppler": ["pdftoppm", "-r", DPI, "-f", str(page), "-l", str(page), str(file), str(out / "p")],
        "mupdf": ["mutool", "draw", "-q", "-r", DPI, "-o", str(out / "m.ppm"), str(file), str(page)],
    }


def seconds(command):
    """The median of some runs."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def count(file):
    told = subprocess.run(["pdfinfo", str(file)], check=True, capture_output=True, text=True).stdout
    return int(re.search(r"Pages:\s+(\d+)", told)[1])


def main():
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch)
        (folder / "empty.pdf").write_bytes(EMPTY)
        with zipfile.ZipFile(sys.argv[1]) as package:
            package.extractall(folder)
        # The empty page comes first.
        for file in [folder / "empty.pdf", *sorted(folder.glob("*-*.pdf"))]:
            times = [{name: seconds(call) for name, call in engines(file, page, folder).items()} for page in range(1, count(file) + 1)]
            for name in times[0]:
                own = [page[name] * 1000 for page in times]
                print(f"{file.name}: {name}: {len(own)} pages, median {statistics.median(own):.0f} ms, slowest {max(own):.0f} ms")


if __name__ == "__main__":
    main()
