"""Findings that say the same, put together; numbers with the right words."""

from itertools import chain

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.findings import (
    MOST_PLACES,
    Finding,
    counted,
    grouped,
    note,
    times,
    warning,
)
from edgefinder.reports.layout import findings_lines


def test_like_findings_of_one_file_are_one_line() -> None:
    found = [
        warning("mark-astray", f"u.svg: line {n}", "lies nowhere")
        for n in range(12, 24)
    ]

    assert findings_lines(found) == [
        "warning: u.svg: lines 12, 13, 14, 15, 16, 17 and 6 more: lies nowhere"
    ]


@pytest.mark.parametrize(
    ("wheres", "told"),
    [
        (["a.svg: line 3"], "a.svg: line 3"),
        (["a.svg: line 3", "a.svg: line 3"], "a.svg: line 3"),
        (["a.svg: line 3", "a.svg: line 9"], "a.svg: lines 3 and 9"),
        (["a.dxf, LINE 2A", "a.dxf, ARC 2B"], "a.dxf, LINE 2A and ARC 2B"),
    ],
)
def test_the_places_are_listed(wheres: list[str], told: str) -> None:
    (one,) = grouped([note("code", where, "said") for where in wheres])

    assert one.where == told


findings = st.lists(
    st.builds(
        Finding,
        st.sampled_from(["one", "other"]),
        st.sampled_from(list(type(note("", "", "").severity))),
        st.builds(
            "{}{}".format,
            st.sampled_from(["a.svg: line ", "b.svg: line ", "a.dxf, LINE ", "piece"]),
            st.integers(1, 9),
        ),
        st.sampled_from(["said", "told"]),
    )
)


@given(findings)
def test_nothing_that_differs_is_put_together(found: list[Finding]) -> None:
    together = grouped(found)

    kinds = [(f.code, f.severity, f.message) for f in together]
    assert set(kinds) == {(f.code, f.severity, f.message) for f in found}
    files = [f.where.split(":")[0].split(",")[0] for f in together]
    in_files = [
        (*kind, file)
        for kind, file in zip(kinds, files, strict=True)
        if not file.startswith("piece")
    ]
    assert len(set(in_files)) == len(in_files)
    # What names no place in a file stays as it was, each time.
    stays = [f for f in found if f.where.startswith("piece")]
    assert [f for f in together if f.where.startswith("piece")] == stays


@given(st.sets(st.integers(1, 10_000), min_size=1, max_size=20))
def test_every_place_is_named_or_counted(lines: set[int]) -> None:
    (one,) = grouped([note("code", f"a.svg: line {n}", "said") for n in sorted(lines)])

    words = one.where.removeprefix("a.svg: ").replace(",", " ").split()
    figures = [int(word) for word in words if word.isdecimal()]
    named = figures[: min(len(lines), MOST_PLACES)]
    assert named == sorted(lines)[:MOST_PLACES]
    assert len(named) + sum(figures[len(named) :]) == len(lines)


def test_one_is_counted_in_the_singular() -> None:
    written = [counted(n, "gap") for n in (0, 1, 2)]
    others = [counted(n, "notch", "notches") for n in (1, 2)]

    assert list(chain(written, others)) == [
        "0 gaps",
        "1 gap",
        "2 gaps",
        "1 notch",
        "2 notches",
    ]
    assert [times(n) for n in (1, 2)] == ["once", "2 times"]
