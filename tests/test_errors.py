import pytest

from edgefinder.classifier.carrying import InDoubtError
from edgefinder.errors import (
    BrokenOutline,
    DrawingError,
    EdgefinderError,
    OutputError,
    SettingsError,
    TagError,
    as_typed,
    did_you_mean,
    one_line,
    told_of,
)


@pytest.mark.parametrize(
    "kind", [DrawingError, BrokenOutline, TagError, SettingsError, OutputError]
)
def test_every_error_for_the_person_has_one_base(kind: type[EdgefinderError]) -> None:
    assert issubclass(kind, EdgefinderError)
    assert kind("one", "two").messages == ("one", "two")


def test_a_broken_outline_is_a_mistake_in_the_drawing() -> None:
    assert issubclass(BrokenOutline, DrawingError)


@pytest.mark.parametrize(
    "character", ["\n", "\r", "\t", "\0", "\x1b", "\x85", "\u2028"]
)
def test_a_name_cannot_break_or_forge_a_line(character: str) -> None:
    error = TagError(f'there is no piece "a{character}error: all is well"')

    (message,) = error.messages

    assert character not in message
    assert len(message.splitlines()) == 1


def test_a_direction_override_cannot_hide_in_a_name() -> None:
    assert one_line("front\u202eknab") == "front knab"


def test_letters_of_all_scripts_stay_as_they_are() -> None:
    assert one_line("Rückenteil 前身頃 ½") == "Rückenteil 前身頃 ½"


def test_the_nearest_name_is_suggested_as_it_is_written() -> None:
    assert did_you_mean("frnot", ["Front", "back"]) == '; did you mean "Front"?'


def test_two_near_names_are_both_suggested() -> None:
    said = did_you_mean("front pocket", ["front pocket L", "front pocket R", "back"])

    assert said.startswith('; did you mean "front pocket ')
    assert " or " in said
    assert "back" not in said


def test_without_a_near_name_all_known_ones_are_listed() -> None:
    said = did_you_mean("xyz", ["front", "back", "strap"])

    assert said == '; known: "front", "back" and "strap"'


def test_one_known_name_is_listed_alone() -> None:
    assert did_you_mean("xyz", ["front"]) == '; known: "front"'


def test_nothing_is_said_where_nothing_is_known() -> None:
    assert did_you_mean("front", []) == ""


def test_a_name_that_stands_twice_is_listed_once() -> None:
    assert did_you_mean("xyz", ["front", "front"]) == '; known: "front"'


def test_a_place_stands_in_front_of_every_mistake_and_its_kind_stays() -> None:
    with pytest.raises(InDoubtError) as caught, told_of("a.toml"):
        raise InDoubtError([], "one", "two")
    assert caught.value.messages == ("a.toml: one", "a.toml: two")
    assert caught.value.doubts == ()

    with pytest.raises(ValueError, match="the program"), told_of("x"):
        raise ValueError("a mistake of the program")


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("apron.toml", "apron.toml"),
        ("my apron.toml", "'my apron.toml'"),
        ("a\nb.toml", "'a b.toml'"),
        ("$(rm x).svg", "'$(rm x).svg'"),
    ],
)
def test_a_file_name_in_a_command_can_be_typed_as_it_stands(
    name: str, typed: str
) -> None:
    assert as_typed(name) == typed
