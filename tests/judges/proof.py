"""The proof: the Nu checker is silent, axe-core finds nothing, all of it works by keyboard, and a watched page refreshes by itself.

Usage: proof.py TOOL KIT... Each kit is copied, its proof made and looked at in Chromium from a file; the first kit's proof is then served by `proof --watch`,
while the kit is broken and mended. What must be shown comes from `plan --format json`.

Expected values: HTML Living Standard by vnu; WCAG 2.2 AA by axe-core; no sideways scrolling at 320 px (WCAG 2.2, 1.4.10); keys
as the ARIA Authoring Practices tell for tabs and dialogs. What the page says of sheets and pages is what the plan says.
"""

import json
import pathlib
import shutil
import sys
import tempfile

import guide
from common import Report, node, run


def copied(kit, scratch):
    """A copy of the kit, with the files beside it."""
    folder = pathlib.Path(scratch) / kit.name
    shutil.copytree(kit, folder, ignore=shutil.ignore_patterns("out"))
    for shared in kit.parent.glob("*.*"):
        shutil.copy(shared, scratch)
    return folder


def judge(tool, kit, scratch, report):
    """The proof of one kit as a file."""
    folder = copied(kit, scratch)
    code, out, err = run(tool, "proof", folder, "--out", folder / "out")
    if not report.expect(code == 0, f"{kit.name}: {err[:500]}"):
        return folder
    page = pathlib.Path(out.strip())
    guide.checker([page], report)
    guide.links(page, report)
    code, plan, err = run(tool, "plan", folder, "--format", "json")
    report.expect(code == 0, f"{kit.name}: {err[:500]}")
    (folder / "out/plan.json").write_text(plan, "utf-8")
    for complaint in node("proof.mjs", "file", page, folder / "out/plan.json"):
        report.expect(False, f"{kit.name}: {complaint}")
    sheets = sum(len(layout["sheets"]) for layout in json.loads(plan)["layouts"])
    report.fact(f"{kit.name}: {sheets} sheets on {page.stat().st_size // 1000} KB, seen at 3 widths, light and dark, walked by keyboard")
    return folder


def main(tool, kits):
    """All kits as files, the first one watched."""
    report = Report("proof")
    with tempfile.TemporaryDirectory() as scratch:
        folders = [judge(tool, kit, scratch, report) for kit in kits]
        for complaint in node("proof.mjs", "watch", tool, folders[0]):
            report.expect(False, f"watched: {complaint}")
        report.fact(f"{kits[0].name}: watched while it was broken and mended; the open page refreshed each time")
    sys.exit(1 if report.close() else 0)


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit("usage: proof.py TOOL KIT...")
    main(pathlib.Path(sys.argv[1]).resolve(), [pathlib.Path(kit).resolve() for kit in sys.argv[2:]])
