"""The guide: the W3C's Nu checker is silent, axe-core in Chromium finds nothing, and no link leads nowhere or leaves the folder.

Expected values: HTML Living Standard by vnu; WCAG 2.2 AA by axe-core; no sideways scrolling at 320 px (WCAG 2.2, 1.4.10).
What the picker shows is what the tables say.
"""

import json
import pathlib
import urllib.parse

import lxml.html

from common import HOME, main, node, run

# What vnu says although a standard says otherwise: `paint-order` is a property of SVG 2 (13.8), `field-sizing` one of CSS Basic
# User Interface 4.
# A source `data:` allows pictures that an address holds itself (CSP Level 3, 6.7.2.8); Chromium, which is asked too, shows them.
FALSE_ALARMS = (
    "Property “paint-order” doesn't exist",
    "Property “field-sizing” doesn't exist",
    "Resource violates Content Security Policy (meta tag): image “data:image/",
)
JAR = HOME / "node_modules/vnu-jar/build/dist/vnu.jar"


def judge(package, report):
    """All HTML files of a package."""
    pages(package.files(".html"), report)


def pages(files, report):
    """Some HTML files."""
    report.expect(files, "no HTML file at all")
    checker(files, report)
    for path in files:
        links(path, report)
    for complaint in node("guide.mjs", *files):
        report.expect(False, f"{pathlib.Path(complaint['file']).name}: {complaint['text']}")
    report.fact(f"{len(files)} guides seen at 2 widths, light and dark, their pickers worked by keyboard")


def checker(files, report):
    """vnu in one start for all files (without -Xss it runs out of stack)."""
    code, out, err = run("java", "-Xss8m", "-jar", JAR, "--format", "json", "--exit-zero-always", *files)
    if not report.expect(code == 0 and err.startswith("{"), f"vnu failed: {(err or out)[:300]}"):
        return
    said = json.loads(err)
    for message in said.get("messages", []):
        if any(known in message["message"] for known in FALSE_ALARMS):
            continue
        place = f"{message.get('url', '').rsplit('/', 1)[-1]}:{message.get('lastLine', '?')}"
        report.expect(False, f"{place}: vnu says {message['message']}")


def links(path, report):
    """Fragments lead to an id, files lie beside the guide with the same letter case; only `a` may lead outside."""
    root = lxml.html.parse(str(path)).getroot()
    ids = {e.get("id") for e in root.iter() if isinstance(e.tag, str) and e.get("id")}
    beside = {entry.name for entry in path.parent.iterdir()}
    for element, attribute, link, _ in root.iterlinks():
        address = urllib.parse.urlsplit(link)
        if address.scheme == "data" or (address.scheme in ("https", "http", "mailto") and element.tag == "a"):
            continue
        where = f"{path.name}: {element.tag} {attribute}={link[:60]}"
        report.expect(not address.scheme and not address.netloc, f"{where} leaves the folder")
        report.expect(not address.path or urllib.parse.unquote(address.path) in beside, f"{where} leads to no file")
        same_page = not address.path and address.fragment
        report.expect(not same_page or urllib.parse.unquote(address.fragment) in ids, f"{where} leads to no place")


if __name__ == "__main__":
    main(judge)
