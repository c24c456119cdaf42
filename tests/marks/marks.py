#!/usr/bin/env python3
"""Draws variants of the registration mark as a printer would, closed and faulty, and measures how well a fault shows.

Usage: marks.py FOLDER. Writes FOLDER/marks-300.png and -600.png, and a table to standard output; docs/marks.md tells what was
chosen and why. Each half is a list of lines in mm: x along the join, y into the sheet; the other half is its mirror image.
Rendered by librsvg in grey at the printer's own dots, then looked at through a blur as wide as one arc minute at arm's length.
"""

import math
import pathlib
import subprocess
import sys

import numpy as np
from PIL import Image, ImageFilter

# One arc minute at 60 cm, in mm: what a good eye just resolves (from memory; 600 mm times the tangent of 1/60 degree).
MINUTE = 600 * math.tan(math.radians(1 / 60))
# Half the width of the picture of one mark, in mm.
REACH = 5.5
# How far from the middle of a turned join the mark sits, in mm: a long side of an A4 tile has its marks about there.
LEVER = 90.0


def arc(radius, width):
    """Half a ring."""
    return f'<path d="M{-radius} 0A{radius} {radius} 0 0 0 {radius} 0" fill="none" stroke="#000" stroke-width="{width}"/>'


def line(x1, y1, x2, y2, width):
    """A line."""
    return f'<path d="M{x1} {y1}L{x2} {y2}" stroke="#000" stroke-width="{width}"/>'


def comb(lines):
    """Short lines across the join: place, length, width."""
    return "".join(line(x, 0, x, depth, width) for x, depth, width in lines)


TICKS = ((-2, 1.5, 0.18), (-1, 1.5, 0.18), (0, 2.2, 0.25), (1, 1.5, 0.18), (2, 1.5, 0.18))
SMALL = 0.55
VARIANTS = {
    "ring and comb": arc(4.2, 0.35) + arc(3.1, 0.18) + comb(TICKS),
    "full disc": '<path d="M-4.2 0A4.2 4.2 0 0 0 4.2 0Z"/>',
    "ring and cross": arc(4.2, 0.35) + line(0, 0, 2.9, 2.9, 0.25) + line(0, 0, -2.9, 2.9, 0.25) + line(0, 0, 0, 4.2, 0.25),
    "quarter discs": arc(4.2, 0.35) + '<path d="M-4.2 0A4.2 4.2 0 0 0 0 4.2L0 0Z"/>',
    "small, comb shrunk": f'<g transform="scale({SMALL})">{arc(4.2, 0.35 / SMALL)}{arc(3.1, 0.18 / SMALL)}'
    + comb((x, depth, width / SMALL) for x, depth, width in TICKS) + "</g>",
    "small, comb kept": f'<g transform="scale({SMALL})">{arc(4.2, 0.35 / SMALL)}{arc(3.1, 0.18 / SMALL)}</g>'
    + comb(((-1, 0.9, 0.18), (0, 1.3, 0.25), (1, 0.9, 0.18))),
}
# Slip along the join, gap across it, turn in degrees, scale.
FAULTS = {
    "closed": (0, 0, 0, 1),
    "at 97 %": (0, 0, 0, 0.97),
    "slipped 0.5 mm": (0.5, 0, 0, 1),
    "gap of 0.2 mm": (0, 0.2, 0, 1),
    "turned 0.2°": (0, 0, 0.2, 1),
}


def picture(half, fault, dpi, folder):
    """A pair of halves with a fault, in grey, at the printer's dots; one half lies half a dot off the raster, as on paper."""
    slip, gap, turn, scale = fault
    upper = f'<g transform="scale({scale}) scale(1 -1)">{half}</g>'
    lower = f'<g transform="translate({slip} {gap}) rotate({turn} {-LEVER} 0) scale({scale})">{half}</g>'
    off = 25.4 / dpi / 2
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{2 * REACH}mm" height="{2 * REACH}mm"'
        f' viewBox="{-REACH} {-REACH} {2 * REACH} {2 * REACH}">{upper}<g transform="translate({off} {off})">{lower}</g></svg>'
    )
    (folder / "mark.svg").write_text(svg)
    command = ("rsvg-convert", "-b", "white", "-d", str(dpi), "-p", str(dpi), "-o", folder / "mark.png", folder / "mark.svg")
    subprocess.run(command, check=True)
    return Image.open(folder / "mark.png").convert("L")


def seen(image, dpi):
    """What reaches the eye at arm's length: one arc minute is the width of the blur at half its height."""
    sigma = MINUTE / 2.355 / 25.4 * dpi
    return np.asarray(image.filter(ImageFilter.GaussianBlur(sigma)), dtype=float)


def broken(image, dpi):
    """How far lines fail to go on across the join: greatest difference of the profiles 0.3 mm above and below it, in grey
    levels, and how much of all ink there has no partner on the other side, in per cent."""
    grey, middle = seen(image, dpi), image.height / 2
    step = 0.3 / 25.4 * dpi
    above, below = grey[round(middle - step) - 1], grey[round(middle + step)]
    difference = np.abs(above - below)
    return float(difference.max()), float(100 * difference.sum() / (510 - above - below).sum())


def open_join(image, closed, dpi):
    """How light the join becomes where lines should run through it, against the closed mark."""
    rows = slice(round(image.height / 2 - 0.1 / 25.4 * dpi), round(image.height / 2 + 0.4 / 25.4 * dpi))
    return float((seen(image, dpi)[rows] - seen(closed, dpi)[rows]).max())


def sheet(folder, dpi):
    """All variants with all faults in one picture, and their figures."""
    zoom = 600 // dpi
    rows = []
    for name, half in VARIANTS.items():
        pictures = {fault: picture(half, values, dpi, folder) for fault, values in FAULTS.items()}
        closed = pictures["closed"]
        figures = [figure for fault in ("closed", "at 97 %", "slipped 0.5 mm") for figure in broken(pictures[fault], dpi)]
        figures += [open_join(pictures[fault], closed, dpi) for fault in ("gap of 0.2 mm", "turned 0.2°")]
        print(f"{dpi} dpi | {name:20} | " + " | ".join(f"{figure:3.0f}" for figure in figures))
        rows.append([image.resize((image.width * zoom, image.height * zoom), Image.NEAREST) for image in pictures.values()])
    width, height = rows[0][0].size
    board = Image.new("L", (width * len(FAULTS), height * len(rows)), 255)
    for down, row in enumerate(rows):
        for across, image in enumerate(row):
            board.paste(image, (across * width, down * height))
    board = board.quantize(8)
    board.save(folder / f"marks-{dpi}.png", optimize=True)


def main():
    """Both resolutions."""
    folder = pathlib.Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    print(f"one arc minute at 60 cm is {MINUTE:.3f} mm; a turn of 0.2° opens {LEVER * math.tan(math.radians(0.2)):.2f} mm at {LEVER:.0f} mm")
    print("resolution | variant | closed: step, alone | at 97 %: step, alone | slipped: step, alone | gap | turned")
    for dpi in (300, 600):
        sheet(folder, dpi)


if __name__ == "__main__":
    main()
