"""Lays: every piece once, on the cloth, on the grain and on its fold, apart by the gap, on the length told; and no longer than another search finds.

Takes JSON files with `lays`: each its `width`, `gap`, `length`, `bound` and `utilisation`, `parts` (`outline`, `may_turn`, `on_fold`) and `places`
(`turned`, `x`, `y`), in millimetres, as tests/lays writes them. Overlaps and distances are shapely's. A lay that is `compared` is laid again by
spyrrow, which wraps a published search (guided local search over overlaps), on pieces and cloth that shapely widened by half the gap.
"""

import copy
import itertools
import json
import math
import pathlib
import sys

import shapely
from shapely.affinity import scale, translate

from common import Report

SLACK = 0.01  # mm: the project's own error budget
SECONDS = 6  # that the other search gets for a lay
LONGER = 1.04  # at most, by what the other search finds in that time
ON_AVERAGE = 1.02  # and all compared lays together: either search is luckier on some pieces


def laid(lay):
    """The outlines where they lie; a half turn negates both coordinates, so that the grain stays along x."""
    for part, place in zip(lay["parts"], lay["places"]):
        sign = -1 if place["turned"] else 1
        outline = scale(shapely.Polygon(part["outline"]), sign, sign, origin=(0, 0))
        yield translate(outline, place["x"], place["y"])


def judge_lay(lay, report):
    """Everything that a lay promises."""
    name, parts, places = lay["name"], lay["parts"], lay["places"]
    if not report.expect(len(parts) == len(places) > 0, f"{name}: {len(parts)} pieces have {len(places)} places"):
        return
    outlines = list(laid(lay))
    cloth = shapely.box(-SLACK, -SLACK, lay["length"] + SLACK, lay["width"] + SLACK)
    for index, (outline, part, place) in enumerate(zip(outlines, parts, places)):
        report.expect(outline.is_valid and cloth.covers(outline), f"{name}: piece {index} is not on the cloth")
        report.expect(part["may_turn"] or not place["turned"], f"{name}: piece {index} is turned against the nap")
        on_fold = not place["turned"] and abs(outline.bounds[1]) <= SLACK
        report.expect(on_fold or not part["on_fold"], f"{name}: piece {index} is off its fold")
    judge_apart(name, outlines, lay["gap"], report)
    judge_figures(lay, outlines, report)


def judge_apart(name, outlines, gap, report):
    for (a, one), (b, other) in itertools.combinations(enumerate(outlines), 2):
        distance = one.distance(other)
        # Where pieces may touch, what is left after the slack must be apart.
        apart = distance >= gap - SLACK if gap > SLACK else not one.buffer(-SLACK).intersects(other.buffer(-SLACK))
        report.expect(apart, f"{name}: pieces {a} and {b} are {distance:.3f} mm apart, not {gap}")


def judge_figures(lay, outlines, report):
    """Length, utilisation and lower bound, as shapely measures them."""
    name, length = lay["name"], lay["length"]
    end = max(outline.bounds[2] for outline in outlines)
    report.expect(end - 1e-6 <= length <= end + SLACK + 1e-6, f"{name}: {length} mm are told, {end} mm are taken")
    area = sum(outline.area for outline in outlines)
    report.expect(math.isclose(lay["utilisation"], area / (length * lay["width"]), rel_tol=1e-6), f"{name}: utilisation is wrong")
    longest = max(outline.bounds[2] - outline.bounds[0] for outline in outlines)
    least = max(longest, area / lay["width"])
    report.expect(least - 1e-6 <= lay["bound"] <= length, f"{name}: a bound of {lay['bound']} mm is not between {least} and {length}")


def other_search(lay):
    """The length that spyrrow finds."""
    import spyrrow

    half = lay["gap"] / 2
    items = []
    for index, part in enumerate(lay["parts"]):
        # Mitred corners would be wider than the gap asks for; 0.02 mm is what the points of a round one are off.
        wide = shapely.Polygon(part["outline"]).buffer(half, quad_segs=6).simplify(0.02)
        turns = [0.0, 180.0] if part["may_turn"] else [0.0]
        items.append(spyrrow.Item(str(index), list(wide.exterior.coords)[:-1], demand=1, allowed_orientations=turns))
    instance = spyrrow.StripPackingInstance(lay["name"], strip_height=lay["width"] + 2 * half, items=items)
    config = spyrrow.StripPackingConfig(total_computation_time=SECONDS, num_workers=1, seed=1)
    return instance.solve(config).width - 2 * half


def judge_file(path, report):
    lays = json.loads(pathlib.Path(path).read_text("utf-8"))["lays"]
    for lay in lays:
        judge_lay(lay, report)
    compared = [lay for lay in lays if lay.get("compared")]
    others = [other_search(lay) for lay in compared]
    for lay, other in zip(compared, others):
        report.fact(f"{lay['name']}: {lay['length']:.1f} mm, another search {other:.1f} mm in {SECONDS} s")
        report.expect(lay["length"] <= other * LONGER, f"{lay['name']}: {lay['length']} mm, but {other:.2f} mm are enough")
    ours = sum(lay["length"] for lay in compared)
    report.expect(ours <= sum(others) * ON_AVERAGE, f"compared lays take {ours:.1f} mm, {sum(others):.1f} mm are enough")
    report.fact(f"{len(lays)} lays, {sum(len(lay['parts']) for lay in lays)} pieces, {len(compared)} compared")


def moved(lay, **to):
    for key, value in to.items():
        lay["places"][0][key] = value


# What is broken in a good lay, and what must be said of it.
BROKEN = [
    ("a piece over the edge", lambda lay: moved(lay, y=-0.5), "not on the cloth"),
    ("a piece on another", lambda lay: moved(lay, **{k: lay["places"][1][k] for k in ("x", "y")}), "mm apart"),
    ("a wider gap", lambda lay: lay.update(gap=lay["gap"] + 40), "mm apart"),
    ("a missing piece", lambda lay: lay["places"].pop(), "places"),
    ("a turn against the nap", lambda lay: (moved(lay, turned=True), lay["parts"][0].update(may_turn=False)), "against the nap"),
    ("a piece off its fold", lambda lay: (moved(lay, y=1.0), lay["parts"][0].update(on_fold=True)), "off its fold"),
    ("a length told short", lambda lay: lay.update(length=lay["length"] - 1), "are told"),
    ("a length told long", lambda lay: lay.update(length=lay["length"] + 1), "are told"),
    ("a better utilisation", lambda lay: lay.update(utilisation=lay["utilisation"] + 0.01), "utilisation"),
    ("a bound above the length", lambda lay: lay.update(bound=lay["length"] + 1), "is not between"),
]


def selftest(path):
    """Lays broken on purpose; each must be noticed."""
    report = Report("lays selftest")
    good = json.loads(pathlib.Path(path).read_text("utf-8"))["lays"][0]
    for what, change, wanted in BROKEN:
        lay, trial = copy.deepcopy(good), Report("trial")
        change(lay)
        judge_lay(lay, trial)
        report.expect(any(wanted in complaint for complaint in trial.complaints), f"{what} was not noticed")
    return report.close()


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit("usage: lays.py FILE... | lays.py selftest FILE")
    if sys.argv[1] == "selftest":
        sys.exit(1 if selftest(sys.argv[2]) else 0)
    report = Report("lays")
    for path in sys.argv[1:]:
        judge_file(path, report)
    sys.exit(1 if report.close() else 0)
