import pytest

from edgefinder.binding.cloth import (
    CLOTH_CLASSES,
    OTHER_NAMES,
    STRAIGHT_OK_SHARE,
    Limits,
    find_cloth,
)
from edgefinder.classifier.job import ClothSettings, Grain
from edgefinder.errors import SettingsError

OWN = ClothSettings("sail", 0.02, 0.05, 0.01, 0.015)

# Working defaults (derived from jam angles and force; the classes from memory), per
# cent: bias stretch ok / limit, bias ease ok / limit, crosswise stretch / ease limit,
# lengthwise stretch / ease limit.
TABLE = {
    "lawn, voile, batiste": "10/20 3/6 3/2 1.5/1",
    "quilting cotton, percale": "8/18 3/5 3/2 1.5/1",
    "poplin, resin-finished shirting": "6/14 2/4 2/1 1/0.5",
    "linen, chambray, oxford": "8/18 3/5 3/2 1.5/1",
    "twill, drill, denim": "5/12 2/3 2.5/1 1.5/0.5",
    "satin, sateen, charmeuse": "10/20 2/4 3/1.5 1.5/1",
    "chiffon, crepe, challis": "15/28 5/8 4/3 2/1.5",
    "wool suiting, flannel": "8/20 6/12 5/6 3.5/4",
    "taffeta, firm polyester lining": "4/10 1/2 1.5/0.5 1/0.3",
}
NAMES = [(name, row) for row in TABLE for name in row.split(", ")]


def percents(*limits: Limits) -> list[float]:
    return [100 * share for limit in limits for share in (limit.stretch, limit.ease)]


@pytest.mark.parametrize(("name", "row"), NAMES)
def test_every_cloth_of_the_table_has_the_figures_of_its_class(
    name: str, row: str
) -> None:
    bias_stretch, bias_ease, crosswise, lengthwise = (
        [float(figure) for figure in cell.split("/")] for cell in TABLE[row].split()
    )

    cloth = find_cloth(name, ())

    assert percents(cloth.bias.ok, cloth.bias.limit) == pytest.approx(
        [bias_stretch[0], bias_ease[0], bias_stretch[1], bias_ease[1]]
    )
    assert percents(cloth.crosswise.limit) == pytest.approx(crosswise)
    assert percents(cloth.lengthwise.limit) == pytest.approx(lengthwise)
    assert cloth.is_default


def test_no_other_cloth_is_known() -> None:
    known = {cloth.name for cloth in CLOTH_CLASSES} | set(OTHER_NAMES)

    assert known == {name for name, _ in NAMES}


@pytest.mark.parametrize("grain", Grain)
def test_what_is_comfortable_is_less_than_the_limit_of_every_class(
    grain: Grain,
) -> None:
    for cloth in CLOTH_CLASSES:
        limits = cloth.along(grain)
        assert 0 < limits.ok.stretch < limits.limit.stretch
        assert 0 < limits.ok.ease < limits.limit.ease
        assert limits.ok.span < limits.limit.span


def test_straight_strips_are_comfortable_up_to_half_of_their_limit() -> None:
    straight = find_cloth("lawn", ()).crosswise

    assert STRAIGHT_OK_SHARE == 0.5
    assert percents(straight.ok) == pytest.approx([1.5, 1.0])


def test_bias_gives_more_than_crosswise_and_crosswise_more_than_lengthwise() -> None:
    for cloth in CLOTH_CLASSES:
        bias, crosswise, lengthwise = (
            cloth.along(grain).limit.span
            for grain in (Grain.BIAS, Grain.CROSSWISE, Grain.LENGTHWISE)
        )
        assert bias > crosswise > lengthwise > 1


def test_the_span_is_the_longest_thread_line_over_the_shortest() -> None:
    assert Limits(0.08, 0.03).span == pytest.approx(108 / 97)
    assert Limits(0.0, 0.0).span == 1.0


@pytest.mark.parametrize("name", ["LAWN", "Quilting Cotton", "Denim"])
def test_the_name_of_a_cloth_is_read_without_case(name: str) -> None:
    assert find_cloth(name, ()) == find_cloth(name.lower(), ())


def test_a_swatch_test_of_ones_own_takes_the_place_of_the_defaults() -> None:
    cloth = find_cloth("Sail", [OWN])

    assert cloth.bias.ok == Limits(0.02, 0.01)
    assert cloth.bias.limit == Limits(0.05, 0.015)
    assert cloth.crosswise == find_cloth("quilting cotton", ()).crosswise
    assert not cloth.is_default


def test_a_cloth_of_ones_own_may_bear_the_name_of_a_class() -> None:
    own = ClothSettings("lawn", 0.01, 0.02, 0.01, 0.02)

    assert find_cloth("lawn", [own]).bias.limit.stretch == 0.02


def test_an_unknown_cloth_names_the_nearest_of_all_names() -> None:
    with pytest.raises(SettingsError) as told:
        find_cloth("chalis", [OWN])
    with pytest.raises(SettingsError) as told_own:
        find_cloth("sall", [OWN])

    assert told.value.messages == (
        'there is no cloth "chalis"; did you mean "challis"?',
    )
    assert '"sail"' in told_own.value.messages[0]
