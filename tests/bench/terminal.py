"""Prints what the terminal costs on the first sample: ``python -m tests.bench.terminal``.

Start to first frame and commands are given as multiples of a bare interpreter that writes a line.
"""

from __future__ import annotations

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from model.book.heads import list_book
from tests.bench.large import book_of_600, book_of_nights
from tests.bench.pty_program import PtyProgram, program

ROOT = Path(__file__).parent.parent.parent
SAMPLE = ROOT / "sample_rigs" / "harbour-dance"
PAGE = "2026-04-04-soundcheck.toml"
FILL_IN = "2026-03-21-after-fill-in"
DOWN, PAGE_DOWN = b"\x1b[B", b"\x1b[6~"


def seconds(command: list[str], folder: Path, runs: int = 7) -> float:
    """Return the median seconds of a whole process."""
    taken = []
    for _ in range(runs):
        begun = time.perf_counter()
        subprocess.run(command, cwd=folder, capture_output=True, check=False)
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


def first_frame(arguments: list[str], folder: Path, shows: bytes, runs: int = 7) -> float:
    """Return the median seconds from the start to a frame that shows something."""
    taken = []
    for _ in range(runs):
        run = PtyProgram(program(*arguments), folder)
        taken.append(run.read_until(shows))
        run.kill()
    return statistics.median(taken)


def row(name: str, value: str) -> None:
    """Print one line of the table."""
    print(f"| {name} | {value} |")


def keys(run: PtyProgram, press: Callable[[int], bytes], count: int) -> tuple[str, str]:
    """Press a key many times; return its times and its bytes in words."""
    measured = [run.key(press(i)) for i in range(count)]
    times = sorted(ms for ms, _ in measured)
    sizes = [size for _, size in measured]
    p90 = times[int(len(times) * 0.9)]
    words = f"median {statistics.median(times):.1f} ms, p90 {p90:.1f} ms"
    return words, f"{statistics.median(sizes) / 1000:.2f} KB"


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(SAMPLE, folder / "tour")
        bare = seconds([sys.executable, "-c", "print('a line')"], folder)
        row("bare interpreter", f"{bare * 1000:.1f} ms")
        book = first_frame(["tour"], folder, b"Harbour dance band")
        row("start to first frame, the book", f"{book * 1000:.0f} ms, {book / bare:.1f} ×")
        page = first_frame([f"tour/{PAGE}"], folder, b"part and setting")
        row("start to a page on the rack", f"{page * 1000:.0f} ms, {page / bare:.1f} ×")
        for words in (
            ["compare", "tour/main", "tour"],
            ["putback", f"tour/{FILL_IN}"],
            ["putback", f"tour/{FILL_IN}", "main", "--minutes", "10"],
            ["positions", "tour"],
            ["draw", "tour"],
            ["sample"],
        ):
            taken = seconds(program(*words), folder)
            name = "putback, 10 minutes" if "--minutes" in words else words[0]
            row(f"clampbook {name}", f"{taken * 1000:.0f} ms, {taken / bare:.1f} ×")
        minimal = median_seconds(minimal_app, folder)
        row("a minimal app of the library's", f"{minimal * 1000:.0f} ms, {minimal / bare:.1f} ×")
        for nights in (200, 1000):
            season = book_of_nights(SAMPLE / PAGE, folder / f"nights{nights}", nights)
            row(f"listing {nights} nights", f"{list_milliseconds(season):.0f} ms")
        print("\n| harbour-dance, 186 settings | |")
        keys_on(f"tour/{PAGE}", folder)
        print("\n| the fill-in's put-back, 124 lines | |")
        ticks_on(f"tour/{FILL_IN}.toml", folder)
        print("\n| a page of 600 settings | |")
        large = book_of_600(SAMPLE / PAGE, folder / "large")
        keys_on(str(large), folder)


def minimal_app(folder: Path) -> float:
    """Return the seconds to the first frame of an app that shows one line."""
    code = "from textual.app import App\nfrom textual.widgets import Static\n"
    code += "class A(App):\n    def compose(self):\n        yield Static('one line')\nA().run()"
    run = PtyProgram([sys.executable, "-c", code], folder)
    taken = run.read_until(b"one line")
    run.kill()
    return taken


def median_seconds(measure: Callable[[Path], float], folder: Path, runs: int = 7) -> float:
    """Return the median of several measurements."""
    return statistics.median(measure(folder) for _ in range(runs))


def list_milliseconds(book: Path, runs: int = 5) -> float:
    """Return the median milliseconds of listing a book."""
    taken = []
    for _ in range(runs):
        begun = time.perf_counter()
        list_book(book)
        taken.append((time.perf_counter() - begun) * 1000)
    return statistics.median(taken)


def keys_on(page: str, where: Path) -> None:
    """Measure keys on a page: moves, pages, readings accepted, and what comes when idle."""
    run = PtyProgram(program(page, "--unit", "in"), where)
    run.read_until(b"part and setting")
    run.read(quiet=0.8)
    for title, press, presses in (
        ("cursor down", lambda _i: DOWN, 60),
        ("page down", lambda _i: PAGE_DOWN, 12),
        ("home and end", lambda i: b"\x1b[F" if i % 2 else b"\x1b[H", 12),
    ):
        spent, size = keys(run, press, presses)
        row(title, f"{spent}, {size}")
    run.key(b"\x1b[H")
    run.key(b"\t")
    accepted = []
    for i in range(8):
        run.key(str(i + 1).encode())
        accepted.append(run.key_until(b"\r", b"saved"))
        if i % 4 == 3:
            run.key(b"\t")
    for title, which in (
        ("reading accepted: on disk, rows painted", 0),
        ("and what it did to the piece, a frame later", 1),
    ):
        taken_ms = sorted(times[which] for times in accepted)
        times = f"median {statistics.median(taken_ms):.1f} ms, most {taken_ms[-1]:.1f} ms"
        row(title, times)
    kilobytes = statistics.median(count for _, _, count in accepted) / 1000
    row("both together", f"{kilobytes:.2f} KB")
    row("idle for 3 s", f"{run.idle(3.0)} bytes")
    run.kill()


def ticks_on(page: str, where: Path) -> None:
    """Measure the checklist: until it is there, and a tick that is on the disk and painted."""
    run = PtyProgram(program(page, "--unit", "mm"), where)
    run.read_until(b"part and setting")
    run.read(quiet=1.5, longest=3.0)
    begun = time.perf_counter()
    run.key(b"h")
    run.read_until(b"from home now")
    row("the moves worked out and shown", f"{(time.perf_counter() - begun) * 1000:.0f} ms")
    run.read(quiet=0.5)
    spent, size = keys(run, lambda i: b" " if i % 2 else b"\r", 40)
    row("a tick: on disk, rows painted", f"{spent}, {size}")
    run.kill()


if __name__ == "__main__":
    main()
