"""Labels of pictures keep apart, whatever the piece looks like."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.reports.picture.labels import (
    LONGEST_LABEL,
    Frame,
    Label,
    Wanted,
    place_labels,
    short,
)

SCALE = 5.0

anchors = st.complex_numbers(max_magnitude=100.0, allow_nan=False)
labels_wanted = st.lists(
    st.builds(
        Wanted,
        text=st.text(min_size=1, max_size=40),
        at=anchors,
        towards=st.floats(0, 6.28).map(lambda a: complex(np.cos(a), np.sin(a))),
        frame=st.sampled_from(list(Frame)),
    ),
    max_size=25,
)


def touch(one: Label, other: Label) -> bool:
    a, b = one.box, other.box
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@given(labels_wanted)
def test_no_two_labels_touch_even_when_all_want_one_place(wanted: list[Wanted]) -> None:
    placed = place_labels(wanted, [], SCALE)

    assert len(placed) == len(wanted)
    for i, one in enumerate(placed):
        assert not any(touch(one, other) for other in placed[:i])


@given(labels_wanted)
def test_the_same_labels_get_the_same_places(wanted: list[Wanted]) -> None:
    assert place_labels(wanted, [], SCALE) == place_labels(wanted, [], SCALE)


def test_a_label_alone_stands_in_the_direction_that_it_prefers() -> None:
    (label,) = place_labels([Wanted("6", 0j, 1j)], [], SCALE)

    left, low, right, _ = label.box
    assert left < 0 < right
    assert low > 0
    assert label.leader is None


def test_a_label_goes_beside_a_line_and_not_over_it() -> None:
    line = np.array([-50 + 8j, 50 + 8j])  # where it would stand above its anchor

    (label,) = place_labels([Wanted("6", 0j, 1j)], [line], SCALE)

    _, low, _, top = label.box
    assert low > 8 or top < 8


def test_a_label_that_is_pushed_away_is_led_back_to_its_anchor() -> None:
    wanted = [Wanted(str(n), 0j, 1j) for n in range(40)]

    far = place_labels(wanted, [], SCALE)[-1]

    assert far.leader is not None
    start, end = far.leader
    assert start == 0j
    left, low, right, top = far.box
    assert left <= end.real <= right
    assert low <= end.imag <= top


@pytest.mark.parametrize(
    ("name", "written"),
    [
        ("neck", "neck"),
        ("a\tb\nc", "a b c"),
        ("x" * 100, "x" * 13 + ".." + "x" * 13),
        ("left front armhole, upper half", "left front ar..e, upper half"),
    ],
)
def test_a_long_name_is_cut_in_the_middle(name: str, written: str) -> None:
    assert short(name) == written
    assert len(short(name)) <= LONGEST_LABEL
