"""Compare the check of curves with the reading of the pieces that they belong to.

Run as ``python tests/benchmarks/bench_curves.py``. 60 pieces in 20 sizes are read from
the text of an SVG, sorted into pieces and numbered; tape is laid along their bound
edges (their headings); then they are checked at three finished widths: windowed
curvature, verdicts, places, feed. Size after size, as a schedule does. Four nests:
half bodices of a few cubics, bound at neck and armhole, as patterns are drafted; and
outlines bound all round: of 150 cubics and lines, as drawing programs trace them, of
300 points on a smooth line, and of 300 points with the noise of a digitiser. Times are
the best of several runs, taken in turn, in seconds of the processor (one thread is
used); ratios are what counts.
"""

import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Final

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parent))

from bench_svg_nest import SVG, absolute, outline, pair
from drawn import bodice

from edgefinder.binding.cloth import find_cloth
from edgefinder.binding.runs import BoundEdge, Leg, Span
from edgefinder.curvature.feeding import feed_lengths
from edgefinder.curvature.places import find_places
from edgefinder.curvature.scanning import scan
from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.profile import HeadingProfile
from edgefinder.geometry.segments import Kind
from edgefinder.importers.svg.reading import read_svg_text
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.finished import finish_edge
from edgefinder.pattern.pieces import Piece, edge_profiles
from edgefinder.pattern.settings import FindingSettings

PIECES: Final = 60
SIZES: Final = 20
WIDTHS_MM: Final = (6.0, 9.0, 12.0)
GOAL: Final = 1.0
"""Times what reading takes, at most."""
RUNS: Final = 3
PER_ROW: Final = 10
STEP_MM: Final = 1200.0
GROWTH: Final = 0.03
"""Share by which a bodice grows from size to size."""
CUBICS: Final = 150
POINTS: Final = 300
NOISE_MM: Final = 0.1
"""Of a digitiser, in each direction (common practice: a tenth of a millimetre)."""
SETTINGS: Final = FindingSettings()
QUILTING: Final = find_cloth("quilting cotton", ()).bias


def bodice_data(place: complex, size: int) -> str:
    """Write half a bodice in one size."""
    k = 1 + GROWTH * size
    segments = transform(bodice().segments, Affine(k, 0, 0, k, place.real, place.imag))
    parts = [f"M {pair(segments.control[0, 0])}"]
    for kind, row in zip(segments.kind, segments.control, strict=True):
        ends = row[1:2] if kind == Kind.LINE else row[1:]
        letter = "L" if kind == Kind.LINE else "C"
        parts += [letter, *(pair(complex(point)) for point in ends)]
    return " ".join(parts) + " Z"


def outline_data(number: int, place: complex, size: int) -> str:
    """Write a smooth outline in one size."""
    points = outline(number, size, CUBICS)
    return absolute(points + place - points[:, 0].mean())


def polygon_data(number: int, place: complex, size: int, noise: float = 0.0) -> str:
    """Write the same outline as a polyline, flattened or traced by a shaky hand."""
    points = outline(number, size, POINTS)[:, 0]
    chance = np.random.default_rng([number, size])
    shaken = chance.normal(0.0, noise, (2, POINTS))
    points = points + place - points.mean() + shaken[0] + 1j * shaken[1]
    return "M " + " L ".join(pair(complex(point)) for point in points) + " Z"


def nest(data: Callable[[int, complex, int], str]) -> bytes:
    """Write every piece in every size, a layer for each size."""
    side = STEP_MM * PER_ROW
    inkscape = 'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    box = f'width="{side}mm" height="{side}mm" viewBox="0 0 {side} {side}"'
    lines = [f'<svg xmlns="{SVG}" {inkscape} {box}>']
    for size in range(SIZES):
        label = f'inkscape:groupmode="layer" inkscape:label="Size {size}"'
        lines.append(f'<g id="size-{size}" {label}>')
        for number in range(PIECES):
            row, column = divmod(number, PER_ROW)
            place = complex(column + 0.3, row + 0.3) * STEP_MM
            path = data(number, place, size)
            lines.append(f'<path id="p{number}-{size}" d="{path}"/>')
        lines.append("</g>")
    lines.append("</svg>")
    return "\n".join(lines).encode()


def read(text: bytes) -> tuple[Piece, ...]:
    """Do what a command does before it looks at any edge."""
    return find_pieces(read_svg_text(text, "nest.svg"), SETTINGS).pieces


def legs_of(pieces: Sequence[Piece]) -> list[Leg]:
    """Lay tape along every edge that bends, without allowances."""
    bound = [
        (piece, edge.number)
        for piece in pieces
        for edge in piece.edges
        if edge.tightest_inside is not None or edge.tightest_outside is not None
    ]
    profiles = edge_profiles([piece.edges[number - 1] for piece, number in bound])
    return [
        lay(piece, number, profile)
        for (piece, number), profile in zip(bound, profiles, strict=True)
    ]


def lay(piece: Piece, number: int, profile: HeadingProfile) -> Leg:
    """Lay tape along one edge."""
    nothing = dict.fromkeys(range(1, len(piece.edges) + 1), 0.0)
    finished = finish_edge(piece, number, nothing, None, profile)
    edge = BoundEdge(finished, mirrored=False)
    return Leg(finished.profile, (Span(edge, 0.0, finished.length, 0.0),))


@dataclass
class Found:
    """What the check of a nest comes to."""

    places: int = 0
    stations: int = 0
    fed: float = 0.0

    def add(self, legs: Sequence[Leg]) -> None:
        """Check the legs of one size at every width."""
        for width in WIDTHS_MM:
            seen = scan(legs, width, QUILTING)
            self.places += sum(map(len, find_places(seen)))
            self.stations += len(seen.lines.s)
            self.fed += float(feed_lengths(seen, QUILTING).sum())


def by_size(pieces: Sequence[Piece]) -> list[list[Piece]]:
    """Return the pieces of every size."""
    sizes: dict[str | None, list[Piece]] = {}
    for piece in pieces:
        sizes.setdefault(piece.size, []).append(piece)
    return list(sizes.values())


def compare(name: str, text: bytes) -> None:
    """Print the ratios for one nest."""
    times: list[list[float]] = [[], [], []]
    found = Found()
    for _ in range(RUNS):
        found = Found()
        marks = [time.process_time()]
        pieces = read(text)
        marks.append(time.process_time())
        laid = [legs_of(own) for own in by_size(pieces)]
        marks.append(time.process_time())
        for legs in laid:
            found.add(legs)
        marks.append(time.process_time())
        for own, (before, after) in zip(times, pairwise(marks), strict=True):
            own.append(after - before)
        if len(pieces) != PIECES * SIZES or len(laid) != SIZES:
            raise ValueError(f"{len(pieces)} pieces in {len(laid)} sizes were found")
    reading, laying, checking = (min(own) for own in times)
    print(f"{PIECES} {name} in {SIZES} sizes at {len(WIDTHS_MM)} widths")
    print(
        f"  {found.places:,} places, {found.stations:,} stations, "
        f"{found.fed / 1000:,.3f} m fed, "
        f"{checking / found.stations * 1e9:.0f} ns a station"
    )
    print(
        f"  over the time to read the pieces ({reading:.2f} s): checking "
        f"{checking / reading:.2f}, laying the tape before it {laying / reading:.2f}, "
        f"both {(laying + checking) / reading:.2f} (goal {GOAL:.0f})"
    )


def main() -> None:
    """Print the ratios of all nests."""
    bodices = nest(lambda _, place, size: bodice_data(place, size))
    compare("half bodices", bodices)
    compare(f"outlines of {CUBICS} segments", nest(outline_data))
    compare(f"outlines flattened to {POINTS} points", nest(polygon_data))
    traced = nest(
        lambda number, place, size: polygon_data(number, place, size, NOISE_MM)
    )
    compare(f"outlines traced with {POINTS} points", traced)


if __name__ == "__main__":
    np.seterr(all="raise")
    main()
