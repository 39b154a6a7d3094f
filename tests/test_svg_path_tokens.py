import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.errors import DrawingError
from edgefinder.importers.svg import path_entries
from edgefinder.importers.svg.path_tokens import Tokens, read_tokens


def tokens(*texts: str) -> Tokens:
    return read_tokens([text.encode() for text in texts])


def values(*texts: str) -> list[float]:
    read = tokens(*texts)
    assert read.is_plain.all()
    return [float(value) for value in read.value]


def test_commands_come_with_their_numbers_and_their_path() -> None:
    read = tokens("M1 2L3,4 5 6z", "m7 8h9")

    assert bytes(read.letter) == b"MLzmh"
    assert read.repeats.tolist() == [1, 2, 1, 1, 1]
    assert read.first.tolist() == [0, 2, 6, 6, 8]
    assert read.path.tolist() == [0, 0, 0, 1, 1]
    assert read.value.tolist() == [1, 2, 3, 4, 5, 6, 7, 8, 9]


def test_as_many_numbers_as_all_commands_take_are_not_enough() -> None:
    # An arc has one of its numbers, and the others follow the closing.
    read = tokens("M1 2A3z4 5 0 1 8 9", "M1 2L3z4", "M1L2 3 4", "M1 2L3 4")

    assert read.is_plain.tolist() == [False, False, False, True]
    assert not tokens("M1 2A3z4 5 0 1 8 9").is_plain.any()
    assert not tokens("M1L2 3 4").is_plain.any()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("M1-2", [1, -2]),
        ("M.5.5", [0.5, 0.5]),
        ("M1.5.5", [1.5, 0.5]),
        ("M-.5-.5", [-0.5, -0.5]),
        ("M+1+.5", [1, 0.5]),
        ("M1.5.5-3e-2.5", [1.5, 0.5, -0.03, 0.5]),
        ("M1e2e3", None),
        ("M1e1.5", [10, 0.5]),
        ("M1.e1 2.", [10, 2]),
        ("M1E+1,1e-1", [10, 0.1]),
        ("M 00012 -0", [12, 0]),
        ("M\t1\n2\r\f", [1, 2]),
        ("M1 , 2", [1, 2]),
        ("M1 ,-2", [1, -2]),
        ("M1,.5", [1, 0.5]),
        ("M12345678 0.12345678", [12345678, 0.12345678]),
        ("M123456789.123456 1", [123456789.123456, 1]),
    ],
)
def test_numbers_are_parted_as_the_grammar_parts_them(
    text: str, expected: list[float] | None
) -> None:
    read = tokens(text)

    assert read.is_plain.all() == (expected is not None)
    if expected is not None:
        assert read.value.tolist() == expected


def test_numbers_of_up_to_15_digits_are_bit_for_bit_those_of_python() -> None:
    chance = random.Random(5)  # noqa: S311 - a test
    written = []
    for _ in range(20_000):
        digits = chance.randint(1, 15)
        text = str(chance.randrange(10**digits)).zfill(digits)
        point = chance.randint(0, digits)
        if point < digits or chance.random() < 0.3:
            text = f"{text[:point]}.{text[point:]}"
        if chance.random() < 0.2:
            text += chance.choice("eE") + str(chance.randint(-7, -1))
        # The largest number that is read is 1e12.
        if abs(float(text)) < 1e12:
            written.append(chance.choice(["-", "+", ""]) + text)
    written = written[: len(written) // 2 * 2]

    read = values("M" + " ".join(written))

    assert read == [float(text) for text in written]


@given(
    st.lists(
        st.floats(-1e11, 1e11).map(repr).filter(lambda text: "e-3" not in text),
        min_size=2,
        max_size=40,
    )
)
def test_longer_numbers_are_right_to_their_last_bits(written: list[str]) -> None:
    written = written[: len(written) // 2 * 2]

    read = values("M" + ",".join(written))

    for value, text in zip(read, written, strict=True):
        assert abs(value - float(text)) <= 2 * math.ulp(float(text)) + 1e-22


def test_digits_and_places_say_what_is_written() -> None:
    read = tokens("M12.50-.125 7e1 3e-2")

    assert read.digits.tolist() == [1250, 125, 70, 3]
    assert read.places.tolist() == [2, 3, 0, 2]


def test_a_number_of_very_many_digits_is_read() -> None:
    assert values("M1.00000000000000000001 0.1234567890123456789") == [
        1.0,
        pytest.approx(0.1234567890123456789, rel=1e-15),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "1 2",
        "L1 2",
        "M",
        "M1",
        "M1 2 3",
        "M1 2L",
        "M1 2z3",
        "M1,,2",
        "M,1 2",
        "M1 2,",
        "M1 2,L3 4",
        "M1 2 , , 3 4",
        "M1 - 2",
        "M1 +-2",
        "M1 2-",
        "M1 .",
        "M1 2L.e3 4",
        "M1 2Le3 4",
        "M1 2L3e 4",
        "M1 2L3e+ 4",
        "M1e13 2",
        "M1e400 2",
        "M1 2\0",
        "M1 2x",
        "none",
        "M1 2A1 1 0 2 0 3 3",
        "M1 2A1 1 0 +1 0 3 3",
        "M1 2A1 1 0 1. 0 3 3",
        "M1 2A1 1 0 01 0 3 3",
        "M1 2A1 1 0 0 .1 3 3",
        "M1 2A1 1 0 1e0 0 3 3",
    ],
)
def test_what_is_not_plainly_right_is_left_alone_and_so_are_its_neighbours(
    text: str,
) -> None:
    read = tokens("M1 2", text, "M3 4L5 6")

    assert read.is_plain.tolist() == [True, False, True]
    assert read.path.tolist() == [0, 2, 2]
    numbers = [
        read.value[first : first + 2 * repeats].tolist()
        for first, repeats in zip(read.first, read.repeats, strict=True)
    ]
    assert numbers == [[1, 2], [3, 4], [5, 6]]


@pytest.mark.parametrize("text", ["", " ", "\n\t"])
def test_nothing_at_all_is_plain(text: str) -> None:
    read = tokens(text, "M1 2", text)

    assert read.is_plain.all()
    assert read.path.tolist() == [1]


def test_flags_that_stand_apart_are_plain_and_flags_run_together_are_not() -> None:
    apart = "M0 0A5 5 0 1,0 9 9 5 5 0 0 1-9-9"
    together = "M0 0A5 5 0 10 9 9"

    assert tokens(apart, together).is_plain.tolist() == [True, False]


def test_more_signs_than_can_be_told_apart_at_once_are_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(path_entries, "MAX_ENTRIES", 100)

    with pytest.raises(DrawingError, match="more than 100 signs"):
        tokens("M" + " " * 100)


def test_some_of_the_commands_can_be_taken() -> None:
    read = tokens("M1 2L3 4", "M5 6")

    taken = read.taken(np.array([False, True, True]))

    assert bytes(taken.letter) == b"LM"
    assert taken.first.tolist() == [2, 4]
    assert taken.value is read.value
