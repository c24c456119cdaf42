"""The plan: exactly the promised sheets hold ink, for every size too, and no placement of the same tile takes fewer.

Ink is the drawing's own, read from its SVG: strokes with their width and dashes, fills, clips, as polygons (shapely). Two bounds
of it: what is surely ink (flat caps, no mitres, overlapping rings cancel), and what may be. Expected counts come from geometry
alone; the slack of 0.01 mm is the project's own error budget on paper.
"""

import functools

import numpy as np
import shapely
from shapely.ops import substring

from common import main
from kit import Kit

BUDGET = 0.01  # mm
APART = 0.5  # mm: largest gap between two points on the edge of sure ink
# ISO 32000-1, 8.4.3.3 and 8.4.3.4.
CAPS, JOINS = {0: "flat", 1: "round", 2: "square"}, {0: "mitre", 1: "round", 2: "bevel"}
STEP = 1.0  # mm: how far apart two placements are


class Ink:
    """The ink of some painted paths as shapes: a bound from within (`sure`) and one from without (`maybe`)."""

    def __init__(self, painted):
        shapes = [shape for p in painted if (shape := bounds_of(p))]
        self.sure = shapely.STRtree([part for low, _ in shapes for part in parts(low)])
        self.maybe = shapely.STRtree([part for _, high in shapes for part in parts(high)])

    def on(self, tree, boxes):
        """Whether each box meets a shape."""
        found = np.zeros(len(boxes), bool)
        found[tree.query(boxes, predicate="intersects")[0]] = True
        return found

    def surely_on(self, areas):
        """Whether ink lies well inside each (left, top, right, bottom)."""
        return self.on(self.sure, boxes(areas, -BUDGET))

    def maybe_on(self, areas):
        """Whether ink may lie inside, or nearly so."""
        return self.on(self.maybe, boxes(areas, BUDGET))

    @functools.cached_property
    def points(self):
        """Points all along the edges of sure ink."""
        edges = shapely.segmentize(shapely.boundary(self.sure.geometries), APART)
        return shapely.get_coordinates(edges)

    def box(self):
        """Around all sure ink."""
        return shapely.total_bounds(self.sure.geometries)


def parts(shape):
    return [part for part in shapely.get_parts(shape) if part.area > 0]


def boxes(areas, grown):
    left, top, right, bottom = np.asarray(areas, float).T
    return shapely.box(left - grown, top - grown, right + grown, bottom + grown)


def bounds_of(painted):
    """Sure and possible ink of one path, or `None` if it leaves none; white is the colour of paper."""
    low = high = shapely.Polygon()
    lines = painted.lines()
    if inked(painted.fill):
        rings = [shapely.Polygon(line).buffer(0) for line in lines if len(line) > 3]
        low = functools.reduce(shapely.symmetric_difference, rings, low)
        high = shapely.union_all([*rings, high])
    if inked(painted.stroke):
        strokes = shapely.MultiLineString([piece for line in lines for piece in dashes(line, painted)])
        half = painted.width / 2
        low = low.union(shapely.buffer(strokes, half, cap_style="flat", join_style="bevel"))
        # A mitre may be four times as long as the line is wide before it is cut (SVG 2, "stroke-miterlimit", initial value).
        # Where the ends of a stroke are not known they may be square.
        cap, join = CAPS.get(painted.cap, "square"), JOINS.get(painted.join, "mitre")
        high = high.union(shapely.buffer(shapely.buffer(strokes, half, cap_style=cap, join_style=join, mitre_limit=4), BUDGET))
    for clip in painted.clips:
        low, high = low.intersection(clip), high.intersection(clip)
    return None if high.is_empty else (low, high)


def inked(colour):
    return colour is not None and tuple(colour) != (1.0, 1.0, 1.0)


def dashes(line, painted):
    """The drawn pieces of a polyline (SVG 2, "stroke-dasharray")."""
    line = shapely.LineString(line)
    if sum(painted.dash) <= 0:
        return [line] if line.length > 0 else []
    at, pieces = -painted.phase % sum(painted.dash) - sum(painted.dash), []
    while at < line.length:
        for index, length in enumerate(painted.dash):
            start, end = max(at, 0), min(at + length, line.length)
            if index % 2 == 0 and end > start:
                pieces.append(substring(line, start, end))
            at += length
    return [piece for piece in pieces if piece.length > 0]


def judge(package, report):
    """Every paper of a package."""
    kit = Kit(package.kit, package)
    report.expect(not kit.drawing.complaints, f"this judge cannot follow the drawing: {kit.drawing.complaints[:3]}")
    for paper in package.papers:
        one_size(paper, [s["size"] for s in paper["sizes"]], kit, report)
        if not paper.get("one_of_many_sizes"):
            for size in paper["sizes"]:
                needed(paper, size, kit, report)


@functools.cache
def ink_of(kit, sizes):
    """The ink that the buyers of some sizes need: theirs, and that of layers which belong to no size."""
    foreign = {layer for size, layer in kit.size_layers.items() if size not in sizes}
    return Ink([p for p in kit.printed if p.layer not in foreign])


def grid(paper, box):
    """All tiles that reach a box: (row, column) and (left, top, right, bottom)."""
    (x, y), (_, _, width, height) = paper["origin_mm"], paper["tile_mm"]
    first = np.floor([(box[0] - x) / width, (box[1] - y) / height]).astype(int)
    last = np.floor([(box[2] - x) / width, (box[3] - y) / height]).astype(int)
    cells = [(r, c) for r in range(first[1], last[1] + 1) for c in range(first[0], last[0] + 1)]
    return cells, [(x + c * width, y + r * height, x + (c + 1) * width, y + (r + 1) * height) for r, c in cells]


def one_size(paper, sizes, kit, report):
    """The sheets of a paper are those with ink, and as few as can be."""
    ink = ink_of(kit, tuple(sizes) if paper.get("one_of_many_sizes") else tuple(kit.size_layers))
    promised = {(sheet["row"], sheet["column"]): sheet["label"] for sheet in paper["sheets"]}
    cells, areas = grid(paper, ink.box())
    report.expect(set(promised) <= set(cells), f"{paper['file']}: sheets lie beside all ink: {sorted(set(promised) - set(cells))}")
    for cell, sure, maybe in zip(cells, ink.surely_on(areas), ink.maybe_on(areas)):
        report.expect(cell in promised or not sure, f"{paper['file']}: ink in row {cell[0]}, column {cell[1]} is on no sheet")
        report.expect(cell not in promised or maybe, f"{paper['file']}: sheet {promised.get(cell)} holds no ink")
    fewest(paper, ink, len(promised), report)


def needed(paper, size, kit, report):
    """The pages of a size are those with its ink."""
    ink = ink_of(kit, (size["size"],))
    areas = [(x, y, x + w, y + h) for x, y, w, h in (sheet["area_mm"] for sheet in paper["sheets"])]
    for sheet, sure, maybe in zip(paper["sheets"], ink.surely_on(areas), ink.maybe_on(areas)):
        named = sheet["page"] in size["pages"]
        report.expect(named or not sure, f"{paper['file']}: size {size['size']} needs {sheet['label']}, which is not named")
        report.expect(not named or maybe, f"{paper['file']}: size {size['size']} has no ink on {sheet['label']}")


def fewest(paper, ink, promised, report):
    """No placement at whole steps from the promised one takes fewer sheets.

    Points of ink give a bound for every placement at once; where they leave a doubt, the shapes decide.
    """
    tile, step = paper["tile_mm"][2:], STEP
    offsets = [np.arange(0, side, step) for side in tile]
    starts = [origin - offset for origin, offset in zip(paper["origin_mm"], offsets)]
    counts = bound(ink, starts, tile)
    doubtful = np.argwhere(counts < promised)
    taken = [exact(ink, starts[0][i], starts[1][j], tile) for j, i in doubtful]
    best = min([promised, *taken])
    report.expect(best >= promised, f"{paper['file']}: {promised} sheets where {best} are enough")
    report.fact(f"{paper['file']}: {promised} sheets; {counts.size} placements, {len(doubtful)} of them counted by shapes")


def bound(ink, starts, tile):
    """For every start (down, across) how many tiles hold a point of sure ink well inside."""
    points = ink.points[np.argsort(ink.points[:, 1])]
    (left, top), (right, bottom) = points.min(0), points.max(0)
    counts = np.zeros((len(starts[1]), len(starts[0])), int)
    across = np.arange(np.floor((left - starts[0].max()) / tile[0]), np.ceil((right - starts[0].min()) / tile[0]) + 1)
    edges = starts[0][:, None] + across * tile[0]
    for j, start in enumerate(starts[1]):
        for row in range(int(np.floor((top - start) / tile[1])), int(np.ceil((bottom - start) / tile[1])) + 1):
            inside = slice(*np.searchsorted(points[:, 1], (start + row * tile[1] + BUDGET, start + (row + 1) * tile[1] - BUDGET)))
            xs = np.sort(points[inside, 0])
            held = np.searchsorted(xs, edges + tile[0] - BUDGET) - np.searchsorted(xs, edges + BUDGET)
            counts[j] += (held > 0).sum(1)
    return counts


def exact(ink, x, y, tile):
    """How many tiles of one placement hold sure ink."""
    _, areas = grid({"origin_mm": (x, y), "tile_mm": (0, 0, *tile)}, ink.box())
    return int(ink.surely_on(areas).sum())


if __name__ == "__main__":
    main(judge)
