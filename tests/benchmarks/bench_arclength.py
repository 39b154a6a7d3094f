"""Compare the speed of arc lengths with svgpathtools and with the bound.

Run as ``python tests/benchmarks/bench_arclength.py``. Both sides measure the same
smooth cubics, drawn as curves of pattern pieces are; times are the best of several
runs, ratios are what counts. The bound is one evaluation of the derivative at 16 nodes
of all cubics in the same chunks, written out with arrays; no quadrature that looks at
every cubic 16 times can be faster than that.
"""

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

import numpy as np
import svgpathtools

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from edgefinder.geometry.arclength import lengths, parameters_at
from edgefinder.geometry.quadrature import CHUNK, rule
from edgefinder.geometry.segments import Complexes, Floats, cubic_segments

SEED: Final = 20
COUNTS: Final = (10_000, 100_000)
GOALS: Final = {10_000: 45, 100_000: 90}
"""Times faster than svgpathtools."""
BOUND_GOAL: Final = 5.0
"""Times the bound, at most."""
BOUND_NODES: Final = 16
RUNS: Final = 15


def pattern_like_cubics(count: int, seed: int = SEED) -> Complexes:
    """Draw smooth cubics: control points, shape (count, 4), in millimetres.

    Chords of 5 to 200 mm, handles of about a third of the chord, each end turned off
    the chord so that the whole turns by less than 90 degrees; some are S-shaped.
    """
    random = np.random.default_rng(seed)
    start = random.uniform(0, 1000, count) + 1j * random.uniform(0, 1000, count)
    chord = random.uniform(5, 200, count) * np.exp(
        1j * random.uniform(-np.pi, np.pi, count)
    )
    handle0, handle1 = chord * random.uniform(0.25, 0.42, (2, count))
    turn0, turn1 = np.radians(random.uniform(-45, 45, (2, count)))
    end = start + chord
    return np.stack(
        [
            start,
            start + handle0 * np.exp(1j * turn0),
            end - handle1 * np.exp(1j * turn1),
            end,
        ],
        axis=1,
    )


def bound(control: Complexes) -> None:
    """Evaluate the derivative at 16 nodes of all cubics, chunk by chunk."""
    t = rule(BOUND_NODES).nodes[:, np.newaxis]
    b0, b1, b2 = 3 * (1 - t) ** 2, 6 * t * (1 - t), 3 * t * t
    for start in range(0, len(control), CHUNK):
        p0, p1, p2, p3 = control[start : start + CHUNK].T
        _ = b0 * (p1 - p0) + b1 * (p2 - p1) + b2 * (p3 - p2)


def product_bound(control: Complexes) -> None:
    """Do the same as one product of real matrices, the quickest way known."""
    t = rule(BOUND_NODES).nodes
    basis = 3 * np.stack([(1 - t) ** 2, 2 * t * (1 - t), t * t], axis=1)
    for start in range(0, len(control), CHUNK):
        points = np.ascontiguousarray(control[start : start + CHUNK].T)
        _ = basis @ (points[1:] - points[:-1]).view(np.float64)


def best(run: Callable[[], object], runs: int = RUNS) -> float:
    """Return the shortest of several times, in seconds."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times)


def foreign_lengths(control: Complexes) -> tuple[float, Floats]:
    """Measure with svgpathtools: the time of Path.length(), and the lengths."""
    curves = [svgpathtools.CubicBezier(*points) for points in control.tolist()]
    path = svgpathtools.Path(*curves)
    start = time.perf_counter()
    path.length()
    elapsed = time.perf_counter() - start
    # Path.length() has filled these in.
    return elapsed, np.array([curve.length() for curve in curves])


def compare(count: int) -> None:
    """Print the ratios at one number of cubics."""
    control = pattern_like_cubics(count)
    segments = cubic_segments(control)
    ours = best(lambda: lengths(segments))
    plain, product = best(lambda: bound(control)), best(lambda: product_bound(control))
    length = lengths(segments)
    inverse = best(lambda: parameters_at(segments, length * 0.37), 5)
    theirs, other = foreign_lengths(control)
    apart = float(np.max(abs(length - other) / other))
    print(f"{count:,} cubics, {ours / count * 1e9:.0f} ns each")
    print(
        f"  {theirs / ours:.0f} times faster than svgpathtools (goal {GOALS[count]}); "
        f"lengths differ by {apart:.0e} at most"
    )
    print(
        f"  {ours / plain:.2f} times the bound (goal {BOUND_GOAL:.0f}), "
        f"{ours / product:.1f} times the bound as a matrix product"
    )
    print(f"  parameter at a length: {inverse / count * 1e9:.0f} ns each")


def main() -> None:
    """Compare at all numbers of cubics."""
    for count in COUNTS:
        compare(count)


if __name__ == "__main__":
    main()
