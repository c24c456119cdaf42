"""Layers: switching one off takes its lines away and nothing else, in four engines, and prints follow the switch.

The layer is switched off in the file's own configuration (ISO 32000-1, 8.11.4.3, `OFF`), as a reader's panel would. What must then
be seen is made without any notion of layers: the same page with everything between `/OC /Name BDC` and its `EMC` taken out
of the content. Both pictures must be the same, pixel for pixel. Ghostscript draws as for a printer (`-dPrinted`), poppler and
mupdf as for a screen, and PDF.js is asked what it would show on a screen and what it would print. A state for print alone (`AS`)
must not be there: it would not follow the switch, and PDF/A forbids it (ISO 19005-2, 6.9).
"""

import pathlib
import tempfile

import numpy as np
import pikepdf
from PIL import Image

from common import main, node, run
from pictures import by_mupdf, by_poppler

DPI = 40


def judge(package, report):
    """One sheet of every paper that has layers."""
    for paper in package.papers:
        path = package.folder / paper["file"]
        with pikepdf.open(path) as pdf:
            properties = pdf.Root.OCProperties
            report.expect("/AS" not in properties.D, f"{path.name}: layers have a state for print alone")
            locked = [group.objgen for group in properties.D.get("/Locked", [])]
            names = [str(group.Name) for group in properties.OCGs]
            free = [name for group, name in zip(properties.OCGs, names) if group.objgen not in locked]
            number = fullest(pdf, paper)
        # A publisher's sizes can be switched; the base and our own frame cannot.
        report.expect(len(free) == len(package.promises["sizes"]), f"{path.name}: {free} can be switched")
        for size, name in zip(package.promises["sizes"], free):
            report.expect(size in name.split(), f"{path.name}: the layer of size {size} is called {name}")
        report.expect(names[-1] not in free, f"{path.name}: the frame is not locked")
        for name in dict.fromkeys([*free[:1], *free[-1:], names[-1]]):
            switched(path, number, name, report)
    asked(package, report)


def fullest(pdf, paper):
    """The page of the sheet with the most layers."""
    def count(sheet):
        return len(pdf.pages[sheet["page"] - 1].obj.Resources.get("/Properties", {}))
    return max(paper["sheets"], key=count)["page"]


def switched(path, number, name, report):
    """One layer off, against the page without its content."""
    with tempfile.TemporaryDirectory() as folder:
        off, cut = pathlib.Path(folder, "off.pdf"), pathlib.Path(folder, "cut.pdf")
        with pikepdf.open(path) as pdf:
            group = next(group for group in pdf.Root.OCProperties.OCGs if str(group.Name) == name)
            pdf.Root.OCProperties.D.OFF = pikepdf.Array([group])
            pdf.save(off)
        with pikepdf.open(path) as pdf:
            page = pdf.pages[number - 1].obj
            page.Contents = pdf.make_stream(without(page, name))
            pdf.save(cut)
        for engine, draw in (("poppler", by_poppler), ("mupdf", by_mupdf), ("Ghostscript, printing,", by_ghostscript)):
            whole, seen, wanted = (np.asarray(draw(file, number, DPI)) for file in (path, off, cut))
            same = seen.shape == wanted.shape and (seen == wanted).all()
            report.expect(same, f"{path.name} page {number}: {engine} shows something else without the layer `{name}`")
            if "/OC" in str(present(path, number, name)):
                report.expect((whole != wanted).any(), f"{path.name} page {number}: in {engine} the layer `{name}` holds nothing")


def present(path, number, name):
    """`/OC` if the page has content on a layer."""
    with pikepdf.open(path) as pdf:
        page = pdf.pages[number - 1].obj
        return "/OC" if any(str(g.get("/Name")) == name for g in page.Resources.get("/Properties", {}).values()) else ""


def without(page, name):
    """The content of a page without what lies on a layer."""
    keys = [str(key) for key, group in page.Resources.Properties.items() if str(group.Name) == name]
    kept, inside, depth = [], None, 0
    for operands, operator in pikepdf.parse_content_stream(page):
        op = str(operator)
        if op in ("BDC", "BMC"):
            depth += 1
            if inside is None and op == "BDC" and str(operands[0]) == "/OC" and str(operands[1]) in keys:
                inside = depth
        if inside is None:
            kept.append((operands, operator))
        if op == "EMC":
            inside = None if inside == depth else inside
            depth -= 1
    return pikepdf.unparse_content_stream(kept)


def by_ghostscript(path, number, dpi):
    """A page as Ghostscript prints it, in grey."""
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder, "page.png")
        run("gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", "-dPrinted", "-sDEVICE=pnggray", f"-r{dpi}", "-dTextAlphaBits=4",
            "-dGraphicsAlphaBits=4", f"-dFirstPage={number}", f"-dLastPage={number}", f"-sOutputFile={out}", path)
        return Image.open(out).convert("L").copy()


def asked(package, report):
    """PDF.js: a layer switched off on the screen is off in print as well."""
    for found in node("layers.mjs", *(package.folder / paper["file"] for paper in package.papers)):
        name = pathlib.Path(found["file"]).name
        report.expect(found["shown"] == found["printed"], f"{name}: PDF.js shows {found['shown']} and prints {found['printed']}")
        off = [layer for layer in found["switched"] if layer["display"] or layer["print"]]
        report.expect(found["switched"] and not off, f"{name}: PDF.js still shows or prints {off}")


if __name__ == "__main__":
    main(judge)
