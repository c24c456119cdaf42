"""A real print: pages go through a print server to a virtual printer, and what it received is measured.

Server and printer (CUPS, ippeveprinter) run on the loopback in a folder of their own. The printer keeps the raster that it was
sent (PWG 5102.4): 600 dots an inch, so that a length may be off by one dot, 0.042 mm. It proves scale and place, not what a
real printer's edges would cut.
"""

import contextlib
import fcntl
import os
import pathlib
import shutil
import socket
import subprocess
import tempfile
import time

import numpy as np

from common import HOME, main

MEDIA = {"a4": "iso_a4_210x297mm", "letter": "na_letter_8.5x11in"}
PATIENCE = 120  # seconds for one print
DARK = 128  # a dot below this is ink
ACROSS, ALONG = 1.5, 0.6  # mm around the place of a line: what it must cross, and how far off it is looked for


def judge(package, report):
    """The check page and the last sheet of every home paper that the printer has."""
    papers = [paper for paper in package.papers if paper["press"] == "home" and paper["paper"] in MEDIA]
    papers = [paper for paper in papers if not paper.get("one_of_many_sizes")]
    report.expect(papers, "no home paper to print")
    for paper in papers:
        one_paper(package.folder / paper["file"], paper, report)


def printed(file, pages, media):
    """What the printer received; one print at a time, and three tries, as a service may stumble on a busy machine."""
    HOME.mkdir(parents=True, exist_ok=True)
    with open(HOME / "print.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        for last_try in (False, False, True):
            try:
                with print_server() as server:
                    return server.printed(file, pages, media)
            except (RuntimeError, subprocess.TimeoutExpired):
                if last_try:
                    raise


def one_paper(file, paper, report):
    """Prints two pages and measures every promised length on them."""
    last = max(sheet["page"] for sheet in paper["sheets"])
    pages = printed(file, [1, last], MEDIA[paper["paper"]])
    worst, measured = 0, 0
    for number, page in zip([1, last], pages):
        dots = np.array(page.shape[::-1]) / np.array([paper["width_mm"], paper["height_mm"]])
        report.expect(np.allclose(dots * 25.4, page.resolution, rtol=1e-3), f"{file.name}: page {number} is not its paper's size")
        for mark in (mark for mark in paper["scale_marks"] if mark["page"] == number):
            found = length(page, mark)
            if not report.expect(found is not None, f"{file.name}: page {number}: {mark['what']} did not arrive"):
                continue
            off = abs(found - mark["length_mm"])
            worst, measured = max(worst, off), measured + 1
            report.expect(off <= page.dot + 1e-6, f"{file.name}: page {number}: {mark['what']} is {found:.3f} mm long on paper")
    report.expect(measured > 2, f"{file.name}: only {measured} lengths were measured")
    report.fact(f"{file.name}: {measured} lengths as printed at {page.resolution} dpi, at most {worst:.3f} mm off")


def length(page, mark):
    """The length between the two strokes that end a promised length and stand across it, in mm."""
    (x0, y0), (x1, y1) = mark["from_mm"], mark["to_mm"]
    level = abs(y1 - y0) < 1e-9
    if not level and abs(x1 - x0) > 1e-9:
        return None
    ends = [stroke(page, at, across, level) for at, across in ([(x0, y0), (x1, y1)] if level else [(y0, x0), (y1, x1)])]
    return None if None in ends else abs(ends[1] - ends[0])


def stroke(page, at, across, level):
    """The middle of the darkest line across, near a place along; in mm."""
    ink = page if level else page.T
    rows = slice(*page.dots(across - ACROSS, across + ACROSS))
    first, past = page.dots(at - ALONG, at + ALONG)
    dark = (ink[rows, first:past] < DARK).sum(0)
    full = np.flatnonzero(dark >= 0.4 * (rows.stop - rows.start))
    return None if not len(full) else (first + full.mean() + 0.5) * page.dot


class Page(np.ndarray):
    """Grey dots of a page, row by row, with its resolution."""

    resolution = 600

    @property
    def dot(self):
        """Side of a dot in mm."""
        return 25.4 / self.resolution

    def dots(self, start, end):
        """A stretch in mm as first and past dot."""
        return max(0, round(start / self.dot)), max(0, round(end / self.dot))


def raster_pages(data):
    """Pages of a PWG raster (PWG 5102.4): a header of 1796 bytes, then lines that are repeated and packed in runs."""
    if data[:4] != b"RaS2":
        raise ValueError("no PWG raster")
    at = 4
    while at < len(data):
        number = lambda offset: int.from_bytes(data[at + offset : at + offset + 4], "big")
        resolution, width, height = number(276), number(372), number(376)
        bits, per_line = number(388), number(392)
        size = bits // 8
        lines, at = [], at + 1796
        while len(lines) < height:
            repeat, at = data[at] + 1, at + 1
            line = bytearray()
            while len(line) < per_line:
                code, at = data[at], at + 1
                if code < 128:
                    line += data[at : at + size] * (code + 1)
                    at += size
                else:
                    count = (257 - code) * size
                    line += data[at : at + count]
                    at += count
            lines += [bytes(line)] * repeat
        grey = np.frombuffer(b"".join(lines[:height]), np.uint8).reshape(height, width, size).min(2)
        page = grey.view(Page)
        page.resolution = resolution
        yield page


class Server:
    """A print queue to the virtual printer."""

    def __init__(self, folder, port):
        self.folder, self.port = folder, port

    def printed(self, file, pages, media):
        """What the printer received of some pages, printed as they are."""
        spool = self.folder / "spool"
        chosen = ["-o", "page-ranges=" + ",".join(map(str, pages)), "-o", f"media={media}", "-o", "print-scaling=none"]
        run("lp", "-h", f"localhost:{self.port}", "-d", "q", *chosen, str(file))
        deadline = time.monotonic() + PATIENCE
        while time.monotonic() < deadline:
            time.sleep(1)
            idle = "idle" in run("lpstat", "-h", f"localhost:{self.port}", "-p", "q")
            received = sorted(spool.glob("*.pwg"))
            if idle and received:
                found = [page for path in received for page in raster_pages(path.read_bytes())]
                if len(found) == len(pages):
                    return found
        raise RuntimeError("the print did not arrive:\n" + (self.folder / "error_log").read_text("utf-8", "replace")[-1500:])


@contextlib.contextmanager
def print_server():
    """A bus, a virtual printer and a print server of our own, stopped at the end."""
    folder = pathlib.Path(tempfile.mkdtemp(prefix="print-"))
    folder.chmod(0o755)
    started = []
    try:
        printer, port = free_port(), free_port()
        for name in ("spool", "requests", "cache", "state", "temp", "server"):
            (folder / name).mkdir()
            (folder / name).chmod(0o777)
        # The virtual printer does not start without a system bus.
        start(started, folder, "dbus-daemon", "--system", "--nofork", "--nopidfile", f"--address=unix:path={folder / 'bus'}")
        wait_until((folder / "bus").exists)
        wish = ["-r", "off", "-p", str(printer), "-n", "localhost", "-d", str(folder / "spool"), "-k", "-f", "image/pwg-raster"]
        start(started, folder, "/usr/sbin/ippeveprinter", *wish, "-m", "probe", "Probe")
        configure(folder, port)
        start(started, folder, "/usr/sbin/cupsd", "-f", "-c", str(folder / "cupsd.conf"), "-s", str(folder / "cups-files.conf"))
        wait_until(lambda: listens(printer) and listens(port))
        uri = f"ipp://localhost:{printer}/ipp/print"
        run("/usr/sbin/lpadmin", "-h", f"localhost:{port}", "-p", "q", "-E", "-v", uri, "-m", "everywhere")
        yield Server(folder, port)
    finally:
        for process in reversed(started):
            process.terminate()
        for process in started:
            process.wait(20)
        shutil.rmtree(folder, ignore_errors=True)


def start(started, folder, *command):
    """Starts a service that hears our own bus, not the machine's."""
    known = {**os.environ, "DBUS_SYSTEM_BUS_ADDRESS": f"unix:path={folder / 'bus'}"}
    started.append(subprocess.Popen(command, env=known, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL))


def configure(folder, port):
    """Everything of the print server within a folder, heard on the loopback alone."""
    (folder / "cupsd.conf").write_text(
        f"Listen localhost:{port}\nBrowsing Off\nDefaultAuthType None\nWebInterface No\nLogLevel info\n"
        "<Location />\nOrder allow,deny\nAllow localhost\n</Location>\n"
        "<Location /admin>\nOrder allow,deny\nAllow localhost\n</Location>\n"
        "<Policy default>\n<Limit All>\nOrder deny,allow\n</Limit>\n</Policy>\n"
    )
    places = {"ServerRoot": "server", "RequestRoot": "requests", "CacheDir": "cache", "StateDir": "state", "TempDir": "temp"}
    lines = [f"{key} {folder / name}" for key, name in places.items()]
    lines += [f"{log}Log {folder / log.lower()}_log" for log in ("Error", "Access", "Page")]
    (folder / "cups-files.conf").write_text("\n".join([*lines, "SystemGroup root", "Group lp", ""]))


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def listens(port):
    with contextlib.suppress(OSError), socket.create_connection(("localhost", port), 1):
        return True
    return False


def wait_until(ready):
    """Gives a service half a minute."""
    for _ in range(60):
        if ready():
            return
        time.sleep(0.5)
    raise RuntimeError("a print service did not start")


def run(*command):
    done = subprocess.run(command, capture_output=True, text=True, timeout=PATIENCE)
    if done.returncode:
        raise RuntimeError(f"{command[0]}: {done.stderr.strip()}")
    return done.stdout


if __name__ == "__main__":
    main(judge)
