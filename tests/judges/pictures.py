"""Pictures of pages by several engines, and comparing two of them by place: ink of one must be near ink of the other.

Weight is not compared: on thin lines the engines' summed ink differs by half although they draw the same.
"""

import pathlib
import tempfile

import numpy as np
import pymupdf
import pypdfium2
from PIL import Image, ImageFilter

from common import run

Image.MAX_IMAGE_PIXELS = None
DPI = 100
STRONG, FAINT = 150, 235  # of 255: surely ink, and any trace of it
REACH = 2  # pixels: 0.5 mm at 100 dpi, for hairlines that an engine widens or snaps to its grid


def by_poppler(path, number, dpi=DPI):
    """A page as pdftoppm draws it, in grey."""
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder, "page")
        run("pdftoppm", "-r", dpi, "-gray", "-f", number, "-l", number, "-singlefile", path, out)
        return Image.open(out.with_suffix(".pgm")).copy()


def by_mupdf(path, number, dpi=DPI):
    """A page as mupdf draws it, in grey."""
    with pymupdf.open(path) as pdf:
        pixels = pdf[number - 1].get_pixmap(dpi=dpi, colorspace=pymupdf.csGRAY)
        return Image.frombytes("L", (pixels.width, pixels.height), pixels.samples)


def by_pdfium(path, number, dpi=DPI):
    """A page as pdfium (Chromium) draws it, in grey."""
    pdf = pypdfium2.PdfDocument(path)
    picture = pdf[number - 1].render(scale=dpi / 72, grayscale=True).to_pil().convert("L")
    pdf.close()
    return picture


def flat(picture):
    """A picture on white, in grey."""
    if picture.mode in ("RGBA", "LA", "P"):
        picture = picture.convert("RGBA")
        picture = Image.alpha_composite(Image.new("RGBA", picture.size, "white"), picture)
    return picture.convert("L")


def stray(one, other, edges=()):
    """Sure ink of `one` with no trace of ink of `other` near it: (pixels, place of the first) and the share of all ink.

    `edges` are the sides of a clip: columns and rows in pixels, as ("x" or "y", place).
    """
    width, height = min(one.width, other.width), min(one.height, other.height)
    one, other = (picture.crop((0, 0, width, height)) for picture in (one, other))
    ink = np.asarray(one) < STRONG
    near = np.asarray(other.filter(ImageFilter.MinFilter(2 * REACH + 1))) < FAINT
    lost = ink & ~near
    # An engine may add or leave out the last row of pixels of a page that is no whole number of them.
    lost[[0, 1, -2, -1], :] = lost[:, [0, 1, -2, -1]] = False
    # A line that a clip cuts lengthwise leaves a hair of ink, which an engine may round away.
    for axis, at in edges:
        band = slice(max(at - REACH, 0), at + REACH + 1)
        lost[(slice(None), band) if axis == "x" else (band, slice(None))] = False
    place = tuple(int(v) for v in np.argwhere(lost)[0][::-1]) if lost.any() else None
    return int(lost.sum()), place, int(ink.sum())


def same_place(one, other, names, where, report, spare=0, edges=()):
    """Both ways: at most `spare` stray pixels, and both pictures of one size and not empty."""
    sizes = abs(one.width - other.width) <= 1 and abs(one.height - other.height) <= 1
    report.expect(sizes, f"{where}: {names[0]} makes {one.size} pixels, {names[1]} {other.size}")
    for a, b, (first, second) in ((one, other, names), (other, one, names[::-1])):
        lost, place, ink = stray(a, b, edges)
        report.expect(lost <= spare, f"{where}: {lost} pixels of {first} near {place} are not drawn by {second}")
        report.expect(ink, f"{where}: {first} draws nothing")
