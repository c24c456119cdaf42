"""What helps readers: metadata, bookmarks, links from the map, and the structure that screen readers are given.

Expected values: XMP and information dictionary say the same (ISO 19005-2, 6.6.3, which kitwright follows in all files), dates are the
edition's; every promised sheet has a bookmark and, on the check page, a link whose words are its label; all content is tagged
or an artifact, figures have words, links are in the structure, printable, and described (ISO 14289-1, 7.1, 7.3, 7.18; matched
with the public profiles of veraPDF); numbers of marked content agree both ways (ISO 32000-1, 14.7.4).
"""

import collections

import pikepdf
import pymupdf
import pypdfium2

from common import main

PAINTS = {"S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "sh", "Do", "Tj", "TJ", "'", '"'}


def judge(package, report):
    """Every PDF of a package."""
    for paper in package.promises["papers"]:
        path = package.folder / paper["file"]
        with pikepdf.open(path) as pdf:
            metadata(pdf, path.name, package.promises, report)
            structure(pdf, path.name, report)
        if len(paper["sheets"]) > 1 and not paper.get("variant"):
            bookmarks(path, paper, report)
            links(path, paper, report)


def metadata(pdf, name, promises, report):
    """XMP against the information dictionary, and both against the promises."""
    info = pdf.docinfo
    with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as xmp:
        told = {key: xmp.get(key) for key in ("dc:title", "dc:creator", "dc:description", "xmp:CreateDate", "xmp:ModifyDate")}
        tool = xmp.get("xmp:CreatorTool"), xmp.get("pdf:Producer")
        languages, rights = list(xmp.get("dc:language", [])), xmp.get("dc:rights")
    report.expect(told["dc:title"] and told["dc:title"] == str(info.get("/Title")), f"{name}: two titles, {told['dc:title']}")
    report.expect(promises["title"] in (told["dc:title"] or ""), f"{name}: the title {told['dc:title']} does not name the kit")
    report.expect(told["dc:creator"] == [str(info.get("/Author"))], f"{name}: two authors, {told['dc:creator']}")
    report.expect(told["dc:description"] == str(info.get("/Subject")), f"{name}: two subjects")
    report.expect(tool == (str(info.get("/Creator")), str(info.get("/Producer"))), f"{name}: two programs, {tool}")
    day = promises["date"]
    for key, entry in (("xmp:CreateDate", "/CreationDate"), ("xmp:ModifyDate", "/ModDate")):
        report.expect(str(told[key]).startswith(day), f"{name}: {key} is {told[key]}, not {day}")
        report.expect(str(info[entry])[2:10] == day.replace("-", ""), f"{name}: {entry} is {info[entry]}")
    report.expect(languages == [str(pdf.Root.get("/Lang"))], f"{name}: languages {languages}")
    report.expect(rights, f"{name}: no copyright line in XMP")
    report.expect(pdf.Root.ViewerPreferences.get("/DisplayDocTitle") is True, f"{name}: the title is not displayed")


def bookmarks(path, paper, report):
    """Two readers see the same list, and each sheet's page is in it under the label, beneath its row if there are rows."""
    with pymupdf.open(path) as pdf:
        one = [(depth, title, page) for depth, title, page in pdf.get_toc()]
    pdf = pypdfium2.PdfDocument(path)
    other = [(mark.level + 1, mark.get_title(), mark.get_dest().get_index() + 1) for mark in pdf.get_toc()]
    pdf.close()
    report.expect(one == other, f"{path.name}: mupdf and pdfium see different bookmarks")
    rows = len({sheet["row"] for sheet in paper["sheets"]})
    for sheet in paper["sheets"]:
        found = [mark for mark in one if mark[2] == sheet["page"] and sheet["label"] in mark[1].split()]
        deep = 2 if rows > 1 else 1
        report.expect([mark[0] for mark in found] == [deep], f"{path.name}: sheet {sheet['label']} has the bookmarks {found}")
    if paper.get("check_page"):
        report.expect(one and one[0][2] == paper["check_page"], f"{path.name}: the list does not begin with the check page")
    report.fact(f"{path.name}: {len(one)} bookmarks")


def links(path, paper, report):
    """The map of the check page, if it has one, leads to every sheet; each sheet leads somewhere."""
    pages = {sheet["page"]: sheet["label"] for sheet in paper["sheets"]}
    with pymupdf.open(path) as pdf:
        if paper.get("check_page"):
            page = pdf[paper["check_page"] - 1]
            there = [link for link in page.get_links() if link["kind"] == pymupdf.LINK_GOTO]
            targets = sorted(link["page"] + 1 for link in there)
            report.expect(targets == sorted(pages) or not there, f"{path.name}: the map leads to {targets}, not to {sorted(pages)}")
            for link in there:
                words = page.get_textbox(link["from"]).split()
                wanted = pages.get(link["page"] + 1)
                report.expect(wanted in words, f"{path.name}: the link on {words} leads to sheet {wanted}")
            report.fact(f"{path.name}: {len(there)} links on the check page")
        lost = [number for number in pages if not pdf[number - 1].get_links()]
        report.expect(len(lost) < len(pages), f"{path.name}: no sheet has a link")


def structure(pdf, name, report):
    """All content tagged or an artifact; the tree and the content name the same numbers; figures and links have words."""
    root = pdf.Root.get("/StructTreeRoot")
    if not report.expect(root is not None, f"{name}: no structure tree"):
        return
    report.expect(pdf.Root.MarkInfo.get("/Marked") is True, f"{name}: not marked as tagged")
    told, linked, kinds = collections.defaultdict(dict), {}, collections.Counter()
    for element, page in walk(root.K, None):
        kinds[str(element.S)] += 1
        if str(element.S) == "/Figure":
            report.expect(str(element.get("/Alt", "")).strip(), f"{name}: a figure without words")
        for kid in kids(element):
            if isinstance(kid, int):
                report.expect(kid not in told[page.objgen], f"{name}: content {kid} belongs to two elements")
                told[page.objgen][kid] = element
            elif kid.get("/Type") == "/OBJR":
                linked[kid.Obj.objgen] = element
    parents = dict(zip(*[iter(root.ParentTree.Nums)] * 2))
    for number, page in enumerate(pdf.pages, 1):
        where, own = f"{name} page {number}", told[page.obj.objgen]
        marked, loose = content(page.obj)
        report.expect(not loose, f"{where}: {loose[:3]} are neither tagged nor artifacts")
        report.expect(marked == set(own), f"{where}: content has {sorted(marked)}, the tree {sorted(own)}")
        listed = parents[int(page.obj.StructParents)]
        agree = all(listed[mcid].objgen == element.objgen for mcid, element in own.items())
        report.expect(agree, f"{where}: the tree of parents names others")
        for note in page.obj.get("/Annots", []):
            annotation(note, parents, linked, page, where, report)
    report.expect(kinds["/Figure"] == len(pdf.pages), f"{name}: {kinds['/Figure']} figures on {len(pdf.pages)} pages")
    report.fact(f"{name}: " + ", ".join(f"{count} {kind[1:]}" for kind, count in sorted(kinds.items())))


def kids(element):
    """Kids of an element: numbers of marked content, references to objects, elements."""
    found = element.get("/K", [])
    return list(found) if isinstance(found, pikepdf.Array) else [found]


def walk(element, page):
    """All elements beneath one, each with its page."""
    page = element.get("/Pg", page)
    yield element, page
    for kid in kids(element):
        if isinstance(kid, pikepdf.Dictionary) and kid.get("/Type") == "/StructElem":
            yield from walk(kid, page)


def content(page):
    """Numbers of marked content on a page, and painting operators outside of any mark."""
    marked, loose, stack = set(), [], []
    for operands, operator in pikepdf.parse_content_stream(page):
        op = str(operator)
        if op in ("BDC", "BMC"):
            tag = str(operands[0])
            if op == "BDC" and isinstance(operands[1], pikepdf.Dictionary) and "/MCID" in operands[1]:
                marked.add(int(operands[1].MCID))
                stack.append(True)
            else:
                stack.append(tag == "/Artifact")
        elif op == "EMC":
            stack.pop()
        elif op in PAINTS and not any(stack):
            loose.append(f"{operands} {op}")
    return marked, loose


def annotation(note, parents, linked, page, where, report):
    """A link: printable, described, in the tree, and pages with links are tabbed through in its order."""
    report.expect(str(note.Subtype) == "/Link", f"{where}: an annotation of the kind {note.Subtype}")
    report.expect(int(note.get("/F", 0)) & 0b100111 == 4, f"{where}: flags {note.get('/F')} of a link")
    report.expect(str(note.get("/Contents", "")).strip(), f"{where}: a link without words")
    element = linked.get(note.objgen)
    if report.expect(element is not None and str(element.S) == "/Link", f"{where}: a link outside of the structure"):
        report.expect(parents[int(note.StructParent)].objgen == element.objgen, f"{where}: a link has another parent")
    report.expect(str(page.obj.get("/Tabs")) == "/S", f"{where}: no order for the tabulator")


if __name__ == "__main__":
    main(judge)
