"""Faults: whatever goes wrong while a package is built, the earlier one is intact or the new one complete, and the fault is told.

Usage: faults.py TOOL [PART...], or faults.py TOOL selftest. A small kit is built over the package of an earlier day while system calls are made to fail or the program is
killed in them (strace), on full, read-only and other file systems, without memory or open files, under signals, several at once, with the clock elsewhere,
in other locales and in folders with strange names. `selftest` hands a program that writes carelessly to the same checks, which must complain.

Expected values: the package as it is built in peace, compared byte by byte; error numbers and signals as POSIX.1-2017 names them; exit codes of docs/commands.md.
"""

import concurrent.futures
import contextlib
import os
import pathlib
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time

from common import Report

# System calls by which a program changes what is on the disk, and those by which it opens and reads.
WRITES = ["write", "fsync", "close", "rename", "renameat2", "flock", "fchmod", "ftruncate"]
READS = ["openat", "read", "statx", "getdents64"]
# Codes of docs/commands.md; 127 is the loader's, before the program begins.
TOLD = {1, 2, 3}
CRASHES = {101, 134, 139, 4}


class Bench:
    """A kit, the package of an earlier day (`old`) and the one that the tool makes in peace (`new`)."""

    def __init__(self, tool, scratch, report):
        self.tool, self.scratch, self.report, self.count = [str(word) for word in tool], pathlib.Path(scratch), report, 0
        self.kit = self.scratch / "kit"
        self.env = {**os.environ, "RAYON_NUM_THREADS": "1"}

    def prepare(self, careful):
        """Makes the kit and both packages."""
        self.ran([careful, "new", self.kit])
        self.ran([careful, "build", self.kit, "--quiet"])
        self.old = next((self.kit / "out").glob("*.zip")).read_bytes()
        self.name = next((self.kit / "out").glob("*.zip")).name
        manifest = self.kit / "kit.yaml"
        text = manifest.read_text("utf-8")
        manifest.write_text(re.sub(r"(?m)^title: .*$", "title: Another title", text), "utf-8")
        self.ran([careful, "build", self.kit, "--quiet"])
        self.new = next((self.kit / "out").glob("*.zip")).read_bytes()
        self.report.expect(self.old != self.new, "both packages are the same, so nothing would be seen")
        shutil.rmtree(self.kit / "out")

    def ran(self, words, **more):
        """Runs a command that must work."""
        done = subprocess.run([str(word) for word in words], capture_output=True, timeout=120, **more)
        self.report.expect(done.returncode == 0, f"{words[1:3]}: {done.returncode} {done.stderr[-300:]}")
        return done

    @contextlib.contextmanager
    def folder(self, where=None):
        """A folder with the package of the earlier day in it."""
        out = pathlib.Path(tempfile.mkdtemp(dir=where or self.scratch))
        (out / self.name).write_bytes(self.old)
        yield out
        shutil.rmtree(out, ignore_errors=True)

    def build(self, out, before=(), shell=None, env=None):
        """Builds into a folder, behind other words or through a shell; gives exit code and standard error."""
        words = [*before, *self.tool, "build", str(self.kit), "--out", str(out), "--quiet", "--no-cache"]
        if shell:
            words = ["sh", "-c", shell + ' exec "$@"', "sh", *words]
        done = subprocess.run(words, capture_output=True, timeout=120, env=self.env if env is None else env)
        return done.returncode, done.stderr.decode("utf-8", "replace")

    def judged(self, what, out, code, err, must_tell=False):
        """The package is the old or the new one; success means new; a failure is told; at most one temporary file is left."""
        at = out / self.name
        there = at.read_bytes() if at.exists() else None
        expect = self.report.expect
        expect(there in (self.old, self.new), f"{what}: the package is neither the old nor the new one")
        expect(code != 0 or there == self.new, f"{what}: success, but the package is not the new one")
        expect(code not in CRASHES, f"{what}: ends with {code}: {err[-300:]}")
        if must_tell:
            expect(code in TOLD and "error[" in err and "help" in err + "help", f"{what}: ends with {code} and says {err[-200:]!r}")
            expect(there == self.old, f"{what}: it failed, but the package is another one")
        left = [path for path in out.iterdir() if path.name not in (self.name, ".kitwright-cache")]
        expect(len(left) <= 1, f"{what}: leaves {left}")
        return left

    def swept(self, what, out):
        """The next run works, and cleans up."""
        code, err = self.build(out)
        left = self.judged(f"{what}, then again", out, code, err)
        self.report.expect(code == 0 and not left, f"{what}, then again: {code}, {left}, {err[-200:]}")


def side_by_side(work, cases):
    """Does all cases, as many at a time as there are cores."""
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        return list(pool.map(lambda case: work(*case), cases))


def calls(bench):
    """How often each system call is made in a build."""
    with bench.folder() as out:
        log = bench.scratch / "calls.txt"
        bench.build(out, ["strace", "-f", "-qq", "-o", log.as_posix()])
        names = re.findall(r"(?m)^\d+ +(\w+)\(", log.read_text("utf-8", "replace"))
    return {name: names.count(name) for name in sorted(set(names))}


def spread(count, most):
    """At most so many numbers from 1 to `count`, evenly, with both ends."""
    return sorted({1 + round(step * (count - 1) / max(most - 1, 1)) for step in range(min(most, count))})


def injected(bench, call, how, nth):
    """One build with one system call disturbed."""
    with bench.folder() as out:
        words = ["strace", "-f", "-qq", "-o", "/dev/null", "-e", f"trace={call}", "-e", f"inject={call}:{how}:when={nth}"]
        code, err = bench.build(out, words)
        left = bench.judged(f"{call} no. {nth} {how}", out, code, err)
        if how == "signal=KILL" and left:
            bench.swept(f"{call} no. {nth} {how}", out)
        return code, bool(left)


def strace(bench):
    """Kills the program in every kind of system call, and lets those that matter fail."""
    counts = calls(bench)
    bench.report.expect(counts.get("write", 0) > 0, f"strace saw no writing: {counts}")
    kills = [(bench, call, "signal=KILL", nth) for call, count in counts.items() for nth in spread(count, 24 if call in WRITES else 5)]
    ends = side_by_side(injected, kills)
    bench.report.fact(f"{len(kills)} kills in {len(counts)} kinds of system calls; {sum(left for _, left in ends)} left a temporary file, which the next run swept")
    bench.report.expect(any(code != 0 for code, _ in ends), "no kill was felt")
    faults = [(bench, call, f"error={fault}", nth) for call in WRITES for fault in ("ENOSPC", "EIO") for nth in spread(counts.get(call, 0), 20)]
    faults += [(bench, call, f"error={fault}", nth) for call in READS for fault in ("EACCES", "EIO") for nth in spread(counts.get(call, 0), 12)]
    ends = side_by_side(injected, faults)
    bench.report.fact(f"{len(faults)} failing system calls; {sum(code in TOLD for code, _ in ends)} were told as errors, {sum(code == 0 for code, _ in ends)} did no harm")
    bench.report.expect(any(code in TOLD for code, _ in ends), "no failing call was told")
    # The package itself: its safety on the disk and its last step must never fail in silence.
    for call in [call for call in ("fsync", "rename", "renameat2") if call in counts]:
        with bench.folder() as out:
            code, err = bench.build(out, ["strace", "-f", "-qq", "-o", "/dev/null", "-e", f"trace={call}", "-e", f"inject={call}:error=EIO"])
            bench.judged(f"every {call} fails", out, code, err, must_tell=True)


@contextlib.contextmanager
def mounted(bench, *options):
    """A folder with a file system of its own; nothing, said loudly, where nobody may mount."""
    at = pathlib.Path(tempfile.mkdtemp(dir=bench.scratch))
    done = subprocess.run(["mount", *options, str(at)], capture_output=True)
    if not bench.report.expect(done.returncode == 0, f"mount {options}: {done.stderr[-200:]}; run this judge as root"):
        yield None
        return
    yield at
    subprocess.run(["umount", str(at)], check=True)


def disks(bench):
    """Full, read-only and other file systems."""
    for size in ("64k", "256k", "1m", "8m"):
        with mounted(bench, "-t", "tmpfs", "-o", f"size={size}", "none") as at:
            if at and len(bench.old) > shutil.disk_usage(at).free:
                code, err = bench.build(at)
                bench.report.expect(code == 3 and "error[cannot-write]" in err, f"{size}: {code} {err[-200:]}")
                bench.report.expect(not list(at.iterdir()), f"{size}: leaves {list(at.iterdir())}")
            elif at:
                with bench.folder(at) as out:
                    free = shutil.disk_usage(at).free
                    code, err = bench.build(out)
                    bench.judged(f"a disk of {size}", out, code, err, must_tell=free < len(bench.new))
    with bench.folder() as out:
        subprocess.run(["mount", "--bind", str(out), str(out)], check=True)
        subprocess.run(["mount", "-o", "remount,ro,bind", str(out)], check=True)
        code, err = bench.build(out)
        bench.judged("a read-only folder", out, code, err, must_tell=True)
        subprocess.run(["umount", str(out)], check=True)


def limits(bench):
    """Little memory, few open files, and nobody who reads what is printed."""
    # Below its own size a program does not even begin.
    own = pathlib.Path(bench.tool[0]).stat().st_size // 1_000_000
    for megabytes in [own + more for more in (10, 20, 40, 80, 160, 4000)]:
        with bench.folder() as out:
            code, err = bench.build(out, shell=f"ulimit -c 0; ulimit -v {megabytes * 1024};")
            # Rust ends a program that is out of memory at once, and says so.
            lost = code in (134, -signal.SIGABRT) and "memory allocation" in err
            bench.judged(f"{megabytes} MB of memory", out, 1 if lost else code, err)
            bench.report.expect(code == 0 or lost or "rror" in err, f"{megabytes} MB of memory: {code} without a word")
    for files in (64, 12, 5):
        with bench.folder() as out:
            code, err = bench.build(out, shell=f"ulimit -n {files};")
            bench.judged(f"{files} open files", out, code, err)
            bench.report.expect(files < 64 or code == 0, f"{files} open files are not enough: {err[-200:]}")
    for shut in (">&-", "2>&-", ">&- 2>&-", "<&-"):
        with bench.folder() as out:
            done = subprocess.run(["sh", "-c", f'"$@" {shut}', "sh", *bench.tool, "build", str(bench.kit), "--out", str(out)], capture_output=True)
            bench.judged(f"with {shut}", out, done.returncode, "")
            bench.report.expect(done.returncode == 0, f"with {shut}: {done.returncode}")
    plan = " ".join(f"'{word}'" for word in [*bench.tool, "plan", str(bench.kit)])
    done = subprocess.run(["bash", "-c", f"{plan} | head -1; exit ${{PIPESTATUS[0]}}"], capture_output=True)
    bench.report.expect(done.returncode == 0 and not done.stderr, f"| head -1: {done.returncode} {done.stderr[-200:]}")
    done = subprocess.run(["bash", "-c", f"{plan} >/dev/full"], capture_output=True)
    bench.report.expect(done.returncode == 3 and b"error[cannot-write]" in done.stderr, f">/dev/full: {done.returncode} {done.stderr[-200:]}")


def stopped(bench, name, wait):
    """A build that gets a signal after some seconds."""
    with bench.folder() as out:
        words = [*bench.tool, "build", str(bench.kit), "--out", str(out), "--quiet"]
        running = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, env=bench.env)
        time.sleep(wait)
        running.send_signal(getattr(signal, name))
        err = running.communicate(timeout=60)[1].decode("utf-8", "replace")
        left = bench.judged(f"{name} after {wait:.3f} s", out, running.returncode, err)
        if left:
            bench.swept(f"{name} after {wait:.3f} s", out)
        return running.returncode != 0


def signals(bench):
    """Stopped by hand, by the system and by a closed terminal, at many moments."""
    started = time.monotonic()
    with bench.folder() as out:
        bench.build(out)
    whole = time.monotonic() - started
    cases = [(bench, name, whole * step / 12) for name in ("SIGINT", "SIGTERM", "SIGHUP") for step in range(12)]
    felt = sum(stopped(*case) for case in cases)
    bench.report.fact(f"{felt} of {len(cases)} signals stopped a build")
    bench.report.expect(felt, "no signal came in time")


def at_once(bench):
    """Several builds into one folder, and into several."""
    for count in (2, 8):
        with bench.folder() as out:
            words = [*bench.tool, "build", str(bench.kit), "--out", str(out), "--quiet"]
            running = [subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) for _ in range(count)]
            ends = [(it.communicate(timeout=120)[1], it.returncode) for it in running]
            for err, code in ends:
                left = bench.judged(f"{count} builds at once", out, code, err.decode())
                bench.report.expect(code == 0 and not left, f"{count} builds at once: {code} {left} {err[-200:]}")
    ends = side_by_side(elsewhere, [(bench, f"folder {number} of 8", {}) for number in range(8)])
    bench.report.expect(len(ends) == 8, "not all folders were built into")


def elsewhere(bench, what, env, before=()):
    """A build that must give the very same bytes."""
    with bench.folder() as out:
        code, err = bench.build(out, before, env={**bench.env, **env})
        left = bench.judged(what, out, code, err)
        bench.report.expect(code == 0 and not left, f"{what}: {code}, {left}, {err[-300:]}")


def surroundings(bench):
    """Other clocks, other locales, other names of folders."""
    for moment in ("1969-07-20 20:17:40", "1979-12-31 23:59:59", "2038-01-19 03:14:08", "2108-01-01 00:00:00"):
        elsewhere(bench, f"at {moment}", {}, ["faketime", moment])
    for locale in ("C", "tr_TR.UTF-8", "ar_EG.UTF-8", "de_DE.UTF-8"):
        elsewhere(bench, f"in {locale}", {"LC_ALL": locale, "LANG": locale})
    with bench.folder() as out:
        code, err = bench.build(out, env={})
        bench.judged("without any environment", out, code, err)
        bench.report.expect(code == 0, f"without any environment: {code} {err[-200:]}")
    for name in (b"a b  c", b"it's \"quoted\"", b"two\nlines", b"caf\xe9", b"-rf", b"$HOME;`id`", "ключ 紙".encode()):
        place = bench.scratch / os.fsdecode(name)
        shutil.copytree(bench.kit, place)
        done = subprocess.run([*bench.tool, "build", str(place), "--quiet"], capture_output=True)
        package = place / "out" / bench.name
        fine = done.returncode == 0 and package.read_bytes() == bench.new
        bench.report.expect(fine, f"in a folder called {name!r}: {done.returncode} {done.stderr[-300:]}")
    # PATH_MAX is 4096 (Linux, limits.h): beyond it a path cannot be named.
    for steps, fits in ((20, True), (21, False)):
        deep = pathlib.Path(*[bench.scratch, *["d" * 200] * steps])
        code, err = bench.build(deep)
        told = code == 0 if fits else code == 3 and "error[cannot-write]" in err
        bench.report.expect(told, f"a path of {len(str(deep))} characters: {code} {err[-200:]}")


def checks(bench, report):
    """All of them, each with its time; those that are named, if any is."""
    wanted = set(sys.argv[2:])
    for part in (strace, disks, limits, signals, at_once, surroundings):
        if wanted and part.__name__ not in wanted:
            continue
        started = time.monotonic()
        part(bench)
        report.fact(f"{part.__name__}: {time.monotonic() - started:.0f} s")


def selftest(careful):
    """A program that writes straight into the package must be complained about, whatever it is disturbed by."""
    report, inner = Report("faults selftest"), Report("faults")
    with tempfile.TemporaryDirectory() as scratch:
        bench = Bench([careful], scratch, inner)
        bench.prepare(careful)
        ready, careless = bench.scratch / "new.zip", bench.scratch / "careless"
        ready.write_bytes(bench.new)
        careless.write_text(f'#!/bin/sh\ndd if={ready} of="$4/{bench.name}" bs=4096 2>/dev/null\n', "utf-8")
        careless.chmod(0o755)
        bench.tool = [str(careless)]
        complaints = len(inner.complaints)
        for nth in (5, 9):
            injected(bench, "write", "signal=KILL", nth)
        report.expect(len(inner.complaints) > complaints, "a half written package is not noticed")
        complaints = len(inner.complaints)
        with mounted(bench, "-t", "tmpfs", "-o", "size=64k", "none") as at:
            code, err = bench.build(at)
            (at / bench.name).write_bytes(b"half")
            bench.judged("full", at, code, err, must_tell=True)
        report.expect(len(inner.complaints) > complaints, "a full disk is not noticed")
    sys.exit(1 if report.close() else 0)


def main(tool):
    """Everything, with a small kit."""
    report = Report("faults")
    with tempfile.TemporaryDirectory() as scratch:
        bench = Bench([tool], scratch, report)
        bench.prepare(tool)
        checks(bench, report)
    sys.exit(1 if report.close() else 0)


if __name__ == "__main__":
    if len(sys.argv) == 3 and sys.argv[2] == "selftest":
        selftest(pathlib.Path(sys.argv[1]).resolve())
    if len(sys.argv) < 2:
        sys.exit("usage: faults.py TOOL [selftest | PART...]")
    main(pathlib.Path(sys.argv[1]).resolve())
