"""Three readers of the paths that a PDF paints: mupdf, poppler, and our own arithmetic on what pikepdf splits.

Each gives, page by page, a list of curves.Painted in millimetres from the page's top left, y down.
"""

import pathlib
import tempfile

import pikepdf
import pymupdf

from common import MM_PER_PT, run
from content import read_pages
from curves import Painted
from drawing import Drawing


def by_arithmetic(path, _marks):
    """Own arithmetic: layers, clips, widths and dashes are known."""
    with pikepdf.open(path) as pdf:
        return [painted for painted, _ in read_pages(pdf)]


def by_mupdf(path, _marks):
    """mupdf's list of drawings: layers are known, clips are not applied."""
    with pymupdf.open(path) as pdf:
        return [[_from_mupdf(d) for d in page.get_drawings()] for page in pdf]


def _from_mupdf(drawing):
    subpaths, at = [], None
    for kind, *points in drawing["items"]:
        if kind == "re":
            r = points[0]
            ring = [(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1), (r.x0, r.y0)]
        elif kind == "qu":
            q = points[0]
            ring = [(p.x, p.y) for p in (q.ul, q.ur, q.lr, q.ll, q.ul)]
        else:
            segment = [(p.x, p.y) for p in points]
            if at != segment[0]:
                subpaths.append([])
            subpaths[-1].append(segment)
            at = segment[-1]
            continue
        subpaths.append([ring[i : i + 2] for i in range(4)])
        at = None
    if drawing.get("closePath") and subpaths and subpaths[-1][0][0] != subpaths[-1][-1][-1]:
        subpaths[-1].append([subpaths[-1][-1][-1], subpaths[-1][0][0]])
    scaled = [[[(x * MM_PER_PT, y * MM_PER_PT) for x, y in segment] for segment in s] for s in subpaths]
    return Painted(scaled, drawing["layer"] or None, drawing["fill"], drawing["color"], (drawing["width"] or 0) * MM_PER_PT)


def by_poppler(path, marks):
    """poppler by way of `pdftocairo -svg`: clips are known, layers are not, so the layers `marks` are switched off first.

    Left alone it fits and centres a page on a paper of whole units (a factor of 0.9988 was seen). cairo keeps points in 1/256 of
    a unit, so this reader cannot see below 0.0007 mm.
    """
    with tempfile.TemporaryDirectory() as folder:
        plain = pathlib.Path(folder, "plain.pdf")
        with pikepdf.open(path) as pdf:
            groups = pdf.Root.get("/OCProperties", {}).get("/OCGs", [])
            off = [group for group in groups if str(group.get("/Name")) in marks]
            if off:
                pdf.Root.OCProperties.D.OFF = pikepdf.Array(off)
            pdf.save(plain)
            count = len(pdf.pages)
        pages = []
        for number in range(1, count + 1):
            out = pathlib.Path(folder, f"{number}.svg")
            code, _, err = run("pdftocairo", "-svg", "-noshrink", "-nocenter", "-f", number, "-l", number, plain, out)
            if code or err:
                raise RuntimeError(f"pdftocairo on page {number} of {path.name}: {err}")
            pages.append(Drawing(out, (), units_per_inch=72).painted)
        return pages


READERS = {"own arithmetic": by_arithmetic, "mupdf": by_mupdf, "poppler": by_poppler}
