"""Strips on the straight grain: across the cloth, or along it.

Ends are cut square and joined on the diagonal, which takes one cut width per join.
"""

from edgefinder.yardage.buying import in_both_units
from edgefinder.yardage.cutting import (
    MOST_STRIPS,
    Cutting,
    Method,
    Need,
    NotPossible,
    least_count,
    too_many_strips,
    too_narrow,
    whole_count,
    without_rounding,
)


def joined_length(strips: int, strip: float, cut_width: float) -> float:
    """Measure a tape of equal strips with square ends, joined on the diagonal.

    Examples
    --------
    >>> joined_length(3, 1000.0, 50.0)
    2900.0
    """
    return strips * strip - (strips - 1) * cut_width


def cut_crosswise(need: Need) -> Cutting | NotPossible:
    """Cut strips from selvage to selvage.

    Returns
    -------
    Cutting or NotPossible
        The least n with n F - (n - 1) c >= L, for the usable width F.
    """
    method = Method.CROSSWISE_STRIPS
    strip, lost = need.usable_width, need.cut_width
    if strip <= lost or strip < need.shortest_strip:
        return too_narrow(method, need, strip, max(lost, need.shortest_strip))
    if need.length > MOST_STRIPS * (strip - lost):
        return too_many_strips(method)
    strips = max(1, least_count((need.length - lost) / (strip - lost)))
    return _straight(need, method, strips, (strip, strips * need.cut_width))


def cut_lengthwise(need: Need) -> Cutting | NotPossible:
    """Cut strips along the selvage.

    Returns
    -------
    Cutting or NotPossible
        For n strips side by side, each is (L + (n - 1) c)/n long. Of all n that fit
        into the width, that which buys least cloth (a whole number of steps); of
        those, that with the fewest joins.
    """
    method = Method.LENGTHWISE_STRIPS
    most = whole_count(need.usable_width / need.cut_width)
    if most < 1:
        return NotPossible(
            method,
            f"a strip {in_both_units(need.cut_width)} wide does not fit into cloth "
            f"{in_both_units(need.usable_width)} wide; use a wider cloth",
        )
    strips = min(
        range(1, most + 1),
        key=lambda n: (need.to_buy(_strip(need, n)).buy, n),
    )
    size = (strips * need.cut_width, _strip(need, strips))
    return _straight(need, method, strips, size)


def _strip(need: Need, strips: int) -> float:
    shared = (need.length + (strips - 1) * need.cut_width) / strips
    return max(shared, need.shortest_strip)


def _straight(
    need: Need, method: Method, strips: int, cut_size: tuple[float, float]
) -> Cutting:
    strip = cut_size[0] if method is Method.CROSSWISE_STRIPS else cut_size[1]
    yielded = joined_length(strips, strip, need.cut_width)
    return Cutting(
        need=need,
        method=method,
        cut_size=cut_size,
        strip_lengths=(strip,) * strips,
        yield_length=without_rounding(yielded, need),
        joins=strips - 1,
        seams_in_tape=strips - 1,
        line_spacing=need.cut_width,
        lines=strips - 1,
    )
