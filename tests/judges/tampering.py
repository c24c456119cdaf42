"""More ways to break a good package, one each, for proof.py: those that only `kitwright verify` promises to notice.

Each takes the package's folder and the promises of one paper, as in breakage.py, whose helpers it shares.
"""

import json

import pikepdf

from breakage import PT_PER_MM, _change_operator, _edited, _first_sheet, _html, _op, _promised, _svg, _text_edited


def _on_sheet(folder, paper, number, operators):
    """Adds operators to the end of a sheet's page."""
    page = paper["sheets"][number]["page"] - 1
    _edited(folder, paper, lambda pdf: pdf.pages[page].contents_add(operators))


def _moved(folder, paper, number, mm):
    """Everything on one sheet, moved to the right."""

    def edit(pdf):
        page = pdf.pages[paper["sheets"][number]["page"] - 1]
        page.contents_add(f"q 1 0 0 1 {mm * PT_PER_MM:.6f} 0 cm".encode(), prepend=True)
        page.contents_add(b"Q")

    _edited(folder, paper, edit)


def sheet_moved(folder, paper):
    _moved(folder, paper, len(paper["sheets"]) // 2, 0.3)


def sheet_moved_little(folder, paper):
    _moved(folder, paper, len(paper["sheets"]) - 1, 0.1)


def drawing_moved(folder, paper):
    """The drawing alone, under its frame: the clip stays."""

    def edit(pdf):
        page = _first_sheet(pdf, paper)
        operators = list(pikepdf.parse_content_stream(page))
        figure = next(n for n, (o, op) in enumerate(operators) if str(op) == "BDC" and str(o[0]) == "/Figure")
        at = next(n for n, (o, op) in enumerate(operators) if n > figure and str(op) == "cm")
        values = [float(v) for v in operators[at][0]]
        operators[at] = _op([*values[:4], values[4] + 0.1 * PT_PER_MM, values[5]], "cm")
        page.Contents = pdf.make_stream(pikepdf.unparse_content_stream(operators))

    _edited(folder, paper, edit)


def stroke_added(folder, paper):
    """A line in the middle of a sheet, tagged as of the drawing."""
    x, y, width, height = (value * PT_PER_MM for value in paper["tile_mm"])
    middle = f"{x + width / 2:.3f} {y + height / 2:.3f}"
    line = f"/Figure BMC q 1 w {middle} m {x + width / 2 + 50:.3f} {y + height / 2:.3f} l S Q EMC"
    _on_sheet(folder, paper, 0, line.encode())


def colour_changed(folder, paper):
    _change_operator(folder, paper, ("G", "RG"), lambda v, name: [_op([0, 0.6, 0], "RG")])


def dash_added(folder, paper):
    _change_operator(folder, paper, ("d",), lambda v, name: [_op([pikepdf.Array([3, 2]), 0], "d")])


def piece_left_out(folder, paper):
    """The first form of the drawing on one sheet is not called; other sheets keep it."""

    def edit(pdf):
        page = _first_sheet(pdf, paper)
        operators = list(pikepdf.parse_content_stream(page))
        at = next(n for n, (o, op) in enumerate(operators) if str(op) == "Do" and str(o[0]).startswith("/P"))
        page.Contents = pdf.make_stream(pikepdf.unparse_content_stream(operators[:at] + operators[at + 1 :]))

    _edited(folder, paper, edit)


def _marks(pdf, paper, number):
    """The page of a sheet and the name of the form that holds its marks."""
    page = pdf.pages[paper["sheets"][number]["page"] - 1]
    return page, next(name for name in page.obj.Resources.XObject.keys() if name.startswith("/M"))


def _marks_edited(folder, paper, change):
    """The operators of the second sheet's marks, changed in place; a sheet with a neighbour on its left has joins."""

    def edit(pdf):
        page, name = _marks(pdf, paper, 1)
        form = page.obj.Resources.XObject[name]
        operators = list(pikepdf.parse_content_stream(form))
        changed = change(operators)
        if changed is None:
            raise LookupError("nothing to break among the marks")
        form.write(pikepdf.unparse_content_stream(changed))

    _edited(folder, paper, edit)


def marks_moved(folder, paper):
    """Frame, plate and registration marks of one sheet, by 0.2 mm, the drawing in its place."""
    _marks_edited(folder, paper, lambda operators: [_op([1, 0, 0, 1, 0.2, 0.2], "cm"), *operators])


def _curves(operators):
    """Where half rings are drawn: from the `m` to the paint of each path that has curves."""
    found, start = [], None
    for number, (_, operator) in enumerate(operators):
        if str(operator) == "m":
            start = number
        elif str(operator) == "S" and start is not None:
            if any(str(op) == "c" for _, op in operators[start:number]):
                found.append((start, number))
            start = None
    return found


def half_ring_dropped(folder, paper):
    def change(operators):
        found = _curves(operators)
        return found and operators[: found[0][0]] + operators[found[0][1] + 1 :] or None

    _marks_edited(folder, paper, change)


def marks_exchanged(folder, paper):
    """Two sheets bear each other's frames, with each other's marks on the joins."""

    def edit(pdf):
        (one, mine), (two, theirs) = _marks(pdf, paper, 0), _marks(pdf, paper, 1)
        a, b = one.obj.Resources.XObject, two.obj.Resources.XObject
        a[mine], b[theirs] = b[theirs], a[mine]

    _edited(folder, paper, edit)


def map_cell_dropped(folder, paper):
    """One cell of the small map: a rectangle as high and wide to each other as a tile is."""
    _, _, width, height = paper["tile_mm"]

    def change(operators):
        for number in range(len(operators) - 5):
            names = [str(op) for _, op in operators[number : number + 6]]
            if names[:4] != ["m", "l", "l", "l"] or "S" not in names:
                continue
            points = [(float(o[0]), float(o[1])) for o, op in operators[number : number + 4]]
            w, h = (max(p[axis] for p in points) - min(p[axis] for p in points) for axis in (0, 1))
            if h and w < width / 2 and abs(w / h - width / height) < 0.01:
                end = number + names.index("S")
                return operators[:number] + operators[end + 1 :]
        return None

    _marks_edited(folder, paper, change)


def letter_page(folder, paper):
    """A page of US Letter (8.5 x 11 in) in a file for other paper."""

    def edit(pdf):
        page = _first_sheet(pdf, paper)
        for key in ("/MediaBox", "/CropBox", "/TrimBox"):
            page.obj[key] = pikepdf.Array([0, 0, 612, 792])

    _edited(folder, paper, edit)


def trim_box_gone(folder, paper):
    _edited(folder, paper, lambda pdf: _first_sheet(pdf, paper).obj.__delitem__("/TrimBox"))


def user_unit(folder, paper):
    _edited(folder, paper, lambda pdf: _first_sheet(pdf, paper).obj.__setitem__("/UserUnit", 1.01))


def page_removed(folder, paper):
    def edit(pdf):
        del pdf.pages[len(pdf.pages) - 1]

    _edited(folder, paper, edit)


def page_twice(folder, paper):
    _edited(folder, paper, lambda pdf: pdf.pages.append(pdf.pages[-1]))


def pages_reversed(folder, paper):
    _edited(folder, paper, lambda pdf: pdf.pages.reverse())


def layer_hidden(folder, paper):
    """The frame's layer is off when the file is opened."""

    def edit(pdf):
        pdf.Root.OCProperties.D.OFF = pikepdf.Array([pdf.Root.OCProperties.OCGs[-1]])
        pdf.Root.OCProperties.D.BaseState = pikepdf.Name.Unchanged

    _edited(folder, paper, edit)


def file_attached(folder, paper):
    def edit(pdf):
        pdf.attachments["note.txt"] = b"hello"

    _edited(folder, paper, edit)


def script_attached(folder, paper):
    def edit(pdf):
        pdf.Root.OpenAction = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="app.alert(1)")

    _edited(folder, paper, edit)


def link_out(folder, paper):
    def edit(pdf):
        action = pikepdf.Dictionary(S=pikepdf.Name.URI, URI="https://example.org/")
        note = pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Link, Rect=[0, 0, 9, 9], A=action))
        page = _first_sheet(pdf, paper).obj
        page.Annots = pikepdf.Array([*page.get("/Annots", []), note])

    _edited(folder, paper, edit)


def encrypted(folder, paper):
    path = folder / paper["file"]
    with pikepdf.open(path, allow_overwriting_input=True) as pdf:
        pdf.save(path, encryption=pikepdf.Encryption(owner="a", user="", R=6))


def emptied(folder, paper):
    (folder / paper["file"]).write_bytes(b"")


def cut_short(folder, paper):
    path = folder / paper["file"]
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def removed(folder, paper):
    (folder / paper["file"]).unlink()


def labels_swapped(folder, _):
    def change(paper):
        one, two = paper["sheets"][:2]
        one["label"], two["label"] = two["label"], one["label"]

    _promised(folder, change)


def size_long(folder, _):
    """A size is sent to a page that it does not need."""

    def change(paper):
        pages = {sheet["page"] for sheet in paper["sheets"]}
        size = next(size for size in paper["sizes"] if set(size["pages"]) != pages)
        size["pages"] = sorted(pages)

    _promised(folder, change)


def sizes_exchanged(folder, _):
    def change(paper):
        one, two = paper["sizes"][0], paper["sizes"][-1]
        one["layer"], two["layer"] = two["layer"], one["layer"]

    _promised(folder, change)


def _promises(folder, change):
    path = folder / "promises.json"
    promises = json.loads(path.read_text("utf-8"))
    change(promises)
    path.write_text(json.dumps(promises), "utf-8")


def control_promised_longer(folder, _):
    _promises(folder, lambda promises: promises["controls"][0].update(promised_mm=promises["controls"][0]["promised_mm"] + 1))


def control_elsewhere(folder, _):
    def change(promises):
        control = promises["controls"][0]
        control["from_mm"] = [value + 7 for value in control["from_mm"]]
        control["to_mm"] = [value + 7 for value in control["to_mm"]]

    _promises(folder, change)


def edition_promised(folder, _):
    """The promises tell a later edition, and file names follow; what is printed does not."""

    def change(promises):
        old, new = promises["edition"], "9.9.9"
        for path in sorted(folder.iterdir()):
            if f"-{old}-" in path.name:
                path.rename(path.with_name(path.name.replace(f"-{old}-", f"-{new}-")))
        for paper in promises["papers"]:
            paper["file"] = paper["file"].replace(f"-{old}-", f"-{new}-")
        promises["edition"] = new

    _promises(folder, change)


def title_promised(folder, _):
    _promises(folder, lambda promises: promises.update(title="Another title"))


def mark_promised_longer(folder, _):
    _promised(folder, lambda paper: paper["scale_marks"][0].update(length_mm=paper["scale_marks"][0]["length_mm"] + 0.5))


def marks_unpromised(folder, _):
    _promised(folder, lambda paper: paper.update(scale_marks=[]))


def paper_promised_larger(folder, _):
    _promised(folder, lambda paper: paper.update(width_mm=paper["width_mm"] + 1))


def language_promised(folder, _):
    _promises(folder, lambda promises: promises["languages"].append("xx"))


def format_unknown(folder, _):
    _promises(folder, lambda promises: promises.update(format=99))


def promises_gone(folder, _):
    (folder / "promises.json").unlink()


def promises_garbled(folder, _):
    (folder / "promises.json").write_text("{", "utf-8")


def svg_path_dropped(folder, paper):
    _text_edited(_svg(folder, paper), r'(<g id="drawing".*?)<path [^>]*/>', r"\1")


def svg_path_added(folder, paper):
    _text_edited(_svg(folder, paper), r'(<g id="drawing"[^>]*>)', r'\1<path d="M100 100L200 100" fill="none" stroke="#000000" stroke-width="0.5"/>')


def svg_script(folder, paper):
    _text_edited(_svg(folder, paper), r"</svg>\s*$", "<script>1</script></svg>")


def svg_broken(folder, paper):
    _text_edited(_svg(folder, paper), r"</svg>\s*$", "")
    _text_edited(_svg(folder, paper), r'width="[\d.]+mm"', 'width="100%"')


def guide_pages(folder, _):
    _text_edited(_html(folder), r'(class="pages"[^>]*><span>)(\d+)', lambda m: f"{m[1]}{int(m[2]) + 1}")


def guide_sheets(folder, _):
    _text_edited(_html(folder), r'data-sheets="[A-Z0-9]+ ?', 'data-sheets="')


def guide_map(folder, _):
    _text_edited(_html(folder), r'<rect class="map-sheet" x="([\d.]+)"', lambda m: f'<rect class="map-sheet" x="{float(m[1]) + 9}"')


def guide_map_sheet(folder, _):
    _text_edited(_html(folder), r'<g data-sheet="A1">', '<g data-sheet="Z1">')


def guide_language(folder, _):
    _text_edited(_html(folder), r'<html lang="[^"]*"', '<html lang="tlh"')


def guide_edition(folder, _):
    edition = json.loads((folder / "promises.json").read_text("utf-8"))["edition"]
    path = _html(folder)
    path.write_text(path.read_text("utf-8").replace(edition, "0.0.9"), "utf-8")


def guide_file_link(folder, _):
    _text_edited(_html(folder), r"</main>", '<p><a href="nothing-of-the-kind.pdf">file</a></p></main>')


def guide_event(folder, _):
    _text_edited(_html(folder), r"<main ", '<main onclick="1" ')


def guide_frame(folder, _):
    _text_edited(_html(folder), r"</main>", '<iframe src="x.html" title="x"></iframe></main>')


def guide_refresh(folder, _):
    _text_edited(_html(folder), r"<title>", '<meta http-equiv="refresh" content="0; x"><title>')


def guide_import(folder, _):
    _text_edited(_html(folder), r"<style>", '<style>@import "a.css";')


def guide_removed(folder, _):
    _html(folder).unlink()


def read_me_edition(folder, _):
    edition = json.loads((folder / "promises.json").read_text("utf-8"))["edition"]
    path = next(folder.glob("README*.txt"))
    path.write_text(path.read_text("utf-8").replace(edition, "0.0.9"), "utf-8")


def pdf_unpromised(folder, paper):
    (folder / "another.pdf").write_bytes((folder / paper["file"]).read_bytes())


def bad_name(folder, _):
    (folder / "aux.txt").write_text("hello", "utf-8")


def case_twin(folder, _):
    twin = next(folder.glob("README*.txt"))
    twin.with_name(twin.name.swapcase()).write_text("hello", "utf-8")


# What is done to the list of checksums itself, after it was made anew.


def sum_wrong(folder, _):
    _text_edited(folder / "SHA256SUMS", r"^[0-9a-f]{8}", "01234567")


def sum_twice(folder, _):
    path = folder / "SHA256SUMS"
    lines = path.read_text("utf-8").splitlines(keepends=True)
    path.write_text("".join([lines[0], *lines]), "utf-8")


def sum_of_nothing(folder, _):
    path = folder / "SHA256SUMS"
    path.write_text(path.read_text("utf-8") + f"{'0' * 64}  nothing.txt\n", "utf-8")


def sums_gone(folder, _):
    (folder / "SHA256SUMS").unlink()


def unlisted(folder, _):
    (folder / "more.txt").write_text("hello", "utf-8")


def bit_flipped(folder, paper):
    path = folder / paper["file"]
    data = bytearray(path.read_bytes())
    data[len(data) // 3] ^= 1
    path.write_bytes(data)


def old_edition(folder, paper, older):
    """The first sheet's page from an older edition's package in place of its own."""

    def edit(pdf):
        with pikepdf.open(older / paper["file"]) as old:
            number = paper["sheets"][0]["page"] - 1
            pdf.pages[number] = old.pages[number]

    _edited(folder, paper, edit)
