"""Sewing lines that end on the outline, against closed forms and closed lines."""

import math
from pathlib import Path as FilePath
from typing import Any

import pytest
from drawn import drawn, reading
from hypothesis import given
from hypothesis import strategies as st
from shapes import polygon, polyline, rectangle
from tape_cases import release_of

from edgefinder.errors import BrokenOutline
from edgefinder.findings import Severity
from edgefinder.geometry.path import Path, reverse_path
from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.finding import PiecesFound, find_pieces
from edgefinder.pattern.selectors import parse_selector
from edgefinder.pattern.settings import FindingSettings

CUT = rectangle(300, 200)
"""Edges: 1 hem, 2 right, 3 top, 4 left, where the fold lies."""


def found(*lines: DrawnLine, **chosen: str) -> PiecesFound:
    settings: dict[str, Any] = {
        key: (parse_selector(text),) for key, text in chosen.items()
    }
    return find_pieces(reading(*lines), FindingSettings(**settings))


def allowances(result: PiecesFound) -> list[tuple[float | None, ...] | None]:
    return [
        None if piece.marks is None else piece.marks.allowances
        for piece in result.pieces
    ]


def from_fold_to_fold(foot: float, right: float, top: float) -> Path:
    return polyline(
        complex(0, foot),
        complex(300 - right, foot),
        complex(300 - right, 200 - top),
        complex(0, 200 - top),
    )


def from_hem_to_fold(right: float, top: float) -> Path:
    high = 200 - top
    return polyline(300 - right, complex(300 - right, high), complex(0, high))


gaps = st.sampled_from([6.0, 9.5, 15.0, 25.0])


@given(gaps, gaps, gaps, st.booleans())
def test_from_fold_to_fold_it_gives_the_gaps_that_were_drawn(
    foot: float, right: float, top: float, turned: bool
) -> None:
    line = from_fold_to_fold(foot, right, top)
    if turned:
        line = reverse_path(line)

    result = found(drawn(CUT), drawn(line))

    (measured,) = allowances(result)
    assert measured == pytest.approx((foot, right, top, None))
    (told,) = result.findings
    assert (told.code, told.severity) == ("sewing-line", Severity.NOTE)
    # Closed along the fold it gives the same.
    closed = found(drawn(CUT), drawn(polygon(*corners(line))))
    assert allowances(closed)[0] == pytest.approx((foot, right, top, 0.0))


def corners(line: Path) -> list[complex]:
    control = line.segments.control
    return [*control[:, 0].tolist(), complex(control[-1, 1])]


@given(gaps, gaps)
def test_from_a_hem_to_the_fold_both_are_without_one(right: float, top: float) -> None:
    result = found(drawn(CUT), drawn(from_hem_to_fold(right, top)))

    assert allowances(result)[0] == pytest.approx((None, right, top, None))


def test_it_may_be_drawn_in_parts_on_a_layer_of_its_own() -> None:
    at = corners(from_hem_to_fold(10, 12))
    parts = [
        drawn(polyline(at[1], at[0]), layer="Size 36 sewing"),
        drawn(polyline(at[1], at[2]), layer="Size 36 sewing"),
    ]

    result = found(drawn(CUT, layer="Size 36"), *parts)

    assert allowances(result) == [pytest.approx((None, 10.0, 12.0, None))]
    assert [piece.size for piece in result.pieces] == ["36"]


def test_each_size_of_a_nest_has_its_own_one() -> None:
    lines = []
    for n, size in enumerate(("S", "M", "L")):
        wide, gap = 300 + 10 * n, 8 + n
        lines += [
            drawn(rectangle(wide, 200), layer=f"Size {size}"),
            drawn(
                polyline(
                    complex(0, gap),
                    complex(wide - gap, gap),
                    complex(wide - gap, 200 - gap),
                    complex(0, 200 - gap),
                ),
                layer=f"Size {size}",
            ),
        ]

    result = found(*lines)

    assert allowances(result) == [
        pytest.approx((gap, gap, gap, None)) for gap in (8.0, 9.0, 10.0)
    ]


@pytest.mark.parametrize(
    "line",
    [
        polyline(100 + 200j, 120 + 120j, 140 + 200j),  # a dart
        polyline(30j, 300 + 30j),  # a hem is turned up there
        polyline(200j, 300),  # across
        polyline(100 + 200j, 100 + 100j, 200 + 100j, 200 + 200j),  # a pocket
        polyline(20 + 20j, 20 + 180j),  # inside, alone
        polyline(12j, 288 + 12j, 270 + 188j, 188j),  # slanting
    ],
)
def test_other_lines_that_end_on_the_outline_are_none(line: Path) -> None:
    result = found(drawn(CUT), drawn(line))

    assert (allowances(result), result.findings) == ([None], ())


def test_a_row_that_is_called_topstitching_is_none() -> None:
    for name in ("topstitch", "top stitching", "Top-stitch 5 mm"):
        result = found(drawn(CUT), drawn(from_fold_to_fold(5, 5, 5), label=name))

        assert (allowances(result), result.findings) == ([None], ())


def test_two_that_may_be_the_one_are_left_to_the_person() -> None:
    lines = [
        drawn(CUT),
        drawn(from_fold_to_fold(10, 10, 10), label="a", where="test.svg: line 2"),
        drawn(from_fold_to_fold(15, 15, 15), label="b", where="test.svg: line 3"),
    ]

    result = found(*lines)

    assert allowances(result) == [None]
    (told,) = result.findings
    assert (told.code, told.severity) == ("open-sewing-line", Severity.WARNING)
    assert "sewing_lines" in told.message
    chosen = found(*lines, sewing_lines="label:b")
    assert allowances(chosen) == [pytest.approx((15.0, 15.0, 15.0, None))]
    assert chosen.findings == ()


@pytest.mark.parametrize(
    ("marks", "selector"),
    [
        ({"label": "sewing line"}, "label:sewing line"),
        ({"layer": "Stitching lines"}, "layer:Stitching lines"),
        ({"classes": ("seamline",)}, "class:*seamline*"),
    ],
)
def test_what_is_called_a_sewing_line_and_not_measured_is_one_warning(
    marks: dict[str, Any], selector: str
) -> None:
    """Seams at the sides only, drawn from end to end."""
    lines = [
        drawn(CUT, layer="Cut"),
        *(
            drawn(polyline(x, x + 200j), **{"layer": "Seams", **marks})
            for x in (12 + 0j, 290 + 0j)
        ),
    ]

    result = found(*lines)

    assert allowances(result) == [None]
    (told,) = result.findings
    assert told.severity is Severity.WARNING
    assert told.message == (
        "2 open lines inside outlines may be sewing lines and are not measured; if so, "
        f'write sewing_lines = ["{selector}"] in the job file'
    )
    # What it says helps.
    chosen = found(*lines, sewing_lines=selector)
    assert allowances(chosen) == [pytest.approx((None, 10.0, None, 12.0))]
    assert chosen.findings == ()


def test_a_layer_that_outlines_lie_on_as_well_tells_nothing() -> None:
    dart = polyline(100 + 200j, 120 + 120j, 140 + 200j)

    result = found(
        drawn(CUT, layer="Sewing pattern"), drawn(dart, layer="Sewing pattern")
    )

    assert (allowances(result), result.findings) == ([None], ())


def test_what_the_job_file_chooses_counts_alone() -> None:
    lines = [
        drawn(CUT, label="cut"),
        drawn(from_fold_to_fold(10, 10, 10), label="sewing"),
    ]

    assert allowances(found(*lines, cut_lines="label:cut")) == [None]
    assert allowances(found(*lines, ignore="label:sewing")) == [None]


def test_a_closed_sewing_line_is_the_only_one() -> None:
    closed = polygon(5 + 5j, 295 + 5j, 295 + 195j, 5 + 195j)

    result = found(drawn(CUT), drawn(closed), drawn(from_fold_to_fold(10, 10, 10)))

    assert allowances(result) == [pytest.approx((5.0,) * 4)]


def test_an_outline_without_the_fold_it_shares_is_no_sewing_line() -> None:
    """The sizes lie on one fold line, which is drawn with the largest only."""
    result = found(
        drawn(CUT, layer="Size M"),
        drawn(from_fold_to_fold(10, 10, 10), layer="Size S"),
    )

    assert allowances(result) == [None]


def narrow(label: str) -> tuple[DrawnLine, DrawnLine]:
    """Half a collar, 40 mm wide at the fold, and its sewing line, 20 mm."""
    line = polyline(10j, 290 + 10j, 290 + 30j, 30j)
    return drawn(rectangle(300, 40)), drawn(line, label=label)


def test_that_of_a_narrow_half_is_no_outline_that_is_nearly_closed() -> None:
    assert allowances(found(*narrow("sewing line"))) == [
        pytest.approx((10.0, 10.0, 10.0, None))
    ]
    with pytest.raises(BrokenOutline, match=r"is open: 20\.00 mm"):
        found(*narrow("collar"))


def test_a_sewing_line_that_alone_is_drawn_must_be_closed() -> None:
    line = polyline(0, 300, 300 + 200j, 200j, 3j)

    with pytest.raises(BrokenOutline, match=r"is open: 3\.00 mm"):
        found(drawn(line, label="sewing line"))


def test_a_neck_is_bound_on_the_sewing_line(tmp_path: FilePath) -> None:
    """A neck of 70 mm with 10 mm to it, at a shoulder seam of 10 mm."""
    low = math.sqrt(80**2 - 10**2)
    sewing = f"M0,580 H290 V210 H{low:.9f} A80,80 0 0 1 0,280"
    release = release_of(
        tmp_path,
        '<path id="front" d="M0,600 H300 V200 H70 A70,70 0 0 1 0,270 Z"/>'
        f'<path id="line1" d="{sewing}"/>',
        """
seam_allowance = "15 mm"
[[tapes]]
name = "main"
finished_width = "6 mm"
[[pieces]]
name = "front"
fold_edge = 5
hem = [1]
[[runs]]
name = "neck"
tape = "main"
edges = ["front 4"]
""",
    )

    (run,) = release.sizes[0].runs
    half = 80 * (math.pi / 2 - math.asin(10 / 80))
    assert run.run.length == pytest.approx(2 * half, abs=2e-3)
