"""Paths as plain numbers, the same for every reader: flattening, sampling and distance, all in millimetres.

A subpath is a list of segments, each an array of 2 points (a line) or 4 points (a cubic). This file knows no file format.
"""

import dataclasses
import functools
import math

import numpy as np
import shapely

FLAT = 0.0005  # mm: how far a flattened curve may leave the curve itself, a twentieth of what is measured
STEP = 1.0  # mm: largest gap between two sampled points


@dataclasses.dataclass
class Painted:
    """One painted path as some reader saw it; `round` if its curves stand for arcs of circles or ellipses, `restyled` if the kit
    wants another line than the drawing's, `scale` the millimetres of a unit of its own. `cap` and `join` are PDF's numbers, `None` if unknown."""

    subpaths: list
    layer: str | None = None
    fill: tuple | None = None
    stroke: tuple | None = None
    width: float = 0.0
    dash: tuple = ()
    phase: float = 0.0
    cap: int | None = None
    join: int | None = None
    clips: list = dataclasses.field(default_factory=list)
    origin: str = ""
    round: bool = False
    restyled: bool = False
    scale: float = 1.0

    def box(self):
        """A rectangle that holds all its control points, as (left, top, right, bottom)."""
        xs, ys = zip(*(point for subpath in self.subpaths for segment in subpath for point in segment))
        return min(xs), min(ys), max(xs), max(ys)

    def lines(self):
        """The path as polylines (arrays of points), curves flattened to FLAT, what is filled closed."""
        found = [points for points in map(flattened, self.subpaths) if len(points) > 1]
        return [np.vstack([points, points[:1]]) for points in found] if self.fill is not None else found


def flattened(subpath):
    """One subpath as an array of points."""
    points = [np.asarray(subpath[0][:1], float)] if subpath else []
    for segment in subpath:
        points.append(_cubic(segment) if len(segment) == 4 else np.asarray(segment[1:], float))
    return np.vstack(points) if points else np.empty((0, 2))


def _cubic(segment):
    """Points of a cubic after its first: the chord error of n equal steps is at most |B''| / (8 n²)."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = segment
    bend = 6 * max(math.hypot(ax - 2 * bx + cx, ay - 2 * by + cy), math.hypot(bx - 2 * cx + dx, by - 2 * cy + dy))
    return _basis(max(1, math.ceil(math.sqrt(bend / (8 * FLAT))))) @ np.asarray(segment, float)


@functools.cache
def _basis(steps):
    """Weights of the four control points at the ends of equal steps."""
    t = np.linspace(0, 1, steps + 1)[1:]
    return np.stack([(1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3], 1)


def through(matrix, x, y):
    """One point through an affine matrix (a, b, c, d, e, f) as SVG and PDF write it."""
    a, b, c, d, e, f = matrix
    return (a * x + c * y + e, b * x + d * y + f)


def mapped(matrix, points):
    """An array of points through a matrix."""
    a, b, c, d, e, f = matrix
    points = np.asarray(points, float)
    return points @ np.array([[a, b], [c, d]]) + (e, f)


def product(first, then):
    """The matrix that does `first`, then `then`."""
    a, b, c, d, e, f = first
    g, h, i, j, k, m = then
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m)


def stretch(matrix):
    """How much a matrix enlarges lengths, on average: the square root of its determinant."""
    a, b, c, d, _, _ = matrix
    return abs(a * d - b * c) ** 0.5


def clipped(lines, area):
    """What of the polylines lies in a shapely area (edges included), as polylines."""
    shapely.prepare(area)
    kept = []
    for line in lines:
        low, high = line.min(0), line.max(0)
        if not area.intersects(shapely.box(*low, *high)):
            continue
        parts = shapely.get_parts(shapely.intersection(shapely.LineString(line), area))
        kept += [shapely.get_coordinates(part) for part in parts if part.geom_type in ("LineString", "MultiLineString")]
    return [line for line in kept if len(line) > 1]


def samples(lines):
    """Points along polylines: every vertex, and more so that no gap exceeds STEP."""
    if not lines:
        return np.empty((0, 2))
    return shapely.get_coordinates(shapely.segmentize(shapely.multilinestrings([shapely.linestrings(x) for x in lines]), STEP))


class Ink:
    """All the painted lines of one place, ready to be asked how far a point is from them."""

    def __init__(self, painted_lines):
        """From pairs of anything (an owner, given back by `owners`) and polylines."""
        starts, ends, self.owner = [], [], []
        for owner, lines in painted_lines:
            for line in lines:
                starts.append(line[:-1])
                ends.append(line[1:])
                self.owner += [owner] * (len(line) - 1)
        pairs = np.stack([np.vstack(starts), np.vstack(ends)], 1) if starts else np.empty((0, 2, 2))
        self.tree = shapely.STRtree(shapely.linestrings(pairs))

    def distances(self, points):
        """For each point the distance to the nearest line; infinite where there is no line at all."""
        found = np.full(len(points), np.inf)
        if len(points) and len(self.owner):
            pairs, distance = self.tree.query_nearest(shapely.points(points), return_distance=True, all_matches=False)
            found[pairs[0]] = distance
        return found

    def owners(self, point, within):
        """Owners of the lines within a distance of a point."""
        return [self.owner[i] for i in self.tree.query(shapely.Point(point), predicate="dwithin", distance=within)]
