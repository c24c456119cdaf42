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

from common import main, run
from drawing import SKIPPED, layer_at
from kit import Kit, built_in_fonts
from pictures import by_poppler, flat, same_place
from shapes import SVG

DPI = 100
# Words may sit up to half a pixel elsewhere and be hinted by librsvg: the rest of their ink must still be near.
SPARE = 0.0005


def judge(package, report):
    """Every paper of a package."""
    kit = Kit(package.kit)
    with tempfile.TemporaryDirectory() as folder:
        whole = drawing_picture(kit, pathlib.Path(folder), report)
        for paper in package.papers:
            sheets = sheets_picture(package, paper, kit, pathlib.Path(folder), whole.size)
            spare = int(SPARE * (np.asarray(whole) < 150).sum())
            same_place(sheets, whole, ("the sheets", "the drawing"), paper["file"], report, spare)
            report.fact(f"{paper['file']}: {len(paper['sheets'])} sheets laid together on the drawing")


def drawing_picture(kit, folder, report):
    """The printed layers of the drawing by librsvg, with no fonts but those that the kit may use."""
    tree = lxml.etree.parse(str(kit.drawing_file), lxml.etree.XMLParser(huge_tree=True))
    for element, layer in list(painters(tree.getroot(), None, kit)):
        if not kit.is_printed(layer):
            element.getparent().remove(element)
    (folder / "printed.svg").write_bytes(lxml.etree.tostring(tree))
    fonts = "".join(f"<dir>{path.parent}</dir>" for path in [built_in_fonts()[0], *kit.folder.glob("fonts/*")])
    (folder / "fonts.conf").write_text(f'<?xml version="1.0"?><fontconfig>{fonts}<cachedir>{folder}</cachedir></fontconfig>')
    width = round(kit.drawing.width / 25.4 * DPI)
    out = folder / "printed.png"
    command = ("rsvg-convert", "--unlimited", "-b", "white", "-w", width, "-o", out, folder / "printed.svg")
    code, _, err = run(*command, env={**os.environ, "FONTCONFIG_FILE": str(folder / "fonts.conf")})
    report.expect(code == 0, f"rsvg-convert: {err}")
    return flat(Image.open(out))


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
