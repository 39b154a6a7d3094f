import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.binding.cloth import GrainLimits, Limits, find_cloth
from edgefinder.curvature.band import feed_range
from edgefinder.curvature.verdict import (
    FLAT_ZONE,
    ROUNDING_SHARE,
    Verdict,
    is_inside,
    verdict_at,
    verdict_of,
    zones,
)

widths = st.floats(2.0, 40.0)
curvatures = st.floats(-0.5, 0.5)
cloths = st.builds(
    lambda ok_stretch, ok_ease, more_stretch, more_ease: GrainLimits(
        Limits(ok_stretch, ok_ease),
        Limits(ok_stretch + more_stretch, ok_ease + more_ease),
    ),
    st.floats(0.01, 0.2),
    st.floats(0.005, 0.2),
    st.floats(0.001, 0.2),
    st.floats(0.001, 0.2),
)


def one_zone(k: float, width: float, limits: GrainLimits) -> int:
    return int(zones(width, limits).of(np.array([k]))[0])


def by_definition(k: float, width: float, limits: GrainLimits) -> Verdict:
    """A feed within ok, a feed within the limit, none, or a radius below w."""

    def has_feed(within: Limits) -> bool:
        feeds = feed_range(np.array([k]), width, within)
        return bool(feeds.low[0] <= feeds.high[0])

    if abs(k) * width > 1:
        return Verdict.MITRE
    if has_feed(limits.ok):
        return Verdict.FLAT
    return Verdict.STEAM if has_feed(limits.limit) else Verdict.TOO_TIGHT


@given(curvatures, widths, cloths)
def test_the_verdict_is_the_best_limits_within_which_a_feed_exists(
    k: float, width: float, limits: GrainLimits
) -> None:
    near = {by_definition(k * s, width, limits) for s in (1 - 1e-7, 1, 1 + 1e-7)}

    assert verdict_of(one_zone(k, width, limits)) in near


@given(curvatures, widths, cloths)
def test_zones_left_of_the_flat_one_are_of_inside_curves(
    k: float, width: float, limits: GrainLimits
) -> None:
    zone = one_zone(k, width, limits)

    if zone != FLAT_ZONE:
        assert is_inside(zone) == (k < 0)


STIFF = GrainLimits(Limits(0.0, 0.0), Limits(0.0, 0.0))
ONLY_A_LIMIT = GrainLimits(Limits(0.0, 0.0), Limits(0.12, 0.0))
"""As a job file says of a cloth that was measured once."""


@given(widths, cloths | st.sampled_from([STIFF, ONLY_A_LIMIT]))
def test_a_straight_line_lies_flat(width: float, limits: GrainLimits) -> None:
    assert one_zone(0.0, width, limits) == FLAT_ZONE
    assert verdict_at(0.0, width, limits) is Verdict.FLAT


def test_cloth_that_gives_nothing_without_effort_needs_steam_on_every_curve() -> None:
    for k in (-1e-4, 1e-4):
        assert verdict_at(k, 10.0, ONLY_A_LIMIT) is Verdict.STEAM
        assert verdict_at(k, 10.0, STIFF) is Verdict.TOO_TIGHT


@pytest.mark.parametrize(
    ("radius_in_widths", "inside", "outside"),
    [
        (20.0, Verdict.FLAT, Verdict.FLAT),
        # 1 / (S - 1) is 8.82 within ok and 4.13 at the limit (derived); an outside
        # curve needs one width more.
        (9.9, Verdict.FLAT, Verdict.FLAT),
        (9.7, Verdict.FLAT, Verdict.STEAM),
        (8.9, Verdict.FLAT, Verdict.STEAM),
        (8.7, Verdict.STEAM, Verdict.STEAM),
        (5.2, Verdict.STEAM, Verdict.STEAM),
        (5.1, Verdict.STEAM, Verdict.TOO_TIGHT),
        (4.2, Verdict.STEAM, Verdict.TOO_TIGHT),
        (4.0, Verdict.TOO_TIGHT, Verdict.TOO_TIGHT),
        (1.1, Verdict.TOO_TIGHT, Verdict.TOO_TIGHT),
        (0.9, Verdict.MITRE, Verdict.MITRE),
    ],
)
def test_quilting_cotton_goes_from_flat_over_steam_and_too_tight_to_a_mitre(
    radius_in_widths: float, inside: Verdict, outside: Verdict
) -> None:
    limits = find_cloth("quilting cotton", ()).bias
    k = 1 / (radius_in_widths * 9.0)

    assert verdict_of(one_zone(-k, 9.0, limits)) == inside
    assert verdict_of(one_zone(k, 9.0, limits)) == outside


@given(widths, cloths)
def test_an_arc_of_exactly_the_least_radius_lies_flat_whatever_its_last_digits(
    width: float, limits: GrainLimits
) -> None:
    least = (limits.ok.span - 1) / width

    assert one_zone(-least * (1 + ROUNDING_SHARE / 2), width, limits) == FLAT_ZONE


def test_cloth_that_stretches_more_than_a_mitre_takes_goes_straight_to_the_mitre() -> (
    None
):
    stretchy = GrainLimits(Limits(0.3, 0.3), Limits(0.41, 0.4))  # S - 1 = 1.35

    assert verdict_of(one_zone(-0.99 / 9, 9.0, stretchy)) == Verdict.STEAM
    assert verdict_of(one_zone(-1.01 / 9, 9.0, stretchy)) == Verdict.MITRE
