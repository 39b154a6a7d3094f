"""Compare the alignment of all sizes of a pattern with reading its drawing.

Run as ``python tests/benchmarks/bench_alignment.py``. 60 pieces in 20 sizes of six to
nine edges are aligned with the first size of each: drawn alike, with some corners that
come and go, and turned and changed in one place. Reading is what a command does before
it looks at any edge of a nest of as many half bodices: the text of the SVG, the pieces,
their edges. All numbers of that nest are carried too, by a job file that tags an edge
of every piece and keeps how they were drawn. Times are the best of several runs, in
seconds of the processor; ratios are what counts.
"""

import json
import sys
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parent))

import numpy as np
from bench_curves import PIECES, SIZES, bodice_data, nest, read
from bench_pieces import STEP
from changed_outlines import (
    CORNER,
    Outline,
    corners_moved,
    piece,
    stretched,
    traits_of,
    turned,
    with_corner,
    with_notch,
)

from edgefinder.classifier.carrying import carry_numbers
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_file import draft_text
from edgefinder.classifier.matching.alignment import align_many
from edgefinder.classifier.matching.edge_traits import (
    RingTraits,
    piece_traits,
    rows_from_traits,
)
from edgefinder.classifier.sizes import sort_by_size
from edgefinder.geometry.headings import joint_turnings
from edgefinder.pattern.pieces import Piece

RUNS: Final = 3
SEED: Final = 5
FEWEST: Final = 6
MOST: Final = 9
NOISE: Final = 0.002
"""Share of the diagonal by which corners are graded on their own."""
UNCLEAR: Final = np.radians(6.0)
"""Nearer than this to what makes a joint a corner, it may be one in some sizes only."""
CHANGED: Final = 0.05
"""Share of sizes with a corner or a notch more."""

Pairs = list[tuple[RingTraits, RingTraits]]


def pieces() -> list[Outline]:
    """Draw pieces of about eight edges, every fourth one symmetrical.

    Without corners that come and go when a piece is graded.
    """
    chance = np.random.default_rng(SEED)
    found: list[Outline] = []
    while len(found) < PIECES:
        drawn = piece(chance, is_symmetrical=len(found) % 4 == 3)
        near = np.abs(np.abs(joint_turnings(drawn.path)) - CORNER) < UNCLEAR
        if FEWEST <= len(traits_of(drawn)[0]) <= MOST and not near.any():
            found.append(drawn)
    return found


def graded(drawn: list[Outline], changed: float) -> Pairs:
    """Grade pieces, and change some sizes in one place."""
    chance = np.random.default_rng(SEED)
    pairs = []
    for one in drawn:
        old = traits_of(one)[0]
        for size in range(SIZES):
            new = stretched(one, 1 + STEP * size, 1 + STEP * size / 2)
            new = corners_moved(new, chance, NOISE * one.diagonal * (size > 0))
            if chance.random() < changed:
                new = (with_corner if chance.random() < 0.5 else with_notch)(
                    new, chance
                )
            pairs.append((old, traits_of(new)[0]))
    return pairs


def revised(drawn: list[Outline]) -> Pairs:
    """Turn every piece, and let a corner appear."""
    chance = np.random.default_rng(SEED)
    return [
        (traits_of(one)[0], traits_of(turned(with_corner(one, chance), chance))[0])
        for one in drawn
    ]


def best(run: Callable[[], object]) -> float:
    """Return the shortest of several times, in seconds of the processor."""
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        run()
        times.append(time.process_time() - start)
    return min(times)


def job_of(every: Sequence[Piece]) -> Job:
    """Tag an edge of every piece, and keep how the first size was drawn."""
    lines = ['drawings = ["nest.svg"]']
    for one in every:
        (rings,) = piece_traits([one])
        rows = [[row[0], *map(float, row[1:])] for row in rows_from_traits(rings)]
        lines += [
            "[[pieces]]",
            f"name = {json.dumps(one.name)}",
            "hem = [1]",
            f"[pieces.as_drawn]\nedges = {json.dumps(rows)}",
        ]
    return draft_text(Path("nest.toml"), "\n".join(lines))[0]


def main() -> None:
    """Print one line for each kind of pattern."""
    text = nest(lambda _number, place, size: bodice_data(place, size))
    reading = best(lambda: read(text))
    print(f"{PIECES} pieces in {SIZES} sizes are read in {reading:.2f} s")
    sizes = sort_by_size([read(text)])[0]
    job = job_of(sizes[0].pieces)
    carrying = best(lambda: carry_numbers(job, sizes))
    print(f"their numbers are carried in {carrying:.2f} s, {carrying / reading:.2f}")
    drawn = pieces()
    print("alignments  sure   edges  s      us each  of reading")
    for name, pairs in (
        ("drawn alike", graded(drawn, 0.0)),
        (f"{CHANGED:.0%} changed", graded(drawn, CHANGED)),
        ("turned, a corner more", revised(drawn)),
    ):
        seconds = best(partial(align_many, pairs))
        sure = sum(found.is_sure for found in align_many(pairs))
        edges = sum(len(old) for old, _ in pairs) / len(pairs)
        each = seconds / len(pairs) * 1e6
        print(
            f"{len(pairs):10,}  {sure / len(pairs):4.0%}  {edges:6.1f}  "
            f"{seconds:5.2f}  {each:7.0f}  {seconds / reading:10.2f}  {name}"
        )


if __name__ == "__main__":
    main()
