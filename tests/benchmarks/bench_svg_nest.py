"""Compare the reading and measuring of an SVG nest with parsing its XML alone.

Run as ``python tests/benchmarks/bench_svg_nest.py``. The nest is 60 pieces in 20 sizes,
about 10 MB, drawn as drawing programs write them: with absolute cubics and lines, with
relative commands, shorthands and arcs, or every fifth piece with the latter. Times are
the best of several runs, taken in turn, in seconds of the processor (one thread is
used); ratios are what counts.
"""

import sys
import time
import warnings
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from edgefinder.geometry.measured import measure_all
from edgefinder.geometry.segments import Complexes
from edgefinder.importers.svg.reading import read_svg_text

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from svgpathtools import parse_path

PIECES: Final = 60
SIZES: Final = 20
GOAL: Final = 4.0
"""Times what ElementTree takes to parse the same text, at most."""
COUNTS: Final = (10, 30, 100, 300, 1000)
"""Pieces, in two sizes each, for the table of growth."""
KINDS: Final = {"absolute": 5, "mixed": 4, "relative": 0}
"""How many of five pieces are drawn with absolute commands."""
RUNS: Final = 9
SEED: Final = 7
SVG: Final = "http://www.w3.org/2000/svg"


def outline(piece: int, size: int, cubics: int) -> Complexes:
    """Return the points of a smooth closed outline, shape (cubics, 4), complex."""
    angle = np.linspace(0, 2 * np.pi, cubics + 1)
    radius = 180 + 25 * np.sin(3 * angle + piece) + 4 * size
    chance = np.random.default_rng([SEED, piece, size])
    points = radius * np.exp(1j * angle) + complex(*chance.uniform(300, 1700, 2))
    points[-1] = points[0]
    handle = np.gradient(points) / 3
    inner = (points[:-1] + handle[:-1], points[1:] - handle[1:])
    control: Complexes = np.stack([points[:-1], *inner, points[1:]], axis=1)
    return control


def pair(point: complex) -> str:
    """Write a point with four decimals, as drawing programs do by default."""
    return f"{point.real:.4f},{point.imag:.4f}"


def absolute(points: Complexes) -> str:
    """Write an outline with absolute cubics, and lines now and then."""
    parts = [f"M {pair(points[0, 0])}"]
    last = "M"
    for number, row in enumerate(points):
        letter, ends = ("L", row[3:]) if number % 25 == 24 else ("C", row[1:])
        # A command is not written again.
        parts += [letter] * (letter != last) + [pair(point) for point in ends]
        last = letter
    return " ".join(parts) + " Z"


def relative(points: Complexes) -> str:
    """Write an outline with relative cubics, shorthands, arcs and straight steps."""
    parts = [f"m {pair(points[0, 0])}"]
    for number, row in enumerate(points):
        step = row - row[0]
        radius = f"{abs(step[3]):.2f}"
        if number % 20 == 19:
            parts.append(f"a {radius} {radius} 0 0 1 {pair(step[3])}")
        elif number % 20 == 18:
            parts.append(f"h {step[3].real:.4f} v {step[3].imag:.4f}")
        elif number % 4 == 3:
            parts.append(f"s {pair(step[2])} {pair(step[3])}")
        else:
            parts.append(f"c {pair(step[1])} {pair(step[2])} {pair(step[3])}")
    return " ".join(parts) + " z"


def nest(pieces: int, sizes: int, kind: str = "mixed", cubics: int = 150) -> bytes:
    """Write a nest: every piece in every size, a group for each size."""
    every = KINDS[kind]
    size = 'width="2000mm" height="2000mm" viewBox="0 0 2000 2000"'
    lines = [f'<svg xmlns="{SVG}" {size}>']
    for number in range(sizes):
        lines.append(f'<g id="size-{number}">')
        for piece in range(pieces):
            write = relative if piece % 5 >= every else absolute
            data = write(outline(piece, number, cubics))
            look = 'fill="none" stroke="#000" stroke-width="0.5"'
            lines.append(f'<path id="p{piece}-{number}" {look} d="{data}"/>')
        lines.append("</g>")
    lines.append("</svg>")
    return "\n".join(lines).encode()


def read_and_measure(text: bytes) -> None:
    """Do what a command does before it looks at any piece."""
    drawing = read_svg_text(text, "nest.svg").drawing
    measure_all([line.path for line in drawing.lines])


def best(*runs: Callable[[], object]) -> list[float]:
    """Return the shortest of several times of each, in seconds of the processor."""
    times: list[list[float]] = [[] for _ in runs]
    for _ in range(RUNS):
        for run, own in zip(runs, times, strict=True):
            start = time.process_time()
            run()
            own.append(time.process_time() - start)
    return [min(own) for own in times]


def segments_of(text: bytes) -> int:
    """Count the segments of a drawing."""
    return sum(
        len(line.path.segments)
        for line in read_svg_text(text, "nest.svg").drawing.lines
    )


def compare(kind: str) -> None:
    """Print the ratios for one kind of nest."""
    text = nest(PIECES, SIZES, kind)
    parsing, ours = best(
        lambda: ElementTree.fromstring(text),  # noqa: S314 - our own text
        lambda: read_and_measure(text),
    )
    start = time.process_time()
    for path in ElementTree.fromstring(text).iter(f"{{{SVG}}}path"):  # noqa: S314
        parse_path(path.attrib["d"])
    theirs = time.process_time() - start
    print(
        f"{PIECES} pieces in {SIZES} sizes, {kind}: {len(text) / 1e6:.1f} MB, "
        f"{segments_of(text):,} segments"
    )
    print(
        f"  ElementTree parses the text in {parsing * 1e3:.0f} ms; read and measured "
        f"in {ours * 1e3:.0f} ms, {ours / parsing:.2f} times that (goal {GOAL:.0f})"
    )
    print(
        f"  svgpathtools parses the paths alone in {theirs * 1e3:.0f} ms, "
        f"{theirs / parsing:.0f} times that, {theirs / ours:.1f} times all of ours"
    )


def main() -> None:
    """Print the ratios and the table of growth."""
    for kind in KINDS:
        compare(kind)
    print("pieces  MB     segments  ms      us a piece  ns a byte")
    for pieces in COUNTS:
        text = nest(pieces, 2)
        (seconds,) = best(partial(read_and_measure, text))
        print(
            f"{pieces:6}  {len(text) / 1e6:5.2f}  {segments_of(text):8,}  "
            f"{seconds * 1e3:6.1f}  {seconds / pieces * 1e6:10.0f}  "
            f"{seconds / len(text) * 1e9:9.1f}"
        )


if __name__ == "__main__":
    main()
