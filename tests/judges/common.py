"""What every judge shares: a package laid out in a folder, its promises, and a report that gathers all complaints.

A judge is a function `judge(package, report)`. Run as a program it takes PACKAGE (a zip, or a folder that holds its files) and
KIT (the kit's folder), prints every complaint and what it measured, and ends with 1 if there is any complaint.
"""

import json
import os
import pathlib
import subprocess
import sys
import tempfile
import zipfile

HERE = pathlib.Path(__file__).resolve().parent
HOME = pathlib.Path(os.environ.get("JUDGES_HOME", HERE.parent.parent / "target" / "judges"))

# 1 in = 25.4 mm (international inch); the default PDF unit is 1/72 in (ISO 32000-1, 8.3.2.3, from memory).
MM_PER_PT = 25.4 / 72


class Package:
    """A package on disk: `folder` with its files, `zip` if it came as one, `kit` the folder that it was made from."""

    def __init__(self, path, kit=None):
        self.zip = pathlib.Path(path) if pathlib.Path(path).is_file() else None
        self.kit = pathlib.Path(kit) if kit else None
        self.folder = self._unpacked() if self.zip else pathlib.Path(path)
        self.promises = json.loads((self.folder / "promises.json").read_text("utf-8"))

    def _unpacked(self):
        self._scratch = tempfile.TemporaryDirectory()
        with zipfile.ZipFile(self.zip) as archive:
            archive.extractall(self._scratch.name)
        return pathlib.Path(self._scratch.name)

    @property
    def papers(self):
        """What the promises say of each paper's own file in the source language; the others differ in words alone, as verify proves."""
        return [paper for paper in self.promises["papers"] if not paper.get("variant") and not paper.get("language")]

    def variants(self, kind):
        """What they say of second files with the same drawing: `flat` or `projection`."""
        return [paper for paper in self.promises["papers"] if paper.get("variant") == kind and not paper.get("language")]

    def files(self, suffix):
        """Files of the package whose names end in `suffix`, sorted."""
        return sorted(self.folder.glob(f"*{suffix}"))


class Report:
    """Complaints and facts of one judge."""

    def __init__(self, name):
        self.name, self.complaints, self.checks = name, [], 0

    def expect(self, fine, complaint):
        """One check: `complaint` is kept unless `fine`. Gives `fine` back."""
        self.checks += 1
        if not fine:
            self.complaints.append(complaint)
        return bool(fine)

    def fact(self, text):
        """Something measured, printed whatever the verdict."""
        print(f"  {self.name}: {text}", flush=True)

    def close(self):
        """Prints the verdict; the number of complaints, where making no check at all is one."""
        self.expect(self.checks, "this judge checked nothing")
        for complaint in self.complaints[:40]:
            print(f"  {self.name}: COMPLAINT {complaint}", flush=True)
        if len(self.complaints) > 40:
            print(f"  {self.name}: … and {len(self.complaints) - 40} more", flush=True)
        print(f"  {self.name}: {self.checks} checks, {len(self.complaints)} complaints", flush=True)
        return len(self.complaints)


def run(*command, cwd=None, env=None):
    """Runs a program; gives exit code, standard output and standard error as text."""
    done = subprocess.run([str(word) for word in command], cwd=cwd, env=env, capture_output=True, timeout=600)
    return done.returncode, done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace")


def node(script, *arguments):
    """Runs one of the Node scripts beside this file; gives what it printed as JSON."""
    code, out, err = run("node", HERE / script, *arguments, env={**os.environ, "JUDGES_HOME": str(HOME)})
    if code:
        raise RuntimeError(f"{script} failed: {err.strip()[-2000:]}")
    return json.loads(out)


def close_to(a, b, slack):
    """Whether two numbers, or two rows of numbers, differ by at most `slack`."""
    if isinstance(a, (int, float)):
        return abs(a - b) <= slack
    return len(a) == len(b) and all(abs(float(x) - float(y)) <= slack for x, y in zip(a, b))


def to_drawing(paper, sheet, height):
    """The matrix from a page to the drawing, as promised; a turned drawing (x, y) lies at (height - y, x)."""
    (left, top), (x, y) = paper["tile_mm"][:2], sheet["area_mm"][:2]
    move = (x - left, y - top)
    return (0, -1, 1, 0, move[1], height - move[0]) if paper.get("turned") else (1, 0, 0, 1, *move)


def main(judge):
    """The command line of a judge."""
    if not 2 <= len(sys.argv) <= 3:
        sys.exit(f"usage: {pathlib.Path(sys.argv[0]).name} PACKAGE [KIT]")
    report = Report(pathlib.Path(sys.argv[0]).stem)
    judge(Package(*sys.argv[1:]), report)
    sys.exit(1 if report.close() else 0)
