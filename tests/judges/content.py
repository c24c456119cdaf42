"""A small reader of PDF content: what a page paints, where, under which clip and on which layer.

pikepdf splits the stream into operators; the arithmetic is here and shares nothing with the maker or with a renderer. It gives
paths in millimetres from the page's top left, y down. Text is passed over: the drawing's words arrive as outlines.
"""

import pikepdf
import shapely

from common import MM_PER_PT
from curves import Painted, flattened, product, stretch, through

PAINT = {"S": (0, 1), "s": (0, 1), "f": (1, 0), "F": (1, 0), "f*": (1, 0), "B": (1, 1), "B*": (1, 1), "b": (1, 1), "b*": (1, 1)}
COLOURS = {"g": "fill", "rg": "fill", "k": "fill", "sc": "fill", "scn": "fill", "G": "line", "RG": "line", "K": "line", "SC": "line", "SCN": "line"}


class State:
    """The graphics state that matters here."""

    def __init__(self, matrix):
        self.matrix, self.width, self.dash, self.phase, self.fill, self.line, self.clips = matrix, 1.0, (), 0.0, (0,), (0,), []
        self.cap = self.join = 0

    def copy(self):
        other = State(self.matrix)
        other.__dict__.update(self.__dict__)
        other.clips = list(self.clips)
        return other


class Reader:
    """Runs content streams and gathers `painted`; what it cannot follow goes to `complaints`."""

    def __init__(self, page, streams):
        self.streams = streams
        left, bottom, right, top = (float(v) for v in page.obj.get("/CropBox", page.mediabox))
        self.painted, self.complaints, self.layers, self.path, self.start, self.pending = [], [], [], [], None, False
        # From PDF units, y up, to millimetres from the top left, y down.
        state = State((MM_PER_PT, 0, 0, -MM_PER_PT, -left * MM_PER_PT, top * MM_PER_PT))
        self.run(page.obj, page.obj.get("/Resources", {}), state)

    def run(self, stream, resources, state):
        stack = []
        for name, operands in self._operators(stream):
            if name == "q":
                stack.append(state.copy())
            elif name == "Q":
                state = stack.pop() if stack else self._complain("a Q without its q", state)
            elif name == "BDC":
                self.layers.append(self._layer(operands, resources))
            elif name == "BMC":
                self.layers.append(None)
            elif name == "EMC":
                self.layers.pop() if self.layers else self._complain("an EMC without its BDC")
            elif name == "Do":
                self._draw(str(operands[0]), resources, state)
            elif name in ("INLINE IMAGE", "sh"):
                self._complain(f"`{name}` paints what this judge cannot follow")
            else:
                self._step(name, operands, state, resources)
        if stack:
            self._complain("a q without its Q")

    def _operators(self, stream):
        """The operators of a stream; one that many pages draw is split only once."""
        key = stream.objgen
        if key not in self.streams:
            self.streams[key] = [(str(operator), list(operands)) for operands, operator in pikepdf.parse_content_stream(stream)]
        return self.streams[key]

    def _complain(self, text, value=None):
        self.complaints.append(text)
        return value

    def _layer(self, operands, resources):
        if str(operands[0]) != "/OC":
            return None
        group = resources.get("/Properties", {}).get(str(operands[1])) if len(operands) > 1 else None
        return self._complain(f"layer {operands[1]} is not in the resources") if group is None else str(group.get("/Name", ""))

    def _draw(self, name, resources, state):
        target = resources.get("/XObject", {}).get(name)
        if target is None:
            return self._complain(f"{name} is not in the resources")
        matrix = product(tuple(float(v) for v in target.get("/Matrix", (1, 0, 0, 1, 0, 0))), state.matrix)
        layered = "/OC" in target
        if layered:
            self.layers.append(str(target["/OC"].get("/Name", "")))
        if str(target.get("/Subtype")) == "/Form":
            inner = state.copy()
            inner.matrix = matrix
            inner.clips.append(_area([flattened(_ring(matrix, *(float(v) for v in target["/BBox"])))]))
            self.run(target, target.get("/Resources", resources), inner)
        else:
            self._paint([_ring(state.matrix, 0, 0, 1, 1)], state, True, False, "image")
        if layered:
            self.layers.pop()

    def _step(self, name, operands, state, resources):
        """Everything but structure: path building, painting, state."""
        if name in ("m", "l", "c", "v", "y", "h", "re"):
            self._build(name, [float(v) for v in operands], state)
        elif name in ("W", "W*"):
            self.pending = True
        elif name in PAINT or name == "n":
            if name in ("s", "b", "b*"):
                self._build("h", [], state)
            if name != "n":
                self._paint([s for s in self.path if s], state, *PAINT[name])
            if self.pending:
                state.clips.append(_area([flattened(s) for s in self.path if s]))
            self.path, self.start, self.pending = [], None, False
        elif name == "cm":
            state.matrix = product(tuple(float(v) for v in operands), state.matrix)
        elif name == "w":
            state.width = float(operands[0])
        elif name in ("J", "j"):
            setattr(state, {"J": "cap", "j": "join"}[name], int(operands[0]))
        elif name == "d":
            state.dash, state.phase = tuple(float(v) for v in operands[0]), float(operands[1])
        elif name in COLOURS:
            setattr(state, COLOURS[name], tuple(float(v) for v in operands if not isinstance(v, pikepdf.Name)))

    def _build(self, name, v, state):
        place = [through(state.matrix, x, y) for x, y in zip(v[::2], v[1::2])]
        if name == "m":
            self.path.append([])
            self.start = self.at = place[0]
        elif name == "re":
            self.path.append(_ring(state.matrix, v[0], v[1], v[0] + v[2], v[1] + v[3]))
            self.start = self.at = self.path[-1][0][0]
        elif self.start is None:
            self._complain(f"`{name}` without a current point")
        elif name == "h":
            if self.at != self.start:
                self.path[-1].append([self.at, self.start])
            self.at = self.start
        else:
            points = {"v": [self.at, *place], "y": [*place, place[-1]]}.get(name, place)
            self.path[-1].append([self.at, *points])
            self.at = points[-1]

    def _paint(self, subpaths, state, fill, stroke, origin=""):
        scale = stretch(state.matrix)
        layer = next((x for x in reversed(self.layers) if x is not None), None)
        dash = tuple(v * scale for v in state.dash)
        self.painted.append(
            Painted(subpaths, layer, state.fill if fill else None, state.line if stroke else None, state.width * scale, dash,
                    state.phase * scale, state.cap, state.join, list(state.clips), origin)
        )  # fmt: skip


def _ring(matrix, left, top, right, bottom):
    """A rectangle as four lines through a matrix."""
    corners = [through(matrix, x, y) for x, y in [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]]
    return [corners[i : i + 2] for i in range(4)]


def _area(rings):
    """The clip of some closed rings: exclusive or, which is right for nonzero too as long as rings do not overlap."""
    area = shapely.Polygon()
    for ring in rings:
        if len(ring) > 2:
            area = area.symmetric_difference(shapely.Polygon(ring).buffer(0))
    return area


def read_pages(pdf):
    """What each page of a pikepdf document paints: a list of (list of Painted, list of complaints)."""
    streams = {}
    readers = [Reader(page, streams) for page in pdf.pages]
    return [(reader.painted, reader.complaints) for reader in readers]
