"""Sheets put together reproduce the drawing: pictures of all tiles laid edge to edge against a picture of the drawing itself.

It sees what paths alone do not show: fills, dashes, order of paint, words, hidden layers. The sheets are drawn by poppler with
the layers of marks switched off, the drawing by librsvg with its never-printed layers taken out; compared by place at 100 dpi.
"""

import os
import pathlib
import tempfile

import lxml.etree
import numpy as np
import pikepdf
from PIL import Image

from common import main, run, to_drawing
from curves import mapped, product
from drawing import SKIPPED, layer_at, place_of
from kit import Kit, built_in_fonts
from pictures import by_poppler, flat, same_place
from readers import by_arithmetic
from shapes import SVG

DPI = 100
# Words may sit up to half a pixel elsewhere and be hinted by librsvg: the rest of their ink must still be near.
SPARE = 0.0005


def judge(package, report):
    """Every paper of a package."""
    kit = Kit(package.kit, package)
    with tempfile.TemporaryDirectory() as folder:
        for paper in package.papers:
            whole = drawing_picture(kit, names_on(package, paper, kit), pathlib.Path(folder), report)
            sheets = sheets_picture(package, paper, kit, pathlib.Path(folder), whole.size)
            spare = int(SPARE * (np.asarray(whole) < 150).sum())
            same_place(sheets, whole, ("the sheets", "the drawing"), paper["file"], report, spare)
            report.fact(f"{paper['file']}: {len(paper['sheets'])} sheets laid together on the drawing")


def names_on(package, paper, kit):
    """Outlines of the sizes' names on the sheets of a paper, in the drawing's units: true_size.py has looked at where they stand."""
    if not kit.lines.names:
        return []
    (scale, _, _, _, left, top), names = kit.drawing.page, []
    pages = by_arithmetic(package.folder / paper["file"], ())
    for sheet in paper["sheets"]:
        matrix = product(to_drawing(paper, sheet, kit.drawing.height), (1 / scale, 0, 0, 1 / scale, -left / scale, -top / scale))
        names += [[mapped(matrix, line) for line in p.lines()] for p in pages[sheet["page"] - 1] if kit.lines.named(p) and on_tile(p, paper)]
    return names


def on_tile(painted, paper):
    """Whether the middle of a path lies on the tile: the same path is painted, and cut away, on neighbouring sheets."""
    (x0, y0, x1, y1), (left, top, width, height) = painted.box(), paper["tile_mm"]
    return 0 < (x0 + x1) / 2 - left < width and 0 < (y0 + y1) / 2 - top < height


def drawing_picture(kit, names, folder, report):
    """The printed layers of the drawing by librsvg, in the lines that the kit wants, with no fonts but those that it may use."""
    tree = lxml.etree.parse(str(kit.drawing_file), lxml.etree.XMLParser(huge_tree=True))
    for element, layer in list(painters(tree.getroot(), None, kit)):
        if not kit.is_printed(layer):
            element.getparent().remove(element)
    in_lines(tree, names, kit)
    (folder / "printed.svg").write_bytes(lxml.etree.tostring(tree))
    fonts = "".join(f"<dir>{path.parent}</dir>" for path in [built_in_fonts()[0], *kit.folder.glob("fonts/*")])
    (folder / "fonts.conf").write_text(f'<?xml version="1.0"?><fontconfig>{fonts}<cachedir>{folder}</cachedir></fontconfig>')
    width = round(kit.drawing.width / 25.4 * DPI)
    out = folder / "printed.png"
    command = ("rsvg-convert", "--unlimited", "-b", "white", "-w", width, "-o", out, folder / "printed.svg")
    code, _, err = run(*command, env={**os.environ, "FONTCONFIG_FILE": str(folder / "fonts.conf")})
    report.expect(code == 0, f"rsvg-convert: {err}")
    return flat(Image.open(out))


def in_lines(tree, names, kit):
    """Gives paths the line that they are to be printed in, and adds the names."""
    restyled = {p.origin: p for p in kit.printed if p.restyled}
    for element in tree.iter(f"{SVG}*"):
        if p := restyled.get(place_of(element)):
            width, phase, *dash = (v / p.scale for v in (p.width, p.phase, *p.dash))
            dashes = " ".join(map(str, dash)) or "none"
            element.set("style", f"{element.get('style', '')};stroke:#000;stroke-width:{width};stroke-dasharray:{dashes};stroke-dashoffset:{phase}")
    for name in names:
        path = "".join("M" + "L".join(f"{x:.4f},{y:.4f}" for x, y in line) + "Z" for line in name)
        lxml.etree.SubElement(tree.getroot(), f"{SVG}path", d=path, style="fill:#000;fill-rule:evenodd;stroke:none")


def painters(parent, layer, kit):
    """Elements that paint, each with the layer it lies on."""
    for child in parent:
        if child.tag in (f"{SVG}g", f"{SVG}a", f"{SVG}switch"):
            yield from painters(child, layer_at(child, layer, kit.drawing.layers), kit)
        elif isinstance(child.tag, str) and child.tag.removeprefix(SVG) not in SKIPPED:
            yield child, layer


def sheets_picture(package, paper, kit, folder, size):
    """All tiles of a paper, drawn without marks and laid where they belong."""
    plain = folder / "plain.pdf"
    with pikepdf.open(package.folder / paper["file"]) as pdf:
        groups = pdf.Root.get("/OCProperties", {}).get("/OCGs", [])
        pdf.Root.OCProperties.D.OFF = pikepdf.Array([g for g in groups if str(g.Name) not in kit.layers()])
        pdf.save(plain)
    turned = paper.get("turned")
    board = Image.new("L", size[::-1] if turned else size, "white")
    for sheet in paper["sheets"]:
        page = by_poppler(plain, sheet["page"], DPI)
        left, top, width, height = (v / 25.4 * DPI for v in paper["tile_mm"])
        x, y = (v / 25.4 * DPI for v in sheet["area_mm"][:2])
        tile = page.crop((round(left), round(top), round(left + width), round(top + height)))
        shown = board.crop((round(x), round(y), round(x) + tile.width, round(y) + tile.height))
        # A tile's edge falls between pixels: darker wins where two tiles share one.
        board.paste(Image.fromarray(np.minimum(np.asarray(tile), np.asarray(shown))), (round(x), round(y)))
    return board.transpose(Image.Transpose.ROTATE_90) if turned else board


if __name__ == "__main__":
    main(judge)
