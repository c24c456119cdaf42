"""Whether the program has become slower, told by instructions: they hardly differ from run to run, however busy the machine is.

Usage: tests/bench/instructions.py BIN [--write]   BIN is a folder of programs, such as target/debug or target/release.
Runs commands on the Ropewalk tote under valgrind's callgrind, on one thread, and compares with tests/bench/instructions.json, where the figures
of each profile stand: more than a tenth above is a failure, more than a tenth below asks for new figures. `--write` notes what was counted.
Another compiler counts otherwise: figures of one are not held against programs of another, which is said aloud.
`check` reads and plans, and `build` presses and packs as well.
"""

import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
KITS = HERE.parents[1] / "kits"
FIGURES = HERE / "instructions.json"
BAND = 0.10


def millions(command):
    """Millions of instructions that a command takes."""
    call = ["valgrind", "--tool=callgrind", "--callgrind-out-file=/dev/null", *command]
    done = subprocess.run(call, env={**os.environ, "RAYON_NUM_THREADS": "1"}, capture_output=True, text=True)
    counted = re.search(r"Collected : (\d+)", done.stderr)
    if done.returncode != 0 or not counted:
        sys.exit(f"{' '.join(command)}: ended with {done.returncode}\n{done.stderr}")
    return int(counted[1]) // 1_000_000


def count(bins):
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(KITS, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("out"))
        tool, kit = str(bins / "kitwright"), f"{folder}/ropewalk-tote"
        return {name: millions([tool, name, kit, *more]) for name, more in
                {"check": [], "build": ["--out", f"{folder}/out"]}.items()}


def version():
    """The compiler's version, as in `1.95.0`."""
    return subprocess.run(["rustc", "--version"], capture_output=True, text=True, check=True).stdout.split()[1]


def main():
    bins = pathlib.Path(sys.argv[1]).resolve()
    figures = json.loads(FIGURES.read_text()) if FIGURES.exists() else {}
    known, compiler = figures.get(bins.name, {}), version()
    if known and known.get("rustc") != compiler and "--write" not in sys.argv:
        print(f"NOT COMPARED: the figures are of rustc {known.get('rustc')}, this is {compiler}")
        return
    now, bad = count(bins), False
    for name, counted in now.items():
        before = known.get(name)
        change = counted / before - 1 if before else 0.0
        bad |= before is None or change > BAND
        note = "no figure yet" if before is None else f"{change:+.1%} of {before}"
        print(f"{name:6} {counted:7} million instructions, {note}{', worth new figures' if change < -BAND else ''}")
    if "--write" in sys.argv:
        figures[bins.name] = {"rustc": compiler, **now}
        FIGURES.write_text(json.dumps(figures, indent=2, sort_keys=True) + "\n")
    elif bad:
        sys.exit("slower than it was, or never counted: see above")


if __name__ == "__main__":
    main()
