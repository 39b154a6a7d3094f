import random
import re
import warnings
from collections.abc import Sequence
from decimal import Decimal
from itertools import accumulate
from typing import Final

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.errors import DrawingError
from edgefinder.geometry.segments import Complexes, Kind
from edgefinder.importers.svg import path_table
from edgefinder.importers.svg.path_data import read_path_data
from edgefinder.importers.svg.path_table import read_plain_paths
from edgefinder.importers.svg.subpath import Strokes, strokes_of

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from svgpathtools import CubicBezier, QuadraticBezier
    from svgpathtools import Path as OtherPath
    from svgpathtools import parse_path as parse_path_again

NUMBERS: Final = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2}
NUMBERS_WITH_ALL: Final = NUMBERS | {"A": 7, "Z": 0}
FORMATS: Final = ("%.0f", "%.1f", "%.3f", "%.6f", "%.10f", "%.2e", "%.17g")


class Writer:
    """Writes path data in all the ways in which it may be written."""

    def __init__(self, seed: int) -> None:
        self._chance = random.Random(seed)  # noqa: S311 - a test

    def path(self, letters: str) -> str:
        text = self._command("M", 2)
        for _ in range(self._chance.randint(0, 12)):
            letter = self._chance.choice(letters)
            text += self._command(letter, NUMBERS_WITH_ALL[letter])
        return text

    def _command(self, letter: str, count: int) -> str:
        text = self._chance.choice([letter, letter.lower()])
        for _ in range(self._chance.randint(1, 3) if count else 0):
            for place in range(count):
                is_flag = letter == "A" and place in {3, 4}
                number = self._chance.choice("01") if is_flag else self._number()
                text += self._gap(text, number) + number
        return text + self._chance.choice(["", " ", "\n"])

    def _number(self) -> str:
        number = self._chance.choice(FORMATS) % self._chance.uniform(-100, 100)
        if self._chance.random() < 0.3:
            number = re.sub(r"^(-?)0\.", r"\1.", number)
        if self._chance.random() < 0.1 and number[0] not in "-.":
            number = "+" + number
        return number

    def _gap(self, before: str, number: str) -> str:
        if before[-1] not in "0123456789.":
            return self._chance.choice(["", " ", "\t"])
        last = re.split(r"[^0-9.eE]", before)[-1]
        may_touch = number[0] in "+-" or (number[0] == "." and "." in last)
        gaps = [" ", ",", " ,", ", ", " , ", "\r\n", *([""] * 4 if may_touch else [])]
        return self._chance.choice(gaps)


def table_of(tables: Sequence[Strokes], owner: int) -> Strokes:
    """Return the subpaths of one text."""
    for table in tables:
        chosen = np.flatnonzero(table.owner == owner)
        if chosen.size:
            stops = table.stops[chosen]
            rows = np.concatenate(
                [
                    np.arange(stop - count, stop)
                    for stop, count in zip(stops, table.counts[chosen], strict=True)
                ]
            )
            return Strokes(
                table.kind[rows],
                table.control[rows],
                np.cumsum(table.counts[chosen]),
                table.is_closed[chosen],
                table.owner[chosen],
            )
    return strokes_of([])


def read_one(text: str) -> Strokes:
    tables, is_plain = read_plain_paths([text.encode()])
    assert is_plain.all()
    return table_of(tables, 0)


def assert_same(mine: Strokes, other: Strokes, tolerance: float = 1e-12) -> None:
    np.testing.assert_array_equal(mine.kind, other.kind)
    np.testing.assert_array_equal(mine.stops, other.stops)
    np.testing.assert_array_equal(mine.is_closed, other.is_closed)
    size = 1 + np.abs(other.control).max(initial=0)
    np.testing.assert_allclose(
        mine.control, other.control, rtol=0, atol=tolerance * size
    )


@pytest.mark.parametrize("letters", ["MLHVCSQTAZ", "MLCZ", "CS", "QT", "HVLZ", "AZM"])
@pytest.mark.parametrize("seed", range(5))
def test_thousands_of_paths_are_read_as_step_by_step(letters: str, seed: int) -> None:
    writer = Writer(seed)
    texts = [writer.path(letters) for _ in range(100)]

    tables, is_plain = read_plain_paths([text.encode() for text in texts])

    assert is_plain.all()
    for owner, text in enumerate(texts):
        slow = strokes_of((owner, one) for one in read_path_data(text))
        # An arc takes a small change of its ends for a larger one of its centre.
        assert_same(table_of(tables, owner), slow, 1e-9 if "A" in letters else 1e-12)


def points_of(path: OtherPath) -> Complexes:
    rows = []
    for segment in path:
        points = list(segment.bpoints())
        if isinstance(segment, QuadraticBezier):
            points = CubicBezier(
                points[0],
                (points[0] + 2 * points[1]) / 3,
                (2 * points[1] + points[2]) / 3,
                points[2],
            ).bpoints()
        if len(set(points)) > 1:
            rows.append([*points, 0, 0][:4])
    return np.array(rows, dtype=np.complex128).reshape(-1, 4)


@pytest.mark.parametrize("seed", range(10, 20))
def test_thousands_of_paths_have_the_points_that_svgpathtools_gives_them(
    seed: int,
) -> None:
    writer = Writer(seed)
    texts = [writer.path("".join(NUMBERS)) for _ in range(100)]

    tables, is_plain = read_plain_paths([text.encode() for text in texts])

    assert is_plain.all()
    for owner, text in enumerate(texts):
        other = points_of(parse_path_again(text))
        mine = table_of(tables, owner).control
        assert mine.shape == other.shape
        size = 1 + np.abs(other).max(initial=0)
        np.testing.assert_allclose(mine, other, rtol=0, atol=1e-12 * size)


@pytest.mark.parametrize(("letter", "step"), [("L", 1), ("C", 3)])
def test_absolute_points_are_bit_for_bit_those_that_are_written(
    letter: str, step: int
) -> None:
    chance = np.random.default_rng(3)
    written = [f"{number:.5f}" for number in chance.uniform(-2000, 2000, 3002)]

    table = read_one(f"M{' '.join(written[:2])}{letter}{' '.join(written[2:])}")

    numbers = [float(number) for number in written]
    points = list(map(complex, numbers[::2], numbers[1::2]))
    assert table.control[:, 0].tolist() == points[:-1:step]
    assert table.control[-1, step] == points[-1]


def test_a_long_sum_of_relative_steps_comes_back_exactly() -> None:
    # In floats 0.1 + 0.2 is not 0.3, and a thousand of them are further off.
    there = "l0.1 0.7" * 3000
    back = "l-0.1-.7" * 3000
    far = "h.003" * 1000

    table = read_one(f"m12.3-45.6{there}{back}{far}h-3z")

    assert table.is_closed.tolist() == [True]
    assert table.control[-1, 1] == 12.3 - 45.6j
    assert table.control[2999, 1] == 312.3 + 2054.4j


def test_relative_steps_of_very_different_size_keep_their_digits() -> None:
    table = read_one("m1000000 0l1e-9 0 0.123456789012345678 0-1000000 1e-17")

    end = table.control[:, 1]
    assert end[0] == 1000000.000000001
    assert end[2].real == pytest.approx(0.123456790012345678, rel=1e-12)


@pytest.mark.parametrize("digits", [9, 12, 13])
def test_sums_of_steps_are_bit_for_bit_those_of_decimals(digits: int) -> None:
    chance = random.Random(digits)  # noqa: S311 - a test
    whole = [chance.randrange(-(10**digits), 10**digits) for _ in range(200)]
    steps = [Decimal(number).scaleb(-9) for number in whole]
    text = "".join(f"h{step:f}v{-step:f}" for step in steps)

    end = read_one(f"m0 0{text}").control[:, 1]

    places = [float(place) for place in accumulate(steps)]
    assert end.real[::2].tolist() == places
    assert (-end.imag[1::2]).tolist() == places


def test_a_step_of_sixteen_digits_is_gone_back_to_the_last_of_them() -> None:
    table = read_one("m0 0h1234567.123456789v1h-1234567.123456788")

    assert table.control[-1, 1] == 1e-9 + 1j


def test_what_a_wrong_path_holds_does_not_change_its_neighbours() -> None:
    right = "m1 1001v1e-3h.1"
    alone = read_one(right)

    for wrong in ("M1e400 0", "M1e11 0L5", "L1 1", "M.000000000000000001 1,"):
        tables, is_plain = read_plain_paths([wrong.encode(), right.encode()])

        assert is_plain.tolist() == [False, True]
        assert_same(table_of(tables, 1), alone, 0)


def test_subpaths_after_a_closing_begin_where_it_went_back_to() -> None:
    table = read_one("m10 10h5v5zm1 1h1z l2 3 z z M0 0 v1")

    assert table.control[table.stops - table.counts, 0].tolist() == [
        10 + 10j,
        11 + 11j,
        11 + 11j,
        0,
    ]
    assert table.is_closed.tolist() == [True, True, True, False]


def test_only_what_follows_a_curve_of_its_kind_mirrors_its_handle() -> None:
    table = read_one("M0 0C1 1 2 2 4 0S6 3 8 0 Q10 2 12 0T16 0S17 1 18 0M0 0T2 2")

    # Raised to a cubic, a quadratic's first inner point is a third of the way less.
    second, third, fourth, fifth, last = table.control[1:]
    assert second[1] == 6 - 2j
    assert third[1] == pytest.approx(8 + (2 + 2j) * 2 / 3)
    assert fourth[1] == pytest.approx(12 + (2 - 2j) * 2 / 3)
    assert fifth[1] == 16
    assert last[1] == 0


def test_steps_without_extent_are_dropped_and_empty_subpaths_with_them() -> None:
    table = read_one("M0 0L0 0H0M5 5zM1 1C1 1 1 1 1 1A3 3 0 1 1 1 1L2 1")

    assert table.kind.tolist() == [Kind.LINE]
    assert table.control[0, :2].tolist() == [1 + 1j, 2 + 1j]
    # A cubic that comes back to its start is none of these.
    assert len(read_one("M0 0C5 5 5-5 0 0").kind) == 1
    assert len(read_one("m0 0c0 0 5-5 0 0").kind) == 1


@pytest.mark.parametrize("letters", ["MLCZ", "MLHVCSQTAZ"])
def test_a_path_is_read_alone_as_among_others(letters: str) -> None:
    writer = Writer(77)
    texts = [writer.path(letters) for _ in range(60)]

    tables, _ = read_plain_paths([text.encode() for text in texts])

    for owner, text in enumerate(texts):
        assert_same(table_of(tables, owner), read_one(text), 1e-13)


def test_no_text_at_all_has_no_strokes() -> None:
    tables, is_plain = read_plain_paths([])

    assert tables == []
    assert is_plain.size == 0


def test_more_steps_than_can_be_taken_at_once_are_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(path_table, "MAX_STEPS", 100)

    with pytest.raises(DrawingError, match="draws more than 100 segments"):
        read_plain_paths([b"M0 0" + b"h1" * 100])


FRAGMENTS: Final = [
    *"MmLlHhVvZzCcSsQqTtAa0125",
    *("01", "1e0", "-3", "5.", ".5", "+2", "1e2", "1e-3 ", ".e3", "1.e3", "e", "E"),
    *(" ", ",", " , ", ".", "-", "+", "..", "\n", "x", "1e400", "\0"),
    *("M0 0", "A5 5 0 1 0 9 9", "a1 1 0 01 3 3", " 1 2", "3,4"),
]


@given(st.lists(st.lists(st.sampled_from(FRAGMENTS), max_size=15), max_size=4))
def test_nothing_is_taken_for_plain_that_is_wrong(paths: list[list[str]]) -> None:
    texts = ["M1 1" + "".join(path) for path in paths]

    tables, is_plain = read_plain_paths([text.encode() for text in texts])

    for owner, text in enumerate(texts):
        if is_plain[owner]:
            slow = strokes_of((owner, one) for one in read_path_data(text))
            assert_same(table_of(tables, owner), slow, 1e-9)


@given(st.lists(st.sampled_from(FRAGMENTS), max_size=15))
def test_all_that_is_right_is_plain_but_for_flags_run_together(
    fragments: list[str],
) -> None:
    text = "M1 1" + "".join(fragments)

    try:
        read_path_data(text)
    except DrawingError:
        return

    _, is_plain = read_plain_paths([text.encode()])
    assert is_plain.all() or "a" in text.lower()
