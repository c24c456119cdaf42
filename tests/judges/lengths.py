"""Lengths along edges and seam pairs: the drawing, the promises and every paper agree, as an outside geometry library measures them.

Lengths, nearest places and crossings are svgpathtools' (arc lengths by scipy's adaptive quadrature). The manifest says what is
measured, by the rules of docs/manifest.md; nothing is taken from the tool but the points by which a line is found in a PDF. The
slack of 0.01 mm is the project's own error budget on paper.
"""

import functools

from svgpathtools import CubicBezier, Line, Path

from common import main
from curves import product, through
from drawing import LABELS
from kit import Kit
from readers import READERS
from shapes import UNITS, outline, tag_of, transform, units

BUDGET = 0.01  # mm
REACH = 1.0  # mm: docs/manifest.md, "Between two notches"
KINDS = ("line", "outline", "between", "width", "height")  # rules.py has the straight ones


def judge(package, report):
    """Measures what the manifest promises in the drawing, then once more on every paper."""
    kit = Kit(package.kit)
    promised = {control["name"]: control for control in package.promises["controls"]}
    true, worst = {}, 0.0
    for name, entry, size in entries(kit):
        if "from" in entry:
            continue
        measured = Measure(kit, size).difference(entry)
        wanted, slack = wanted_of(entry, size)
        off = abs(measured.length - wanted)
        worst = max(worst, off)
        report.expect(off <= slack + 1e-6, f"`{name}` is {off:.4f} mm off in the drawing")
        told = report.expect(measured.printed == (name in promised), f"`{name}` is {'printed, but not promised' if measured.printed else 'promised, but not printed'}")
        if told and measured.printed:
            true[name] = measured.length
    report.fact(f"lengths in the drawing, of which {len(true)} are printed: {worst:.4f} mm off what is promised at most")
    for paper in package.papers:
        for reader in ("own arithmetic", "mupdf"):
            on_paper(paper, reader, READERS[reader](package.folder / paper["file"], ()), promised, true, report)


def entries(kit):
    """Entries of the manifest, one a size: name, entry, size."""
    for entry in kit.manifest.get("control-measurements", []):
        every = entry.get("size") == "all"
        sizes = list(kit.size_layers) if every else [str(size) for size in entry.get("lengths", {})] or [entry.get("size")]
        for size in sizes:
            yield (f"{entry['name']}, size {size}" if every or "lengths" in entry else entry["name"]), entry, size


def wanted_of(entry, size):
    """Promised length, or difference, and slack in mm; defaults are those of docs/manifest.md."""
    if "equals" in entry:
        return millimetres(entry.get("plus", "0 mm")), millimetres(entry.get("within", "0.5 mm"))
    lengths = {str(key): text for key, text in entry.get("lengths", {}).items()}
    return millimetres(lengths[size] if lengths else entry["length"]), millimetres(entry.get("tolerance", "0.05 mm"))


def millimetres(text):
    """A length of the manifest."""
    number, unit = str(text).split()
    return float(number) * {**UNITS, "m": 1000}[unit]


class Edge:
    """A line without gaps in mm, from a list of segments of 2 or 4 points; `path` has svgpathtools' segments."""

    def __init__(self, points):
        whole = [[complex(*point) for point in segment] for segment in points]
        whole = [segment for segment in whole if max(abs(point - segment[0]) for point in segment) > 1e-9]
        self.path = Path(*(Line(*segment) if len(segment) == 2 else CubicBezier(*segment) for segment in whole))
        self.closed = bool(whole) and abs(whole[0][0] - whole[-1][-1]) < BUDGET

    @functools.cached_property
    def lengths(self):
        return [segment.length() for segment in self.path]

    @property
    def length(self):
        return sum(self.lengths)

    def along(self, index, t):
        """How far a place lies from the start."""
        return sum(self.lengths[:index]) + (self.path[index].length(0, t) if t > 0 else 0.0)

    def off(self, point):
        """How far a point lies from the line."""
        return self.path.radialrange(complex(*point))[0][0]

    def nearest(self, point):
        """How far along the nearest place lies, and how far it is off."""
        off, t, index = self.path.radialrange(complex(*point))[0]
        return self.along(index, t), off

    def between(self, start, end, way):
        """The way from one place to another."""
        straight = abs(end - start)
        both = (straight, self.length - straight) if self.closed else (straight, straight)
        return (max if way == "long" else min)(both)

    def met_by(self, strokes):
        """Where strokes cross or touch the edge, in the middle of all such places; else the place nearest to one of their ends."""
        ends = [self.nearest((point.real, point.imag)) for stroke in strokes for point in (stroke.start, stroke.end)]
        places = [place for place, off in ends if off <= BUDGET]
        for stroke in strokes:
            for index, segment in enumerate(self.path):
                places += [self.along(index, float(t)) for t, _ in segment.intersect(stroke)]
        if not places:
            place, off = min(ends, key=lambda end: end[1])
            return place if off <= REACH else float("nan")
        turns = [place - round((place - places[0]) / self.length) * self.length for place in places] if self.closed else places
        return (min(turns) + max(turns)) / 2


class Measure:
    """Lengths in a kit's drawing, for one size."""

    def __init__(self, kit, size):
        self.kit, self.size = kit, size

    def difference(self, entry):
        """What an entry is about: its element's length, less what that equals."""
        own = self.side(entry)
        others = entry.get("equals", [])
        for other in others if isinstance(others, list) else [others]:
            other = self.side(other if isinstance(other, dict) else {"element": other})
            own = Length(own.length - other.length, own.printed and other.printed)
        return own

    def side(self, side):
        """The length of an element or a part of its edge."""
        element = self.element(side["element"])
        edges = [edge for edge in map(Edge, self.lines(element)) if edge.path]
        printed = self.kit.is_printed(self.layer(element))
        if "between" in side:
            return Length(self.part(edges, side), printed)
        measure = side.get("measure", "length")
        if measure in ("width", "height"):
            boxes = [edge.path.bbox() for edge in edges]
            low, high = (0, 1) if measure == "width" else (2, 3)
            return Length(max(box[high] for box in boxes) - min(box[low] for box in boxes), printed)
        return Length(sum(edge.length for edge in edges), printed)

    def part(self, edges, side):
        """Between two places; an element of several lines is beyond this judge."""
        (edge,) = edges
        places = []
        for place in side["between"]:
            if isinstance(place, list):
                places.append(edge.nearest([millimetres(number) for number in place])[0])
            else:
                strokes = [stroke for line in self.lines(self.element(place)) for stroke in Edge(line).path]
                places.append(edge.met_by(strokes))
        return edge.between(*places, side.get("way", "short"))

    def element(self, name):
        """The element of a name: in the layer of the size, else where no size is."""
        name = name.replace("<size>", self.size or "")
        named = [e for e in self.kit.drawing.root.iter() if isinstance(e.tag, str) and name in [e.get(key) for key in LABELS]]
        if self.size:
            own = [e for e in named if self.layer(e) == self.kit.size_layers[self.size]]
            named = own or [e for e in named if self.layer(e) not in self.kit.size_layers.values()]
        (only,) = named
        return only

    def layer(self, element):
        """The layer on which an element lies."""
        around = [element, *element.iterancestors()]
        return next((name for e in around for key in LABELS if (name := e.get(key)) in self.kit.drawing.layers), None)

    def lines(self, element):
        """Lines of an element and all in it, in mm."""
        found = []
        for part in element.iter():
            if not isinstance(part.tag, str):
                continue
            matrix, shape = self.matrix(part), part
            if tag_of(part) == "use":
                shape = self.kit.drawing.ids[(part.get("href") or part.get("{http://www.w3.org/1999/xlink}href"))[1:]]
                place = (1, 0, 0, 1, units(part.get("x", "0")), units(part.get("y", "0")))
                matrix = product(product(transform(shape.get("transform", "")), place), matrix)
            for line in outline(shape) or []:
                found.append([[through(matrix, *point) for point in segment] for segment in line])
        return found

    def matrix(self, element):
        """From an element's own units to mm."""
        own = (transform(e.get("transform", "")) for e in [element, *element.iterancestors()])
        return product(functools.reduce(product, own), self.kit.drawing.page)


class Length:
    """A length, and whether all of it is printed."""

    def __init__(self, length, printed):
        self.length, self.printed = length, printed


def on_paper(paper, reader, pages, promised, true, report):
    """Every promise of one paper: the length of its lines, from the drawing and from what a reader found in the PDF."""
    moves = [(pages[sheet["page"] - 1], [a - t for a, t in zip(sheet["area_mm"], paper["tile_mm"])][:2]) for sheet in paper["sheets"]]
    worst, count = 0.0, 0
    for name, length in true.items():
        parts = promised[name].get("parts", [])
        if any(part["measure"] not in KINDS for part in parts) or not parts:
            continue
        found = [on_sheets(part, moves) for part in parts]
        where = f"{paper['file']} by {reader}: `{name}`"
        if report.expect(None not in found, f"{where} runs along no line of any page"):
            off = abs(sum(-f if part.get("minus") else f for part, f in zip(parts, found)) - length)
            worst, count = max(worst, off), count + 1
            report.expect(off <= BUDGET, f"{where} is {off:.4f} mm off the drawing")
    report.fact(f"{paper['file']} by {reader}: {count} lengths, the worst {worst:.4f} mm off the drawing")


def on_sheets(part, moves):
    """The length of the line that passes all points of a part, on the first page that has it; pages hold their lines whole."""
    for page, (x, y) in moves:
        points = [(px - x, py - y) for px, py in part["points_mm"]]
        for painted in page:
            for subpath in painted.subpaths:
                if may_pass(subpath, points):
                    edge = Edge(subpath)
                    if edge.path and all(edge.off(point) <= BUDGET for point in points):
                        return run(part["measure"], edge, points)
    return None


def may_pass(subpath, points):
    """Whether the box of a line's control points holds all points."""
    xs, ys = zip(*(point for segment in subpath for point in segment))
    return all(min(xs) - REACH <= x <= max(xs) + REACH and min(ys) - REACH <= y <= max(ys) + REACH for x, y in points)


def run(measure, edge, points):
    """What is measured of a line: its box, all of it, or the way from the first point to the last on which the middle one lies."""
    if measure in ("width", "height"):
        left, right, top, bottom = edge.path.bbox()
        return right - left if measure == "width" else bottom - top
    if measure != "between":
        return edge.length
    (start, middle, end) = (edge.nearest(points[index])[0] for index in (0, len(points) // 2, -1))
    inside = min(start, end) <= middle <= max(start, end)
    return abs(end - start) if inside else edge.length - abs(end - start)


if __name__ == "__main__":
    main(judge)
