import pytest

from edgefinder.pattern.likely_units import is_likely, likely_units, say_units


@pytest.mark.parametrize(
    ("across", "likely"),
    [(19.9, False), (20.0, True), (3000.0, True), (3001.0, False)],
)
def test_pieces_are_two_centimetres_to_three_metres_across(
    across: float, likely: bool
) -> None:
    assert is_likely(across) is likely


def test_the_likeliest_units_of_a_drawing_in_inches_come_first() -> None:
    # 12 units across: 305 mm in inches, 120 mm in centimetres.
    names = [unit.name for unit in likely_units(12 * 1.0, 1.0)]

    assert names[:2] == ["inches", "centimetres"]
    assert "metres" not in names
    assert "millimetres" not in names


def test_units_that_make_a_usual_size_come_before_those_that_only_may_be() -> None:
    # 4 units across: 102 mm in inches, 40 mm in centimetres, 1.2 m in feet.
    names = [unit.name for unit in likely_units(4.0, 1.0)]

    assert names == ["inches", "feet", "centimetres"]


def test_the_unit_that_was_used_does_not_matter() -> None:
    one, other = likely_units(12.0, 1.0), likely_units(12.0 * 25.4, 25.4)

    assert [unit.name for unit in one] == [unit.name for unit in other]
    assert [unit.largest for unit in one] == pytest.approx([u.largest for u in other])


def test_the_units_are_named_with_the_key_and_the_option() -> None:
    assert say_units(12.0, 1.0) == (
        'give the true unit with --unit-mm or in the job file (drawing_unit = "1 in"): '
        "likely is --unit-mm 25.4 (inches: 305 mm across), or --unit-mm 10 "
        "(centimetres: 120 mm across)"
    )


def test_what_no_usual_unit_mends_is_said() -> None:
    assert say_units(1e12, 1.0).startswith("no usual unit makes a pattern of it; ")
