"""Three engines that print and show PDFs (poppler, mupdf, pdfium) draw every page alike, compared by place at 100 dpi.

Expected value: no sure ink of one without ink of another within 2 pixels (0.5 mm); page sizes within one pixel. mupdf gets the
phase of dashes wrong on a line that begins off the page (seen in 1.28 where poppler and pdfium agree), so it is compared on a
copy whose dashes are solid; poppler and pdfium are compared on the file as it is.
"""

import pathlib
import tempfile

import pikepdf

from common import main
from pictures import by_mupdf, by_pdfium, by_poppler, same_place

# A page of a wide sheet has so many pixels that it is drawn at half the resolution.
BIG = 3000  # units


def judge(package, report):
    """Every page of every paper."""
    for paper in package.papers:
        path = package.folder / paper["file"]
        with tempfile.TemporaryDirectory() as folder:
            solid = pathlib.Path(folder, path.name)
            pages = made_solid(path, solid)
            for number, length in enumerate(pages, 1):
                dpi, where = 50 if length > BIG else 100, f"{path.name} page {number}"
                edges = clip_edges(path, number, dpi)
                compare((path, by_poppler, "poppler"), (path, by_pdfium, "pdfium"), number, dpi, where, report, edges)
                compare((solid, by_poppler, "poppler"), (solid, by_mupdf, "mupdf"), number, dpi, f"{where}, solid", report, edges)
        report.fact(f"{path.name}: {len(pages)} pages drawn by three engines")


def compare(one, other, number, dpi, where, report, edges):
    """One page as two engines draw it."""
    pictures = [draw(path, number, dpi) for path, draw, _ in (one, other)]
    same_place(*pictures, (one[2], other[2]), where, report, edges=edges)


def clip_edges(path, number, dpi):
    """Sides of the clip in which a page shows the drawing, in pixels from its top left; none if it has no such clip."""
    with pikepdf.open(path) as pdf:
        page = pdf.pages[number - 1]
        operators = [(operands, str(op)) for operands, op in pikepdf.parse_content_stream(page)]
        height = float(page.mediabox[3])
    for (operands, op), (_, following) in zip(operators, operators[1:]):
        if (op, following) == ("re", "W"):
            x, y, w, h = (float(v) for v in operands)
            pixels = [("x", x), ("x", x + w), ("y", height - y), ("y", height - y - h)]
            return [(axis, round(at * dpi / 72)) for axis, at in pixels]
    return []


def made_solid(path, copy):
    """Writes a copy without dashes; gives the longer side of each page in units."""
    with pikepdf.open(path) as pdf:
        for page in pdf.pages:
            page.obj.Contents = pdf.make_stream(without_dashes(page.obj))
        for form in pdf.objects:
            if isinstance(form, pikepdf.Stream) and form.get("/Subtype") == "/Form":
                form.write(without_dashes(form))
        pdf.save(copy)
        return [max(float(v) for v in page.mediabox) for page in pdf.pages]


def without_dashes(stream):
    """Content with every dash pattern taken out."""
    operators = pikepdf.parse_content_stream(stream)
    return pikepdf.unparse_content_stream([(operands, op) for operands, op in operators if str(op) != "d"])


if __name__ == "__main__":
    main(judge)
