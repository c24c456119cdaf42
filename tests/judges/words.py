"""The letters of a drawing's text as outlines, set by HarfBuzz itself with the font files that the kit may use.

Understood: `text` and `tspan` with x, y, dx, dy (one value each), font-size, -weight, -style, -family, text-anchor and
letter-spacing. Text in any other way is beyond this judge, and drawing.py then sees no letters where the sheets have some.
"""

import re

import uharfbuzz

from curves import through

STYLE = ("font-size", "font-weight", "font-style", "font-family", "text-anchor", "letter-spacing")
UNITS = {"": 1, "px": 1, "pt": 96 / 72, "mm": 96 / 25.4, "cm": 960 / 25.4, "in": 96}


class Font:
    """One font file: its face, and what it says of itself."""

    def __init__(self, path):
        self.face = uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(path)))
        self.font = uharfbuzz.Font(self.face)
        name = self.face.get_name
        self.family = (name(uharfbuzz.OTNameIdPredefined.FONT_FAMILY) or "").lower()
        self.style = (name(uharfbuzz.OTNameIdPredefined.FONT_SUBFAMILY) or "Regular").lower()


def pick(fonts, style):
    """The font of the wanted family (else the first file's family), weight and slant."""
    families = [f.strip(" '\"").lower() for f in style.get("font-family", "").split(",")]
    family = next((f for f in families if any(font.family == f for font in fonts)), fonts[0].family)
    bold = style.get("font-weight", "normal") in ("bold", "bolder", "600", "700", "800", "900")
    slanted = style.get("font-style", "normal") in ("italic", "oblique")
    wanted = {(0, 0): "regular", (1, 0): "bold", (0, 1): "italic", (1, 1): "bold italic"}[bold, slanted]
    same = [font for font in fonts if font.family == family]
    return next((font for font in same if font.style == wanted), same[0])


def size(style):
    """Font size in user units; CSS starts from `medium`, 16 px."""
    number, unit = re.fullmatch(r"([\d.]+)(\w*)", style.get("font-size", "16")).groups()
    return float(number) * UNITS[unit]


def outlines(element, style, style_of, fonts):
    """Subpaths and their matrix, glyph by glyph; each chunk that starts at its own x and y is anchored by itself."""
    chunks = [chunk for chunk in _chunks(element, style, style_of) if any(text.strip() for text, _ in chunk[2])]
    at = (0, 0)
    for x, y, runs in chunks:
        placed, width = _set(runs, fonts)
        anchor = {"middle": width / 2, "end": width}.get(runs[0][1].get("text-anchor", "start"), 0)
        start = (at[0] if x is None else x, at[1] if y is None else y)
        for subpaths, offset, rise, scale in placed:
            yield subpaths, (scale, 0, 0, -scale, start[0] - anchor + offset, start[1] - rise)
        at = (start[0] - anchor + width, start[1])


def line(text, height, fonts):
    """Subpaths of a line of words in the Regular, from 0, 0 to the right, y down, in the unit of its height."""
    placed, _ = _set([(text, {"font-size": str(height)})], fonts)
    glyphs = ((subpaths, (scale, 0, 0, -scale, offset, -rise)) for subpaths, offset, rise, scale in placed)
    return [[[through(matrix, x, y) for x, y in segment] for segment in subpath] for subpaths, matrix in glyphs for subpath in subpaths]


def _chunks(element, style, style_of):
    """(x, y, [(text, style)]) for the text itself and each tspan that moves the pen."""
    chunks = [[_place(element, "x", 0), _place(element, "y", 0), [(element.text or "", style)]]]
    for child in element:
        inner = style_of(child, style)
        if any(child.get(key) for key in ("x", "y", "dx", "dy")):
            last_y = chunks[-1][1]
            y = child.get("y")
            chunks.append([_place(child, "x", None), float(y) if y else last_y + float(child.get("dy", 0)), []])
        chunks[-1][2] += [(child.text or "", inner), (child.tail or "", style)]
    return [(x, y, _collapsed(runs)) for x, y, runs in chunks]


def _place(element, key, default):
    return float(element.get(key)) if element.get(key) else default


def _collapsed(runs):
    """White space as XML's `default` has it: one space between words, none at either end."""
    runs = [(re.sub(r"\s+", " ", text), style) for text, style in runs if text]
    if runs:
        runs[0] = (runs[0][0].lstrip(), runs[0][1])
        runs[-1] = (runs[-1][0].rstrip(), runs[-1][1])
    return runs


def _set(runs, fonts):
    """Glyph outlines with their place along the line, and the whole width."""
    placed, along = [], 0.0
    for text, style in runs:
        font, points = pick(fonts, style), size(style)
        scale, gap = points / font.face.upem, style.get("letter-spacing", "normal")
        buffer = uharfbuzz.Buffer()
        buffer.add_str(text)
        buffer.guess_segment_properties()
        uharfbuzz.shape(font.font, buffer)
        for info, position in zip(buffer.glyph_infos, buffer.glyph_positions):
            pen = _Pen()
            font.font.draw_glyph(info.codepoint, _FUNCTIONS, pen)
            placed.append((pen.subpaths, along + position.x_offset * scale, position.y_offset * scale, scale))
            along += position.x_advance * scale + (0 if gap == "normal" else float(gap))
    return placed, along


class _Pen:
    def __init__(self):
        self.subpaths, self.at = [], (0, 0)


def _move(x, y, pen):
    pen.subpaths.append([])
    pen.at = pen.start = (x, y)


def _line(x, y, pen):
    pen.subpaths[-1].append([pen.at, (x, y)])
    pen.at = (x, y)


def _quad(cx, cy, x, y, pen):
    first = (pen.at[0] + (cx - pen.at[0]) * 2 / 3, pen.at[1] + (cy - pen.at[1]) * 2 / 3)
    _cubic(*first, x + (cx - x) * 2 / 3, y + (cy - y) * 2 / 3, x, y, pen)


def _cubic(ax, ay, bx, by, x, y, pen):
    pen.subpaths[-1].append([pen.at, (ax, ay), (bx, by), (x, y)])
    pen.at = (x, y)


def _close(pen):
    if pen.at != pen.start:
        _line(*pen.start, pen)


_FUNCTIONS = uharfbuzz.DrawFuncs()
_FUNCTIONS.set_move_to_func(_move)
_FUNCTIONS.set_line_to_func(_line)
_FUNCTIONS.set_quadratic_to_func(_quad)
_FUNCTIONS.set_cubic_to_func(_cubic)
_FUNCTIONS.set_close_path_func(_close)
