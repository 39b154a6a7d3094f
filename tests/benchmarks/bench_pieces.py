"""Time the sorting of outlines into pieces, from 10 to 1,000 pieces.

Run as ``python tests/benchmarks/bench_pieces.py``. Half bodices with a pocket placement
and a name lie in rows, and each is drawn in several sizes one inside the other: on
layers of their sizes, or all on one layer. The last columns show that the time grows
with the number of outlines, and not with its square.
"""

import sys
import time
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from drawn import bodice

from edgefinder.geometry.affine import Affine, transform
from edgefinder.geometry.path import Path as LinePath
from edgefinder.geometry.segments import line_segments
from edgefinder.importers.drawing import Drawing, DrawnLine, DrawnText, Reading
from edgefinder.pattern.finding import find_pieces
from edgefinder.pattern.outlines import find_outlines
from edgefinder.pattern.settings import FindingSettings

SIZES: Final = 20
PIECES: Final = (10, 30, 60, 100, 300, 1_000)
STEP: Final = 0.03
"""Share by which a piece grows from size to size."""
PER_ROW: Final = 40


def sheet(pieces: int, sizes: int, *, on_layers: bool) -> Drawing:
    """Draw pieces in rows, each in several sizes."""
    lines: list[DrawnLine] = []
    texts: list[DrawnText] = []
    half, pocket = bodice().segments, square(30)
    for number in range(pieces):
        x, y = number % PER_ROW * 500.0, number // PER_ROW * 700.0
        for size in range(sizes):
            k = 1 + STEP * size
            path = LinePath(transform(half, Affine(k, 0, 0, k, x, y)), closed=True)
            layer = f"Size {size}" if on_layers else "Cut"
            lines.append(line(path, layer, len(lines)))
        place = Affine(1, 0, 0, 1, x + 40, y + 60)
        mark = LinePath(transform(pocket.segments, place), closed=True)
        lines.append(line(mark, "Marks", len(lines)))
        texts.append(DrawnText(f"piece {number}", complex(x + 60, y + 130), "Text", ()))
    return Drawing("bench.svg", tuple(lines), tuple(texts), 1.0)


def square(side: float) -> LinePath:
    """Draw a closed square."""
    corners = [0, side, side + 1j * side, 1j * side]
    return LinePath(line_segments(corners, [*corners[1:], 0]), closed=True)


def line(path: LinePath, layer: str, number: int) -> DrawnLine:
    """Make a line of a drawing."""
    where = f"bench.svg: line {number}"
    return DrawnLine(path, None, "path", layer, (layer,), (), None, None, where)


def main() -> None:
    """Print one table for each way of drawing."""
    settings = FindingSettings()
    find_pieces(Reading(sheet(2, 2, on_layers=True), ()), settings)  # loads everything
    for on_layers in (True, False):
        how = "on layers of their own" if on_layers else "all on one layer"
        print(f"{SIZES} sizes, {how}")
        print("pieces  outlines  sorted s  ms/outline  with edges s  ms/outline")
        for pieces in PIECES:
            drawing = sheet(pieces, SIZES, on_layers=on_layers)
            start = time.perf_counter()
            outlines, _ = find_outlines(drawing, settings)
            split = time.perf_counter()
            found = find_pieces(Reading(drawing, ()), settings)
            end = time.perf_counter()
            count = len(drawing.lines)
            if len(outlines) != len(found.pieces) or len(outlines) < pieces * SIZES:
                raise ValueError(f"{len(outlines)} outlines were found")
            print(
                f"{pieces:6,}  {count:8,}  {split - start:8.2f}  "
                f"{1000 * (split - start) / count:10.3f}  {end - split:12.2f}  "
                f"{1000 * (end - split) / count:10.3f}"
            )
        print()


if __name__ == "__main__":
    main()
