"""Page boxes against the papers' standards, read by poppler (pdfinfo) and by qpdf (pikepdf).

The table is this judge's own; nothing of it comes from the package. Sources: A sizes ISO 216; letter, tabloid ANSI/ASME Y14.1
sizes A and B (216 is 8.5 in, from memory), legal PWG 5101.1 `na_legal_8.5x14in`; Arch E PWG 5101.1 `na_arch-e_36x48in`; rolls
24, 36 and 42 in wide (common practice, no published source), where 610, 914 and 1067 mm are the trade's names.
"""

import re

import pikepdf

from common import MM_PER_PT, close_to, main, run

INCH = 25.4
PAPERS = {
    "a0": (841, 1189), "a1": (594, 841), "a2": (420, 594), "a3": (297, 420), "a4": (210, 297), "a5": (148, 210),
    "letter": (8.5 * INCH, 11 * INCH), "legal": (8.5 * INCH, 14 * INCH), "tabloid": (11 * INCH, 17 * INCH),
    "arch-e": (36 * INCH, 48 * INCH),
}  # fmt: skip
ROLLS = {"roll-610": (610, 24 * INCH), "roll-914": (914, 36 * INCH), "roll-1067": (1067, 42 * INCH)}
SLACK = 0.02  # mm: a quarter of the smallest dot of a 300 dpi printer, far below what paper itself keeps


def judge(package, report):
    """Every page of every paper."""
    for paper in package.papers:
        path = package.folder / paper["file"]
        pages = {"pdfinfo": by_poppler(path, report), "pikepdf": by_qpdf(path, report)}
        for reader, boxes in pages.items():
            report.expect(len(boxes) >= len(paper["sheets"]), f"{path.name} by {reader}: {len(boxes)} pages for {len(paper['sheets'])} sheets")
            for number, (width, height) in enumerate(boxes, 1):
                wanted = promised(paper)
                fits = any(close_to((width, height), size, SLACK) for size in wanted)
                report.expect(fits, f"{path.name} page {number} by {reader}: {width:.3f} x {height:.3f} mm, the paper has {wanted}")


def promised(paper):
    """Sizes that a paper may have, portrait or landscape; a paper of one's own is held against what the kit says."""
    name = paper["paper"]
    if name in ROLLS:
        sizes = [(width, paper["height_mm"]) for width in ROLLS[name]] + [(paper["width_mm"], width) for width in ROLLS[name]]
    else:
        sizes = [PAPERS.get(name, (paper["width_mm"], paper["height_mm"]))]
    return sizes + [(height, width) for width, height in sizes]


def by_poppler(path, report):
    """Page sizes in mm as pdfinfo prints them; all boxes it names must be one."""
    _, out, err = run("pdfinfo", "-box", "-f", 1, "-l", 99999, path)
    report.expect(not err, f"pdfinfo on {path.name}: {err}")
    boxes = {}
    for number, kind, values in re.findall(r"Page +(\d+) (\w+Box): +(.*)", out):
        left, bottom, right, top = (float(v) * MM_PER_PT for v in values.split())
        boxes.setdefault(int(number), {})[kind] = (right - left, top - bottom)
    for number, kinds in boxes.items():
        same = all(close_to(size, kinds["MediaBox"], SLACK) for size in kinds.values())
        report.expect(same, f"{path.name} page {number}: its boxes differ: {kinds}")
    return [boxes[number]["MediaBox"] for number in sorted(boxes)]


def by_qpdf(path, report):
    """Page sizes in mm, with user units; MediaBox, CropBox and TrimBox are one, and no page is rotated."""
    sizes = []
    with pikepdf.open(path) as pdf:
        for number, page in enumerate(pdf.pages, 1):
            unit = float(page.obj.get("/UserUnit", 1)) * MM_PER_PT
            boxes = [[float(v) for v in box] for box in (page.mediabox, page.cropbox, page.trimbox)]
            report.expect(boxes[0] == boxes[1] == boxes[2], f"{path.name} page {number}: boxes differ: {boxes}")
            report.expect(int(page.obj.get("/Rotate", 0)) == 0, f"{path.name} page {number} is rotated")
            left, bottom, right, top = boxes[0]
            sizes.append(((right - left) * unit, (top - bottom) * unit))
    return sizes


if __name__ == "__main__":
    main(judge)
