"""Several tapes out of one cloth in one cut.

Crosswise strips lie in rows (`strip_rows`). Lengthwise strips are cut from a single row
whenever their widths fit beside one another: every tape then gets as many strips as
make the row shortest. Bias strips lie tape beside tape (`one_cut_bias`).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from edgefinder.classifier.job import Grain
from edgefinder.yardage.bias_strips import (
    BiasLayout,
    cut_bias_strips,
    lay_out_need,
)
from edgefinder.yardage.cut_strips import bias_strips
from edgefinder.yardage.cutting import (
    COUNT_SLACK,
    Cutting,
    Need,
    NotPossible,
    whole_count,
)
from edgefinder.yardage.one_cut_bias import lay_blocks
from edgefinder.yardage.straight_strips import cut_crosswise, cut_lengthwise
from edgefinder.yardage.strip_ends import Strip
from edgefinder.yardage.strip_rows import (
    CutStrip,
    OneCut,
    WholeStrip,
    pack_rows,
    strips_in_rows,
)

MOST_TOGETHER: Final = 1_000
"""Strips of all tapes: nobody rules more into one cloth; more only cost time."""

_METHODS: Final = {
    Grain.BIAS: cut_bias_strips,
    Grain.CROSSWISE: cut_crosswise,
    Grain.LENGTHWISE: cut_lengthwise,
}


@dataclass(frozen=True, slots=True)
class WantedTape:
    """A tape by name; its need says the cloth as well."""

    name: str
    need: Need


@dataclass(frozen=True, slots=True)
class SizeCut:
    """What one size takes, or why it cannot be cut; the cost in the smallest coin."""

    size: str
    result: OneCut | NotPossible
    buy: float | None
    cost: int | None = None


@dataclass(frozen=True, slots=True)
class SizeCuts:
    """Every size on its own, and the one that takes most.

    Parameters
    ----------
    sizes : tuple of SizeCut
        In the order in which they came.
    largest : SizeCut or None
        For the back cover: the size that buys most cloth; None where a size cannot
        be cut.
    """

    sizes: tuple[SizeCut, ...]
    largest: SizeCut | None


def one_cut(tapes: Sequence[WantedTape], grain: Grain) -> OneCut | NotPossible:
    """Cut several tapes from one cloth.

    Parameters
    ----------
    tapes : sequence of WantedTape
        Their needs agree on the cloth: usable width, seam.
    grain : Grain
        Of all of them.

    Returns
    -------
    OneCut or NotPossible
        Crosswise: whole widths and one rest for each tape, in rows. Lengthwise: one
        row if the tapes fit beside one another, else each in a row of its own.
        Bias: the strips of each tape next to one another, or likewise.

    Raises
    ------
    ValueError
        Without tapes, or if they are of different cloths.
    """
    cloths = {(tape.need.usable_width, tape.need.seam) for tape in tapes}
    if len(cloths) != 1:
        raise ValueError("tapes of one cloth are cut together, and at least one")
    alone = [_METHODS[grain](tape.need) for tape in tapes]
    for tape, cutting in zip(tapes, alone, strict=True):
        if isinstance(cutting, NotPossible):
            return replace(cutting, reason=f'tape "{tape.name}": {cutting.reason}')
    possible = [cutting for cutting in alone if isinstance(cutting, Cutting)]
    strips = sum(cutting.strips for cutting in possible)
    if strips > MOST_TOGETHER:
        return NotPossible(
            possible[0].method,
            f"{strips} strips are more than {MOST_TOGETHER}; cut fewer tapes at once",
        )
    if grain is Grain.CROSSWISE:
        rows = [s for tape in tapes for s in _widths_and_rest(tape)]
        return pack_rows(rows, tapes[0].need.usable_width, grain)
    if grain is Grain.LENGTHWISE:
        return _lengthwise(tapes, possible)
    return _bias(tapes, possible)


def cut_sizes(
    sizes: Sequence[tuple[str, Sequence[WantedTape]]], grain: Grain
) -> SizeCuts:
    """Cut every size on its own, and name the one that takes most cloth.

    Parameters
    ----------
    sizes : sequence of (str, sequence of WantedTape)
    grain : Grain

    Returns
    -------
    SizeCuts
    """
    cuts = []
    for size, tapes in sizes:
        result = one_cut(tapes, grain)
        buy = cost = None
        if isinstance(result, OneCut):
            need = tapes[0].need
            buy = need.to_buy(result.length).buy
            cost = need.cost_of(buy)
        cuts.append(SizeCut(size, result, buy, cost))
    bought = [
        (cut.buy, cut.result.length, cut)
        for cut in cuts
        if cut.buy is not None and isinstance(cut.result, OneCut)
    ]
    largest = None
    if bought and len(bought) == len(cuts):
        largest = max(bought, key=lambda row: row[:2])[2]
    return SizeCuts(tuple(cuts), largest)


def _widths_and_rest(tape: WantedTape) -> list[WholeStrip]:
    """Split a tape into strips of the whole width and one that is as long as it must.

    A rest that is too short to be joined is cut as long as the shortest strip.
    """
    need = tape.need
    cutting = cut_crosswise(need)
    if isinstance(cutting, NotPossible):
        raise ValueError(cutting.reason)  # noqa: TRY004 - of a tape that was possible
    whole = cutting.strips - 1
    rest = need.length + whole * need.cut_width - whole * need.usable_width
    rest = min(need.usable_width, max(rest, need.shortest_strip, need.cut_width))
    lengths = [need.usable_width] * whole + [rest]
    return [WholeStrip(tape.name, length, need.cut_width) for length in lengths]


def _lengthwise(
    tapes: Sequence[WantedTape], alone: Sequence[Cutting]
) -> OneCut | NotPossible:
    width = tapes[0].need.usable_width
    counts = _shortest_row([tape.need for tape in tapes], width)
    if counts is None:
        strips = [
            WholeStrip(tape.name, length, tape.need.cut_width)
            for tape, cutting in zip(tapes, alone, strict=True)
            for length in cutting.strip_lengths
        ]
        packed = pack_rows(strips, width, Grain.LENGTHWISE)
        # The counts of strips were chosen for each tape on its own.
        return (
            packed
            if isinstance(packed, NotPossible)
            else replace(packed, is_exact=False, lower_bound=_area_bound(tapes))
        )
    strips = [
        WholeStrip(tape.name, _row_length(tape.need, count), tape.need.cut_width)
        for tape, count in zip(tapes, counts, strict=True)
        for _ in range(count)
    ]
    row = sorted(range(len(strips)), key=lambda i: (-strips[i].length, i))
    return OneCut(
        grain=Grain.LENGTHWISE,
        width=width,
        length=max(strip.length for strip in strips),
        strips=strips_in_rows([row], strips, Grain.LENGTHWISE),
        lower_bound=_area_bound(tapes),
        is_exact=True,
        rows=1,
    )


def _area_bound(tapes: Sequence[WantedTape]) -> float:
    area = math.fsum(tape.need.length * tape.need.cut_width for tape in tapes)
    return area / tapes[0].need.usable_width


def _row_length(need: Need, count: int) -> float:
    """Say how long strips are of which so many, joined, make the tape."""
    return max(
        (need.length + (count - 1) * need.cut_width) / count,
        need.shortest_strip,
        need.cut_width if count > 1 else 0.0,
    )


def _shortest_row(needs: Sequence[Need], width: float) -> list[int] | None:
    """Choose how many strips of each tape make one row shortest.

    A tape's strips get shorter with their number: so for a given length of row each
    tape takes its least number, and the least length at which these fit is one of
    the lengths that strips can have.
    """
    choices = [
        [
            _row_length(need, n)
            for n in range(1, whole_count(width / need.cut_width) + 1)
        ]
        for need in needs
    ]

    def counts(length: float) -> list[int] | None:
        found = []
        for lengths in choices:
            n = next((n for n, strip in enumerate(lengths, 1) if strip <= length), None)
            if n is None:
                return None
            found.append(n)
        used = math.fsum(
            n * need.cut_width for n, need in zip(found, needs, strict=True)
        )
        return found if used <= width * (1.0 + COUNT_SLACK) else None

    lengths = sorted({length for row in choices for length in row})
    low, high = 0, len(lengths) - 1
    if not lengths or counts(lengths[high]) is None:
        return None
    while low < high:
        middle = (low + high) // 2
        if counts(lengths[middle]) is None:
            low = middle + 1
        else:
            high = middle
    return counts(lengths[low])


def _bias(tapes: Sequence[WantedTape], alone: Sequence[Cutting]) -> OneCut:
    """Lay strips tape beside tape, or each tape in a row of its own if that is less."""
    layouts = lay_blocks([tape.need for tape in tapes])
    lows = [0.0] * len(layouts)
    length = layouts[0].length
    own = [cutting.cut_size[1] for cutting in alone]
    rows = 1
    if math.fsum(own) < length:
        layouts = tuple(_layout_alone(tape.need) for tape in tapes)
        lows = [math.fsum(own[:i]) for i in range(len(own))]
        length = math.fsum(own)
        rows = len(own)
    strips = [
        CutStrip(tape.name, _moved_along(strip, low))
        for tape, layout, low in zip(tapes, layouts, lows, strict=True)
        for strip in bias_strips(layout)
    ]
    numbered = tuple(
        replace(cut, strip=replace(cut.strip, number=n))
        for n, cut in enumerate(strips, start=1)
    )
    return OneCut(
        grain=Grain.BIAS,
        width=layouts[0].width,
        length=length,
        strips=numbered,
        lower_bound=max(_area_bound(tapes), *own),
        is_exact=False,
        rows=rows,
    )


def _layout_alone(need: Need) -> BiasLayout:
    layout = lay_out_need(need)
    if isinstance(layout, NotPossible):
        raise ValueError(layout.reason)  # noqa: TRY004 - of a tape that was possible
    return layout


def _moved_along(strip: Strip, by: float) -> Strip:
    """Move a strip along the bolt."""
    a, b, c, d = ((x, y + by) for x, y in strip.corners)
    return replace(strip, corners=(a, b, c, d))
