"""The cheapest alignments of two cyclic sequences, through every single step.

An alignment of two outlines is a cyclic sequence of steps, each of which takes old
edges for new ones: one for one, one for several or several for one. Dynamic programming
finds the cheapest one (as in dynamic time warping: Sakoe and Chiba, "Dynamic
programming algorithm optimization for spoken word recognition", 1978), and run from
both ends it finds the cheapest one through each step, by which the doubt about an edge
is judged.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from edgefinder.classifier.matching.step_costs import StepCosts
from edgefinder.geometry.segments import Floats, Indices

FIRST_LANES: Final = 16
"""Places to begin that are tried first, those that promise most; most of the others
are then dropped unseen."""

ROUNDING: Final = 1e-9
"""Sums of one alignment in different orders differ by less."""

CELLS_AT_ONCE: Final = 400_000
"""Table cells worked on in one go; larger takes more memory (about 300 bytes each)."""


def cheapest_through(
    costs: StepCosts, slack: Callable[[float], float], limit: float
) -> tuple[Floats, Floats]:
    """Find the cheapest alignment through every step.

    Parameters
    ----------
    costs : StepCosts
        Without leading axes, for n old and m new edges.
    slack : callable
    limit : float
        Alignments that cost more than the cheapest one and the slack, and more than
        the limit, need not be found. The slack may depend on what the dearest step of
        the cheapest one costs.

    Returns
    -------
    splits : ndarray, shape (p, n, m)
        At p - 1, i, j the least total cost of an alignment that takes old edge i for
        the p new edges from j on; inf where there is none, or none within the slack.
    merges : ndarray, shape (q - 1, n, m)
        At q - 2, i, j that of one that takes the q old edges from i on for new edge j.
    """
    splits, merges = costs.splits, costs.merges
    n, m = splits.shape[1:]
    # Some step begins at one of the first old edges, as no step takes more of them.
    bounds = _bounds(splits, merges)[: len(merges) + 1]  # (r, m)
    order = np.argsort(bounds, axis=None)
    enough = np.inf
    through = np.full(splits.shape, np.inf), np.full(merges.shape, np.inf)
    per_lane = (n + 1) * (m + 1) * (len(splits) + len(merges))
    count, done = FIRST_LANES, 0
    while done < len(order):
        lanes = order[done : done + count]
        lanes = lanes[bounds.flat[lanes] <= enough]
        if len(lanes) == 0:
            break
        found = _along_lanes(splits, merges, *np.divmod(lanes, m))
        for total, one in zip(through, found, strict=True):
            np.minimum(total, one, out=total)
        best, dearest = _cheapest((splits, merges), through)
        enough = max(best + slack(dearest), limit)
        done += count
        count = max(CELLS_AT_ONCE // per_lane, 1)
    return through


def _cheapest(
    costs: tuple[Floats, Floats], through: tuple[Floats, Floats]
) -> tuple[float, float]:
    """Return what the cheapest alignment costs, and its dearest step."""
    best = min(float(total.min(initial=np.inf)) for total in through)
    dearest = 0.0
    for steps, total in zip(costs, through, strict=True):
        taken = steps[total <= best + ROUNDING]
        dearest = max(dearest, float(taken.max(initial=0.0)))
    return best, dearest


def least_costs(costs: StepCosts) -> Floats:
    """Bound from below what any alignment costs, of the shape of the leading axes."""
    firsts = _bounds(costs.splits, costs.merges)[..., : len(costs.merges) + 1, :]
    least: Floats = firsts.min(axis=(-2, -1))
    return least


def _bounds(splits: Floats, merges: Floats) -> Floats:
    """Bound from below what an alignment costs that begins a step at (i, j).

    Each old edge costs at least its share of the cheapest step that takes it. Shape
    (..., n, m).
    """
    n = splits.shape[-2]
    # The k-th of the edges that merge from i on, and the first of those where k + 1
    # others come before.
    taken = (np.arange(n) + np.arange(n)[:, None]) % n
    first = (np.arange(n) - np.arange(n)[:, None]) % n
    shares = splits.min(axis=(0, -1))
    for q, table in enumerate(merges, start=2):
        least = table.min(axis=-1) / q
        shares = np.minimum(shares, least[..., first[:q]].min(axis=-2))
    begun = splits.min(axis=0) - shares[..., None]
    for q, table in enumerate(merges, start=2):
        own = shares[..., taken[:q]].sum(axis=-2)
        begun = np.minimum(begun, table - own[..., None])
    bounds: Floats = begun + shares.sum(axis=-1)[..., None, None]
    return bounds


def _along_lanes(
    splits: Floats, merges: Floats, first_old: Indices, first_new: Indices
) -> tuple[Floats, Floats]:
    """Find the cheapest alignments that begin a step at each of some pairs of edges."""
    n, m = splits.shape[1:]
    i = (first_old[:, None] + np.arange(n)) % n  # (lanes, n)
    j = (first_new[:, None] + np.arange(m)) % m
    split = splits[:, i[:, :, None], j[:, None, :]]  # (p, lanes, n, m)
    merge = merges[:, i[:, :, None], j[:, None, :]]
    there = _forward(split, merge)  # (lanes, n + 1, m + 1)
    back = _backward(split, merge)
    best_split = np.full(splits.shape, np.inf)
    best_merge = np.full(merges.shape, np.inf)
    # Where each pair of edges stands in each lane.
    at_i = (np.arange(n) - first_old[:, None]) % n
    at_j = (np.arange(m) - first_new[:, None]) % m
    lane = np.arange(len(i))[:, None, None]
    place = lane, at_i[:, :, None], at_j[:, None, :]
    for p in range(1, len(split) + 1):
        total = np.full(split.shape[1:], np.inf)
        total[:, :, : m - p + 1] = (
            there[:, :n, : m - p + 1]
            + split[p - 1][:, :, : m - p + 1]
            + back[:, 1:, p:]
        )
        best_split[p - 1] = total[place].min(axis=0)
    for q in range(2, len(merge) + 2):
        total = np.full(split.shape[1:], np.inf)
        total[:, : n - q + 1] = (
            there[:, : n - q + 1, :m] + merge[q - 2][:, : n - q + 1] + back[:, q:, 1:]
        )
        best_merge[q - 2] = total[place].min(axis=0)
    return best_split, best_merge


def _forward(split: Floats, merge: Floats) -> Floats:
    """Return the least cost from the beginning to each pair of corners."""
    _, lanes, n, m = split.shape
    table = np.full((lanes, n + 1, m + 1), np.inf)
    table[:, 0, 0] = 0.0
    for i in range(n):
        row = table[:, i + 1]
        for p in range(1, len(split) + 1):
            reached = table[:, i, : m - p + 1] + split[p - 1][:, i, : m - p + 1]
            np.minimum(row[:, p:], reached, out=row[:, p:])
        for q in range(2, min(len(merge) + 1, i + 1) + 1):
            k = i + 1 - q
            reached = table[:, k, :m] + merge[q - 2][:, k]
            np.minimum(row[:, 1:], reached, out=row[:, 1:])
    return table


def _backward(split: Floats, merge: Floats) -> Floats:
    """Return the least cost from each pair of corners to the end."""
    _, lanes, n, m = split.shape
    table = np.full((lanes, n + 1, m + 1), np.inf)
    table[:, n, m] = 0.0
    for i in range(n - 1, -1, -1):
        row = table[:, i]
        for p in range(1, len(split) + 1):
            reached = split[p - 1][:, i, : m - p + 1] + table[:, i + 1, p:]
            np.minimum(row[:, : m - p + 1], reached, out=row[:, : m - p + 1])
        for q in range(2, min(len(merge) + 1, n - i) + 1):
            reached = merge[q - 2][:, i] + table[:, i + q, 1:]
            np.minimum(row[:, :m], reached, out=row[:, :m])
    return table
