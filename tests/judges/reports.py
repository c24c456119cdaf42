"""Reports: the pages of `verify` and `compare` are silent to the Nu checker and axe-core, load nothing, and tell what was done.

Usage: reports.py TOOL KIT. The kit is copied and built; its package is verified as it is, then with a line moved and a promised length changed; then the
drawing itself is changed, and both editions are compared.

Expected values: HTML Living Standard by vnu; WCAG 2.2 AA by axe-core; no sideways scrolling at 320 px (WCAG 2.2, 1.4.10).
"""

import json
import pathlib
import re
import shutil
import sys
import tempfile
import zipfile

import pikepdf

import guide
from common import Report, run
from proof_page import copied


def broken(package, folder):
    """The package unpacked, with an end of a line elsewhere in every piece of the drawing and a control measurement promised 1 mm longer."""
    with zipfile.ZipFile(package) as zipped:
        zipped.extractall(folder)
    home = next(folder.glob("*home-a4.pdf"))
    with pikepdf.open(home, allow_overwriting_input=True) as pdf:
        forms = [it for it in pdf.objects if isinstance(it, pikepdf.Stream) and it.get("/Subtype") == "/Form"]
        moved = lambda hit: b"%.3f %s l" % (float(hit[1]) + 0.3, hit[2])
        for form in forms:
            form.write(re.sub(rb"(-?[\d.]+) (-?[\d.]+) l\b", moved, form.read_bytes(), count=1))
        pdf.save(home)
    promises = json.loads((folder / "promises.json").read_text("utf-8"))
    promises["controls"][0]["promised_mm"] += 1
    (folder / "promises.json").write_text(json.dumps(promises), "utf-8")


def main(tool, kit):
    """Four pages: good, broken, changed, the same."""
    report = Report("reports")
    with tempfile.TemporaryDirectory() as scratch:
        folder = copied(kit, scratch)
        pages = pathlib.Path(scratch) / "pages"
        pages.mkdir()
        code, out, err = run(tool, "build", folder, "--out", folder / "out")
        report.expect(code == 0, f"{kit.name}: {err[:300]}")
        package = pathlib.Path(out.strip())

        def made(name, code_wanted, *says):
            """A page that a command has made, with what must stand in it."""
            text = (pages / name).read_text("utf-8") if (pages / name).exists() else ""
            report.expect(code == code_wanted, f"{name}: exit code {code}, wanted {code_wanted}")
            for part in says:
                report.expect(part in text, f"{name} does not say {part!r}")

        code, _, _ = run(tool, "verify", package, "--report", pages / "good.html")
        made("good.html", 0, "Everything that this package promises was found")
        broken(package, pathlib.Path(scratch) / "broken")
        code, _, _ = run(tool, "verify", pathlib.Path(scratch) / "broken", "--report", pages / "broken.html")
        made("broken.html", 1, "Keep this package back", "ink-moved", "control-off", "too far off", "<figure>")
        code, _, _ = run(tool, "compare", package, folder, "--report", pages / "same.html")
        made("same.html", 0, "Nothing differs but the edition")
        shutil.copy(folder / "kit.yaml", folder / "old.yaml")
        drawing = folder / "tote.svg"
        drawing.write_text(drawing.read_text("utf-8").replace("M82,92 L90,92 L90,100", "M82,94 L92,94 L92,102"), "utf-8")
        manifest = folder / "kit.yaml"
        manifest.write_text(manifest.read_text("utf-8").replace("Edition 1.0.0 is the first.", "One mark lies elsewhere."), "utf-8")
        code, _, _ = run(tool, "compare", package, folder, "--report", pages / "changed.html")
        made("changed.html", 0, "one over the other", "One mark lies elsewhere.", "Said before")
        guide.pages(sorted(pages.glob("*.html")), report)
    sys.exit(1 if report.close() else 0)


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("usage: reports.py TOOL KIT")
    main(pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2]).resolve())
