"""Compare reading and measuring large DXF files with the library reading them alone.

Run as ``python tests/benchmarks/bench_dxf_polylines.py``. Each side runs in a process
of its own, which says how long it took (the imports left out) and by how much its
memory grew at the most. Ratios are what counts.
"""

import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import numpy as np

ROOT: Final = Path(__file__).resolve().parents[2]
SEED: Final = 20
VERTICES: Final = 1_000_000
PER_OUTLINE: Final = (1_000, 20)
"""A digitised outline has about a thousand vertices; short ones are the worst case,
because there is more to each than its vertices."""
GOAL: Final = 3.0
"""Times faster than the library alone."""

MEASURE: Final = """
import resource, sys, time, pathlib
sys.path.insert(0, {root!r})
path = pathlib.Path(sys.argv[1])
{imports}
def high():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
before, start = high(), time.perf_counter()
{run}
print(time.perf_counter() - start, high() - before, total)
"""
THEIRS: Final = ("import ezdxf", "document = ezdxf.readfile(path); total = 0")
OURS: Final = (
    """
from edgefinder.importers.formats import read_drawing
from edgefinder.geometry.measured import measure_all
import edgefinder.importers.dxf.blocks, edgefinder.importers.dxf.document
""",
    """
lines = read_drawing(path).drawing.lines
total = sum(one.length for one in measure_all([line.path for line in lines]))
""",
)


def outlines(per_outline: int) -> Iterator[list[list[float]]]:
    """Draw wobbly closed outlines of that many vertices, in millimetres."""
    random = np.random.default_rng(SEED)
    angle = np.linspace(0, 2 * np.pi, per_outline, endpoint=False)
    round_ = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    for _ in range(VERTICES // per_outline):
        radius = 200 + random.normal(0, 0.1, (per_outline, 1))
        points = random.uniform(0, 5000, 2) + radius * round_
        yield points.tolist()


def write_lwpolylines(path: Path, per_outline: int) -> None:
    """Write outlines as LWPOLYLINE, in a file of entities alone."""
    with path.open("w", encoding="ascii") as file:
        file.write("0\nSECTION\n2\nENTITIES\n")
        for i, points in enumerate(outlines(per_outline)):
            file.write(
                f"0\nLWPOLYLINE\n5\n{i + 4096:X}\n100\nAcDbEntity\n8\n1\n"
                f"100\nAcDbPolyline\n90\n{per_outline}\n70\n1\n"
            )
            file.write("".join(f"10\n{x!r}\n20\n{y!r}\n" for x, y in points))
        file.write("0\nENDSEC\n0\nEOF\n")


def write_old_polylines(path: Path, per_outline: int) -> None:
    """Write outlines as POLYLINE of R12, in a file of entities alone."""
    with path.open("w", encoding="ascii") as file:
        file.write("0\nSECTION\n2\nENTITIES\n")
        for points in outlines(per_outline):
            file.write("0\nPOLYLINE\n8\n1\n66\n1\n70\n1\n10\n0.0\n20\n0.0\n30\n0.0\n")
            file.write(
                "".join(
                    f"0\nVERTEX\n8\n1\n10\n{x:.6f}\n20\n{y:.6f}\n30\n0.0\n"
                    for x, y in points
                )
            )
            file.write("0\nSEQEND\n8\n1\n")
        file.write("0\nENDSEC\n0\nEOF\n")


def run(path: Path, code: tuple[str, str]) -> tuple[float, float, float]:
    """Run code on a file in a process of its own: seconds, megabytes, result."""
    script = MEASURE.format(root=str(ROOT), imports=code[0], run=code[1])
    done = subprocess.run(  # noqa: S603 - our own code
        [sys.executable, "-c", script, str(path)],
        capture_output=True,
        text=True,
        check=True,
    )
    seconds, megabytes, total = map(float, done.stdout.split())
    return seconds, megabytes, total


def main() -> None:
    """Compare both kinds of polylines, long and short."""
    kinds = {"LWPOLYLINE": write_lwpolylines, "R12 POLYLINE": write_old_polylines}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "digitised.dxf"
        for name, write in kinds.items():
            for per_outline in PER_OUTLINE:
                write(path, per_outline)
                theirs, ours = run(path, THEIRS), run(path, OURS)
                print(
                    f"{VERTICES:,} vertices of {name}, {per_outline:,} an outline "
                    f"({path.stat().st_size / 2**20:.0f} MB):\n"
                    f"  {theirs[0] / ours[0]:.1f} times faster than the library alone "
                    f"(goal {GOAL:.0f}; {theirs[0]:.1f} s and {ours[0]:.1f} s)\n"
                    f"  {ours[1] / theirs[1]:.2f} times its memory "
                    f"({theirs[1]:.0f} MB and {ours[1]:.0f} MB); "
                    f"{ours[2] / 1000:.3f} m measured"
                )


if __name__ == "__main__":
    main()
