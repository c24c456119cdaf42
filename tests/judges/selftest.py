"""Judges must be able to say no: each is given a good package, where it must be silent, then the same one broken in one way.

Usage: selftest.py PACKAGE KIT. A judge that misses a fault, or complains of the good package, fails the run. Only the package's
first home paper and its first wide one are kept, so that a run takes seconds.
"""

import json
import pathlib
import shutil
import sys
import tempfile

import breakage
import engines
import files
import guide
import pdf_size
import pdf_valid
import rules
import svg_valid
import together
import true_size
from common import Package, Report

# (what is broken, judge that must notice, how to break it). `home` faults fall on the first home paper, `wide` on the wide one.
CASES = [
    ("a page at 97 %", true_size, breakage.page_scaled, "home"),
    ("a page at 97 %, by its rules", rules, breakage.check_page_scaled, "home"),
    ("a page moved by 0.05 mm", true_size, breakage.page_moved, "home"),
    ("one point of a curve moved by 0.05 mm", true_size, breakage.point_moved, "home"),
    ("a scale 0.03 mm out over the whole sheet", true_size, breakage.scale_off, "wide"),
    ("a path left out", true_size, breakage.path_dropped, "home"),
    ("a tile shown 0.1 mm short", true_size, breakage.clip_short, "home"),
    ("a line a tenth wider", true_size, breakage.width_changed, "home"),
    ("a box one unit larger", pdf_size, breakage.box_grown, "home"),
    ("a rotated page", pdf_size, breakage.page_rotated, "home"),
    ("a font that is not embedded", pdf_valid, breakage.font_missing, "home"),
    ("a form that is not there", pdf_valid, breakage.form_missing, "home"),
    ("a q without its Q", pdf_valid, breakage.q_open, "home"),
    ("an unknown operator", pdf_valid, breakage.unknown_operator, "home"),
    ("a layer out of order", pdf_valid, breakage.layer_unlisted, "home"),
    ("no word on scaling", pdf_valid, breakage.scaling_unsaid, "home"),
    ("page labels one off", pdf_valid, breakage.labels_shifted, "home"),
    ("a damaged stream", pdf_valid, breakage.stream_damaged, "home"),
    ("a sheet drawn white", together, breakage.sheet_blank, "home"),
    ("two sheets exchanged", together, breakage.sheets_exchanged, "home"),
    ("the wide SVG 1 % too wide", svg_valid, breakage.svg_stretched, "wide"),
    ("an id twice", svg_valid, breakage.svg_id_twice, "wide"),
    ("a picture from elsewhere", svg_valid, breakage.svg_outside, "wide"),
    ("an unlocked frame", svg_valid, breakage.svg_unlocked, "wide"),
    ("a layer of the SVG moved by 0.05 mm", true_size, breakage.svg_moved, "wide"),
    ("a picture without words for it", guide, breakage.html_no_alt, "home"),
    ("a link to nowhere", guide, breakage.html_dangling, "home"),
    ("a request to another host", guide, breakage.html_outside, "home"),
    ("a table too wide for a phone", guide, breakage.html_wide, "home"),
    ("grey words on grey", guide, breakage.html_faint, "home"),
    ("an unclosed element", guide, breakage.html_unclosed, "home"),
    ("an unlisted file", files, breakage.zip_unlisted, "zip"),
    ("a wrong checksum", files, breakage.zip_wrong_sum, "zip"),
    ("two time stamps", files, breakage.zip_two_stamps, "zip"),
    ("a name that Windows refuses", files, breakage.zip_bad_name, "zip"),
    ("a damaged zip", files, breakage.zip_damaged, "zip"),
]


class Bench:
    """The good package, and copies of it to break."""

    def __init__(self, package, kit):
        self.good, self.kit = Package(package, kit), kit
        self.scratch = tempfile.TemporaryDirectory()
        self.silent = {}

    def copy(self, press):
        """A fresh copy that holds only the first paper of a press."""
        folder = pathlib.Path(tempfile.mkdtemp(dir=self.scratch.name))
        shutil.copytree(self.good.folder, folder, dirs_exist_ok=True)
        promises = json.loads((folder / "promises.json").read_text("utf-8"))
        kept = next(paper for paper in promises["papers"] if paper["press"] == press)
        for other in promises["papers"]:
            if other is not kept:
                (folder / other["file"]).unlink()
                (folder / other["file"]).with_suffix(".svg").unlink(missing_ok=True)
        promises["papers"] = [kept]
        (folder / "promises.json").write_text(json.dumps(promises), "utf-8")
        return folder, kept

    def case(self, judge, break_it, kind):
        """Complaints of a judge about a broken copy."""
        if kind == "zip":
            broken = pathlib.Path(tempfile.mkdtemp(dir=self.scratch.name), self.good.zip.name)
            shutil.copy(self.good.zip, broken)
            break_it(broken)
            return self.complaints(judge, broken)
        folder, paper = self.copy(kind)
        break_it(folder, paper)
        return self.complaints(judge, folder)

    def complaints(self, judge, path):
        """A judge that cannot even read a package has noticed too."""
        report = Report(judge.__name__)
        report.fact = lambda text: None
        try:
            judge.judge(Package(path, self.kit), report)
        except Exception as fault:  # noqa: BLE001 - whatever a reader throws at a broken file is its way to say no
            report.complaints.append(f"{type(fault).__name__}: {fault}")
        return report.complaints

    def good_is_silent(self, judge, kind):
        """The same judge on the unbroken copy: a complaint there would make every catch worthless."""
        if (judge, kind) not in self.silent:
            path = self.good.zip if kind == "zip" else self.copy(kind)[0]
            self.silent[judge, kind] = self.complaints(judge, path)
        return self.silent[judge, kind]


def main():
    bench, missed = Bench(*sys.argv[1:3]), 0
    for what, judge, break_it, kind in CASES:
        noise = bench.good_is_silent(judge, kind)
        caught = bench.case(judge, break_it, kind)
        fine = caught and not noise
        missed += not fine
        said = f"{judge.__name__} complains of the good package: {noise[0]}" if noise else (caught or ["nothing"])[0]
        print(f"  selftest: {'caught' if fine else 'MISSED'} {what} ({judge.__name__}: {said[:150]})", flush=True)
    print(f"  selftest: {len(CASES) - missed} of {len(CASES)} faults caught")
    sys.exit(1 if missed else 0)


main()
