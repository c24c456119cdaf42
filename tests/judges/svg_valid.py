"""The wide SVG: well-formed, at true size, self-contained, with its frame locked beneath the drawing, drawn alike by two engines.

Expected values: width and height in mm equal the paper of pdf_size.py's table; viewBox and size give one scale in both
directions (W3C SVG 2, 8.2); ids are unique (XML 1.0, validity constraint ID). `sodipodi:insensitive` is how general-purpose
editors note a locked layer (common practice, no published source).
"""

import pathlib
import tempfile

import lxml.etree
from PIL import Image

from common import close_to, main, node, run
from pdf_size import SLACK, promised
from pictures import by_poppler, flat, same_place
from shapes import NUMBER, SVG, millimetres
from true_size import union

SODIPODI = "{http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd}"
INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}"
LINK = "{http://www.w3.org/1999/xlink}href"


def judge(package, report):
    """Every wide SVG of a package."""
    for paper in package.papers:
        path = (package.folder / paper["file"]).with_suffix(".svg")
        if paper["press"] == "wide" and report.expect(path.exists(), f"{path.name} is not there"):
            code, out, err = run("xmllint", "--huge", "--nonet", "--noout", path)
            if report.expect(code == 0 and not err, f"{path.name}: xmllint says {err.strip()[:300]}"):
                root = lxml.etree.parse(str(path), lxml.etree.XMLParser(huge_tree=True)).getroot()
                size(root, paper, path.name, report)
                contents(root, path.name, report)
                layers(root, path.name, report)
                engines(path, paper, report)


def size(root, paper, name, report):
    """Millimetres on the root, and a viewBox that agrees."""
    sides = [root.get(key, "") for key in ("width", "height")]
    if not report.expect(all(side.endswith("mm") for side in sides), f"{name}: width and height are {sides}"):
        return
    width, height = (millimetres(side) for side in sides)
    sizes = [grown(paper, size) for size in promised(paper)]
    fits = any(close_to((width, height), wanted, SLACK) for wanted in sizes)
    report.expect(fits, f"{name}: {width} x {height} mm, wanted one of {sizes}")
    view = [float(v) for v in NUMBER.findall(root.get("viewBox", ""))]
    if report.expect(len(view) == 4, f"{name}: no viewBox"):
        # One scale to within 0.01 mm over the whole sheet.
        report.expect(abs(width / view[2] - height / view[3]) * max(view[2:]) <= 0.01, f"{name}: two scales, {sides} for {view}")


def grown(paper, size):
    """A drawing in several parts lies in one SVG, joined: the paper grows by the tiles after the first."""
    more = [whole - tile for whole, tile in zip(union(paper)[2:], paper["tile_mm"][2:])]
    return tuple(side + extra for side, extra in zip(size, more))


def contents(root, name, report):
    """No id twice, no reference that leaves the file or leads nowhere, no script."""
    elements = [e for e in root.iter() if isinstance(e.tag, str)]
    ids = [e.get("id") for e in elements if e.get("id")]
    report.expect(len(ids) == len(set(ids)), f"{name}: ids twice: {sorted({i for i in ids if ids.count(i) > 1})[:5]}")
    for element in elements:
        target = element.get("href") or element.get(LINK)
        if target:
            fine = target.startswith("data:") or (target.startswith("#") and target[1:] in ids)
            report.expect(fine, f"{name}: line {element.sourceline} refers to {target[:60]}")
        report.expect(element.tag != SVG + "script", f"{name}: line {element.sourceline} holds a script")


def layers(root, name, report):
    """Top-level groups are named layers; the first is the locked frame, and a layer that is not locked lies over it."""
    groups = root.findall(f"{SVG}g")
    labels = [g.get(INKSCAPE + "label") for g in groups]
    report.expect(groups and all(labels), f"{name}: unnamed layers among {labels}")
    report.expect(all(g.get(INKSCAPE + "groupmode") == "layer" for g in groups), f"{name}: a top-level group is no layer")
    locked = [g.get(SODIPODI + "insensitive") == "true" for g in groups]
    report.expect(locked[:1] == [True], f"{name}: the lowest layer {labels[:1]} is not locked")
    report.expect(not all(locked), f"{name}: no layer can be edited")
    report.fact(f"{name}: layers {', '.join(str(label) for label in labels)}")


def engines(path, paper, report):
    """librsvg, Chromium, and poppler on the PDF of the same paper draw alike."""
    dpi = 40
    sides = grown(paper, (paper["width_mm"], paper["height_mm"]))
    width, height = (round(side / 25.4 * dpi) for side in sides)
    with tempfile.TemporaryDirectory() as folder:
        out = {name: pathlib.Path(folder, f"{name}.png") for name in ("librsvg", "chromium")}
        run("rsvg-convert", "--unlimited", "-b", "white", "-w", width, "-h", height, "-o", out["librsvg"], path)
        node("shot.mjs", path, out["chromium"], width, height)
        drawn = {name: flat(Image.open(file)) for name, file in out.items()}
    same_place(drawn["librsvg"], drawn["chromium"], ("librsvg", "Chromium"), path.name, report)
    if len(paper["sheets"]) == 1:
        printed = by_poppler(path.with_suffix(".pdf"), paper["sheets"][0]["page"], dpi)
        same_place(drawn["librsvg"], printed, ("the SVG", "the PDF"), path.name, report)


if __name__ == "__main__":
    main(judge)
