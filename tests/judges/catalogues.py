"""Catalogues: GNU gettext, CLDR (by Babel), a translators' tool (translate-toolkit) and the project's own glossary look at them.

Usage: catalogues.py KITWRIGHT KIT... Looks at the catalogues in templates/languages and in each kit's folder `languages`, and at what
the program makes of them; then at copies with planted faults, each of which must be noticed. Ends with 1 if there is any complaint.
"""

import csv
import pathlib
import re
import subprocess
import sys
import tempfile

from babel import Locale
from translate.storage import po, xliff2

from common import Report

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
# British English is what we write; for the others CLDR's own default of the language.
LOCALES = {"en": "en_GB"}
# CLDR's names of the plural forms, in the order of gettext's plural table.
FORMS = ["zero", "one", "two", "few", "many", "other"]


def catalogue(path):
    """All texts in use, each as (context, source, forms of the translation)."""
    store = po.pofile.parsefile(str(path))
    texts = []
    for unit in store.units:
        if unit.isheader() or unit.isobsolete():
            continue
        forms = [str(form) for form in getattr(unit.target, "strings", [unit.target or ""])]
        texts.append((unit.getcontext(), str(unit.source), forms))
    return texts


def said(texts, key):
    """What a built-in language says; English says it in the source."""
    source, forms = next((source, forms) for context, source, forms in texts if context == key)
    return forms[0] or source


def gettext(path, report):
    """GNU gettext's own checks: header, plural forms, placeholders."""
    ran = subprocess.run(["msgfmt", "--check", "--output-file=/dev/null", str(path)], capture_output=True, text=True)
    report.expect(ran.returncode == 0 and not ran.stderr, f"{path.name}: msgfmt says {ran.stderr.strip()[:300]}")


def plurals(path, locale, report):
    """The header's rule gives each number the form that CLDR gives it."""
    header = re.search(r"nplurals=(\d+); plural=(.*?);\\n", path.read_text("utf-8"))
    count, rule = int(header[1]), header[2]
    # Fractions alone are `other` in Polish; whole numbers never come to it.
    used = [form for form in FORMS if any(locale.plural_form(n) == form for n in range(1000))]
    report.expect(len(used) == count, f"{path.name}: {count} forms in the header, CLDR has {used} for whole numbers")
    python = rule.replace("&&", " and ").replace("||", " or ")
    for n in [*range(0, 1000), 1_000_001]:
        form = evaluated(python, n)
        report.expect(used[int(form)] == locale.plural_form(n) or n > 999, f"{path.name}: {n} takes form {form}, CLDR says {locale.plural_form(n)}")


def evaluated(rule, n):
    """C's conditional expression, for rules that hold nothing but n, numbers and operators."""
    assert re.fullmatch(r"[n\d\s%()=!<>?:andor]+", rule), rule
    rule = rule.strip()
    depth = 0
    for at, sign in enumerate(rule):
        depth += (sign == "(") - (sign == ")")
        if sign == "?" and depth == 0:
            level, end = 0, at + 1
            while rule[end] != ":" or level:
                level += (rule[end] == "?") - (rule[end] == ":")
                end += 1
            return evaluated(rule[at + 1:end] if evaluated(rule[:at], n) else rule[end + 1:], n)
    if rule.startswith("(") and closes(rule) == len(rule) - 1:
        return evaluated(rule[1:-1], n)
    return int(eval(rule, {"__builtins__": {}}, {"n": n}))  # noqa: S307 - held to the letters above


def closes(rule):
    """Where the first bracket closes."""
    depth = 0
    for at, sign in enumerate(rule):
        depth += (sign == "(") - (sign == ")")
        if depth == 0:
            return at
    return -1


def forms(name, texts, locale, report):
    """Decimal sign, months, dates and lists are CLDR's."""
    decimal = locale.number_symbols.get("latn", locale.number_symbols).get("decimal")
    report.expect(said(texts, "format.decimal") == decimal, f"{name}: decimal sign {said(texts, 'format.decimal')!r}, CLDR {decimal!r}")
    months = locale.months["format"]["wide"]
    # Where a date needs no name of a month, as in 2026年11月20日, the catalogue gives its number.
    for number, month in months.items():
        own = said(texts, f"month.{number}")
        report.expect(own == month or f"{own}月" == month, f"{name}: month {number} is {own!r}, CLDR {month!r}")
    pattern = locale.date_formats["long"].pattern
    ours = said(texts, "format.date").replace("{day}", "d").replace("{month}", "MMMM").replace("{year}", "y")
    plain = re.sub(r"'([^']*)'", r"\1", pattern).replace("M月", "MMMM")
    report.expect(ours.replace("\u00a0", " ") == plain, f"{name}: dates are {ours!r}, CLDR {plain!r}")
    lists = locale.list_patterns["standard"]
    two = said(texts, "list.two").replace("{first}", "{0}").replace("{last}", "{1}")
    two = two.replace("\u00a0", " ")  # Polish holds its short words by U+00A0
    report.expect(two == lists["2"], f"{name}: a list of two is {two!r}, CLDR {lists['2']!r}")
    last = said(texts, "list.last").replace("{first}", "{0}").replace("{last}", "{1}").replace("\u00a0", " ")
    report.expect(last == lists["end"], f"{name}: the end of a list is {last!r}, CLDR {lists['end']!r}")
    more = said(texts, "list.more").replace("{first}", "{0}").replace("{rest}", "{1}")
    report.expect(more == lists["middle"], f"{name}: the middle of a list is {more!r}, CLDR {lists['middle']!r}")


def glossary(path, language, texts, report):
    """Wherever English has a term, the translation has its rendering: one of those in docs/glossary.csv, by their stems."""
    for row in csv.DictReader((ROOT / "docs" / "glossary.csv").open(encoding="utf-8")):
        term = re.compile(rf"\b(?:{row['en']})\b", re.IGNORECASE)
        wanted = re.compile(row[language], re.IGNORECASE)
        for context, source, translations in texts:
            source = re.sub(r"\{[^}]*\}", "", source)
            if term.search(source) and any(form and not wanted.search(form) for form in translations):
                bad = next(form for form in translations if form and not wanted.search(form))
                report.expect(False, f"{path.name}: {context}: “{row['en']}” should be {row[language]}: {bad[:120]!r}")
        report.expect(True, "")


def toolkit(path, report):
    """pofilter finds nothing wrong with addresses and markup and no text left out, and pocount counts every text.

    Placeholders are left to msgfmt: pofilter holds all plural forms against the singular, which may do without a number."""
    with tempfile.TemporaryDirectory() as scratch:
        out = pathlib.Path(scratch) / "out.po"
        tests = ["-t", "urls", "-t", "xmltags", "-t", "blank", "-t", "untranslated"]
        run("pofilter", *tests, "-i", str(path), "-o", str(out))
        found = out.read_text("utf-8").count("(pofilter)") if out.exists() else 0
        report.expect(found == 0, f"{path.name}: pofilter has {found} complaints: {out.read_text('utf-8')[-400:] if found else ''}")
        counted = run("pocount", "--csv", str(path))
        rows = list(csv.DictReader(counted.splitlines()))
        texts = len(catalogue(path))
        total = int(next(value for key, value in rows[0].items() if key.strip() == "Total Message"))
        report.expect(total == texts, f"{path.name}: pocount counts {total} texts, there are {texts}")


def run(tool, *arguments):
    ran = subprocess.run([str(pathlib.Path(sys.executable).parent / tool), *arguments], capture_output=True, text=True)
    return ran.stdout


def round_trip(program, kit, language, report):
    """A catalogue that an outside tool wrote again, and one that went through XLIFF, are merged without any change."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch)
        subprocess.run(["cp", "-r", str(kit), *map(str, kit.parent.glob("*.*")), str(folder)], check=True)
        copy = folder / kit.name
        own = copy / "languages" / f"{language}.po"
        subprocess.run([program, "catalogue", "update", str(copy), "--language", language, "-q"], check=True, stdout=subprocess.DEVNULL)
        before = own.read_bytes()
        # translate-toolkit reads and writes it.
        store = po.pofile.parsefile(str(own))
        store.savefile(str(folder / "theirs.po"))
        merge(program, copy, folder / "theirs.po", report)
        report.expect(own.read_bytes() == before, f"{language}: {kit.name}: a PO file that translate-toolkit wrote changes the catalogue")
        # XLIFF, read and written by translate-toolkit.
        sheet = folder / "theirs.xlf"
        subprocess.run([program, "catalogue", "export", str(copy), "--language", language, "--out", str(sheet), "-q"], check=True, stdout=subprocess.DEVNULL)
        read = xliff2.Xliff2File.parsefile(str(sheet))
        texts = [unit for unit in po.pofile.parsefile(str(own)).units if not unit.isheader() and not unit.isobsolete()]
        here = {(str(unit.source), str(unit.target or "")) for unit in texts if not unit.hasplural()}
        there = {(str(unit.source), str(unit.target or "")) for unit in read.units}
        report.expect(here <= there, f"{language}: {kit.name}: translate-toolkit does not find all texts in the XLIFF file: {list(here - there)[:2]}")
        merge(program, copy, sheet, report)
        report.expect(own.read_bytes() == before, f"{language}: {kit.name}: the way through XLIFF changes the catalogue")


def merge(program, kit, file, report):
    ran = subprocess.run([program, "catalogue", "merge", str(kit), str(file)], capture_output=True, text=True)
    report.expect(ran.returncode == 0, f"merging {file.name} into {kit.name}: {ran.stderr[:300]}")


def ours(folder, report):
    """kitwright's own catalogues."""
    for path in sorted(folder.glob("*.po")):
        language = path.stem
        locale = Locale.parse(LOCALES.get(language, language))
        texts = catalogue(path)
        gettext(path, report)
        plurals(path, locale, report)
        forms(path.name, texts, locale, report)
        if language != "en":
            glossary(path, language, texts, report)
            toolkit(path, report)


def theirs(program, kit, report):
    """The catalogues of a kit."""
    own = sorted((kit / "languages").glob("??.po"))
    report.expect(own, f"{kit} has no catalogue")
    for path in own:
        gettext(path, report)
        toolkit(path, report)
        glossary(path, path.stem, catalogue(path), report)
        round_trip(program, kit, path.stem, report)


# What must be noticed: a file, what stands there, what is put in its place.
FAULTS = [
    ("de.po", 'msgstr "Januar"', 'msgstr "Jänner"'),
    ("fr.po", 'msgctxt "format.decimal"\nmsgid "."\nmsgstr ","', 'msgctxt "format.decimal"\nmsgid "."\nmsgstr "."'),
    ("pl.po", "n%10<=4", "n%10<=5"),
    ("ja.po", "{year}年", "{year}/"),
    ("ar.po", "{first} و{last}", "{first} ,{last}"),
    ("de.po", "Kontrollseite", "Prüfseite"),
    ("fr.po", "sur papier {paper}", "sur papier {papier}"),
    ("pl.po", 'msgstr "arkusz {label}"', 'msgstr ""'),
]


def selftest(report):
    """Each planted fault is noticed."""
    for name, there, instead in FAULTS:
        with tempfile.TemporaryDirectory() as scratch:
            text = (ROOT / "templates" / "languages" / name).read_text("utf-8")
            if report.expect(there in text, f"{name} has no {there!r} to spoil"):
                (pathlib.Path(scratch) / name).write_text(text.replace(there, instead), "utf-8")
                trial = Report("trial")
                ours(pathlib.Path(scratch), trial)
                report.expect(trial.complaints, f"{name}: {instead!r} in the place of {there!r} was not noticed")


if __name__ == "__main__":
    report = Report("catalogues")
    ours(ROOT / "templates" / "languages", report)
    for folder in sys.argv[2:]:
        theirs(str(pathlib.Path(sys.argv[1]).resolve()), pathlib.Path(folder).resolve(), report)
    selftest(report)
    sys.exit(1 if report.close() else 0)
