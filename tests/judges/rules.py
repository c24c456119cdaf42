"""Printed rules and control measurements: as long as they promise, between line ends found in the page by two PDF readers.

Expected values: 1 in = 25.4 mm exactly (international yard and pound agreement of 1959), so a rule of 4 in has 101.6 mm. The
slack of 0.01 mm is the project's own error budget on paper.
"""

import numpy as np

from common import main
from curves import Ink
from kit import Kit
from readers import READERS

BUDGET = 0.01  # mm
NEAR = 1.0  # mm: how far from its promised place a line end is looked for


def judge(package, report):
    """Measures all promised rules of all papers, then the control measurements in the drawing."""
    for paper in package.papers:
        lengths = {round(mark["length_mm"], 3) for mark in paper["scale_marks"]}
        for length in (100, 101.6) if paper.get("check_page") else ():
            report.expect(length in lengths, f"{paper['file']}: no rule of {length} mm is promised")
        for name in ("own arithmetic", "mupdf"):
            rules(paper, name, READERS[name](package.folder / paper["file"], ()), report)
    if package.promises.get("controls"):
        controls(package.promises["controls"], Kit(package.kit), report)


def rules(paper, reader, pages, report):
    """Every promised rule of one paper, as one reader sees it."""
    worst = 0.0
    for mark in paper["scale_marks"]:
        ends = [line_end(pages[mark["page"] - 1], mark[key]) for key in ("from_mm", "to_mm")]
        where = f"{paper['file']} page {mark['page']} by {reader}: {mark['what']}"
        if report.expect(all(e is not None for e in ends), f"{where} has no line end within {NEAR} mm of its promised ends"):
            error = abs(float(np.hypot(*(ends[1] - ends[0]))) - mark["length_mm"])
            worst = max(worst, error)
            report.expect(error <= BUDGET, f"{where} is {error:.4f} mm wrong")
    report.fact(f"{paper['file']} by {reader}: {len(paper['scale_marks'])} rules, the worst {worst:.4f} mm wrong")


def line_end(page, place):
    """The end of a line nearest to a place, if within NEAR."""
    ends = np.array([p for painted in page for s in painted.subpaths for segment in s for p in (segment[0], segment[-1])])
    if not len(ends):
        return None
    distance = np.hypot(*(ends - place).T)
    return ends[distance.argmin()] if distance.min() <= NEAR else None


def controls(promised, kit, report):
    """Promised ends lie on lines of the drawing, and as far apart as promised."""
    ink = Ink([(None, painted.lines()) for painted in kit.drawing.painted])
    # What is no straight distance is measured by lengths.py.
    for control in (control for control in promised if "from_mm" in control):
        ends = np.array([control["from_mm"], control["to_mm"]], float)
        error = abs(float(np.hypot(*(ends[1] - ends[0]))) - control["promised_mm"])
        report.expect(error <= max(control["tolerance_mm"], 1e-6), f"control `{control['name']}` is {error:.4f} mm wrong")
        off = ink.distances(ends).max()
        report.expect(off <= BUDGET, f"an end of control `{control['name']}` is {off:.4f} mm from any line of the drawing")


if __name__ == "__main__":
    main(judge)
