"""SVG's shapes, path data, lengths and transforms as plain numbers (W3C SVG 2, chapters 8 to 10)."""

import math
import re

from curves import product, through

SVG = "{http://www.w3.org/2000/svg}"
# Millimetres a unit: CSS Values and Units 3, § 6.2 (1 in = 25.4 mm = 96 px = 72 pt = 6 pc, 1 Q = 0.25 mm).
UNITS = {"mm": 1, "cm": 10, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "px": 25.4 / 96, "Q": 0.25, "": 25.4 / 96}
NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
PARAMETERS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}


def millimetres(text):
    """An SVG length with its unit, in millimetres."""
    number, unit = re.fullmatch(r"\s*([-+.\deE]+?)\s*(mm|cm|in|pt|pc|px|Q|)\s*", text).groups()
    return float(number) * UNITS[unit]


def units(text):
    """A length in user units."""
    return millimetres(text) / UNITS["px"]


def tag_of(element):
    """The tag without its namespace."""
    return element.tag.removeprefix(SVG)


def transform(text):
    """A transform list as one matrix."""
    total = (1, 0, 0, 1, 0, 0)
    for name, body in re.findall(r"(\w+)\s*\(([^)]*)\)", text):
        total = product(_single(name, [float(v) for v in NUMBER.findall(body)]), total)
    return total


def _single(name, v):
    if name == "matrix":
        return tuple(v)
    if name == "translate":
        return (1, 0, 0, 1, v[0], v[1] if len(v) > 1 else 0)
    if name == "scale":
        return (v[0], 0, 0, v[1] if len(v) > 1 else v[0], 0, 0)
    turn = math.radians(v[0])
    if name == "rotate":
        spin = (math.cos(turn), math.sin(turn), -math.sin(turn), math.cos(turn), 0, 0)
        x, y = v[1:3] if len(v) > 2 else (0, 0)
        return product(product((1, 0, 0, 1, -x, -y), spin), (1, 0, 0, 1, x, y))
    return (1, 0, math.tan(turn), 1, 0, 0) if name == "skewX" else (1, math.tan(turn), 0, 1, 0, 0)


def outline(element):
    """Subpaths of a basic shape or path in user units; `None` for anything else."""
    tag, number = tag_of(element), lambda key: units(element.get(key, "0"))
    if tag == "path":
        return path_data(element.get("d", ""))
    if tag == "line":
        return path_data(f"M{number('x1')} {number('y1')}L{number('x2')} {number('y2')}")
    if tag in ("polyline", "polygon"):
        return path_data("M" + element.get("points", "") + ("Z" if tag == "polygon" else ""))
    if tag in ("circle", "ellipse"):
        rx, ry = (number("r"), number("r")) if tag == "circle" else (number("rx"), number("ry"))
        x, y = number("cx"), number("cy")
        return path_data(f"M{x + rx} {y}A{rx} {ry} 0 0 1 {x - rx} {y}A{rx} {ry} 0 0 1 {x + rx} {y}Z")
    return _rectangle(element, number) if tag == "rect" else None


def has_arcs(element):
    """Whether a shape has arcs, which programs turn into curves each in their own way."""
    return tag_of(element) in ("circle", "ellipse") or bool(element.get("rx")) or "a" in element.get("d", "").lower()


def _rectangle(element, number):
    x, y, w, h = (number(key) for key in ("x", "y", "width", "height"))
    rx, ry = number("rx") or number("ry"), number("ry") or number("rx")
    rx, ry = min(rx, w / 2), min(ry, h / 2)
    if not rx:
        return path_data(f"M{x} {y}h{w}v{h}h{-w}Z")
    arc = f"a{rx} {ry} 0 0 1 "
    return path_data(f"M{x + rx} {y}h{w - 2 * rx}{arc}{rx} {ry}v{h - 2 * ry}{arc}{-rx} {ry}h{2 * rx - w}{arc}{-rx} {-ry}v{2 * ry - h}{arc}{rx} {-ry}Z")


def path_data(text):
    """Path data as subpaths of lines and cubics; quadratics are raised, arcs become cubics within 1e-6 of their radius."""
    pen = Pen()
    for letter, body in re.findall(r"([MmLlHhVvCcSsQqTtAaZz])([^MmLlHhVvCcSsQqTtAaZz]*)", text):
        count = PARAMETERS[letter.upper()]
        numbers = _arc_numbers(body) if letter in "Aa" else [float(v) for v in NUMBER.findall(body)]
        for index in range(0, max(len(numbers), 1), max(count, 1)):
            pen.step(letter, numbers[index : index + count])
            letter = {"M": "L", "m": "l"}.get(letter, letter)
    return [subpath for subpath in pen.subpaths if subpath]


def _arc_numbers(body):
    """Arc flags may stand without a space between them."""
    number, sign = NUMBER.pattern, r"[\s,]*"
    shape = sign + sign.join([f"({number})"] * 3 + ["([01])"] * 2 + [f"({number})"] * 2)
    return [float(v) for match in re.findall(shape, body) for v in match]


class Pen:
    """Follows path data step by step."""

    def __init__(self):
        self.subpaths, self.at, self.start, self.control, self.last = [], (0, 0), (0, 0), None, ""

    def step(self, letter, v):
        kind, (ox, oy) = letter.upper(), self.at if letter.islower() else (0, 0)
        if kind == "H":
            points = [(v[0] + ox, self.at[1])]
        elif kind == "V":
            points = [(self.at[0], v[0] + oy)]
        else:
            points = [(x + ox, y + oy) for x, y in zip(v[5::2] if kind == "A" else v[::2], v[6::2] if kind == "A" else v[1::2])]
        control = None
        if kind == "M":
            self.subpaths.append([])
            self.start = points[0]
        elif kind == "Z":
            points = [self.start]
            if self.at != self.start:
                self._add([self.at, self.start])
        elif kind in "LHV":
            self._add([self.at, *points])
        elif kind in "CS":
            points = points if kind == "C" else [self._mirror("CS"), *points]
            self._add([self.at, *points])
            control = points[1]
        elif kind in "QT":
            control = points[0] if kind == "Q" else self._mirror("QT")
            self._add([self.at, *(_mix(end, control, 2 / 3) for end in (self.at, points[-1])), points[-1]])
        else:
            self._arc(v, points[-1])
        self.at, self.control, self.last = points[-1], control, kind

    def _add(self, segment):
        if not self.subpaths or self.last == "Z":
            self.subpaths.append([])
        self.subpaths[-1].append(segment)
        self.last = ""

    def _mirror(self, kinds):
        if self.last not in kinds or self.control is None:
            return self.at
        return (2 * self.at[0] - self.control[0], 2 * self.at[1] - self.control[1])

    def _arc(self, v, end):
        """SVG 2, appendix B.2.4 (end point to centre form), then cubics of at most 1/16 of a turn."""
        rx, ry, turn, large, sweep = abs(v[0]), abs(v[1]), math.radians(v[2]), v[3] != 0, v[4] != 0
        if not rx or not ry or end == self.at:
            return self._add([self.at, end])
        cos, sin = math.cos(turn), math.sin(turn)
        dx, dy = (self.at[0] - end[0]) / 2, (self.at[1] - end[1]) / 2
        x, y = cos * dx + sin * dy, cos * dy - sin * dx
        grow = max(1, (x / rx) ** 2 + (y / ry) ** 2) ** 0.5
        rx, ry = rx * grow, ry * grow
        below = (rx * y) ** 2 + (ry * x) ** 2
        k = math.sqrt(max(0, (rx * ry) ** 2 - below) / below) * (-1 if large == sweep else 1)
        cx, cy = k * rx * y / ry, -k * ry * x / rx
        frame = (rx * cos, rx * sin, -ry * sin, ry * cos, cos * cx - sin * cy + (self.at[0] + end[0]) / 2, sin * cx + cos * cy + (self.at[1] + end[1]) / 2)
        first, last = math.atan2((y - cy) / ry, (x - cx) / rx), math.atan2((-y - cy) / ry, (-x - cx) / rx)
        span = (last - first) % (2 * math.pi) - (0 if sweep else 2 * math.pi)
        count = max(1, math.ceil(abs(span) / (math.pi / 8)))
        step, at = span / count, self.at
        h = 4 / 3 * math.tan(step / 4)
        for i in range(count):
            s, e = first + i * step, first + (i + 1) * step
            p = [(math.cos(s) - h * math.sin(s), math.sin(s) + h * math.cos(s)), (math.cos(e) + h * math.sin(e), math.sin(e) - h * math.cos(e)), (math.cos(e), math.sin(e))]
            p = [through(frame, *q) for q in p]
            p[-1] = end if i == count - 1 else p[-1]
            self._add([at, *p])
            at = p[-1]


def _mix(a, b, t):
    return (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
