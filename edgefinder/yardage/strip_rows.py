"""Straight strips in rows of one cloth.

Each row is cut off the bolt over the whole usable width, then cut into strips; it is as
long as its longest strip. For a few strips every way of putting them into rows is
compared. For many, the longest is put first, into the first row with room (first fit
decreasing), and a lower bound says how much could be left to gain.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.classifier.job import Grain
from edgefinder.yardage.buying import in_both_units
from edgefinder.yardage.cutting import COUNT_SLACK, MOST_STRIPS, Method, NotPossible
from edgefinder.yardage.strip_ends import End, Strip, join_loss

MOST_EXACT: Final = 9
"""Up to this many strips that can share a row every way is compared (3 to the power of
it); one more takes three times as long."""


@dataclass(frozen=True, slots=True)
class WholeStrip:
    """A strip that is cut in one piece.

    Parameters
    ----------
    tape : str
        Name of the tape that it belongs to.
    length, cut_width : float
        Millimetres.
    """

    tape: str
    length: float
    cut_width: float


@dataclass(frozen=True, slots=True)
class CutStrip:
    """A strip as it lies in the cloth."""

    tape: str
    strip: Strip


@dataclass(frozen=True, slots=True)
class OneCut:
    """All strips in one length of cloth.

    Parameters
    ----------
    grain : Grain
    width, length : float
        Millimetres across and along the bolt.
    strips : tuple of CutStrip
    lower_bound : float
        Millimetres of cloth along the bolt below which these strips do not fit.
    is_exact : bool
        Whether no other way of putting the strips into rows takes less.
    rows : int
        Lengths cut off the bolt; 1 for bias strips side by side.
    """

    grain: Grain
    width: float
    length: float
    strips: tuple[CutStrip, ...]
    lower_bound: float
    is_exact: bool
    rows: int

    @property
    def waste(self) -> float:
        """Share of the cloth cut off that is in no strip."""
        used = math.fsum(s.strip.length * s.strip.cut_width for s in self.strips)
        return max(0.0, 1.0 - used / (self.width * self.length))

    def tape_length(self, tape: str, seam: float) -> float:
        """Millimetres of one tape after its joins, for a seam allowance."""
        strips = [cut.strip for cut in self.strips if cut.tape == tape]
        if not strips:
            return 0.0
        joined = join_loss(strips[0], seam) * (len(strips) - 1)
        return math.fsum(strip.length for strip in strips) - joined


def pack_rows(
    strips: Sequence[WholeStrip], usable_width: float, grain: Grain
) -> OneCut | NotPossible:
    """Put whole strips into rows of one cloth.

    Parameters
    ----------
    strips : sequence of WholeStrip
    usable_width : float
        Millimetres.
    grain : Grain
        Crosswise strips run across the cloth, lengthwise ones along it.

    Returns
    -------
    OneCut or NotPossible

    Raises
    ------
    ValueError
        Without strips, or if the grain is bias.
    """
    if not strips or grain is Grain.BIAS:
        raise ValueError(f"rows are of straight strips, and at least one: {grain}")
    method = (
        Method.CROSSWISE_STRIPS
        if grain is Grain.CROSSWISE
        else Method.LENGTHWISE_STRIPS
    )
    sizes = [_size(strip, grain) for strip in strips]
    widest = max(across for across, _ in sizes)
    if widest > usable_width * (1.0 + COUNT_SLACK):
        return NotPossible(
            method,
            f"a strip takes {in_both_units(widest)} across, the cloth is "
            f"{in_both_units(usable_width)} wide; use a wider cloth",
        )
    if len(strips) > MOST_STRIPS:
        return NotPossible(
            method,
            f"{len(strips)} strips are more than {MOST_STRIPS}; cut fewer at once",
        )
    width = usable_width * (1.0 + COUNT_SLACK)
    lone = _lone(sizes, width)
    others = [i for i in range(len(sizes)) if i not in set(lone)]
    is_exact = len(others) <= MOST_EXACT
    packed = (
        _all_ways(others, sizes, width)
        if is_exact
        else _first_fit(others, sizes, width)
    )
    rows = [[i] for i in lone] + packed
    rows.sort(key=lambda row: (-max(sizes[i][1] for i in row), row))
    return OneCut(
        grain=grain,
        width=usable_width,
        length=math.fsum(max(sizes[i][1] for i in row) for row in rows),
        strips=strips_in_rows(rows, strips, grain),
        lower_bound=_bound(sizes, usable_width),
        is_exact=is_exact,
        rows=len(rows),
    )


def _size(strip: WholeStrip, grain: Grain) -> tuple[float, float]:
    if grain is Grain.CROSSWISE:
        return strip.length, strip.cut_width
    return strip.cut_width, strip.length


def _lone(sizes: Sequence[tuple[float, float]], width: float) -> list[int]:
    """List the strips that can share a row with no other."""
    narrow = sorted(range(len(sizes)), key=lambda i: sizes[i][0])[:2]
    if len(narrow) < 2:
        return list(range(len(sizes)))
    return [
        i
        for i, (across, _) in enumerate(sizes)
        if across + sizes[narrow[1] if i == narrow[0] else narrow[0]][0] > width
    ]


def _bound(sizes: Sequence[tuple[float, float]], width: float) -> float:
    """Say what no way can beat: the area, and strips of which no two share a row."""
    area = math.fsum(across * along for across, along in sizes) / width
    alone = math.fsum(
        along for across, along in sizes if across > 0.5 * width * (1.0 + COUNT_SLACK)
    )
    return max(area, alone, *(along for _, along in sizes))


def _first_fit(
    items: Sequence[int], sizes: Sequence[tuple[float, float]], width: float
) -> list[list[int]]:
    rows: list[list[int]] = []
    room: list[float] = []
    for i in sorted(items, key=lambda i: (-sizes[i][1], -sizes[i][0], i)):
        row = next((r for r, left in enumerate(room) if sizes[i][0] <= left), None)
        if row is None:
            rows.append([])
            room.append(width)
            row = len(rows) - 1
        rows[row].append(i)
        room[row] -= sizes[i][0]
    return rows


def _all_ways(
    items: Sequence[int], sizes: Sequence[tuple[float, float]], width: float
) -> list[list[int]]:
    """Compare every way to put strips into rows, by sets of strips as bits."""
    count = 1 << len(items)
    across, along = [0.0] * count, [0.0] * count
    for mask in range(1, count):
        i = items[mask.bit_length() - 1]
        rest = mask ^ (1 << (mask.bit_length() - 1))
        across[mask] = across[rest] + sizes[i][0]
        along[mask] = max(along[rest], sizes[i][1])
    best, last_row = [0.0] * count, [0] * count
    for mask in range(1, count):
        best[mask] = math.inf
        lowest = mask & -mask
        others = mask ^ lowest
        part = others
        while True:
            row = part | lowest
            if across[row] <= width:
                total = along[row] + best[mask ^ row]
                if total < best[mask]:
                    best[mask], last_row[mask] = total, row
            if part == 0:
                break
            part = (part - 1) & others
    rows = []
    mask = count - 1
    while mask:
        rows.append([item for k, item in enumerate(items) if last_row[mask] >> k & 1])
        mask ^= last_row[mask]
    return rows


def strips_in_rows(
    rows: Sequence[Sequence[int]], strips: Sequence[WholeStrip], grain: Grain
) -> tuple[CutStrip, ...]:
    """Say where every strip lies.

    Parameters
    ----------
    rows : sequence of sequence of int
        Which strips lie in each row, along the bolt; side by side in a row.
    strips : sequence of WholeStrip
    grain : Grain

    Returns
    -------
    tuple of CutStrip
    """
    laid: list[CutStrip] = []
    low = 0.0
    for row in rows:
        left = 0.0
        for i in row:
            laid.append(_placed(strips[i], len(laid) + 1, (left, low), grain))
            left += _size(strips[i], grain)[0]
        low += max(_size(strips[i], grain)[1] for i in row)
    return tuple(laid)


def _placed(
    strip: WholeStrip, number: int, at: tuple[float, float], grain: Grain
) -> CutStrip:
    across, along = _size(strip, grain)
    left, low = at
    right, high = left + across, low + along
    corners = (
        ((left, low), (right, low), (right, high), (left, high))
        if grain is Grain.CROSSWISE
        else ((right, low), (right, high), (left, high), (left, low))
    )
    laid = Strip(number, strip.length, strip.cut_width, End.SQUARE, End.SQUARE, corners)
    return CutStrip(strip.tape, laid)
