import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgefinder.errors import SettingsError
from edgefinder.pattern.name_pattern import LONGEST_NAME, parse_name_pattern

PLAIN = "(?P<piece>.+)-(?P<size>.+)"


def refused(text: str) -> str:
    with pytest.raises(SettingsError) as caught:
        parse_name_pattern(text)
    (message,) = caught.value.messages
    return message


@pytest.mark.parametrize(
    ("pattern", "name", "said"),
    [
        (PLAIN, "front-M", ("front", "M")),
        (PLAIN, "side-front-10/12", ("side-front", "10/12")),
        (PLAIN, "front", None),
        (PLAIN, "-M", None),
        (r"(?P<size>\d+)_(?P<piece>[a-z]+)", "10_FRONT", ("FRONT", "10")),
        (r"(?P<size>\d+)_(?P<piece>[a-z]+)", "10_front_2", None),
        (r"(?P<piece>front|back) \((?P<size>[SML]+)\)", "back (xl)", None),
        (r"(?P<piece>front|back) \((?P<size>[SML]+)\)", "back (m)", ("back", "m")),
        (r"(?P<piece>.+?)(?:-cut)?-(?P<size>\w{1,3})", "bib-cut-XL", ("bib", "XL")),
        (r"(?P<piece>.+) (?P<size>.+)", "  front   bodice  S ", ("front bodice", "S")),
    ],
)
def test_a_whole_name_gives_the_piece_and_the_size(
    pattern: str, name: str, said: tuple[str, str] | None
) -> None:
    assert parse_name_pattern(pattern).read(name) == said


@pytest.mark.parametrize(
    ("pattern", "words"),
    [
        ("(", "is not a regular expression: missing )"),
        ("(?P<piece>.+", "is not a regular expression"),
        ("(?P<piece>.+)[", "is not a regular expression"),
        ("(?P<piece>.{9999999999999})(?P<size>.)", "is not a regular expression"),
        ("(?P<piece>[[]+)(?P<size>[a--b])", "is not a regular expression: Possible"),
        ("(?P<piece>.+)", 'has no group (?P<size>...); write it like "(?P<piece>'),
        ("(?P<size>.+)", "has no group (?P<piece>...)"),
        ("front-(.+)", "has no group (?P<piece>...) and no group (?P<size>...)"),
        ("x" * 201, "is longer than 200 characters"),
    ],
)
def test_a_bad_pattern_is_one_line(pattern: str, words: str) -> None:
    assert words in refused(pattern)


@pytest.mark.parametrize(
    "piece",
    [
        "(a+)+",
        "(a*)*",
        "(?:a|a)*",
        "(a|ab|b)+",
        "(?:a?){40}",
        "(?:(a+))+?",
        "(?:[a]+b?)*",
        "(a{1,50}){1,50}",
        "(?:.*a){9}",
        "a?" * 27 + "a" * 27,
        ".*" * 9,
    ],
)
def test_a_pattern_that_could_take_for_ever_is_refused(piece: str) -> None:
    assert "could take for ever" in refused(f"(?P<piece>{piece})(?P<size>x)")


@pytest.mark.parametrize(
    "pattern",
    [
        r"(?P<piece>[(+*|]+)\((?P<size>[^)]+)\)",
        r"(?P<piece>.+?)[ _-]+(?:size)? *(?P<size>[0-9]+|[SMLX]+)",
        r"(?P<piece>\w+)(?:-(?:cut|sew))?-(?P<size>XXS|XS|S|M|L|XL|XXL|3XL)",
        r"[0-9]{2}(?P<piece>.+)\+\*(?P<size>.)",
    ],
)
def test_patterns_that_people_write_pass(pattern: str) -> None:
    assert parse_name_pattern(pattern).text == pattern


@pytest.mark.parametrize(
    "pattern",
    [
        "(?P<piece>.*.*.*.*)(?P<size>!)",
        "(?P<piece>a*a*a*a*)b(?P<size>!)",
        "(?P<piece>(?:a|aa)(?:a|aa)(?:a|aa)a*a*a*)(?P<size>!)",
    ],
)
def test_the_worst_pattern_that_passes_ends_soon(pattern: str) -> None:
    assert parse_name_pattern(pattern).read("a" * LONGEST_NAME) is None


def test_a_text_that_is_too_long_for_a_name_is_not_looked_at() -> None:
    pattern = parse_name_pattern(PLAIN)

    assert pattern.read("f" * (LONGEST_NAME - 2) + "-M") is not None
    assert pattern.read("f" * (LONGEST_NAME - 1) + "-M") is None


@given(st.text(max_size=60))
def test_any_text_is_a_pattern_or_a_settings_error(text: str) -> None:
    with contextlib.suppress(SettingsError):
        assert parse_name_pattern(f"(?P<piece>.)(?P<size>{text})").text
