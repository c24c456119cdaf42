"""Does `kitwright verify` name every fault that it promises to name, and nothing on a good package?

Usage: proof.py TOOL KIT...: builds each kit, of which the last must have sizes, and breaks its package in one way at a time, with
the checksums put right, so that only the fault itself can be noticed. Codes are those of docs/promises.md. The faults are ours;
what they stand for is told there.
"""

import concurrent.futures
import hashlib
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import zipfile

import breakage as b
import tampering as t

# What is broken, how, where (first home paper, first wide one, its flat file), and the codes of which one must come.
CASES = [
    ("a page at 97 %", b.page_scaled, "home", "ink-moved ink-missing ink-extra"),
    ("a check page at 97 %", b.check_page_scaled, "home", "scale-off scale-mark-missing scale-mark-moved"),
    ("a check page at 99.8 %", b.check_page_shrunk, "home", "scale-off scale-mark-moved"),
    ("a page moved by 0.05 mm", b.page_moved, "home", "ink-moved"),
    ("a sheet moved by 0.3 mm", t.sheet_moved, "home", "ink-moved"),
    ("the drawing of a sheet moved by 0.1 mm under its frame", t.drawing_moved, "home", "ink-moved"),
    ("the wide sheet scaled by 0.03 mm over its length", b.scale_off, "wide", "ink-moved"),
    ("one point of a curve moved", b.point_moved, "home", "ink-moved"),
    ("a stroke left out", b.path_dropped, "home", "ink-missing"),
    ("a stroke left out on the wide sheet", b.path_dropped, "wide", "ink-extra"),
    ("a piece left out on one sheet", t.piece_left_out, "home", "ink-missing"),
    ("a stroke too many", t.stroke_added, "home", "ink-extra"),
    ("the drawing run on 0.1 mm less beyond the trim line", b.clip_short, "home", None),
    ("a line a tenth wider", b.width_changed, "home", "ink-changed"),
    ("a line in another colour", t.colour_changed, "home", "ink-changed"),
    ("a line dashed that was not", t.dash_added, "home", "ink-changed"),
    ("a sheet drawn white", b.sheet_blank, "home", "ink-covered"),
    ("two sheets exchanged", b.sheets_exchanged, "home", "label-missing"),
    ("two labels swapped", t.labels_swapped, "home", "label-missing"),
    ("pages in reverse", t.pages_reversed, "home", "label-missing"),
    ("a page removed", t.page_removed, "home", "page-count"),
    ("a page twice", t.page_twice, "home", "page-count"),
    ("a page of US Letter among others", t.letter_page, "home", "page-box"),
    ("a box one unit larger", b.box_grown, "home", "page-box"),
    ("a trim box that is missing", t.trim_box_gone, "home", "page-box"),
    ("a rotated page", b.page_rotated, "home", "page-box"),
    ("a user unit of 1.01", t.user_unit, "home", "page-box"),
    ("marks moved by 0.2 mm", t.marks_moved, "home", "join-off"),
    ("half a ring left out", t.half_ring_dropped, "home", "join-off"),
    ("frames of two sheets exchanged", t.marks_exchanged, "home", "join-off map-off"),
    ("a cell of the small map left out", t.map_cell_dropped, "home", "map-off"),
    ("a size without one of its pages", b.size_short, "home", "size-pages guide-off"),
    ("a size sent to pages that it does not need", t.size_long, "home", "size-pages"),
    ("the layers of two sizes exchanged", t.sizes_exchanged, "home", "size-pages ink-missing"),
    ("a font that is not embedded", b.font_missing, "home", "font-missing"),
    ("no word on scaling", b.scaling_unsaid, "home", "print-scaling"),
    ("a damaged stream", b.stream_damaged, "home", "pdf-unreadable"),
    ("a script in a PDF", t.script_attached, "home", "pdf-active"),
    ("a file in a PDF", t.file_attached, "home", "pdf-active"),
    ("a link out of a PDF", t.link_out, "home", "pdf-active"),
    ("an encrypted PDF", t.encrypted, "home", "pdf-unreadable"),
    ("an empty PDF", t.emptied, "home", "pdf-unreadable"),
    ("a PDF cut short", t.cut_short, "home", "pdf-unreadable page-count"),
    ("a PDF that is missing", t.removed, "home", "file-missing"),
    ("a PDF that nothing promises", t.pdf_unpromised, "home", "file-unmeasured"),
    ("a line left out of the flat file", b.flat_blank, "flat", "ink-missing"),
    ("the wide SVG 1 % too wide", b.svg_stretched, "wide", "ink-moved ink-missing"),
    ("the drawing of the SVG moved by 0.05 mm", b.svg_moved, "wide", "ink-moved"),
    ("a path left out of the SVG", t.svg_path_dropped, "wide", "ink-missing"),
    ("a path more in the SVG", t.svg_path_added, "wide", "ink-extra"),
    ("a script in the SVG", t.svg_script, "wide", "html-active"),
    ("a picture from elsewhere in the SVG", b.svg_outside, "wide", "html-active"),
    ("an SVG without end", t.svg_broken, "wide", "svg-unreadable"),
    ("a control measurement promised 1 mm longer", t.control_promised_longer, "home", "control-off"),
    ("a control measurement promised elsewhere", t.control_elsewhere, "home", "control-missing"),
    ("a rule promised 0.5 mm longer", t.mark_promised_longer, "home", "scale-off"),
    ("no rule promised", t.marks_unpromised, "home", "scale-mark-missing"),
    ("paper promised 1 mm wider", t.paper_promised_larger, "home", "page-box"),
    ("a sheet not promised", b.sheet_forgotten, "home", "promises-bad page-count"),
    ("a language more promised", t.language_promised, "home", "file-missing"),
    ("a later edition promised than printed", t.edition_promised, "home", "label-missing"),
    ("another title promised than printed", t.title_promised, "home", "label-missing"),
    ("promises of an unknown format", t.format_unknown, "home", "promises-bad"),
    ("promises that are garbled", t.promises_garbled, "home", "promises-bad"),
    ("promises that are missing", t.promises_gone, "home", "promises-missing"),
    ("a page number in the guide one off", t.guide_pages, "home", "guide-off"),
    ("a sheet missing in the guide's list", t.guide_sheets, "home", "guide-off"),
    ("a cell of the guide's map moved", t.guide_map, "home", "guide-off"),
    ("a sheet that the map does not know", t.guide_map_sheet, "home", "guide-off"),
    ("a guide that says it is in another language", t.guide_language, "home", "guide-off"),
    ("a guide of another edition", t.guide_edition, "home", "guide-off"),
    ("a read-me of another edition", t.read_me_edition, "home", "guide-off"),
    ("a guide that is missing", t.guide_removed, "home", "file-missing"),
    ("a link to nowhere", b.html_dangling, "home", "link-dead"),
    ("a link to a file that is not there", t.guide_file_link, "home", "link-dead"),
    ("a script in the guide that was changed", b.html_script, "home", "html-active"),
    ("a request to another host", b.html_outside, "home", "html-active"),
    ("an event in the guide", t.guide_event, "home", "html-active"),
    ("a frame in the guide", t.guide_frame, "home", "html-active"),
    ("a guide that leads away", t.guide_refresh, "home", "html-active"),
    ("a style sheet from elsewhere", t.guide_import, "home", "html-active"),
    ("a name that Windows refuses", t.bad_name, "home", "package-name"),
    ("two names that differ in case alone", t.case_twin, "home", "package-name"),
]

# Done after the checksums were put right.
LATE = [
    ("one bit flipped", t.bit_flipped, "home", "checksum-off"),
    ("a wrong checksum", t.sum_wrong, "home", "checksum-off"),
    ("a checksum twice", t.sum_twice, "home", "checksum-off"),
    ("a checksum of nothing", t.sum_of_nothing, "home", "file-missing"),
    ("no checksums", t.sums_gone, "home", "checksum-missing"),
    ("an unlisted file", t.unlisted, "home", "file-unlisted"),
]


class Kit:
    """A kit's package, unpacked, and verdicts on changed copies of it."""

    def __init__(self, tool, kit, scratch, edits=(), drawing=None, options=()):
        self.tool, self.scratch = tool, pathlib.Path(tempfile.mkdtemp(dir=scratch))
        source = self.scratch / pathlib.Path(kit).resolve().name
        shutil.copytree(kit, source)
        shutil.copy(pathlib.Path(kit).resolve().parent / "ploverfield.yaml", self.scratch)
        shutil.copy(pathlib.Path(kit).resolve().parent / "ploverfield-logo.svg", self.scratch)
        manifest = next(source.glob("*.yaml"))
        text = manifest.read_text("utf-8")
        for pattern, replacement in edits:
            text, count = re.subn(pattern, replacement, text, flags=re.M)
            if not count:
                raise LookupError(f"nothing like {pattern} in {manifest.name}")
        manifest.write_text(text, "utf-8")
        if drawing:
            path = source / re.search(r"file: (\S+\.svg)", text)[1]
            path.write_text(path.read_text("utf-8").replace(*drawing), "utf-8")
        command = [tool, "build", source, "--out", self.scratch / "out", "--quiet", *options]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        self.zip = next((self.scratch / "out").glob("*.zip"))
        self.folder = self.scratch / "whole"
        with zipfile.ZipFile(self.zip) as archive:
            archive.extractall(self.folder)

    def paper(self, kind):
        """The promises of the first paper of a kind."""
        papers = json.loads((self.folder / "promises.json").read_text("utf-8"))["papers"]
        wanted = ("wide", "flat") if kind == "flat" else (kind, None)
        return next(paper for paper in papers if (paper["press"], paper.get("variant")) == wanted and not paper["one_of_many_sizes"])

    def copy(self):
        """One home paper, one wide one with its flat file, one guide."""
        folder = pathlib.Path(tempfile.mkdtemp(dir=self.scratch))
        shutil.copytree(self.folder, folder, dirs_exist_ok=True)
        promises = json.loads((folder / "promises.json").read_text("utf-8"))
        kept = [self.paper("home"), self.paper("wide"), self.paper("flat")]
        for other in promises["papers"]:
            if other not in kept:
                (folder / other["file"]).unlink()
                if (other["press"], other.get("variant")) == ("wide", None):
                    (folder / other["file"]).with_suffix(".svg").unlink(missing_ok=True)
        promises["papers"] = kept
        for guide in sorted(folder.glob("*.html"))[1:]:
            guide.unlink()
        language = re.search(r"-guide-(.*)\.html", next(folder.glob("*.html")).name)[1]
        promises["languages"] = [language]
        (folder / "promises.json").write_text(json.dumps(promises), "utf-8")
        for read_me in sorted(folder.glob("README*.txt"))[1:]:
            read_me.unlink()
        return folder

    def codes(self, folder):
        """Codes of all findings, in order, after a run that ended as runs end."""
        run = subprocess.run([self.tool, "verify", folder, "--format", "json"], capture_output=True, text=True)
        if run.returncode not in (0, 1):
            raise RuntimeError(f"verify ended with {run.returncode}: {run.stderr[-300:]}")
        verdict = json.loads(run.stdout)
        return [finding["code"] for finding in verdict["findings"]], verdict


def stamped(folder):
    """The checksums put right."""
    names = sorted(path.name for path in folder.iterdir() if path.name != "SHA256SUMS")
    sums = [f"{hashlib.sha256((folder / name).read_bytes()).hexdigest()}  {name}\n" for name in names]
    (folder / "SHA256SUMS").write_text("".join(sums), "utf-8")


def tried(kit, case):
    """Whether a fault was named as it must be, and what was said."""
    what, break_it, kind, wanted = case
    folder, late = kit.copy(), case in LATE
    if late:
        stamped(folder)
    break_it(folder, kit.paper(kind))
    if not late:
        stamped(folder)
    codes, _ = kit.codes(folder)
    shutil.rmtree(folder)
    # None: harmless, as docs/promises.md says; to cry wolf would be a fault as well.
    fine = not codes if wanted is None else bool(set(codes) & set(wanted.split()))
    return fine, f"{what}: {' '.join(dict.fromkeys(codes)) or 'nothing'}"


def slipped_in(kit, older):
    """A sheet of an older edition in place of its own."""
    folder, paper, old = kit.copy(), kit.paper("home"), older.paper("home")
    (older.folder / old["file"]).rename(older.folder / paper["file"])
    t.old_edition(folder, paper, older.folder)
    stamped(folder)
    codes, _ = kit.codes(folder)
    return "label-missing" in codes, f"a sheet of an older edition: {' '.join(dict.fromkeys(codes)) or 'nothing'}"


def one_of_forty(kit):
    """One sheet of at least forty, moved by 0.1 mm."""
    paper = kit.paper("home")
    folder = kit.copy()
    t.sheet_moved_little(folder, paper)
    stamped(folder)
    codes, _ = kit.codes(folder)
    return len(paper["sheets"]) >= 40 and "ink-moved" in codes, f"one of {len(paper['sheets'])} sheets moved by 0.1 mm: {codes}"


# The same for the corrected sheets of an edition, alone in a file of their own.
CORRECTED = [
    ("corrected sheets as they are", lambda folder, paper: None, None),
    ("the drawing of a corrected sheet moved by 0.1 mm", t.drawing_moved, "ink-moved"),
    ("a stroke left out of a corrected sheet", b.path_dropped, "ink-missing"),
    ("a stroke too many on a corrected sheet", t.stroke_added, "ink-extra"),
    ("a corrected sheet removed", t.page_removed, "page-count"),
    ("a corrected sheet twice", t.page_twice, "page-count"),
    ("corrected sheets that are missing", t.removed, "file-missing"),
]


def corrected(tool, kit, scratch):
    """Corrected sheets, broken in each of these ways: a corner of the tote's pocket lay elsewhere in an older edition."""
    edits = [(r"^edition: .*", "edition: 0.0.1"), (r"852\.25 mm", "853.02 mm")]
    older = Kit(tool, kit, scratch, edits, ("C-68.041,215 -79.084,210.141", "C-72.5,217 -79.084,210.141"))
    newer = Kit(tool, kit, scratch, options=["--since", older.zip])
    promises = json.loads((newer.folder / "promises.json").read_text("utf-8"))
    paper = next(paper for paper in promises["papers"] if paper.get("variant") == "corrections")
    for what, break_it, wanted in CORRECTED:
        folder = pathlib.Path(tempfile.mkdtemp(dir=newer.scratch))
        shutil.copytree(newer.folder, folder, dirs_exist_ok=True)
        break_it(folder, paper)
        stamped(folder)
        codes, _ = newer.codes(folder)
        yield wanted in codes if wanted else not codes, f"{what}: {' '.join(dict.fromkeys(codes)) or 'nothing'}"


def main():
    tool, *kits = sys.argv[1:]
    with tempfile.TemporaryDirectory() as scratch, concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        results = []
        whole = [Kit(tool, kit, scratch) for kit in kits]
        for kit in whole:
            codes, verdict = kit.codes(kit.zip)
            made = sum(check["made"] for check in verdict["checks"])
            results.append((not codes, f"good package {kit.zip.name}: {made} checks, {' '.join(codes) or 'no finding'}"))
            folder = kit.copy()
            stamped(folder)
            codes, _ = kit.codes(folder)
            results.append((not codes, f"its first papers alone: {' '.join(codes) or 'no finding'}"))
        # Joins of another kind, with words in several languages.
        lapped = Kit(tool, kits[0], scratch, [(r"^papers: ", "joins: lapped\npapers: ")])
        codes, _ = lapped.codes(lapped.zip)
        results.append((not codes, f"good package with lapped joins: {' '.join(codes) or 'no finding'}"))
        kit = whole[-1]
        results += corrected(tool, kits[0], scratch)
        results += pool.map(lambda case: tried(kit, case), CASES + LATE)
        older = Kit(tool, kits[-1], scratch, [(r"^edition: .*", "edition: 0.0.1")])
        results.append(slipped_in(kit, older))
        results.append(one_of_forty(Kit(tool, kits[-1], scratch, [(r"^papers: .*", "papers: [a4, a0]\nborder: 30 mm")])))
    for fine, text in results:
        print(f"  proof: {'caught' if fine else 'MISSED'} {text}", flush=True)
    missed = sum(not fine for fine, _ in results)
    print(f"  proof: {len(results) - missed} of {len(results)} as promised")
    sys.exit(1 if missed else 0)


if __name__ == "__main__":
    main()
