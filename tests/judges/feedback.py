"""Feedback: a form filled in by keyboard in a browser, kept, saved and merged; each word is on the page and in the table, and none is run.

Usage: feedback.py TOOL FORM.html..., or feedback.py TOOL selftest FORM.html. Forms are looked at by the Nu checker and axe-core, and so is the
page of all answers; what must be there is what was typed.

Expected values: HTML Living Standard by vnu; WCAG 2.2 AA by axe-core; CSV as Python's reader takes it (RFC 4180); cells that
spreadsheets run begin with = + - @, tab or carriage return (OWASP, CSV injection, from memory).
"""

import csv
import json
import pathlib
import sys
import tempfile

import lxml.html

import guide
from common import Report, node, run
from proof_page import signed

# Hostile, and each to be found again letter by letter.
TYPED = {
    "printer": '=HYPERLINK("http://elsewhere.example","here")',
    "across": "97",
    "down": "97,2",
    "sheet": "<script>globalThis.ran = 1</script>",
    "step": "-1+1 </textarea><img src=x onerror=globalThis.ran=1>",
    "fit": "@SUM(A1) ثوب جميل & {{ 7*7 }}\nsecond line",
    "more": "+49 \u202etxt.exe",
}
# How a form is broken, and a part of the complaint that must come.
CASES = [
    ("answers that are not kept", "localStorage.setItem(memory, JSON.stringify(answer()))", "void 0", "not kept when the page is closed"),
    ("a question that is not saved", "fit: fields.fit.value", 'fit: ""', "does not say what was typed"),
    ("a sheet that does not open", 'part(add(button), "kind").focus();', "", "does not lead to its question"),
    ("a field without a label", "<label class=\"field\"><span>", '<div class="field"><span>', "axe"),
    ("a picture from elsewhere", "<h1>", '<img src="https://elsewhere.example/a.png" alt=""><h1>', "elsewhere.example"),
]


def filled(form, scratch, wrong):
    """The file that the form saves once it is filled in; `wrong` takes complaints."""
    typed, saved = scratch / "typed.json", scratch / "saved.json"
    typed.write_text(json.dumps(TYPED), "utf-8")
    for complaint in node("feedback.mjs", "form", form, typed, saved):
        wrong(complaint)
    if not saved.exists():
        return None
    answer = json.loads(saved.read_text("utf-8"))
    said = {
        "printer": answer["printer"],
        "across": answer["scale"]["across"],
        "down": answer["scale"]["down"],
        "sheet": answer["sheets"][0]["note"] if answer["sheets"] else None,
        "step": answer["steps"][0]["note"] if answer["steps"] else None,
        "fit": answer["fit"],
        "more": answer["more"],
    }
    if said != TYPED:
        wrong(f"the file does not say what was typed: {said}")
    chosen = [one["kind"] + one["severity"] for one in answer["sheets"]] + [one["answer"] for one in answer["steps"]] + [answer["overall"]]
    if chosen != ["meetstops", "unclear", "serious"]:
        wrong(f"the file does not say what was chosen: {chosen}")
    return saved


def shown(text):
    """A text as page and table show it: signs that turn others round by their numbers."""
    return text.replace("\u202e", "⟨U+202E⟩")


def merged(tool, saved, scratch, report, name):
    """Page and table of what was saved."""
    beside = scratch / "broken.json"
    beside.write_text('{"format": 1, "fit": "=1"', "utf-8")
    code, out, err = run(tool, "feedback", saved, beside, "--out", scratch / "out")
    if not report.expect(code == 0, f"{name}: {err[:500]}"):
        return
    report.expect("feedback-unreadable" in err, f"{name}: a broken file is not told of")
    page, table = map(pathlib.Path, out.split("\n")[:2])
    guide.checker([page], report)
    for complaint in node("feedback.mjs", "page", page):
        report.expect(False, f"{name}: {complaint}")
    root = lxml.html.parse(str(page)).getroot()
    text = root.text_content()
    report.expect(not root.xpath("//script"), f"{name}: the page runs a script")
    with table.open(encoding="utf-8-sig", newline="") as lines:
        rows = list(csv.reader(lines))
    cells = {cell for row in rows for cell in row}
    report.expect(all(len(row) == len(rows[0]) for row in rows), f"{name}: lines of the table differ in length")
    report.expect(table.read_bytes().startswith(b"\xef\xbb\xbf"), f"{name}: the table has no byte order mark")
    for cell in cells:
        report.expect(not cell.startswith(tuple("=+-@\t\r")), f"{name}: a spreadsheet would run {cell!r}")
    for what, typed in TYPED.items():
        report.expect(shown(typed) in text, f"{name}: the page does not show what was typed for {what}")
        wanted = {shown(typed), "'" + shown(typed), f"{typed} [mm]"}
        report.expect(wanted & cells, f"{name}: the table does not hold what was typed for {what}")
    report.expect("“fit to page”" in text and "97.1 %" in text, f"{name}: the page does not tell why 97 mm were measured")


def judge(tool, form, report):
    """One form, from the first question to the page."""
    with tempfile.TemporaryDirectory() as folder:
        scratch = pathlib.Path(folder)
        guide.checker([form], report)
        saved = filled(form, scratch, lambda complaint: report.expect(False, f"{form.name}: {complaint}"))
        if saved:
            merged(tool, saved, scratch, report, form.name)


def selftest(form):
    """Breaks the form in one way after the other; each must be noticed."""
    report, good = Report("feedback selftest"), form.read_text("utf-8")
    with tempfile.TemporaryDirectory() as folder:
        scratch = pathlib.Path(folder)
        broken = scratch / "form.html"
        for what, wanted, instead, told in CASES:
            report.expect(wanted in good, f"{what}: there is nothing to break")
            broken.write_text(signed(good.replace(wanted, instead, 1)), "utf-8")
            said = []
            filled(broken, scratch, said.append)
            report.expect(any(told in complaint for complaint in said), f"{what} was not noticed: {said[:3]}")
    return report.close()


def main(tool, forms):
    """All forms."""
    report = Report("feedback")
    for form in forms:
        judge(tool, form, report)
    report.fact(f"{len(forms)} forms filled in by keyboard, kept, saved and merged")
    sys.exit(1 if report.close() else 0)


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit("usage: feedback.py TOOL FORM.html..., or feedback.py TOOL selftest FORM.html")
    if sys.argv[2] == "selftest":
        sys.exit(1 if selftest(pathlib.Path(sys.argv[3]).resolve()) else 0)
    main(pathlib.Path(sys.argv[1]).resolve(), [pathlib.Path(form).resolve() for form in sys.argv[2:]])
