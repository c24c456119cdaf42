"""A small reader of SVG drawings: what they paint, in millimetres on paper, by lxml and plain arithmetic.

It stands for the drawing whenever sheets are measured, and shares nothing with the tool. Rules are those of SVG 1.1/2: lengths,
viewBox, transforms, path data (W3C SVG 2, chapters 8 and 9), `use`, styles by attribute, `style` and simple CSS selectors.
"""

import re

import lxml.etree
import shapely

import words
from curves import Painted, product, through
from shapes import NUMBER, SVG, UNITS, has_arcs, millimetres, outline, tag_of, transform, units

LINK = "{http://www.w3.org/1999/xlink}href"
LABELS = ("{http://www.inkscape.org/namespaces/inkscape}label", "data-name", "id")
INHERITED = ("fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-dashoffset", "visibility", *words.STYLE)
SKIPPED = ("defs", "symbol", "clipPath", "mask", "pattern", "marker", "linearGradient", "radialGradient", "style", "title", "desc", "metadata")


class Drawing:
    """A drawing: `width` and `height` in mm, `page` from its units to mm, `painted`, and `complaints` about what this reader cannot
    follow."""

    def __init__(self, path, layers, units_per_inch=None, fonts=()):
        """`layers`: names that count as layers; a path belongs to the nearest group so named, else to the outermost group."""
        self.root = lxml.etree.parse(str(path), lxml.etree.XMLParser(huge_tree=True)).getroot()
        self.layers, self.fonts, self.painted, self.complaints = set(layers), fonts, [], []
        self.ids = {e.get("id"): e for e in self.root.iter() if isinstance(e.tag, str) and e.get("id")}
        self.rules = self._rules()
        self.page = matrix = self._page(units_per_inch)
        for child in self.root:
            self._walk(child, matrix, {}, None, [])

    def _page(self, units_per_inch):
        """Sets the size; gives the matrix from user units to mm (xMidYMid meet)."""
        view = [float(v) for v in NUMBER.findall(self.root.get("viewBox", ""))]
        if units_per_inch:
            scale = 25.4 / float(units_per_inch)
            sides = [float(NUMBER.match(self.root.get(key, "")).group()) * scale if not view else side * scale for key, side in zip(("width", "height"), view[2:] or (0, 0))]
        else:
            sides = [millimetres(self.root.get(key)) for key in ("width", "height")]
        self.width, self.height = sides
        if not view:
            scale = UNITS["px"] if not units_per_inch else scale
            return (scale, 0, 0, scale, 0, 0)
        x, y, w, h = view
        scale = min(self.width / w, self.height / h)
        return (scale, 0, 0, scale, (self.width - scale * w) / 2 - scale * x, (self.height - scale * h) / 2 - scale * y)

    def _rules(self):
        """CSS rules as (selector, declarations); `.class`, `#id` and `tag` are understood."""
        found = []
        for style in self.root.iter(SVG + "style"):
            text = re.sub(r"/\*.*?\*/", "", "".join(style.itertext()), flags=re.S)
            for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", text):
                found += [(s.strip(), _declarations(body)) for s in selectors.split(",")]
        return found

    def _style(self, element, inherited):
        """Computed values: attributes, then CSS by kind of selector, then `style`."""
        style = {key: inherited[key] for key in INHERITED if key in inherited}
        style.update({key: value.strip() for key, value in element.attrib.items() if isinstance(key, str)})
        kinds = (("", tag_of(element)), *((".", name) for name in element.get("class", "").split()), ("#", element.get("id")))
        for kind, name in kinds:
            for selector, declarations in self.rules:
                if name and selector == kind + name:
                    style.update(declarations)
        style.update(_declarations(element.get("style", "")))
        return {key: inherited.get(key, "") if value == "inherit" else value for key, value in style.items()}

    def _walk(self, element, matrix, inherited, layer, clips):
        if not isinstance(element.tag, str) or not element.tag.startswith(SVG) or tag_of(element) in SKIPPED:
            return
        style, tag = self._style(element, inherited), tag_of(element)
        if style.get("display") == "none":
            return
        matrix = product(transform(style.get("transform", "")), matrix)
        clips = clips + self._clip(style.get("clip-path", "none"), matrix)
        for forbidden in ("filter", "mask", "marker-start", "marker-mid", "marker-end"):
            if style.get(forbidden, "none") != "none":
                self.complaints.append(f"`{forbidden}` is beyond this judge (line {element.sourceline})")
        if tag in ("g", "a", "switch"):
            layer = layer_at(element, layer, self.layers)
            for child in element:
                self._walk(child, matrix, style, layer, clips)
        elif tag == "use":
            self._use(element, matrix, style, layer, clips)
        elif tag == "text":
            self._text(element, matrix, style, layer, clips)
        elif (subpaths := outline(element)) is not None:
            self._paint(subpaths, matrix, style, layer, clips, element)
        else:
            self.complaints.append(f"`{tag}` is beyond this judge (line {element.sourceline})")

    def _use(self, element, matrix, style, layer, clips):
        target = self.ids.get((element.get("href") or element.get(LINK) or "")[1:])
        if target is None or tag_of(target) in ("symbol", "svg"):
            self.complaints.append(f"`use` of a symbol or of nothing is beyond this judge (line {element.sourceline})")
            return
        place = (1, 0, 0, 1, float(element.get("x", 0)), float(element.get("y", 0)))
        self._walk(target, product(place, matrix), style, layer, clips)

    def _clip(self, value, matrix):
        if value == "none":
            return []
        target, area = self.ids.get(value.strip("url()'\"# ")), shapely.Polygon()
        matrix = product(transform(target.get("transform", "")), matrix)
        for child in target:
            if isinstance(child.tag, str):
                inner = product(transform(child.get("transform", "")), matrix)
                for line in Painted(_moved(outline(child) or [], inner), fill=(0,)).lines():
                    area = area.union(shapely.Polygon(line).buffer(0))
        return [area]

    def _text(self, element, matrix, style, layer, clips):
        for subpaths, inner in words.outlines(element, style, self._style, self.fonts):
            self._paint(subpaths, product(inner, matrix), style, layer, clips, element)

    def _paint(self, subpaths, matrix, style, layer, clips, element):
        fill, stroke = colour(style.get("fill", "black")), colour(style.get("stroke", "none"))
        if (fill is None and stroke is None) or style.get("visibility", "visible") != "visible" or not subpaths:
            return
        scale = abs(matrix[0] * matrix[3] - matrix[1] * matrix[2]) ** 0.5
        dash = tuple(units(v) * scale for v in re.split(r"[\s,]+", style.get("stroke-dasharray", "none").strip()) if v != "none")
        dash = dash * 2 if len(dash) % 2 else dash
        width, phase = (units(style.get(key, default)) * scale for key, default in (("stroke-width", "1"), ("stroke-dashoffset", "0")))
        origin = place_of(element)
        self.painted.append(Painted(_moved(subpaths, matrix), layer, fill, stroke, width, dash, phase, None, None, clips, origin, has_arcs(element), scale=scale))


def layer_at(group, layer, known):
    """The layer inside a group: its own name if that is a known layer, else that of the group around it, else its own name."""
    names = [group.get(key) for key in LABELS if group.get(key)]
    return next((name for name in names if name in known), None) or layer or next(iter(names), None)


def place_of(element):
    """Where an element stands, in words."""
    return f"line {element.sourceline} ({element.get('id') or tag_of(element)})"


def _declarations(text):
    pairs = (part.split(":", 1) for part in text.split(";") if ":" in part)
    return {key.strip(): value.replace("!important", "").strip() for key, value in pairs}


def colour(text):
    """A plain colour as three numbers from 0 to 1, `None` for none; paint servers count as black."""
    if text in ("none", "transparent"):
        return None
    if match := re.fullmatch(r"#([0-9a-fA-F]{3})", text):
        return tuple(int(c * 2, 16) / 255 for c in match[1])
    if match := re.fullmatch(r"#([0-9a-fA-F]{6})", text):
        return tuple(int(match[1][i : i + 2], 16) / 255 for i in (0, 2, 4))
    if match := re.fullmatch(r"rgb\(([^)]*)\)", text):
        parts = [float(v) for v in NUMBER.findall(match[1])]
        return tuple(v / (100 if "%" in text else 255) for v in parts)
    return (1.0, 1.0, 1.0) if text == "white" else (0.0, 0.0, 0.0)


def _moved(subpaths, matrix):
    return [[[through(matrix, x, y) for x, y in segment] for segment in subpath] for subpath in subpaths]
