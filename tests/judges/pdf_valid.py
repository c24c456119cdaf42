"""Every PDF through five readers that complain about different faults, then what none of them looks at.

Silence is the expected value: qpdf, Ghostscript, poppler, mupdf and PDF.js must have nothing to say. Limits: boxes of at most
14,400 units (ISO 32000-1, annex C.2, from memory) and UserUnit only beyond; layers all in Order (ISO 32000-1, 8.11.4).
"""

import pathlib
import tempfile

import pikepdf

from common import main, node, run
from content import read_pages

LIMIT = 14400
PAIRS = {"q": "Q", "BT": "ET", "BDC": "EMC", "BMC": "EMC"}
# Operators that name something of the resources, and where it must stand.
NAMED = {"Do": "/XObject", "Tf": "/Font", "gs": "/ExtGState", "cs": "/ColorSpace", "CS": "/ColorSpace", "sh": "/Shading"}
DEVICE_SPACES = ("/DeviceGray", "/DeviceRGB", "/DeviceCMYK", "/Pattern")
KNOWN = ("ICC support is not available",)  # what Debian's mutool says of itself on any file


def judge(package, report):
    """All PDFs of a package."""
    for paper in package.variants("flat") + package.variants("projection"):
        readers(package.folder / paper["file"], report)
    for paper in package.papers:
        path = package.folder / paper["file"]
        readers(path, report)
        with pikepdf.open(path) as pdf:
            structure(pdf, path.name, report)
            layers(pdf, path.name, report)
            printing(pdf, paper, report)
    pdfjs(package, report)


def readers(path, report):
    """Four programs read every page; a word from any of them is a complaint."""
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder, "page")
        commands = {
            "qpdf": ("qpdf", "--check", path),
            "Ghostscript": ("gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", "-dPDFSTOPONERROR", "-sDEVICE=nullpage", path),
            "pdftoppm": ("pdftoppm", "-r", "10", "-png", path, out),
            "mutool": ("mutool", "draw", "-q", "-r", "10", "-o", f"{out}%d.png", path),
        }
        for name, command in commands.items():
            code, said, err = run(*command)
            said = "" if name == "qpdf" and code == 0 else said
            words = [line for line in (said + err).splitlines() if line.strip() and not any(k in line for k in KNOWN)]
            report.expect(code == 0 and not words, f"{path.name}: {name} says {' / '.join(words)[:300]} (code {code})")


def structure(pdf, name, report):
    """Content: pairs balanced, every named resource there, every font embedded, boxes within the limit."""
    seen = set()
    for number, page in enumerate(pdf.pages, 1):
        where = f"{name} page {number}"
        for text in stream_faults(page.obj, page.obj.get("/Resources", {}), seen):
            report.expect(False, f"{where}: {text}")
        longest = max(float(v) for v in page.mediabox)
        report.expect(longest <= LIMIT, f"{where}: a box reaches {longest} units")
        report.expect("/UserUnit" not in page.obj or longest * float(page.obj.UserUnit) > LIMIT, f"{where}: UserUnit without need")
    for number, (painted, complaints) in enumerate(read_pages(pdf), 1):
        report.expect(not complaints, f"{name} page {number}: {complaints[:3]}")
        report.expect(painted or number > 1, f"{name} page {number} paints nothing")
    for thing in pdf.objects:
        if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/FontDescriptor":
            embedded = any(key in thing for key in ("/FontFile", "/FontFile2", "/FontFile3"))
            report.expect(embedded, f"{name}: font {thing.get('/FontName')} is not embedded")
        if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/Font" and thing.get("/Subtype") in ("/Type1", "/TrueType"):
            report.expect("/FontDescriptor" in thing, f"{name}: font {thing.get('/BaseFont')} is left to the reader")


def stream_faults(stream, resources, seen):
    """Faults of one content stream and of the forms it draws, but for forms already `seen`."""
    faults, open_pairs = [], []
    for operands, operator in pikepdf.parse_content_stream(stream):
        op = str(operator)
        if op in PAIRS:
            open_pairs.append(PAIRS[op])
        elif op in PAIRS.values() and (not open_pairs or open_pairs.pop() != op):
            faults.append(f"`{op}` closes nothing")
        if op in NAMED and not (op in ("cs", "CS") and str(operands[0]) in DEVICE_SPACES):
            target = resources.get(NAMED[op], {}).get(str(operands[0]))
            if target is None:
                faults.append(f"{operands[0]} of `{op}` is not in the resources")
            elif op == "Do" and target.get("/Subtype") == "/Form" and target.objgen not in seen:
                seen.add(target.objgen)
                faults += stream_faults(target, target.get("/Resources", {}), seen)
                faults += [f"form {operands[0]} has no BBox"] if "/BBox" not in target else []
    return faults + [f"nothing closes, `{op}` is missing" for op in open_pairs]


def layers(pdf, name, report):
    """Every layer in the file is declared, ordered, named once, and shown."""
    properties = pdf.Root.get("/OCProperties")
    if not report.expect(properties is not None, f"{name} has no layers"):
        return
    declared = [g.objgen for g in properties.OCGs]
    ordered = [g.objgen for g in _flat(properties.D.get("/Order", []))]
    present = {t.objgen for t in pdf.objects if isinstance(t, pikepdf.Dictionary) and t.get("/Type") == "/OCG"}
    report.expect(present == set(declared), f"{name}: {len(present)} layers in the file, {len(declared)} declared")
    report.expect(sorted(ordered) == sorted(declared), f"{name}: Order does not list each layer once")
    names = [str(g.Name) for g in properties.OCGs]
    report.expect(len(set(names)) == len(names) and all(names), f"{name}: layer names are not distinct: {names}")
    report.expect("/Name" in properties.D, f"{name}: the layer configuration has no name (ISO 19005-2, 6.9)")


def _flat(order):
    for item in order:
        if isinstance(item, pikepdf.Array):
            yield from _flat(item)
        elif isinstance(item, pikepdf.Dictionary):
            yield item


def printing(pdf, paper, report):
    """Asks to be printed unscaled; says its language and title; page labels are the sheets' labels."""
    name, root = paper["file"], pdf.Root
    report.expect(str(root.get("/ViewerPreferences", {}).get("/PrintScaling")) == "/None", f"{name} does not ask for PrintScaling None")
    report.expect("/Lang" in root, f"{name} says no language")
    report.expect(len(pdf.pages) == len(paper["sheets"]) + bool(paper.get("check_page")), f"{name} has {len(pdf.pages)} pages")
    if paper["press"] == "home":
        for sheet in paper["sheets"]:
            label = pdf.pages[sheet["page"] - 1].label if sheet["page"] <= len(pdf.pages) else None
            report.expect(label == sheet["label"], f"{name} page {sheet['page']} is labelled {label}, promised {sheet['label']}")


def pdfjs(package, report):
    """PDF.js, in all files at once: no warning; layer names as a reader sees them."""
    for found in node("pdfjs.mjs", *(package.folder / paper["file"] for paper in package.papers)):
        name = pathlib.Path(found["file"]).name
        report.expect(not found["complaints"], f"{name}: PDF.js says {found['complaints'][:3]}")
        report.expect(found["layers"], f"{name}: PDF.js shows no layers")
        report.fact(f"{name}: {found['pages']} pages, layers {', '.join(found['layers'])}")
        with pikepdf.open(found["file"]) as pdf:
            report.expect(found["labels"] == [p.label for p in pdf.pages] or not found["labels"], f"{name}: PDF.js labels {found['labels']}")


if __name__ == "__main__":
    main(judge)
