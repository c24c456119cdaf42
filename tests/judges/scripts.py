"""Words in other scripts: a kit in Arabic and one in Japanese are made with free fonts, and two readers must find the words again.

Usage: scripts.py TOOL KIT... Fonts come from Debian (fonts-noto-core) and npm (@expo-google-fonts/biz-udpgothic) into JUDGES_HOME;
none is part of the project. Both readers are asked for the check page; the words to be found are those of the catalogue. Then each
kit is built in all of its languages, and its guides in these scripts go to the judge of guides.
"""

import pathlib
import re
import shutil
import sys
import tempfile
import unicodedata
import zipfile

import guide
from common import HOME, HERE, Report, run

FONTS = HOME / "fonts"
NPM = "@expo-google-fonts/biz-udpgothic@0.4.2"


def fetch():
    """The fonts, fetched once."""
    FONTS.mkdir(parents=True, exist_ok=True)
    if not list(FONTS.glob("NotoNaskhArabic-*")):
        with tempfile.TemporaryDirectory() as scratch:
            run("apt-get", "download", "fonts-noto-core", cwd=scratch)
            for package in pathlib.Path(scratch).glob("*.deb"):
                run("dpkg-deb", "-x", package, scratch)
            for font in pathlib.Path(scratch).rglob("NotoNaskhArabic-*.ttf"):
                shutil.copy(font, FONTS)
    if not list(FONTS.glob("BIZUDPGothic*")):
        with tempfile.TemporaryDirectory() as scratch:
            run("npm", "pack", NPM, cwd=scratch)
            for package in pathlib.Path(scratch).glob("*.tgz"):
                run("tar", "xzf", package, cwd=scratch)
            for font in pathlib.Path(scratch).rglob("BIZUDPGothic*.ttf"):
                shutil.copy(font, FONTS)


def catalogue(language):
    """The texts of the check page that have no holes; the legend needs sizes, and one text is only read out."""
    text = (HERE.parent.parent / "templates" / "languages" / f"{language}.po").read_text("utf-8")
    entries = re.findall(r'msgctxt "check\.(?!legend|alt)[^"]*"\nmsgid "[^"]*"\nmsgstr "([^"]*)"', text)
    return [entry for entry in entries if "{" not in entry]


def plain(text):
    """Letters alone: no vowel marks, whose place readers differ about, no signs of direction, no blanks."""
    kept = (c for c in unicodedata.normalize("NFC", text) if unicodedata.category(c)[0] in "L")
    return "".join(kept)


def words(language):
    """What must be found: words in Arabic, stretches between signs in Japanese, which may be cut at the end of a line."""
    pieces = re.split(r"[\s،؛.:«»()]+" if language == "ar" else r"[\s、。：「」（）\d%.]+", " ".join(catalogue(language)))
    return sorted({plain(piece) for piece in pieces if len(plain(piece)) > 1 and not re.search("[A-Za-z]", piece)})


def copied(kit, scratch, keys):
    """A copy of the kit with other keys for its languages."""
    folder = pathlib.Path(scratch) / "kit"
    shutil.copytree(kit, folder, ignore=shutil.ignore_patterns("out"))
    for shared in kit.parent.glob("*.*"):
        shutil.copy(shared, scratch)
    manifest = folder / "kit.yaml"
    # Words in a drawing are set in the fonts that it names, and the demo drawings name none with these letters.
    text = manifest.read_text("utf-8").replace("translate-words: true", "translate-words: false")
    lines = [l for l in text.splitlines() if not re.match("(source-language|languages):", l)]
    manifest.write_text("\n".join([*lines, *keys, ""]), "utf-8")
    return folder


def guides(tool, kit, report):
    """A kit in all languages that it has catalogues for: built without a gap, proven, and its guides looked at."""
    languages = ["en", *sorted(path.stem for path in (kit / "languages").glob("??.po"))]
    report.expect({"ar", "ja"} <= set(languages), f"{kit.name} is not translated into Arabic and Japanese")
    with tempfile.TemporaryDirectory() as scratch:
        folder = copied(kit, scratch, [f"languages: [{', '.join(languages)}]", "untranslated: refuse"])
        code, _, said = run(tool, "build", folder, "--paper", "a4", "--fonts", FONTS, "--out", scratch)
        if not report.expect(code == 0, f"{kit.name}: {said[-600:]}"):
            return
        package = next(pathlib.Path(scratch).glob("*.zip"))
        code, said, _ = run(tool, "verify", package)
        report.expect(code == 0, f"{kit.name}: {said[-600:]}")
        zipfile.ZipFile(package).extractall(scratch)
        guide.pages([next(pathlib.Path(scratch).glob(f"*guide-{language}.html")) for language in ("ar", "ja")], report)


def page(tool, kit, language, scratch):
    """The first page's text as two readers give it; the package must also pass the tool's own proof."""
    folder = copied(kit, scratch, [f"source-language: {language}", f"languages: [{language}]"])
    code, _, said = run(tool, "build", folder, "--paper", "a4", "--fonts", FONTS, "--out", scratch)
    if code:
        return code, said, "", ""
    package = next(pathlib.Path(scratch).glob("*.zip"))
    zipfile.ZipFile(package).extractall(scratch)
    pdf = next(pathlib.Path(scratch).glob("*home-a4.pdf"))
    code, said, _ = run(tool, "verify", package)
    return code, said, run("mutool", "draw", "-F", "txt", pdf, "1")[1], run("pdftotext", "-l", "1", pdf, "-")[1]


def judge(tool, kit, language, report):
    """Every word of the catalogue is found by the first reader; the second, which cuts joined letters apart, finds most."""
    with tempfile.TemporaryDirectory() as scratch:
        code, said, mutool, poppler = page(tool, kit, language, scratch)
    if not report.expect(code == 0, f"{language}: {said[-600:]}"):
        return
    report.expect("font-unpinned" not in said, "the proof speaks of fonts")
    # MuPDF gives a line from left to right, as it stands on paper; in Arabic a word is then read backwards.
    seen, other = plain(mutool), plain(poppler)
    wanted = words(language)
    report.expect(len(wanted) > 20, f"{language}: only {len(wanted)} words to look for")
    lost = [word for word in wanted if (word[::-1] if language == "ar" else word) not in seen]
    report.expect(not lost, f"{language}: MuPDF does not find {lost[:5]} of {len(wanted)} words")
    missed = [word for word in wanted if word not in other]
    report.expect(len(missed) <= len(wanted) // 10, f"{language}: poppler does not find {missed[:5]}, {len(missed)} of {len(wanted)}")
    report.fact(f"{language}: {len(wanted)} words, MuPDF misses {len(lost)}, poppler {len(missed)}")


def main():
    report = Report("scripts")
    fetch()
    for start in ("NotoNaskhArabic", "BIZUDPGothic"):
        report.expect(list(FONTS.glob(f"{start}*")), f"JUDGE MISSING: the font {start} could not be fetched")
    for language in ("ar", "ja"):
        judge(pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2]).resolve(), language, report)
    for kit in sys.argv[2:]:
        guides(pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(kit).resolve(), report)
    sys.exit(1 if report.close() else 0)


if __name__ == "__main__":
    main()
