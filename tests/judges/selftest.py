"""Judges must be able to say no: each is given a good package, where it must be silent, then the same one broken in one way.

Usage: selftest.py PACKAGE KIT [lines]: with `lines`, faults in sizes' own lines and names instead of all others. A judge that misses a fault, or complains of the good package, fails the run. Only the package's
first home paper and its first wide one are kept, so that a run takes seconds.
"""

import concurrent.futures
import json
import multiprocessing
import os
import pathlib
import shutil
import sys
import tempfile

import breakage
import documents
import engines
import files
import guide
import layers
import lengths
import pdf_size
import pdf_valid
import plan
import print_path
import print_shop
import rules
import svg_valid
import together
import true_size
from common import Package, Report

# What is broken, the judge that must notice, how to break it, where (first home paper, first wide one, the zip), and a part of
# the complaint that must come: a judge that complains for another reason has not noticed.
CASES = [
    ("a page at 97 %", true_size, breakage.page_scaled, "home", "off the drawing"),
    ("a page at 97 %, by its rules", rules, breakage.check_page_scaled, "home", "100 mm"),
    ("a check page at 97 %, printed", print_path, breakage.check_page_scaled, "home", "did not arrive"),
    ("a check page at 99.8 %, printed", print_path, breakage.check_page_shrunk, "home", "mm long on paper"),
    ("a page moved by 0.05 mm", true_size, breakage.page_moved, "home", "off the drawing"),
    ("one point of a curve moved", true_size, breakage.point_moved, "home", "off the drawing"),
    ("a scale 0.03 mm out over the sheet", true_size, breakage.scale_off, "wide", "off the drawing"),
    ("promised edges bent", lengths, breakage.edges_bent, "home", "runs along no line"),
    ("a control measurement that is not promised", lengths, breakage.control_forgotten, "home", "but not promised"),
    ("a page at 97 %, by its edges", lengths, breakage.page_scaled, "wide", "runs along no line"),
    ("a path left out", true_size, breakage.path_dropped, "home", "from any printed line"),
    ("a tile shown 0.1 mm short", true_size, breakage.clip_short, "home", "promised"),
    ("a line a tenth wider", true_size, breakage.width_changed, "home", "wanted is"),
    ("a box one unit larger", pdf_size, breakage.box_grown, "home", "the paper has"),
    ("a rotated page", pdf_size, breakage.page_rotated, "home", "is rotated"),
    ("a font that is not embedded", pdf_valid, breakage.font_missing, "home", "left to the reader"),
    ("a form that is not there", pdf_valid, breakage.form_missing, "home", "not in the resources"),
    ("a q without its Q", pdf_valid, breakage.q_open, "home", "`Q` is missing"),
    ("an unknown operator", pdf_valid, breakage.unknown_operator, "home", "Ghostscript says"),
    ("a layer out of order", pdf_valid, breakage.layer_unlisted, "home", "Order"),
    ("no word on scaling", pdf_valid, breakage.scaling_unsaid, "home", "PrintScaling"),
    ("page labels one off", pdf_valid, breakage.labels_shifted, "home", "is labelled"),
    ("a damaged stream", pdf_valid, breakage.stream_damaged, "home", "Ghostscript says"),
    ("a sheet drawn white", together, breakage.sheet_blank, "home", "not drawn by the sheets"),
    ("two sheets exchanged", together, breakage.sheets_exchanged, "home", "not drawn by the drawing"),
    ("a sheet not promised", plan, breakage.sheet_forgotten, "home", "is on no sheet"),
    ("a sheet of nothing", plan, breakage.sheet_beside, "home", "beside all ink"),
    ("a size without one of its pages", plan, breakage.size_short, "home", "which is not named"),
    ("a placement that takes more sheets", plan, breakage.placement_worse, "home", "are enough"),
    ("a dot that one engine leaves out", engines, breakage.lone_dot, "home", "not drawn by"),
    ("a title that XMP tells otherwise", documents, breakage.title_changed, "home", "two titles"),
    ("a figure without words", documents, breakage.alt_removed, "home", "a figure without words"),
    ("a line that is neither tagged nor an artifact", documents, breakage.line_untagged, "home", "neither tagged"),
    ("a link that leads to another sheet", documents, breakage.link_astray, "home", "the map leads to"),
    ("a bookmark left out", documents, breakage.bookmarks_cut, "home", "has the bookmarks"),
    ("a layer state for print alone", layers, breakage.print_state, "home", "a state for print alone"),
    ("a frame that can be switched", layers, breakage.frame_unlocked, "home", "the frame is not locked"),
    ("a colour in the flat file", print_shop, breakage.flat_coloured, "flat", "sets a colour with `rg`"),
    ("a line left out of the flat file", print_shop, breakage.flat_blank, "flat", "not drawn by the flat file"),
    ("a flat file without its intent", print_shop, breakage.flat_unmeant, "flat", "output intents"),
    ("a colour profile with another curve", print_shop, breakage.flat_profile_bent, "flat", "in sRGB"),
    ("a flat file with a link", print_shop, breakage.flat_linked, "flat", "/Annots"),
    ("the wide SVG 1 % too wide", svg_valid, breakage.svg_stretched, "wide", "wanted one of"),
    ("an id twice", svg_valid, breakage.svg_id_twice, "wide", "ids twice"),
    ("a picture from elsewhere", svg_valid, breakage.svg_outside, "wide", "refers to"),
    ("an unlocked frame", svg_valid, breakage.svg_unlocked, "wide", "is not locked"),
    ("a layer of the SVG moved by 0.05 mm", true_size, breakage.svg_moved, "wide", "off the drawing"),
    ("a picture without words for it", guide, breakage.html_no_alt, "home", "axe image-alt"),
    ("a link to nowhere", guide, breakage.html_dangling, "home", "leads to no place"),
    ("a request to another host", guide, breakage.html_outside, "home", "request to https"),
    ("a table too wide for a phone", guide, breakage.html_wide, "home", "in a window of 320"),
    ("a script that the page's policy does not name", guide, breakage.html_script, "home", "the picker stays hidden"),
    ("a sheet that the map does not know", guide, breakage.html_sheet, "home", "picker: map of"),
    ("grey words on grey", guide, breakage.html_faint, "home", "axe color-contrast"),
    ("an unclosed element", guide, breakage.html_unclosed, "home", "vnu says"),
    ("an unlisted file", files, breakage.zip_unlisted, "zip", "names ['zzz.txt'] wrongly"),
    ("a wrong checksum", files, breakage.zip_wrong_sum, "zip", "is wrong"),
    ("two time stamps", files, breakage.zip_two_stamps, "zip", "time stamps differ"),
    ("a name that Windows refuses", files, breakage.zip_bad_name, "zip", "is a device"),
    ("a damaged zip", files, breakage.zip_damaged, "zip", "CRC"),
]

# Those of a kit that has its sizes printed in lines of their own.
LINE_CASES = [
    ("a piece of a size in another line", true_size, breakage.size_line_changed, "wide", "wanted is"),
    ("all sizes in one line", true_size, breakage.size_lines_alike, "wide", "printed in the same line"),
    ("lines without names", true_size, breakage.names_dropped, "wide", "has its name"),
    ("a name away from its line", true_size, breakage.name_moved, "wide", "mm from layer"),
    ("a bent letter in a name", true_size, breakage.name_bent, "wide", "off the drawing"),
]


class Bench:
    """The good package, and copies of it to break."""

    def __init__(self, package, kit):
        self.package, self.kit = Package(package, kit), kit
        self.scratch = tempfile.TemporaryDirectory()

    def copy(self, press):
        """A fresh copy that holds only the first paper of a press; `flat` means the first flat file and its sibling."""
        folder = pathlib.Path(tempfile.mkdtemp(dir=self.scratch.name))
        shutil.copytree(self.package.folder, folder, dirs_exist_ok=True)
        promises = json.loads((folder / "promises.json").read_text("utf-8"))
        # A flat file is compared with its sibling, which comes along.
        wanted = [("flat", "flat"), ("wide", None)] if press == "flat" else [(press, None)]
        kinds = [(paper.get("variant") or paper["press"], paper.get("variant")) for paper in promises["papers"]]
        every = [promises["papers"][kinds.index(kind)] for kind in wanted]
        kept = every[0]
        for other in promises["papers"]:
            if other not in every:
                (folder / other["file"]).unlink()
                (folder / other["file"]).with_suffix(".svg").unlink(missing_ok=True)
        promises["papers"] = every
        # One guide is enough to break; those in other languages would take as long again, each.
        for guide_of_another in sorted(folder.glob("*.html"))[1:]:
            guide_of_another.unlink()
        (folder / "promises.json").write_text(json.dumps(promises), "utf-8")
        return folder, kept

    def case(self, judge, break_it, kind):
        """Complaints of a judge about a broken copy."""
        if kind == "zip":
            broken = pathlib.Path(tempfile.mkdtemp(dir=self.scratch.name), self.package.zip.name)
            shutil.copy(self.package.zip, broken)
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

    def good(self, judge, kind):
        """What the same judge says of the unbroken copy: anything there makes every catch worthless."""
        return self.complaints(judge, self.package.zip if kind == "zip" else self.copy(kind)[0])


def groups():
    """The cases by judge and kind of file."""
    found = {}
    for case in TRIED:
        found.setdefault((case[1], case[3]), []).append(case)
    return list(found.items())


def tried(index):
    """The cases of one group: a list of (whether it went as it must, what to tell)."""
    (judge, kind), cases = groups()[index]
    noise, results = BENCH.good(judge, kind), []
    for what, _, break_it, _, wanted in cases:
        caught = BENCH.case(judge, break_it, kind)
        right = [complaint for complaint in caught if wanted in complaint]
        said = f"complains of the good package: {noise[0]}" if noise else (right or caught or ["nothing"])[0]
        fine = bool(right) and not noise
        results.append((fine, f"{'caught' if fine else 'MISSED'} {what} ({judge.__name__}: {said[:150]})"))
    return results


def main():
    missed = 0
    with concurrent.futures.ProcessPoolExecutor(os.cpu_count(), mp_context=multiprocessing.get_context("fork")) as pool:
        for results in pool.map(tried, range(len(groups()))):
            for fine, text in results:
                missed += not fine
                print(f"  selftest: {text}", flush=True)
    print(f"  selftest: {len(TRIED) - missed} of {len(TRIED)} faults caught")
    sys.exit(1 if missed else 0)


if __name__ == "__main__":
    BENCH, TRIED = Bench(*sys.argv[1:3]), LINE_CASES if sys.argv[3:] == ["lines"] else CASES
    main()
