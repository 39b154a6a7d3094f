"""How narrow tape has to be at a place, against closed forms and against judging it
again: advice that was taken must have helped."""

import math
from pathlib import Path as FilePath

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapes import polyline
from tape_cases import QUILTING, job_of, leg_along, runs_of

from edgefinder.binding.runs import Leg
from edgefinder.curvature.advice import PlaceReport, Remedy
from edgefinder.curvature.judgement import judge_runs
from edgefinder.curvature.narrower import Meeting, narrower
from edgefinder.curvature.places import Place, find_places
from edgefinder.curvature.scanning import scan
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.geometry.segments import arc_segments, concatenate
from edgefinder.reports.place_text import place_advice
from edgefinder.units import Unit

INSIDE = 108 / 97 - 1
OUTSIDE = 1 - 97 / 108
"""w / R that quilting cotton takes on the bias without effort, and the turn of a kink
in radians; derived from its limits."""

WIDTH = 9.0


def places_at(leg: Leg, width: float) -> tuple[Place, ...]:
    (found,) = find_places(scan([leg], width, QUILTING))
    return found


def arcs_with_a_kink(radius: float, kink: float) -> Leg:
    """Two arcs of 60 degrees around which the fabric lies, meeting at a kink."""
    first = arc_segments(0, radius, 1j * radius, 0.0, math.pi / 3)
    end = radius * complex(math.cos(math.pi / 3), math.sin(math.pi / 3))
    across = complex(math.cos(math.pi / 3 + kink), math.sin(math.pi / 3 + kink))
    second = arc_segments(
        end - radius * across,
        radius * across,
        1j * radius * across,
        0.0,
        math.pi / 3,
    )
    return leg_along(Path(concatenate([first, second]), closed=False))


@given(st.floats(60, 200), st.floats(0.01, 0.99))
@settings(max_examples=30)
def test_a_kink_leaves_a_curve_what_it_does_not_take_itself(
    radius: float, share: float
) -> None:
    outside = arcs_with_a_kink(radius, share * OUTSIDE)
    widest = radius * OUTSIDE * (1 - share)
    assume(0.2 < widest < WIDTH - 0.1)
    middle = outside.length / 2
    (place,) = [p for p in places_at(outside, WIDTH) if p.start < middle < p.end]

    found = narrower(place, WIDTH, QUILTING.ok)

    # k w = t + w / R must not pass 1 - 1/S.
    assert found.kink is None
    assert found.widest == pytest.approx(widest, abs=1e-3)


@pytest.mark.parametrize("turn", [-0.5, -0.12, 0.11, 0.4])
def test_at_a_kink_that_alone_turns_too_much_no_width_lies_flat(turn: float) -> None:
    far = 100 + 100 * complex(math.cos(turn), math.sin(turn))
    (place,) = places_at(leg_along(polyline(0, 100, far)), WIDTH)

    found = narrower(place, WIDTH, QUILTING.ok)

    assert found.widest == 0.0
    assert found.kink is not None
    assert found.kink.turn == pytest.approx(turn)
    assert found.kink.meeting is Meeting.LINE
    for width in (0.2, 1.0, 4.0):  # the reference: it is judged anew
        assert places_at(leg_along(polyline(0, 100, far)), width)


@given(st.floats(15, 80), st.floats(0.3, 1), st.booleans())
@settings(max_examples=40)
def test_what_is_advised_lies_flat_when_it_is_taken(
    a: float, flatness: float, is_hole: bool
) -> None:
    oval = Path(arc_segments([0], a, 1j * a * flatness, 0.0, 2 * math.pi), closed=True)
    leg = leg_along(reverse_path(oval) if is_hole else oval)

    for place in places_at(leg, WIDTH):
        width = narrower(place, WIDTH, QUILTING.ok).widest - 1e-3
        assert width > 0
        for left in places_at(leg, width):
            # What is left is not at the place.
            assert not any(
                left.start + turn < place.end and place.start < left.end + turn
                for turn in (-leg.length, 0.0, leg.length)
            )


def seam_reports(folder: FilePath, turn_deg: float, width: str) -> list[PlaceReport]:
    """Two pieces, bound along their tops and seamed; the second one slopes."""
    rise = 100 * math.tan(math.radians(turn_deg))
    outlines = (
        '<path id="left" d="M0,100 V0 H100 V100 Z"/>'
        f'<path id="right" d="M300,100 V0 L400,{-rise:.9f} V100 Z"/>'
    )
    job = job_of(
        folder,
        f'<g transform="translate(0,200)">{outlines}</g>',
        f"""
[[tapes]]
name = "main"
finished_width = "{width}"
[[pieces]]
name = "left"
[[pieces]]
name = "right"
[[runs]]
name = "top"
tape = "main"
edges = ["right 3", "left 3"]
""",
    )
    (judged,) = judge_runs(runs_of(job))
    return list(judged.places)


@pytest.mark.parametrize("width", ["9 mm", "4 mm", "2 mm", "1 mm"])
def test_a_kink_at_a_seam_is_told_whatever_the_width(
    tmp_path: FilePath, width: str
) -> None:
    (report,) = seam_reports(tmp_path, 8.8, width)

    remedies = [advice.remedy for advice in report.advice]
    assert Remedy.NARROWER not in remedies
    assert Remedy.TRUE_SEAM in remedies
    assert report.widest_flat == 0.0
    assert (
        "true the seam: no narrower tape takes its kink of 8.8 degrees"
        in place_advice(report, Unit.MILLIMETRE)
    )


@pytest.mark.parametrize(
    ("settings", "remedy"),
    [
        ("", "smooth the line"),
        ("fold_edge = 4", "draw the edge square to the fold"),
    ],
)
def test_a_kink_in_a_line_or_at_the_fold_is_told_as_such(
    tmp_path: FilePath, settings: str, remedy: str
) -> None:
    """The top slopes by 5 degrees to a fold, or by 10 from one half to the other."""
    rise, far = 100 * math.tan(math.radians(5)), 100 * math.tan(math.radians(15))
    top = f"L100,{200 - rise:.9f}" + (
        "" if settings else f" L200,{200 - rise - far:.9f}"
    )
    job = job_of(
        tmp_path,
        f'<path id="mat" d="M0,400 V200 {top} V400 Z"/>',
        f"""
[[tapes]]
name = "main"
finished_width = "9 mm"
[[pieces]]
name = "mat"
{settings}
[[runs]]
name = "top"
tape = "main"
edges = ["mat 3"]
""",
    )
    (judged,) = judge_runs(runs_of(job))
    (report,) = judged.places

    assert f"{remedy}: no narrower tape takes its kink of 10.0 degrees" in place_advice(
        report, Unit.MILLIMETRE
    )
