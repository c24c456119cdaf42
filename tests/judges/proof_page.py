"""The proof: the Nu checker is silent, axe-core finds nothing, all of it works by keyboard, and a watched page refreshes by itself.

Usage: proof_page.py TOOL KIT..., or proof_page.py TOOL selftest. Each kit is copied, its proof made and looked at in Chromium from a file; the first kit's proof is then served by `proof --watch`,
while the kit is broken and mended. What must be shown comes from `plan --format json`.

Expected values: HTML Living Standard by vnu; WCAG 2.2 AA by axe-core; no sideways scrolling at 320 px (WCAG 2.2, 1.4.10); keys
as the ARIA Authoring Practices tell for tabs and dialogs. What the page says of sheets and pages is what the plan says.
"""

import base64
import hashlib
import json
import pathlib
import re
import shutil
import sys
import tempfile

import guide
from common import Report, node, run

# What is broken in the proof of a new kit, how, and a part of the complaint that must come.
CASES = [
    ("a sheet that is not there", r'id="a4-A2"', 'id="a4-A9"', "shows other sheets than the plan"),
    ("a sheet with another page", r"(A1<span class=\"vh\">, page) 2", r"\1 7", "is not told with its page"),
    ("a size that is thought not to need a sheet", r'data-needs="0 1"', 'data-needs="1"', "but the plan says"),
    ("a size that cannot be switched", r"\.s0 \{ display: var\(--s0, inline\); \}", "", "other lines than its own"),
    ("an arrow that leads astray", r'ArrowRight: "right"', 'ArrowRight: "left"', "an arrow does not lead to sheet"),
    ("a sheet that does not open", r"const enlarge = \(sheet\) => \{", "const enlarge = (sheet) => { return;", "Enter does not enlarge"),
    ("a picture from elsewhere", r"<h1>", '<img src="https://elsewhere.example/a.png" alt=""><h1>', "elsewhere.example"),
    ("words too pale to be read", r"--soft: #5d5850", "--soft: #b5b0a8", "axe color-contrast"),
    ("a button without a name", r'aria-label="Larger">\+', ">", "axe button-name"),
    ("a page too wide for a phone", r"<main ", '<p style="width: 60rem">wide</p><main ', "pixels wide in a window of 320"),
    ("papers that are not printed", r"\.paper \{ display: block !important;", ".paper {", "some sheets are not printed"),
]


def signed(html):
    """The page with the hash of its script as it is now: else a browser runs none at all (CSP Level 3, 2.3.1)."""
    script = re.search(r"<script>(.*?)</script>", html, re.S)[1]
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    return re.sub(r"'sha256-[^']*'", f"'sha256-{digest}'", html)


def selftest(tool):
    """Breaks the proof of a new kit in one way after the other; each must be noticed, and the good one not."""
    report = Report("proof_page selftest")
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch) / "kit"
        run(tool, "new", folder)
        page = pathlib.Path(run(tool, "proof", folder)[1].strip())
        plan, good = folder / "plan.json", page.read_text("utf-8")
        plan.write_text(run(tool, "plan", folder, "--format", "json")[1], "utf-8")
        for complaint in node("proof_page.mjs", "file", page, plan, "quick"):
            report.expect(False, f"the good proof: {complaint}")
        for what, wanted, instead, told in CASES:
            broken, count = re.subn(wanted, instead, good, count=1)
            report.expect(count, f"{what}: there is nothing to break")
            page.write_text(signed(broken), "utf-8")
            said = node("proof_page.mjs", "file", page, plan, "quick")
            report.expect(any(told in complaint for complaint in said), f"{what} was not noticed: {said[:3]}")
    sys.exit(1 if report.close() else 0)


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
    for complaint in node("proof_page.mjs", "file", page, folder / "out/plan.json"):
        report.expect(False, f"{kit.name}: {complaint}")
    sheets = sum(len(layout["sheets"]) for layout in json.loads(plan)["layouts"])
    report.fact(f"{kit.name}: {sheets} sheets on {page.stat().st_size // 1000} KB, seen at 3 widths, light and dark, walked by keyboard")
    return folder


def main(tool, kits):
    """All kits as files, the first one watched."""
    report = Report("proof_page")
    with tempfile.TemporaryDirectory() as scratch:
        folders = [judge(tool, kit, scratch, report) for kit in kits]
        for complaint in node("proof_page.mjs", "watch", tool, folders[0]):
            report.expect(False, f"watched: {complaint}")
        report.fact(f"{kits[0].name}: watched while it was broken and mended; the open page refreshed each time")
    sys.exit(1 if report.close() else 0)


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit("usage: proof_page.py TOOL KIT..., or proof_page.py TOOL selftest")
    if sys.argv[2:] == ["selftest"]:
        selftest(pathlib.Path(sys.argv[1]).resolve())
    main(pathlib.Path(sys.argv[1]).resolve(), [pathlib.Path(kit).resolve() for kit in sys.argv[2:]])
