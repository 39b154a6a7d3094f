"""Graded nests: one piece in several sizes, drawn one inside the other."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from edgefinder.findings import Finding, warning
from edgefinder.pattern.containment import Containment
from edgefinder.pattern.flat_rings import FlatRings, stays_near

NEAR_MM: Final = 40.0
"""A closed line all of which runs this near inside another one is its sewing line, or
the next size (seam and hem allowances are 6 to 40 mm; common practice)."""

ALIKE: Final = 0.6
"""And is at least this share of its length: a hole in a small piece is shorter, the
sewing line of a piece of 6 cm with allowances of 1 cm is two thirds."""

LEAST_SIZES: Final = 3
"""Two lines are a cut line and its sewing line as likely as two sizes."""

EVEN_STEPS: Final = 1.6
"""From size to size the steps grow or shrink by no more (grading in steps of 4 and 6 cm
round makes 1.5). Larger: a row of topstitching beside the sewing line passes."""


@dataclass(frozen=True, slots=True, eq=False)
class Nests:
    """What runs close inside what.

    Parameters
    ----------
    inside : tuple of int or None
        For each outline the related one around it, if that is near and alike.
    nest_of : tuple of int or None
        For each outline the nest that it belongs to.
    """

    inside: tuple[int | None, ...]
    nest_of: tuple[int | None, ...]


def find_nests(
    flat: FlatRings, containment: Containment, sizes: Sequence[str | None]
) -> tuple[Nests, tuple[Finding, ...]]:
    """Find outlines that lie one in the other in small even steps.

    Parameters
    ----------
    flat : FlatRings
    containment : Containment
    sizes : sequence of str or None
        Of each outline; sizes that are known make no nest.
    """
    count = len(flat.rings)
    inside: list[int | None] = [None] * count
    lengths = flat.lengths
    for i, around in enumerate(containment.related):
        if not around or sizes[i] != sizes[around[0].index]:
            continue
        outer = around[0].index
        if lengths[i] <= ALIKE * lengths[outer]:
            continue
        if stays_near(flat.vertices[outer], flat.vertices[i], NEAR_MM):
            inside[i] = outer
    nest_of: list[int | None] = [None] * count
    findings = []
    for number, nest in enumerate(_nests(flat, inside)):
        for i in nest:
            nest_of[i] = number
        findings.append(_finding(flat, nest))
    return Nests(tuple(inside), tuple(nest_of)), tuple(findings)


def _nests(flat: FlatRings, inside: Sequence[int | None]) -> Iterator[list[int]]:
    """Follow the outlines inwards, and break where the steps are not even."""
    next_inside = {outer: i for i, outer in enumerate(inside) if outer is not None}
    areas, lengths = flat.areas.tolist(), flat.lengths.tolist()
    for first, outer in enumerate(inside):
        if outer is not None or first not in next_inside:
            continue
        stack = [first]
        while stack[-1] in next_inside:
            stack.append(next_inside[stack[-1]])
        steps = [
            (areas[a] - areas[b]) / (lengths[a] + lengths[b])
            for a, b in pairwise(stack)
        ]
        begin = 0
        for k in range(1, len(stack)):
            is_last = k == len(stack) - 1
            if not is_last and _is_even(steps[k - 1], steps[k]):
                continue
            if k + 1 - begin >= LEAST_SIZES:
                yield stack[begin : k + 1]
            begin = k


def _is_even(one: float, other: float) -> bool:
    low, high = sorted((one, other))
    return low > 0 and high <= EVEN_STEPS * low


def _finding(flat: FlatRings, nest: Sequence[int]) -> Finding:
    lines = [flat.rings[i].sources[0] for i in nest]
    if len({line.layer for line in lines}) == len(lines):
        how = 'write sizes = "layer" in the job file'
    elif len({line.colour for line in lines}) == len(lines):
        how = 'write sizes = "colour" in the job file, and [size_names] for their names'
    else:
        how = (
            'tell them apart in the drawing by layers called "Size ...", or in the job '
            'file with sizes = "layer" or "colour", or with names_like'
        )
    message = (
        f"{len(nest)} outlines lie one inside the other in even steps, like one piece "
        f"in {len(nest)} sizes: each is read as a piece, none as a sewing line or a "
        f"cut-out; {how}"
    )
    return warning("nest", lines[0].where, message)
