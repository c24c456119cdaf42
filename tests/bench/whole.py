"""How long whole commands take, beside what general-purpose programs take for a part of the same work, in the same run.

Usage: tests/bench/whole.py BIN [ROW[:CASE]...]   BIN is the folder of the optimised programs, such as target/release: `kitwright` and `examples/tool`
are taken from there. Rows: demo drawing sizes sheets languages bundles (all, if none is named). Needs rsvg-convert and unzip.

Every command of a case is run in turn, as often as ROUNDS says, so that a busy moment hits all of them alike; a line a command tells the
medians of time on the clock, of processor time and of the most memory, each with the start of the program in it. Memory cannot be told below
about 10 MB, what this script itself takes. Drawings are made up by tests/bench/nest.rs.
"""

import os
import pathlib
import re
import shutil
import statistics
import sys
import tempfile
import time

ROUNDS = int(os.environ.get("ROUNDS", "5"))
DEMOS = pathlib.Path(__file__).resolve().parents[2] / "kits"
# Name: papers, pieces, sizes, segments, width and height in mm.
NESTS = {
    "drawing": [(f"{k} thousand", "a4, letter, a0", 40, 20, k * 1000, 1400, 870) for k in (10, 50, 200, 800)] + [
        ("1 thousand", "a4, letter, a0", 10, 5, 1000, 1400, 870),
        ("1000 thousand", "a4, letter, a0", 40, 20, 1_000_000, 1400, 870),
    ],
    "sizes": [(f"{sizes} sizes", "a4, letter, a0", 14, sizes, 10_000, 1400, 870) for sizes in (1, 5, 10, 20)],
    # The same pieces, sizes and curves, spread over more paper.
    "sheets": [(f"{width} x {height} mm", "a4", 14, 8, 100_000, width, height) for width, height in
               ((190, 262), (860, 530), (1400, 870), (2800, 870), (1800, 1500), (4200, 3000))],
}


def run(command, folder):
    """Seconds on the clock, seconds of processor time and MB of memory of a command that must succeed."""
    shutil.rmtree(folder / "out", ignore_errors=True)
    quiet = os.open(os.devnull, os.O_WRONLY)
    start = time.perf_counter()
    child = os.posix_spawnp(command[0], command, os.environ, file_actions=[(os.POSIX_SPAWN_DUP2, quiet, 1), (os.POSIX_SPAWN_DUP2, quiet, 2)])
    _, status, used = os.wait4(child, 0)
    seconds = time.perf_counter() - start
    os.close(quiet)
    # A kit whose sheets are crowded is told so, and built all the same.
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        sys.exit(f"{' '.join(command)}: ended with {os.waitstatus_to_exitcode(status)}")
    return seconds, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def measure(case, commands, folder):
    """The medians of some rounds of all commands; prints a line each, and gives the seconds by name."""
    rounds = [{name: run(command, folder) for name, command in commands.items()} for _ in range(ROUNDS)]
    clock = {}
    for name in commands:
        seconds, worked, memory = (statistics.median(one[name][what] for one in rounds) for what in range(3))
        clock[name] = seconds
        print(f"{case:36} {name:28} {seconds * 1000:9.1f} ms {worked * 1000:9.1f} ms of processor {memory:8.1f} MB", flush=True)
    return clock


def whole(kit, drawing, bins, scratch):
    """Every command of a kit and what it is compared with."""
    tool, out = str(bins / "kitwright"), scratch / "out"
    run([tool, "build", str(kit), "--out", str(out)], scratch)
    package = str(shutil.copy(next(out.glob("*.zip")), scratch / "package.zip"))
    python = [sys.executable, "-S", "-c"]
    return {
        "start": [tool, "--version"],
        "check": [tool, "check", str(kit)],
        "plan": [tool, "plan", str(kit), "--format", "json"],
        "build": [tool, "build", str(kit), "--out", str(out)],
        "verify": [tool, "verify", package],
        "bare XML pass": [str(bins / "examples/tool"), "xml", str(drawing)],
        "rsvg-convert to one page": ["rsvg-convert", "-f", "pdf", "-o", str(scratch / "page.pdf"), str(drawing)],
        "deflate the drawing": [*python, "import sys,zlib; zlib.compress(open(sys.argv[1],'rb').read(), 6)", str(drawing)],
        "deflate the package again": [*python, "import sys,zlib; zlib.compress(open(sys.argv[1],'rb').read(), 6)", package],
        "unzip the package": ["unzip", "-q", "-o", "-d", str(scratch / "unzipped"), package],
    }


def nest(case, bins, scratch):
    """The folder of a made-up kit."""
    name, papers, *figures = case
    folder = scratch / "nest"
    shutil.rmtree(folder, ignore_errors=True)
    run([str(bins / "examples/tool"), "draw", str(folder), papers, *map(str, figures)], scratch)
    return folder


def demos(bins, scratch):
    for name in ("ropewalk-tote", "tansy-apron"):
        kit = scratch / name
        shutil.copytree(DEMOS / name, kit)
        shutil.copy(DEMOS / "ploverfield.yaml", scratch)
        shutil.copy(DEMOS / "ploverfield-logo.svg", scratch)
        yield name, kit, next(kit.glob("*.svg"))


def spoken(catalogue):
    """A catalogue that translates every text as itself."""
    def said(entry):
        words = {key: re.search(rf'^{key} (".*")$', entry, re.M) for key in ("msgid", "msgid_plural")}
        one, many = words["msgid"], words["msgid_plural"] or words["msgid"]
        entry = re.sub(r'^(msgstr(\[0\])?) ""$', lambda line: f"{line[1]} {one[1]}", entry, flags=re.M)
        return re.sub(r'^(msgstr\[1\]) ""$', lambda line: f"{line[1]} {many[1]}", entry, flags=re.M)
    head, *entries = catalogue.split("\n\n")
    return "\n\n".join([head, *map(said, entries)])


def languages(bins, scratch):
    """The apron in one to twelve languages, those beyond its own four with catalogues that say what the source says."""
    tags = ["en", "fr", "de", "pl", "es", "nl", "de-AT", "fr-CA", "en-GB", "es-MX", "nl-BE", "de-CH"]
    name, kit, drawing = list(demos(bins, scratch))[1]
    manifest, tool = (kit / "kit.yaml").read_text(), str(bins / "kitwright")
    for tag in tags[4:]:
        run([tool, "catalogue", "update", str(kit), "--language", tag], scratch)
        catalogue = kit / "languages" / f"{tag}.po"
        catalogue.write_text(spoken(catalogue.read_text()))
    for count in (1, 2, 4, 6, 12):
        (kit / "kit.yaml").write_text(manifest.replace("languages: [en, fr, de, pl]", f"languages: [{', '.join(tags[:count])}]"))
        measure(f"{count} languages", {"build": [tool, "build", str(kit), "--out", str(scratch / "out")]}, scratch)


def bundles(bins, scratch):
    """The apron for one to forty testers, each with a size and a language."""
    name, kit, drawing = list(demos(bins, scratch))[1]
    sizes, tags = ["34", "36", "38", "40", "42", "44", "46", "48"], ["en", "fr", "de", "pl"]
    for count in (1, 10, 40):
        tester = [f'  - {{id: "{n}", sizes: ["{sizes[n % 8]}"], language: {tags[n % 4]}, paper: a4}}\n' for n in range(count)]
        roster = scratch / "roster.yaml"
        roster.write_text("testers:\n" + "".join(tester))
        command = [str(bins / "kitwright"), "review", str(kit), "--round", "1", "--roster", str(roster), "--out", str(scratch / "out")]
        measure(f"{count} bundles", {"review": command}, scratch)


def main():
    bins, rows = pathlib.Path(sys.argv[1]).resolve(), sys.argv[2:]
    for wish in rows or ["demo", *NESTS, "languages", "bundles"]:
        row, _, only = wish.partition(":")
        with tempfile.TemporaryDirectory() as folder:
            scratch = pathlib.Path(folder)
            print(f"== {row}; load {os.getloadavg()[0]:.1f}", flush=True)
            if row == "demo":
                for name, kit, drawing in demos(bins, scratch):
                    measure(name, whole(kit, drawing, bins, scratch), scratch)
            elif row in NESTS:
                for case in [case for case in NESTS[row] if case[0].startswith(only)]:
                    kit = nest(case, bins, scratch)
                    measure(f"{row}: {case[0]}", whole(kit, kit / "nest.svg", bins, scratch), scratch)
            else:
                globals()[row](bins, scratch)


if __name__ == "__main__":
    main()
