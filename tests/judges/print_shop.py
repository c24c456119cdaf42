"""The flat file for print shops: the rules of PDF/X-4 and PDF/A-2b as far as we know them, and the same picture as its sibling.

No certifying program could be had. The rules of PDF/A-2b are those of ISO 19005-2 as the public profiles of veraPDF tell them; those
of PDF/X-4 are those of ISO 15930-7, from memory. The colour profile is read by Little CMS; the greys that it must give are
those of IEC 61966-2-1. The picture is compared with that of the file with layers, drawn in grey by poppler.
"""

import io
import pathlib
import re
import tempfile

import pikepdf
from PIL import Image, ImageCms

from common import main
from pictures import by_poppler, same_place

# Operators that set a colour or a colour space, and the only ones that a grey output intent allows without a profile of their own.
COLOURS = {"g", "G", "rg", "RG", "k", "K", "cs", "CS", "sc", "SC", "scn", "SCN", "sh"}
DPI = 40
GREYS = {"g", "G"}
XMP_PDFX = r"<pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>"


def judge(package, report):
    """Every flat file; a package with wide papers has one for each."""
    wide = [paper for paper in package.papers if paper["press"] == "wide"]
    flat = package.variants("flat")
    names = {paper["file"].replace("-flat.pdf", ".pdf") for paper in flat}
    # Sheets over 5.08 m have none: no such rules hold for them.
    missing = [p["file"] for p in wide if p["file"] not in names and max(p["width_mm"], p["height_mm"]) <= 5080]
    report.expect(not missing, f"no flat file beside {missing}")
    report.expect(wide, "no wide paper")
    for paper in flat:
        path = package.folder / paper["file"]
        with pikepdf.open(path) as pdf:
            file_rules(pdf, path, report)
            intents(pdf, path.name, report)
            metadata(pdf, path.name, report)
            for number, page in enumerate(pdf.pages, 1):
                page_rules(page, f"{path.name} page {number}", report)
        with tempfile.TemporaryDirectory() as folder:
            sibling = all_shown(path.with_name(path.name.replace("-flat.pdf", ".pdf")), folder)
            for sheet in paper["sheets"]:
                pictures = [by_poppler(file, sheet["page"], DPI) for file in (path, sibling)]
                same_place(*pictures, ("the flat file", "its sibling"), f"{path.name} page {sheet['page']}", report)


def all_shown(path, folder):
    """A copy of the file with layers that hides none of them: the flat file has all sizes."""
    copy = pathlib.Path(folder, path.name)
    with pikepdf.open(path) as pdf:
        if "/OFF" in pdf.Root.OCProperties.D:
            del pdf.Root.OCProperties.D["/OFF"]
        pdf.save(copy)
    return copy


def file_rules(pdf, path, report):
    """Header, trailer, and what must not be anywhere in the file."""
    name, head = path.name, path.read_bytes()[:1024]
    report.expect(re.match(rb"%PDF-1\.[3-6]\n%[\x80-\xff]{4}", head), f"{name}: header {head[:16]!r} (PDF 1.6 at most, then four high bytes)")
    report.expect("/ID" in pdf.trailer and "/Encrypt" not in pdf.trailer, f"{name}: no identity, or encrypted")
    for key in ("/OCProperties", "/AcroForm", "/OpenAction", "/AA", "/Names", "/Perms"):
        report.expect(key not in pdf.Root, f"{name}: the catalog has {key}")
    for thing in pdf.objects:
        entries = thing.stream_dict if isinstance(thing, pikepdf.Stream) else thing
        if not isinstance(entries, (pikepdf.Dictionary, pikepdf.Object)) or not hasattr(entries, "keys"):
            continue
        kind = str(entries.get("/Type", ""))
        report.expect(kind not in ("/Font", "/OCG", "/Annot", "/Action", "/EmbeddedFile"), f"{name}: holds an object of the kind {kind}")
        for key in ("/SMask", "/JS", "/EF", "/F", "/Alternates", "/OPI", "/Ref", "/PS"):
            report.expect(key not in entries or (key == "/SMask" and str(entries.SMask) == "/None"), f"{name}: an object has {key}")
        report.expect("/LZWDecode" not in str(entries.get("/Filter", "")), f"{name}: a stream is packed by LZW")
        if str(entries.get("/Subtype", "")) == "/Image":
            report.expect(str(entries.ColorSpace) == "/DeviceGray", f"{name}: a picture in {entries.ColorSpace}")
            report.expect(not entries.get("/Interpolate", False), f"{name}: a picture is smoothed")
    report.expect(str(pdf.docinfo.get("/Trapped")) == "/False", f"{name}: `Trapped` is {pdf.docinfo.get('/Trapped')}")
    for key in ("/Title", "/CreationDate", "/ModDate"):
        report.expect(key in pdf.docinfo, f"{name}: no {key}")


def page_rules(page, where, report):
    """Boxes within each other and within limits; greys alone; nothing see-through; nothing to click."""
    media, trim = ([float(v) for v in page.obj[key]] for key in ("/MediaBox", "/TrimBox"))
    report.expect("/ArtBox" not in page.obj, f"{where}: both trim and art box")
    inside = media[0] <= trim[0] < trim[2] <= media[2] and media[1] <= trim[1] < trim[3] <= media[3]
    report.expect(inside, f"{where}: the trim box {trim} is not within {media}")
    report.expect(all(3 <= side <= 14400 for side in (media[2] - media[0], media[3] - media[1])), f"{where}: {media} is out of limits")
    for key in ("/UserUnit", "/Annots", "/AA", "/Group", "/PresSteps"):
        report.expect(key not in page.obj, f"{where}: the page has {key}")
    for operands, op, form in operators(page.obj):
        if op in COLOURS:
            report.expect(op in GREYS, f"{where}: {form} sets a colour with `{op}`")
        report.expect(op not in ("gs", "BI", "Tj", "TJ"), f"{where}: {form} uses `{op}`")
        report.expect(op != "BDC" or str(operands[0]) != "/OC", f"{where}: {form} has a layer")


def operators(stream, name="the page"):
    """Operators of a stream and of all forms that it draws."""
    for operands, operator in pikepdf.parse_content_stream(stream):
        yield operands, str(operator), name
    for key, form in stream.get("/Resources", {}).get("/XObject", {}).items():
        if str(form.get("/Subtype")) == "/Form":
            yield from operators(form, key)


def intents(pdf, name, report):
    """One intent for each set of rules, one profile for both, and the profile means what it should."""
    found = {str(intent.S): intent for intent in pdf.Root.get("/OutputIntents", [])}
    if not report.expect(sorted(found) == ["/GTS_PDFA1", "/GTS_PDFX"], f"{name}: output intents {sorted(found)}"):
        return
    profiles = {intent.DestOutputProfile.objgen for intent in found.values()}
    report.expect(len(profiles) == 1, f"{name}: two profiles")
    for intent in found.values():
        told = [str(intent.get(key, "")) for key in ("/OutputConditionIdentifier", "/Info")]
        report.expect(all(told), f"{name}: an intent without words: {told}")
    stream = found["/GTS_PDFX"].DestOutputProfile
    profile(stream.read_bytes(), int(stream.N), name, report)


def profile(data, components, name, report):
    """Little CMS opens the profile, and greys come out of it as sRGB has them."""
    opened = ImageCms.ImageCmsProfile(io.BytesIO(data))
    inner = opened.profile
    report.expect(inner.device_class == "prtr", f"{name}: the profile is of the class {inner.device_class}")
    report.expect(inner.xcolor_space.strip() == "GRAY" and components == 1, f"{name}: the profile is {inner.xcolor_space}, N {components}")
    report.expect(2 <= inner.version < 5, f"{name}: the profile is of version {inner.version}")
    to_lab = ImageCms.buildTransform(opened, ImageCms.createProfile("sRGB"), "L", "RGB", renderingIntent=1)
    for value in (0, 32, 64, 128, 192, 255):
        seen = ImageCms.applyTransform(Image.new("L", (1, 1), value), to_lab).getpixel((0, 0))
        report.expect(all(abs(part - value) <= 1 for part in seen), f"{name}: a grey of {value} becomes {seen} in sRGB")
    report.fact(f"{name}: profile of {len(data)} bytes, class {inner.device_class}, version {inner.version}")


def metadata(pdf, name, report):
    """Both identifications, what they need, and descriptions of what PDF/A does not know."""
    stream = pdf.Root.Metadata
    report.expect("/Filter" not in stream, f"{name}: XMP is packed")
    text = stream.read_bytes().decode("utf-8")
    wanted = {
        "part": r"<pdfaid:part>2</pdfaid:part>", "conformance": r"<pdfaid:conformance>B</pdfaid:conformance>", "PDF/X": XMP_PDFX,
        "trapped": r"<pdf:Trapped>False</pdf:Trapped>", "document": r"<xmpMM:DocumentID>uuid:[0-9a-f-]{36}</xmpMM:DocumentID>",
        "class": r"<xmpMM:RenditionClass>default</xmpMM:RenditionClass>", "version": r"<xmpMM:VersionID>1</xmpMM:VersionID>",
        "metadata date": r"<xmp:MetadataDate>\d{4}-\d\d-\d\dT", "description": r"pdfaProperty:name>GTS_PDFXVersion<",
        "namespace": r'xmlns:pdfxid="http://www.npes.org/pdfx/ns/id/"',
    }
    for what, pattern in wanted.items():
        report.expect(re.search(pattern, text), f"{name}: no {what} in XMP")


if __name__ == "__main__":
    main(judge)
