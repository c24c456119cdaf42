"""Three engines that print and show PDFs (poppler, mupdf, pdfium) draw every page alike, compared by place at 100 dpi.

Expected value: no sure ink of one without ink of another within 2 pixels (0.5 mm); page sizes within one pixel.
"""

import pikepdf

from common import main
from pictures import ENGINES, same_place

# A page of a wide sheet has so many pixels that it is drawn at half the resolution.
BIG = 3000  # units


def judge(package, report):
    """Every page of every paper."""
    for paper in package.papers:
        path, worst = package.folder / paper["file"], 0
        with pikepdf.open(path) as pdf:
            longest = [max(float(v) for v in page.mediabox) for page in pdf.pages]
        for number, length in enumerate(longest, 1):
            drawn = {name: draw(path, number, 50 if length > BIG else 100) for name, draw in ENGINES.items()}
            for name in ("mupdf", "pdfium"):
                same_place(drawn["poppler"], drawn[name], ("poppler", name), f"{path.name} page {number}", report)
            worst = number
        report.fact(f"{path.name}: {worst} pages drawn by three engines")


if __name__ == "__main__":
    main(judge)
