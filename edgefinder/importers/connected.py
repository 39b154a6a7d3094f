"""Items that are connected with each other, in groups."""

from collections import defaultdict

import numpy as np

from edgefinder.geometry.segments import Indices


def connected(count: int, one: Indices, other: Indices) -> Indices:
    """Label connected items with the smallest index among them.

    Parameters
    ----------
    count : int
    one, other : ndarray of intp, shape (n,)
        Pairs of items that are connected.

    Returns
    -------
    ndarray of intp, shape (count,)
    """
    root = list(range(count))
    for a, b in zip(one.tolist(), other.tolist(), strict=True):
        while root[a] != a:
            root[a] = root[root[a]]
            a = root[a]  # noqa: PLW2901 - climbs to the root
        while root[b] != b:
            root[b] = root[root[b]]
            b = root[b]  # noqa: PLW2901
        root[max(a, b)] = min(a, b)
    for i in range(count):  # a root always has a smaller index than its members
        root[i] = root[root[i]]
    return np.array(root, dtype=np.intp)


def grouped_by(items: Indices, labels: Indices) -> list[list[int]]:
    """Put together the items of one label, in order, shape (n,) each."""
    groups: defaultdict[int, list[int]] = defaultdict(list)
    for item, label in zip(items.tolist(), labels.tolist(), strict=True):
        groups[label].append(item)
    return list(groups.values())
