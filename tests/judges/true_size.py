"""True size: what the sheets paint, read back by three PDF readers, against the drawing's own numbers.

Expected values: the error budget of 0.01 mm on paper is the project's own promise; the drawing is read by drawing.py, whose
reading is first held against rsvg-convert's. Where the kit has sizes restyled, the geometry is the drawing's all the same; the lines
and the names along them are those of size_lines.py.
"""

import collections
import pathlib
import tempfile

import numpy as np
import pikepdf
import shapely

from common import close_to, main, run, to_drawing
from curves import Ink, clipped, mapped, samples
from drawing import Drawing
from kit import Kit
from readers import READERS, by_mupdf

BUDGET = 0.01  # mm
BESIDE = 1.5  # mm: from a line's middle to its size's name
ARC_SLACK = 0.1  # mm: 0.03 % of the largest radius that a pattern has, 300 mm


def judge(package, report):
    """Measures every paper of a package against the drawing of its kit."""
    kit = Kit(package.kit, package)
    for complaint in [*kit.drawing.complaints, *kit.lines.complaints]:
        report.expect(False, complaint)
    reference_agrees(kit, report)
    reference = Reference(kit)
    for paper in package.papers:
        for name, reader in READERS.items():
            pages = reader(package.folder / paper["file"], marks_of(package.folder / paper["file"], reference.layers))
            Measured(reference, paper, name, pages).judge(report)
        layered = (package.folder / paper["file"]).with_suffix(".svg")
        if report.expect(layered.exists() == (paper["press"] == "wide"), f"{layered.name} is there or not against what its paper says"):
            if layered.exists():
                wide_drawing(layered, paper, reference, report)


def reference_agrees(kit, report):
    """drawing.py and librsvg must see the same paths (its letters are text, so letters are left out)."""
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder, "drawing.pdf")
        code, _, err = run("rsvg-convert", "--unlimited", "-f", "pdf", "-o", out, kit.drawing_file)
        if not report.expect(code == 0, f"rsvg-convert refuses {kit.drawing_file.name}: {err.strip()}"):
            return
        seen = samples([line for painted in by_mupdf(out, ())[0] for line in painted.lines()])
    # librsvg takes a unit as 1/96 in whatever the kit says.
    seen = seen * 96 / float(kit.manifest["drawing"].get("units-per-inch", 96))
    exact = Ink([(None, p.lines()) for p in kit.drawing.painted if not p.round]).distances(seen)
    # librsvg draws a quarter of a circle as one cubic, at most 0.03 % of the radius off: arcs are held to that alone.
    arcs = Ink([(None, p.lines()) for p in kit.drawing.painted if p.round]).distances(seen)
    worst = np.where(arcs <= ARC_SLACK, np.minimum(exact, BUDGET / 2), exact).max(initial=0)
    report.expect(worst <= BUDGET / 2, f"the judge's own reading of {kit.drawing_file.name} is {worst:.4f} mm off librsvg's")
    report.fact(f"{kit.drawing_file.name}: own reading and librsvg agree within {worst:.4f} mm, arcs apart")


class Reference:
    """The printed paths of the drawing, by layer."""

    def __init__(self, kit):
        self.drawing, self.layers, self.border, self.lines = kit.drawing, kit.layers(), kit.border, kit.lines
        by_layer = collections.defaultdict(list)
        for painted in kit.printed:
            by_layer[painted.layer].append((painted, seen_lines(painted)))
        self.ink = {layer: Ink(items) for layer, items in by_layer.items()}
        self.points = {layer: samples([x for _, lines in items for x in lines]) for layer, items in by_layer.items()}
        self.all = Ink([item for items in by_layer.values() for item in items])
        self.others = {own: Ink([x for layer in by_layer if layer != own for x in by_layer[layer]]) for own in self.lines.names}


def seen_lines(painted):
    """What of a path its clips leave."""
    lines = painted.lines()
    for area in painted.clips:
        if lines and not area.contains(shapely.box(*np.vstack(lines).min(0), *np.vstack(lines).max(0))):
            lines = clipped(lines, area)
    return lines


def marks_of(path, layers):
    """Names of the file's layers that are none of the drawing's."""
    with pikepdf.open(path) as pdf:
        return [n for g in pdf.Root.get("/OCProperties", {}).get("/OCGs", []) if (n := str(g.get("/Name"))) not in layers]


class Measured:
    """One paper as one reader saw it."""

    def __init__(self, reference, paper, reader, pages):
        self.reference, self.paper, self.reader, self.pages = reference, paper, reader, pages
        self.where = f"{paper['file']} by {reader}"
        self.worst = (0, "")
        self.lines, self.names = collections.defaultdict(list), []
        self.wrong_style = []

    def judge(self, report):
        """All checks of this reader on this paper."""
        for sheet in self.paper["sheets"]:
            if not report.expect(0 < sheet["page"] <= len(self.pages), f"{self.where}: no page {sheet['page']}"):
                return
            self.sheet(sheet, report)
        report.expect(self.worst[0] <= BUDGET, f"{self.where}: a painted point is {self.worst[0]:.4f} mm off the drawing, {self.worst[1]}")
        for text in self.wrong_style[:10]:
            report.expect(False, f"{self.where}: {text}")
        away = self.nothing_lacks(report)
        report.fact(f"{self.where}: painted within {self.worst[0]:.4f} mm of the drawing, drawn within {away:.4f} mm of a sheet")
        self.names_beside(report)
        if self.reader == "own arithmetic":
            self.tiles_meet(report)

    def sheet(self, sheet, report):
        """Every painted point of a sheet lies on the drawing, on its own layer, in its own style."""
        matrix = to_drawing(self.paper, sheet, self.reference.drawing.height)
        tile = shapely.box(*_corners(self.paper["tile_mm"]))
        for painted in self.pages[sheet["page"] - 1]:
            if self.reader != "poppler" and painted.layer not in self.reference.ink:
                continue
            if not painted.subpaths or not tile.intersects(shapely.box(*painted.box())):
                continue
            lines = clipped(seen_lines(painted), tile)
            if not lines:
                continue
            lines = [mapped(matrix, line) for line in lines]
            points = samples(lines)
            distances = self.reference.ink.get(painted.layer, self.reference.all).distances(points)
            at = int(distances.argmax())
            if distances[at] > BUDGET and (layer := self.reference.lines.named(painted)):
                self.names.append((layer, points))
                continue
            self.lines[painted.layer].extend(lines)
            if distances[at] > self.worst[0]:
                x, y = points[at]
                self.worst = (float(distances[at]), f"on sheet {sheet['label']}, layer {painted.layer}, at {x:.3f}, {y:.3f} mm of the drawing")
            if self.reader in ("own arithmetic", "drawing.py") and distances[at] <= BUDGET:
                self.style(painted, points, sheet)

    def style(self, painted, points, sheet):
        """Some path of the drawing that runs here has the same width, dashes and colours."""
        owners = self.reference.ink[painted.layer].owners(points[len(points) // 2], BUDGET)
        if not any(same_style(painted, owner) for owner in owners):
            x, y = points[len(points) // 2]
            kinds = " or ".join(sorted({style_text(owner) for owner in owners}))
            self.wrong_style.append(f"sheet {sheet['label']} paints {style_text(painted)} at {x:.2f}, {y:.2f} mm; wanted is {kinds}")

    def names_beside(self, report):
        """Each size is named, and each name stands nearer to its own line than to any other ink."""
        named = collections.Counter(layer for layer, _ in self.names)
        wanted = {self.reference.lines.layers.get(size["size"]) for size in self.paper["sizes"]} & set(self.reference.lines.names)
        for layer in sorted(wanted):
            report.expect(named[layer], f"{self.where}: no line of layer {layer} has its name")
        for layer, points in self.names:
            own, other = (ink.distances(points).min() for ink in (self.reference.ink[layer], self.reference.others[layer]))
            x, y = points[0]
            report.expect(own <= BESIDE and own < other, f"{self.where}: the name at {x:.1f}, {y:.1f} mm stands {own:.2f} mm from layer {layer}, {other:.2f} mm from others")
        if named:
            report.fact(f"{self.where}: {sum(named.values())} names beside the lines of {len(named)} sizes")

    def nothing_lacks(self, report):
        """Every point of the drawing's printed lines lies on some sheet."""
        everything = Ink([(None, lines) for lines in self.lines.values()])
        farthest = 0.0
        for layer, points in self.reference.points.items():
            ink = everything if self.reader == "poppler" else Ink([(None, self.lines[layer])])
            distances = ink.distances(points)
            worst = distances.max(initial=0)
            farthest = max(farthest, float(worst))
            x, y = points[int(distances.argmax())]
            report.expect(worst <= BUDGET, f"{self.where}: layer {layer} at {x:.3f}, {y:.3f} mm is {worst:.4f} mm from any printed line")
        return farthest

    def tiles_meet(self, report):
        """The clip that each page's drawing is seen through is the promised area and the border around it, no more and no less, so
        that neighbours lap by twice the border."""
        seen, border = {}, self.reference.border(self.paper)
        for sheet in self.paper["sheets"]:
            clips = [p.clips[0] for p in self.pages[sheet["page"] - 1] if p.layer in self.reference.ink and p.clips]
            if not report.expect(clips, f"{self.where}: sheet {sheet['label']} has no clip"):
                continue
            report.expect(all(c.equals_exact(clips[0], BUDGET, normalize=True) for c in clips), f"{self.where}: sheet {sheet['label']} has several clips")
            left, top = (a - t for a, t in zip(sheet["area_mm"][:2], self.paper["tile_mm"][:2]))
            box = np.array(clips[0].bounds) + (left, top, left, top)
            seen[sheet["row"], sheet["column"]] = box
            label = f"{self.where}: sheet {sheet['label']}"
            report.expect(clips[0].equals_exact(shapely.box(*clips[0].bounds), BUDGET, normalize=True), f"{label} is not clipped by a rectangle")
            promised = np.array(_corners(sheet["area_mm"])) + (-border, -border, border, border)
            report.expect(close_to(box, promised, BUDGET), f"{label} shows {np.round(box, 3)}, promised {np.round(promised, 3)} with its border")
        for (row, column), box in seen.items():
            for other, mine, theirs in (((row, column + 1), 2, 0), ((row + 1, column), 3, 1)):
                if other in seen:
                    gap = seen[other][theirs] - box[mine] + 2 * border
                    report.expect(abs(gap) <= BUDGET, f"{self.where}: between {row, column} and {other} there are {gap:.4f} mm too much")


def _corners(rectangle):
    x, y, width, height = rectangle
    return (x, y, x + width, y + height)


def _rgb(colour):
    return tuple(colour) * 3 if colour is not None and len(colour) == 1 else colour


def union(paper):
    """The rectangle around all areas of a paper."""
    left, top, right, bottom = zip(*(_corners(sheet["area_mm"]) for sheet in paper["sheets"]))
    return [min(left), min(top), max(right) - min(left), max(bottom) - min(top)]


def same_style(painted, owner):
    """Same colours (to one step of 255), and if stroked the same width and dashes (to half the budget)."""
    for a, b in ((painted.fill, owner.fill), (painted.stroke, owner.stroke)):
        if (a is None) != (b is None) or (a is not None and not close_to(_rgb(a), _rgb(b), 1.01 / 255)):
            return False
    pairs = ((painted.width,), (owner.width,)), (painted.dash, owner.dash), ((painted.phase,), (owner.phase,))
    return painted.stroke is None or all(close_to(a, b, BUDGET / 2) for a, b in (pairs if painted.dash or owner.dash else pairs[:1]))


def style_text(painted):
    """A style in words."""
    dash = f", dashes {[round(v, 3) for v in painted.dash]} from {painted.phase:.3f}" if painted.dash else ""
    stroke = f"line {_rounded(painted.stroke)} of {painted.width:.3f} mm{dash}" if painted.stroke is not None else "no line"
    return f"{stroke}, fill {_rounded(painted.fill)}"


def _rounded(colour):
    return None if colour is None else tuple(round(v, 3) for v in _rgb(colour))


def wide_drawing(path, paper, reference, report):
    """The layered SVG of a wide paper holds the drawing at true size, layer by layer, in the drawing's own styles.

    A drawing that needs several sheets of the paper lies in one SVG, all tiles joined, where the first tile has its usual place.
    """
    wide = Drawing(path, reference.layers)
    for complaint in wide.complaints:
        report.expect(False, f"{path.name}: {complaint}")
    area = union(paper)
    sheet = {**paper["sheets"][0], "page": 1, "area_mm": area}
    whole = {**paper, "file": path.name, "sheets": [sheet], "tile_mm": [*paper["tile_mm"][:2], *area[2:]]}
    Measured(reference, whole, "drawing.py", [wide.painted]).judge(report)


if __name__ == "__main__":
    main(judge)
