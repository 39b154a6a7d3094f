"""Measure how the cost of a drawing grows with it, from 10 to 1,000 pieces.

Run as ``python tests/benchmarks/bench_growth.py``. It prints the Markdown tables of
docs/speed.md. Pieces lie in rows and none of them over another, so that a drawing of a
hundred times the pieces is a hundred times as large. Every time is that of one thread
of the processor, the best of several runs taken in turn, divided by what a general
reader takes for the same file in the same run; seconds say more of the machine than of
the program and are not printed.
"""

import random
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final
from xml.etree import ElementTree

import ezdxf
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parent))

from bench_svg_nest import SVG, absolute, outline, relative

from edgefinder.importers.drawing import Reading
from edgefinder.importers.formats import read_drawing
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.settings import FindingSettings

PIECES: Final = (10, 30, 100, 300, 1_000)
RUNS: Final = {10: 9, 30: 7, 100: 5, 300: 3, 1_000: 3}
"""Short runs are the more disturbed ones."""
PER_ROW: Final = 40
STEP_MM: Final = 500.0
CUBICS: Final = 150
VERTICES: Final = 500
"""Of a digitised outline: about one every 2.5 mm."""
NOISE_MM: Final = 0.1
SIDES: Final = 24
"""Loose entities of an outline, lines and arcs in turn."""
SEED: Final = 7
SETTINGS: Final = FindingSettings()


def places(pieces: int) -> Iterator[complex]:
    """Yield the middles of pieces in rows."""
    for number in range(pieces):
        row, column = divmod(number, PER_ROW)
        yield complex(column + 0.5, row + 0.5) * STEP_MM


def write_svg(path: Path, pieces: int) -> None:
    """Write outlines of cubics, lines and arcs; every fifth with relative commands."""
    side = STEP_MM * PER_ROW
    size = f'width="{side}mm" height="{side}mm" viewBox="0 0 {side} {side}"'
    lines = [f'<svg xmlns="{SVG}" {size}>']
    for number, place in enumerate(places(pieces)):
        points = outline(number, 0, CUBICS)
        points += place - points[:, 0].mean()
        data = (relative if number % 5 == 4 else absolute)(points)
        look = 'fill="none" stroke="#000" stroke-width="0.5"'
        lines.append(f'<path id="p{number}" {look} d="{data}"/>')
    path.write_text("\n".join([*lines, "</svg>"]), encoding="utf-8")


def write_polylines(path: Path, pieces: int) -> None:
    """Write digitised outlines as LWPOLYLINE."""
    chance = np.random.default_rng(SEED)
    angle = np.linspace(0, 2 * np.pi, VERTICES, endpoint=False)
    shape = (180 + 25 * np.sin(3 * angle)) * np.exp(1j * angle)
    entities = []
    for number, place in enumerate(places(pieces)):
        noise = chance.normal(0, NOISE_MM, (2, VERTICES))
        points = shape + place + noise[0] + 1j * noise[1]
        entities.append(
            f"0\nLWPOLYLINE\n5\n{number + 4096:X}\n100\nAcDbEntity\n8\n1\n"
            f"100\nAcDbPolyline\n90\n{VERTICES}\n70\n1\n"
            + "".join(f"10\n{p.real!r}\n20\n{p.imag!r}\n" for p in points.tolist())
        )
    write_entities(path, entities)


def write_loose(path: Path, pieces: int) -> None:
    """Write outlines as loose lines and arcs, in any order."""
    entities = []
    for place in places(pieces):
        corners = place + 200 * np.exp(2j * np.pi * np.arange(SIDES) / SIDES)
        ends = np.roll(corners, -1)
        for number, (one, other) in enumerate(
            zip(corners.tolist(), ends.tolist(), strict=True)
        ):
            entities.append(line(one, other) if number % 2 else arc(one, other))
    random.Random(SEED).shuffle(entities)  # noqa: S311 - no secrets
    write_entities(path, entities)


def line(one: complex, other: complex) -> str:
    """Write a line between two points."""
    return (
        f"0\nLINE\n8\n1\n10\n{one.real:.6f}\n20\n{one.imag:.6f}\n"
        f"11\n{other.real:.6f}\n21\n{other.imag:.6f}\n"
    )


def arc(one: complex, other: complex) -> str:
    """Write half a circle from one point to another, bulging to the right."""
    middle, spoke = (one + other) / 2, (one - other) / 2
    begin = np.degrees(np.angle(spoke)) % 360
    return (
        f"0\nARC\n8\n1\n10\n{middle.real:.9f}\n20\n{middle.imag:.9f}\n"
        f"40\n{abs(spoke):.9f}\n50\n{begin:.9f}\n51\n{(begin + 180) % 360:.9f}\n"
    )


def write_entities(path: Path, entities: list[str]) -> None:
    """Write a DXF in millimetres with nothing but entities."""
    head = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n"
    body = "".join(entities)
    path.write_text(
        f"{head}0\nSECTION\n2\nENTITIES\n{body}0\nENDSEC\n0\nEOF\n", encoding="ascii"
    )


def times(path: Path, general: Callable[[Path], object], pieces: int) -> list[float]:
    """Return what the general reader, ours and the pieces take of the processor."""
    best = [np.inf] * 3
    for _ in range(RUNS[pieces]):
        start = time.process_time()
        general(path)
        split = time.process_time()
        reading: Reading = read_drawing(path)
        read = time.process_time()
        found = find_pieces(reading, SETTINGS)
        end = time.process_time()
        if len(found.pieces) != pieces:
            raise ValueError(f"{path.name}: {len(found.pieces)} pieces were found")
        now = (split - start, read - split, end - read)
        best = [min(pair) for pair in zip(best, now, strict=True)]
    return best


def exponent(values: list[float]) -> float:
    """Return the slope of a straight line through logarithms: 1 is in proportion."""
    slope, _ = np.polyfit(np.log(PIECES), np.log(values), 1)
    return float(slope)


def table(
    name: str,
    write: Callable[[Path, int], None],
    general: Callable[[Path], object],
    folder: Path,
) -> None:
    """Print the table of one kind of drawing."""
    path = folder / name
    write(path, PIECES[0])
    find_pieces(read_drawing(path), SETTINGS)  # loads everything
    general(path)
    print("| pieces | drawing, MB | reading | pieces | together |")
    print("| ---: | ---: | ---: | ---: | ---: |")
    taken = []
    for pieces in PIECES:
        write(path, pieces)
        megabytes = path.stat().st_size / 1e6
        base, reading, finding = times(path, general, pieces)
        taken.append([reading, finding, reading + finding, base])
        print(
            f"| {pieces:,} | {megabytes:.2f} | {reading / base:.2f} | "
            f"{finding / base:.2f} | {(reading + finding) / base:.2f} |"
        )
    grown = [exponent(list(column)) for column in zip(*taken, strict=True)]
    print(
        f"| growth | | {grown[0]:.2f} | {grown[1]:.2f} | {grown[2]:.2f} |\n\n"
        f"The general reader alone grows with the exponent {grown[3]:.2f}.\n"
    )


def main() -> None:
    """Print the tables of docs/speed.md."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        table("pieces.svg", write_svg, ElementTree.parse, folder)
        table("polylines.dxf", write_polylines, ezdxf.filemanagement.readfile, folder)
        table("loose.dxf", write_loose, ezdxf.filemanagement.readfile, folder)


if __name__ == "__main__":
    main()
