"""Marks and labels: none stands over ink, unless the plan says so; a demo kit has none that does.

Where they stand is what `kitwright plan --format json` says; ink is the drawing's own, as polygons (see plan.py).
"""

import json
import os
import subprocess

from common import main
from kit import Kit
from plan import BUDGET, boxes, ink_of


def judge(package, report):
    """Every paper of the kit that the package was made from."""
    kit = Kit(package.kit, package)
    ink = ink_of(kit, tuple(kit.size_layers))
    report.expect(ink.maybe_on([around(ink.points[0])]).all(), "this judge does not see ink where there is some")
    told = subprocess.run([os.environ["KITWRIGHT"], "plan", str(package.kit), "--format", "json"], capture_output=True, check=True)
    layouts = json.loads(told.stdout)["layouts"]
    report.expect(layouts, "the plan tells of no layout")
    for layout in layouts:
        places = [(f"a mark of join {join['number']}", mark, join["over_ink"]) for join in layout["joins"] for mark in join["marks"]]
        places += [(f"the label of {sheet['label']}", sheet["label_area"], sheet["label_over_ink"]) for sheet in layout["sheets"]]
        # A mark may touch a line: what both cover is less than the error budget then, and may be ink is counted with it.
        covers = ink.on(ink.maybe, boxes([edges(area) for _, area, _ in places], -2 * BUDGET))
        for (what, _, owned), over in zip(places, covers):
            report.expect(not owned, f"{layout['paper']}: {what} found no free place")
            report.expect(owned or not over, f"{layout['paper']}: {what} stands over ink")
        report.fact(f"{layout['paper']}: {len(places)} marks and labels are clear of ink")


def edges(area):
    """Left, top, right and bottom."""
    return (area["x_mm"], area["y_mm"], area["x_mm"] + area["width_mm"], area["y_mm"] + area["height_mm"])


def around(point):
    return (point[0] - 1, point[1] - 1, point[0] + 1, point[1] + 1)


if __name__ == "__main__":
    main(judge)
