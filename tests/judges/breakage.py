"""Ways to break a good package, one fault each, for selftest.py. Each takes the package's folder and the promises of one paper.

A fault that finds nothing to break raises, so that no case passes by not happening.
"""

import json
import re
import zipfile

import pikepdf

PT_PER_MM = 72 / 25.4


def _edited(folder, paper, change):
    path = folder / paper["file"]
    with pikepdf.open(path, allow_overwriting_input=True) as pdf:
        change(pdf)
        pdf.save(path)


def _first_sheet(pdf, paper):
    return pdf.pages[paper["sheets"][0]["page"] - 1]


def _wrapped(folder, paper, matrix, number=None):
    """The content of a page under one more matrix."""

    def change(pdf):
        page = pdf.pages[number] if number is not None else _first_sheet(pdf, paper)
        page.contents_add(f"q {matrix} cm".encode(), prepend=True)
        page.contents_add(b"Q")

    _edited(folder, paper, change)


def page_scaled(folder, paper):
    _wrapped(folder, paper, "0.97 0 0 0.97 9 12")


def check_page_scaled(folder, paper):
    _wrapped(folder, paper, "0.97 0 0 0.97 9 12", paper["check_page"] - 1)


def check_page_shrunk(folder, paper):
    """By 0.2 %, so little that every line stays near its place."""
    _wrapped(folder, paper, "0.998 0 0 0.998 0.6 0.8", paper["check_page"] - 1)


def page_moved(folder, paper):
    _wrapped(folder, paper, f"1 0 0 1 {0.05 * PT_PER_MM:.6f} 0")


def _streams(pdf, page):
    """The page and every form beneath it in the order of painting, as (stream, operators): the drawing comes before the marks."""
    todo, seen = [page.obj], set()
    while todo:
        stream = todo.pop(0)
        operators = list(pikepdf.parse_content_stream(stream))
        yield stream, operators
        forms = stream.get("/Resources", {}).get("/XObject", {})
        for form in (forms[operands[0]] for operands, operator in operators if str(operator) == "Do"):
            if form.get("/Subtype") == "/Form" and form.objgen not in seen:
                seen.add(form.objgen)
                todo.append(form)


def _write(pdf, stream, operators):
    data = pikepdf.unparse_content_stream(operators)
    if stream.get("/Type") == "/Page":
        stream.Contents = pdf.make_stream(data)
    else:
        stream.write(data)


def _change_operator(folder, paper, wanted, change):
    """Changes the first operator of a kind on the first sheet, in the drawing's forms before the page's own content."""

    def edit(pdf):
        streams = sorted(_streams(pdf, _first_sheet(pdf, paper)), key=lambda pair: pair[0].get("/Type") == "/Page")
        for stream, operators in streams:
            for index, (operands, operator) in enumerate(operators):
                if str(operator) in wanted:
                    changed = change(list(operands), str(operator))
                    operators[index : index + 1] = changed
                    return _write(pdf, stream, operators)
        raise LookupError(f"no {wanted} to break")

    _edited(folder, paper, edit)


def _op(operands, name):
    return (operands, pikepdf.Operator(name))


def point_moved(folder, paper):
    # Forms are written in millimetres or in points: 0.15 of either is at least 0.05 mm. Both ways, as a curve may begin level or upright.
    _change_operator(folder, paper, ("c",), lambda v, name: [_op([float(v[0]) + 0.15, float(v[1]) + 0.15, *map(float, v[2:])], name)])


def control_forgotten(folder, _paper):
    """The promises lose their first length along a line."""

    path = folder / "promises.json"
    promises = json.loads(path.read_text("utf-8"))
    promises["controls"].remove(next(control for control in promises["controls"] if control.get("parts")))
    path.write_text(json.dumps(promises), "utf-8")


def edges_bent(folder, paper):
    """One control point of every curve of the drawing, as in `point_moved`."""

    def edit(pdf):
        for stream, operators in list(_streams(pdf, _first_sheet(pdf, paper))):
            bent = [([float(v[0]) + 0.15, float(v[1]) + 0.15, *map(float, v[2:])] if str(name) == "c" else v, name) for v, name in operators]
            _write(pdf, stream, bent)

    _edited(folder, paper, edit)


def scale_off(folder, paper):
    """0.03 mm over the whole sheet, as a writer makes it that rounds 72/25.4 to four decimals on a sheet of A0 and more."""
    scale = 1 + 0.03 / max(paper["width_mm"], paper["height_mm"])
    _wrapped(folder, paper, f"{scale:.9f} 0 0 {scale:.9f} 0 0")


def path_dropped(folder, paper):
    _change_operator(folder, paper, ("S", "s", "B"), lambda v, name: [_op([], "n")])


def width_changed(folder, paper):
    _change_operator(folder, paper, ("w",), lambda v, name: [_op([float(v[0]) * 1.1], name)])


def _change_sizes(folder, paper, change, all_of_them, tag=None):
    """Changes the operators of the first form that a size's layer draws and `change` finds something in, or of all such forms;
    with a tag, only of those that stand in it.

    `change` gets a list of (operands, operator) and gives whether it changed something in it.
    """

    def edit(pdf):
        sizes, count = tuple(size["size"] for size in paper["sizes"]), 0
        for form in _forms_of_layers(pdf, paper, sizes, tag):
            operators = [(list(operands), str(operator)) for operands, operator in pikepdf.parse_content_stream(form)]
            if change(operators):
                form.write(pikepdf.unparse_content_stream([_op(*pair) for pair in operators]))
                count += 1
                if not all_of_them:
                    return
        if not count:
            raise LookupError("no size layer to break")

    _edited(folder, paper, edit)


def _forms_of_layers(pdf, paper, endings, tag):
    """Forms drawn by layers whose names end so, within a tag if one is given, each once, in the order in which the sheets draw them."""
    seen = set()
    for page in (pdf.pages[sheet["page"] - 1] for sheet in paper["sheets"]):
        tags = []
        for operands, operator in pikepdf.parse_content_stream(page.obj):
            if str(operator) in ("BDC", "BMC"):
                layer = str(page.Resources.Properties[operands[1]].Name) if str(operands[0]) == "/OC" else ""
                tags.append((str(operands[0]), layer))
            elif str(operator) == "EMC":
                tags.pop()
            elif str(operator) == "Do" and any(layer.endswith(endings) for _, layer in tags):
                form = page.Resources.XObject[operands[0]]
                if form.objgen not in seen and (tag is None or tag in (name for name, _ in tags)):
                    seen.add(form.objgen)
                    yield form


def size_line_changed(folder, paper):
    """The first cutting line of a size gets a rhythm of its own."""

    def change(operators):
        at = next((n for n, (_, name) in enumerate(operators) if name == "d"), None)
        if at is not None:
            operators[at] = ([pikepdf.Array([4, 3]), 0], "d")
        return at is not None

    _change_sizes(folder, paper, change, all_of_them=False)


def size_lines_alike(folder, paper):
    """All sizes in one light solid line."""

    def change(operators):
        for n, (operands, name) in enumerate(operators):
            if name == "d":
                operators[n] = ([pikepdf.Array([]), 0], "d")
            elif name == "w" and abs(float(operands[0]) - 0.7) < 0.01:
                operators[n] = ([0.35], "w")
        return True

    _change_sizes(folder, paper, change, all_of_them=True)


def names_dropped(folder, paper):
    """No size is named."""

    def change(operators):
        filled = [n for n, (_, name) in enumerate(operators) if name in ("f", "f*")]
        for n in filled:
            operators[n] = ([], "n")
        return filled

    _change_sizes(folder, paper, change, all_of_them=True, tag="/Lbl")


def _last_filled(operators):
    """Where the steps of the last filled path stand."""
    end = max((n for n, (_, name) in enumerate(operators) if name in ("f", "f*")), default=0)
    start = end
    while start > 0 and operators[start - 1][1] in ("m", "l", "c", "h"):
        start -= 1
    return [n for n in range(start, end) if operators[n][0]]


def name_moved(folder, paper):
    """A name 3 mm to the right and down: forms are in millimetres."""

    def change(operators):
        steps = _last_filled(operators)
        for n in steps:
            operators[n] = ([float(v) + 3 for v in operators[n][0]], operators[n][1])
        return steps

    _change_sizes(folder, paper, change, all_of_them=False, tag="/Lbl")


def name_bent(folder, paper):
    """One corner of a name's last letter moved by a tenth of a millimetre."""

    def change(operators):
        steps = _last_filled(operators)
        for n in steps[-1:]:
            operators[n] = ([*operators[n][0][:-1], float(operators[n][0][-1]) + 0.1], operators[n][1])
        return steps

    _change_sizes(folder, paper, change, all_of_them=False, tag="/Lbl")


def clip_short(folder, paper):
    def edit(pdf):
        page = _first_sheet(pdf, paper)
        operators = list(pikepdf.parse_content_stream(page.obj))
        clip = next(i for i, (_, op) in enumerate(operators) if str(op) in ("W", "W*"))
        at = max(i for i in range(clip) if str(operators[i][1]) in ("re", "l"))
        values = [float(v) for v in operators[at][0]]
        if str(operators[at][1]) == "re":
            values[2] -= 0.3
            operators[at] = _op(values, "re")
        else:
            operators[at] = _op([values[0], values[1] - 0.3], "l")
        _write(pdf, page.obj, operators)

    _edited(folder, paper, edit)


def box_grown(folder, paper):
    def edit(pdf):
        box = [float(v) for v in pdf.pages[-1].mediabox]
        for key in ("/MediaBox", "/CropBox", "/TrimBox"):
            pdf.pages[-1].obj[key] = pikepdf.Array([*box[:2], box[2] + 1, box[3]])

    _edited(folder, paper, edit)


def page_rotated(folder, paper):
    _edited(folder, paper, lambda pdf: pdf.pages[-1].obj.__setitem__("/Rotate", 180))


def font_missing(folder, paper):
    def edit(pdf):
        page = pdf.pages[-1]
        name = page.add_resource(pikepdf.Dictionary(Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica), "/Font")
        page.contents_add(f"BT {name} 9 Tf 50 50 Td (x) Tj ET".encode())

    _edited(folder, paper, edit)


def form_missing(folder, paper):
    def edit(pdf):
        _first_sheet(pdf, paper).contents_add(b"q /Nowhere Do Q")

    _edited(folder, paper, edit)


def q_open(folder, paper):
    _edited(folder, paper, lambda pdf: pdf.pages[-1].contents_add(b"q 1 0 0 1 0 0 cm"))


def unknown_operator(folder, paper):
    _edited(folder, paper, lambda pdf: pdf.pages[-1].contents_add(b"1 2 nan 3 re f"))


def layer_unlisted(folder, paper):
    def edit(pdf):
        pdf.Root.OCProperties.D.Order = pikepdf.Array(list(pdf.Root.OCProperties.D.Order)[1:])

    _edited(folder, paper, edit)


def scaling_unsaid(folder, paper):
    def edit(pdf):
        del pdf.Root.ViewerPreferences["/PrintScaling"]

    _edited(folder, paper, edit)


def labels_shifted(folder, paper):
    def edit(pdf):
        label = pikepdf.Dictionary(P=pikepdf.String("Z9"))
        pdf.Root.PageLabels = pikepdf.Dictionary(Nums=pikepdf.Array([0, label]))

    _edited(folder, paper, edit)


def title_changed(folder, paper):
    def edit(pdf):
        pdf.docinfo["/Title"] = "Another kit"

    _edited(folder, paper, edit)


def alt_removed(folder, paper):
    def edit(pdf):
        figure = next(o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure")
        del figure["/Alt"]

    _edited(folder, paper, edit)


def line_untagged(folder, paper):
    _edited(folder, paper, lambda pdf: _first_sheet(pdf, paper).contents_add(b"0 0 m 9 9 l S"))


def link_astray(folder, paper):
    def edit(pdf):
        notes = pdf.pages[paper["check_page"] - 1].obj.Annots
        notes[0].Dest = notes[1].Dest

    _edited(folder, paper, edit)


def bookmarks_cut(folder, paper):
    def edit(pdf):
        del pdf.Root.Outlines.First["/Next"]
        pdf.Root.Outlines.Last = pdf.Root.Outlines.First

    _edited(folder, paper, edit)


def print_state(folder, paper):
    def edit(pdf):
        state = pikepdf.Dictionary(Event=pikepdf.Name.Print, Category=pikepdf.Array([pikepdf.Name.Print]), OCGs=pdf.Root.OCProperties.OCGs)
        pdf.Root.OCProperties.D.AS = pikepdf.Array([state])

    _edited(folder, paper, edit)


def frame_unlocked(folder, paper):
    def edit(pdf):
        pdf.Root.OCProperties.D.Locked = pikepdf.Array(list(pdf.Root.OCProperties.D.Locked)[:-1])

    _edited(folder, paper, edit)


def flat_coloured(folder, paper):
    _edited(folder, paper, lambda pdf: _first_sheet(pdf, paper).contents_add(b"1 0 0 rg"))


def flat_blank(folder, paper):
    def edit(pdf):
        page = _first_sheet(pdf, paper).obj
        operators = [(o, op) for o, op in pikepdf.parse_content_stream(page)]
        first = next(n for n, (o, op) in enumerate(operators) if str(op) == "Do")
        page.Contents = pdf.make_stream(pikepdf.unparse_content_stream(operators[:first] + operators[first + 1 :]))

    _edited(folder, paper, edit)


def flat_unmeant(folder, paper):
    def edit(pdf):
        pdf.Root.OutputIntents = pikepdf.Array([pdf.Root.OutputIntents[0]])

    _edited(folder, paper, edit)


def flat_profile_bent(folder, paper):
    def edit(pdf):
        stream = pdf.Root.OutputIntents[0].DestOutputProfile
        data = bytearray(stream.read_bytes())
        # The exponent of the curve stands twelve bytes after its name: 1.4 in place of 2.4.
        at = data.rindex(b"para") + 12
        data[at : at + 4] = round(1.4 * 65536).to_bytes(4, "big")
        stream.write(bytes(data))

    _edited(folder, paper, edit)


def flat_linked(folder, paper):
    def edit(pdf):
        note = pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Link, Rect=[0, 0, 9, 9])
        _first_sheet(pdf, paper).obj.Annots = pikepdf.Array([note])

    _edited(folder, paper, edit)


def stream_damaged(folder, paper):
    path = folder / paper["file"]
    data = bytearray(path.read_bytes())
    # The longest stream: past its first bytes, so that it begins well and ends badly.
    longest = max(re.finditer(rb"stream\r?\n(.*?)endstream", data, re.S), key=lambda m: len(m[1]))
    middle = (longest.start(1) + longest.end(1)) // 2
    data[middle : middle + 8] = b"\xff" * 8
    path.write_bytes(data)


def sheet_blank(folder, paper):
    def edit(pdf):
        page = _first_sheet(pdf, paper)
        left, bottom, right, top = (float(v) for v in page.mediabox)
        page.contents_add(f"q 1 g {left} {bottom} {right - left} {top - bottom} re f Q".encode())

    _edited(folder, paper, edit)


def sheets_exchanged(folder, paper):
    def edit(pdf):
        first, second = (pdf.pages[sheet["page"] - 1].obj for sheet in paper["sheets"][:2])
        for key in ("/Contents", "/Resources"):
            first[key], second[key] = second[key], first[key]

    _edited(folder, paper, edit)


def lone_dot(folder, paper):
    """A line without length and with square caps: ISO 32000-1 leaves its look open, and engines differ."""
    _edited(folder, paper, lambda pdf: pdf.pages[-1].contents_add(b"q 2 J 20 w 200 200 m 200 200 l S Q"))


def _promised(folder, change):
    """The promises of the one paper, changed."""
    path = folder / "promises.json"
    promises = json.loads(path.read_text("utf-8"))
    change(promises["papers"][0])
    path.write_text(json.dumps(promises), "utf-8")


def sheet_forgotten(folder, _):
    _promised(folder, lambda paper: paper["sheets"].pop())


def sheet_beside(folder, _):
    def change(paper):
        x, y, width, height = paper["sheets"][0]["area_mm"]
        paper["sheets"].append({**paper["sheets"][0], "row": 9, "area_mm": [x, y + 9 * height, width, height]})

    _promised(folder, change)


def size_short(folder, _):
    _promised(folder, lambda paper: paper["sizes"][0]["pages"].pop())


def placement_worse(folder, _):
    """The grid begins half a tile earlier and has a row and a column more, every tile of it a sheet."""

    def change(paper):
        _, _, width, height = paper["tile_mm"]
        paper["origin_mm"] = [paper["origin_mm"][0] - width / 2, paper["origin_mm"][1] - height / 2]
        rows, columns = (max(sheet[key] for sheet in paper["sheets"]) + 2 for key in ("row", "column"))
        places = [(row, column) for row in range(rows) for column in range(columns)]
        areas = [[paper["origin_mm"][0] + column * width, paper["origin_mm"][1] + row * height, width, height] for row, column in places]
        sheets = zip(places, areas)
        paper["sheets"] = [{"label": f"{row}/{column}", "page": 2, "row": row, "column": column, "area_mm": area} for (row, column), area in sheets]

    _promised(folder, change)


def _text_edited(path, pattern, replacement):
    text = path.read_text("utf-8")
    changed, count = re.subn(pattern, replacement, text, count=1, flags=re.S)
    if not count:
        raise LookupError(f"nothing like {pattern} in {path.name}")
    path.write_text(changed, "utf-8")


def _svg(folder, paper):
    return (folder / paper["file"]).with_suffix(".svg")


def svg_stretched(folder, paper):
    _text_edited(_svg(folder, paper), r'(<svg[^>]*?\bwidth=")([\d.]+)mm', lambda m: f"{m[1]}{float(m[2]) * 1.01}mm")


def svg_id_twice(folder, paper):
    _text_edited(_svg(folder, paper), r"</svg>\s*$", '<g id="twice"/><g id="twice"/></svg>')


def svg_outside(folder, paper):
    _text_edited(_svg(folder, paper), r"</svg>\s*$", '<image href="https://example.org/a.png" width="9" height="9"/></svg>')


def svg_unlocked(folder, paper):
    _text_edited(_svg(folder, paper), r'sodipodi:insensitive="true"', "")


def svg_moved(folder, paper):
    path = _svg(folder, paper)
    view = re.search(r'viewBox="([^"]*)"', path.read_text("utf-8"))[1].split()
    width = float(re.search(r'<svg[^>]*?\bwidth="([\d.]+)mm', path.read_text("utf-8"))[1])
    step = 0.05 * float(view[2]) / width
    _text_edited(path, r'viewBox="[^"]*"', f'viewBox="{float(view[0]) - step} {" ".join(view[1:])}"')


def _html(folder):
    return next(folder.glob("*.html"))


def _into_body(folder, text):
    _text_edited(_html(folder), r"</main>", f"{text}</main>")


def html_no_alt(folder, _):
    _into_body(folder, '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=" width="9" height="9">')


def html_dangling(folder, _):
    _into_body(folder, '<p><a href="#nowhere-at-all">there</a></p>')


def html_outside(folder, _):
    _into_body(folder, '<p><img src="https://example.org/a.png" alt="a picture"></p>')


def html_wide(folder, _):
    _into_body(folder, '<div style="width: 900px; height: 1em">wide</div>')


def html_faint(folder, _):
    _into_body(folder, '<p style="color: #999; background: #888">faint</p>')


def html_script(folder, _):
    _text_edited(_html(folder), r"  show\(\);\n  find", "  show( );\n  find")


def html_sheet(folder, _):
    _text_edited(_html(folder), r'<g data-sheet="A1">', '<g data-sheet="Z1">')


def html_unclosed(folder, _):
    _into_body(folder, "<div><p>never closed</div></section>")


def _rezipped(path, change):
    with zipfile.ZipFile(path) as old:
        entries = [(info, old.read(info)) for info in old.infolist()]
    with zipfile.ZipFile(path, "w") as new:
        for info, data in change(entries):
            new.writestr(info, data)


def zip_unlisted(path):
    _rezipped(path, lambda entries: entries + [(zipfile.ZipInfo("zzz.txt", entries[0][0].date_time), b"hello")])


def zip_wrong_sum(path):
    _rezipped(path, lambda entries: [(i, d + b" " if i.filename == "README.txt" else d) for i, d in entries])


def zip_two_stamps(path):
    def change(entries):
        entries[0][0].date_time = (2001, 1, 1, 0, 0, 0)
        return entries

    _rezipped(path, change)


def zip_bad_name(path):
    _rezipped(path, lambda entries: [(zipfile.ZipInfo("aux.txt", entries[0][0].date_time), b"hello"), *entries])


def zip_damaged(path):
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 0xFF
    path.write_bytes(data)
