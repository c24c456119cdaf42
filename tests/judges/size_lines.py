"""Sizes in lines of their own: which strokes a kit has restyled, in what line a package prints them, and names set along them.

Expected values are what docs/lines-and-ink.md promises: which strokes are a size's line, two weights of 0.35 and 0.7 mm, black,
gaps of 3 mm at most, no two sizes alike and neighbours different in weight and in rhythm, names in 6.5 pt. The rhythms are read in
the package; as every stroke of a size is then held to the one line of that size, none of them may differ.
"""

import collections
import dataclasses
import itertools

import numpy as np
import pikepdf

import words
from common import close_to
from content import read_pages

SMALL = 12.0  # mm: what is no longer in any part is a notch
ALIKE = 0.02  # mm: widths and dashes that differ by less are meant to be the same
WEIGHTS = (0.35, 0.7)  # mm
LONGEST_GAP = 3.0  # mm
NAME_SIZE = 6.5 * 25.4 / 72  # mm
SLACK = 0.01  # mm: the error budget on paper
WHITE = (1.0, 1.0, 1.0)


class SizeLines:
    """What a kit wants of its sizes' lines, and what of it a package shows; `complaints` if it shows something else."""

    def __init__(self, kit, package):
        self.complaints, self.layers, self.known = [], kit.size_layers, kit.layers()
        distinct = kit.manifest.get("size-lines", "as-drawn") == "distinct"
        named = kit.manifest.get("size-names", "along-lines" if distinct else "as-drawn") == "along-lines"
        # What a name looks like, by layer.
        self.names = {layer: corners(words.line(size, NAME_SIZE, kit.fonts)) for size, layer in self.layers.items() if named}
        self.lines = self._seen(package) if distinct else {}
        self._distinct()

    def _seen(self, package):
        """The line of each size's layer, read in as few sheets as show it."""
        lines = {}
        for paper in sorted(package.papers, key=lambda paper: len(paper["sheets"])):
            if len(lines) == len(self.layers):
                break
            with pikepdf.open(package.folder / paper["file"]) as pdf:
                painted = [p for page, _ in read_pages(pdf) for p in page]
            lines = {**promised_lines(painted, self.layers.values()), **lines}
        missing = [size for size, layer in self.layers.items() if layer not in lines]
        self.complaints += [f"size {size} has no black line of {WEIGHTS} mm with gaps of {LONGEST_GAP} mm at most" for size in missing]
        return lines

    def _distinct(self):
        """No two sizes look alike, and neighbours differ in everything."""
        known = [(size, self.lines[layer]) for size, layer in self.layers.items() if layer in self.lines]
        for (one, a), (other, b) in itertools.combinations(known, 2):
            if close_to(a.dash, b.dash, ALIKE) and abs(a.width - b.width) <= ALIKE:
                self.complaints.append(f"sizes {one} and {other} are printed in the same line")
        for (one, a), (other, b) in itertools.pairwise(known):
            if close_to(a.dash, b.dash, ALIKE) or abs(a.width - b.width) <= ALIKE:
                self.complaints.append(f"the neighbours {one} and {other} differ in weight or in rhythm alone")

    def restyled(self, painted):
        """Paths of the drawing as they are to be printed."""
        ours = {id(p) for layer in self.lines for p in cutting_lines(painted, layer)}
        return [self._in_line(p) if id(p) in ours else p for p in painted]

    def _in_line(self, painted):
        line = self.lines[painted.layer]
        return dataclasses.replace(painted, stroke=line.stroke, width=line.width, dash=line.dash, phase=line.phase, cap=line.cap, join=line.join, restyled=True)

    def named(self, painted):
        """The layer whose size's name a path spells, letter by letter, in whatever direction; else `None`."""
        if painted.stroke is not None or painted.fill is None or any(painted.fill):
            return None
        seen = corners(painted.subpaths)
        # poppler knows no layers.
        wanted = [painted.layer] if painted.layer in self.known else list(self.names)
        return next((layer for layer in wanted if layer in self.names and congruent(seen, self.names[layer])), None)


def cutting_lines(painted, layer):
    """Of the strokes on a layer that are no notches, those in the style with the greatest total length."""
    styles = []
    for path in painted:
        if path.layer != layer or not is_line(path):
            continue
        same = next((paths for paths in styles if alike(paths[0], path)), None)
        same.append(path) if same else styles.append([path])
    return max(styles, key=lambda paths: sum(map(length, paths)), default=[])


def is_line(path):
    """Whether a path is stroked, not filled, and in some part as long as a cutting line."""
    stroked = path.stroke is not None and tuple(path.stroke) != WHITE and path.fill in (None, WHITE)
    return stroked and any(np.ptp(line, axis=0).max() >= SMALL for line in path.lines())


def length(path):
    return sum(float(np.hypot(*np.diff(line, axis=0).T).sum()) for line in path.lines())


def alike(a, b):
    return tuple(a.stroke) == tuple(b.stroke) and abs(a.width - b.width) <= ALIKE and close_to(a.dash, b.dash, ALIKE)


def promised_lines(painted, layers):
    """For each layer that has any: the commonest, by length, of its strokes that keep the promise."""
    totals = collections.defaultdict(dict)
    for path in painted:
        if path.layer in layers and path.stroke is not None and path.fill in (None, WHITE) and keeps_promise(path):
            key = (round(path.width, 3), tuple(round(v, 3) for v in path.dash), round(path.phase, 3))
            total, first = totals[path.layer].get(key, (0, path))
            totals[path.layer][key] = (total + length(path), first)
    return {layer: max(found.values(), key=lambda pair: pair[0])[1] for layer, found in totals.items()}


def keeps_promise(path):
    """Whether a stroke is black, of one of the weights, without a long gap."""
    weight = any(abs(path.width - weight) <= SLACK / 2 for weight in WEIGHTS)
    return weight and not any(path.stroke) and all(gap <= LONGEST_GAP + SLACK for gap in path.dash[1::2])


def corners(subpaths):
    """All control points of each closed subpath, as complex numbers; a closing line may be drawn or not."""
    found = []
    for subpath in subpaths:
        points = [subpath[0][0], *(point for segment in subpath for point in segment[1:])]
        if np.hypot(*np.subtract(points[0], points[-1])) < SLACK / 10:
            points.pop()
        found.append([complex(*point) for point in points])
    return found


def congruent(seen, wanted):
    """Whether one figure is the other, moved and turned, neither mirrored nor stretched."""
    if [len(points) for points in seen] != [len(points) for points in wanted] or not wanted:
        return False
    a, b = (np.concatenate(points) - np.concatenate(points).mean() for points in (seen, wanted))
    turn = np.vdot(b, a)
    return bool(abs(turn) > 0 and np.abs(a - b * turn / abs(turn)).max() <= SLACK)
