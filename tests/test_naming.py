from dataclasses import replace

import pytest
from drawn import drawing, drawn
from shapes import polyline, rectangle

from edgefinder.importers.drawing import DrawnLine
from edgefinder.pattern.name_pattern import parse_name_pattern
from edgefinder.pattern.naming import Title, size_of, title_of
from edgefinder.pattern.selectors import parse_selector
from edgefinder.pattern.settings import FindingSettings, SizeSource

NOTHING = ""
"""The name of a piece that nothing names."""


def line(
    *,
    id: str | None = None,  # noqa: A002 - it is called so in drawings
    kind: str = "path",
    layer: str | None = None,
    groups: tuple[str, ...] | None = None,
    label: str | None = None,
) -> DrawnLine:
    around = groups if groups is not None else (layer,) if layer else ()
    return drawn(
        rectangle(100, 50), id=id, kind=kind, layer=layer, groups=around, label=label
    )


def title(*lines: DrawnLine, sizes: SizeSource = SizeSource.AUTO) -> Title:
    return title_of(
        lines,
        drawing(*lines, name="smock-M.svg"),
        FindingSettings(sizes=sizes),
    )


@pytest.mark.parametrize(
    ("one", "name"),
    [
        (line(), NOTHING),
        (line(layer="front"), "front"),
        (line(id="back", layer="Layer 1"), "back"),
        (line(id="path1234", layer="front"), "front"),
        (line(id="path12-3-4", layer="front"), "front"),
        (line(id="rect7"), NOTHING),
        (line(id="svg_3", layer="pocket"), "pocket"),
        (line(id="path9", layer="M", groups=("M", "front", "g204")), "front"),
        (line(id="back", label="Back bodice", layer="front"), "Back bodice"),
        (line(id="back", layer="All", groups=("All", "front")), "front"),
        (line(layer="All", groups=("All", "front", "left")), "left"),
        # A DXF handle is not a name, however it reads.
        (line(id="FACE", kind="LWPOLYLINE", layer="front"), "front"),
        (line(label="  Front \t bodice "), "Front bodice"),
        (line(label="front 2"), "front 2"),
        (line(label="Vorderteil 前 ½"), "Vorderteil 前 ½"),
        (line(label='the "good" one'), 'the "good" one'),
        (line(label="front\u202e2"), "front 2"),
    ],
)
def test_the_name_comes_from_what_says_most_about_the_line(
    one: DrawnLine, name: str
) -> None:
    assert title(one) == Title(name, None)


@pytest.mark.parametrize(
    ("layer", "size"),
    [
        ("Size S", "S"),
        ("size 10", "10"),
        ("SIZE_XL", "XL"),
        ("Size-10/12", "10/12"),
        ("size: 4", "4"),
        ("Size10", "10"),
        ("SizeS", "S"),
        ("Sizes", None),
        ("SIZES", None),
        ("size", None),
        ("Full size front", None),
        ("front", None),
        ("oversize", None),
    ],
)
def test_a_layer_called_size_is_a_size(layer: str, size: str | None) -> None:
    one = line(layer=layer)

    assert size_of(one, drawing(one), FindingSettings()) == size


def test_a_size_may_be_a_group_within_others() -> None:
    one = line(layer="Sizes", groups=("Sizes", "Size M", "front"))

    assert title(one) == Title("front", "M")


@pytest.mark.parametrize(
    "label", ["front S", "front_S", "front-S", "front - s", "S front", "front size S"]
)
def test_the_size_is_taken_off_the_name(label: str) -> None:
    one = line(label=label, layer="Size S")

    assert title(one) == Title("front", "S")


@pytest.mark.parametrize("label", ["fronts", "Sfront", "S-line yoke left"])
def test_a_letter_that_is_part_of_a_word_stays(label: str) -> None:
    one = line(label=label, layer="Size S")

    wanted = "line yoke left" if label.startswith("S-") else label
    assert title(one).name == wanted


def test_a_size_alone_is_no_name() -> None:
    assert title(line(label="S", layer="Size S")) == Title(NOTHING, "S")


def test_a_size_with_signs_of_patterns_is_taken_literally() -> None:
    one = line(label="front 8.(10)", layer="Size 8.(10)")

    assert title(one) == Title("front", "8.(10)")


def test_the_layer_can_be_the_size() -> None:
    one = line(label="front", layer="10")

    assert title(one, sizes=SizeSource.LAYER) == Title("front", "10")
    assert title(one) == Title("front", None)


def test_the_file_can_be_the_size() -> None:
    one = line(label="front smock-M")

    assert title(one, sizes=SizeSource.FILE) == Title("front", "smock-M")


def test_the_job_file_names_pieces_before_anything_else() -> None:
    settings = FindingSettings(names=(("Bib", parse_selector("id:path9")),))
    one = line(id="path9", label="front", layer="Size S")

    said = title_of([one], drawing(one), settings)

    assert said == Title("Bib", "S")


def side(id: str, **marks: str) -> DrawnLine:  # noqa: A002
    return drawn(
        polyline(0, 100),
        id=id,
        layer=marks.get("layer", "front"),
        groups=(
            marks.get("layer", "front"),
            *([marks["group"]] if "group" in marks else []),
        ),
        label=marks.get("label"),
    )


def test_the_id_of_one_of_several_lines_does_not_name_the_piece() -> None:
    assert title(side("neck"), side("hem")) == Title("front", None)


def test_the_label_of_one_of_several_lines_does_not_name_the_piece() -> None:
    joined = (side("a", label="neck"), side("b", label="hem"))

    assert title(*joined) == Title("front", None)


def test_a_block_that_all_lines_stand_in_names_the_piece() -> None:
    joined = (
        side("1A", layer="cut", label="sleeve"),
        side("1B", layer="bound", label="sleeve"),
    )

    assert title(*joined) == Title("sleeve", None)


def test_lines_of_different_groups_are_named_by_the_group_they_share() -> None:
    joined = (side("a", group="cut"), side("b", group="bound"))

    assert title(*joined) == Title("front", None)


def test_lines_of_different_layers_are_named_by_neither() -> None:
    joined = (side("path1", layer="cut"), side("path2", layer="bound"))

    assert title(*joined) == Title(NOTHING, None)


def test_one_line_that_says_the_size_is_enough() -> None:
    joined = (side("path1", layer="Size S"), side("path2", layer="bound"))

    assert title(*joined).size == "S"


def test_lines_of_two_sizes_say_none() -> None:
    joined = (side("path1", layer="Size S"), side("path2", layer="Size M"))

    assert title(*joined).size is None


def test_one_of_several_lines_may_be_matched_by_the_job_file() -> None:
    settings = FindingSettings(names=(("Bib", parse_selector("id:neck")),))
    joined = (side("hem"), side("neck"))

    said = title_of(joined, drawing(*joined), settings)

    assert said.name == "Bib"


def coloured(colour: str | None, **marks: str) -> DrawnLine:
    return drawn(rectangle(100, 50), colour=colour, label=marks.get("label"))


@pytest.mark.parametrize(
    ("colour", "size"),
    [
        ("#ff0000", "red"),
        ("#00ffff", "aqua"),
        ("#d55e00", "#d55e00"),
        (None, None),
    ],
)
def test_the_colour_can_be_the_size(colour: str | None, size: str | None) -> None:
    one = coloured(colour, label="front")

    assert title(one, sizes=SizeSource.COLOUR) == Title("front", size)
    assert title(one) == Title("front", None)


@pytest.mark.parametrize(
    ("key", "one", "sizes"),
    [
        ("#d55e00", coloured("#d55e00"), SizeSource.COLOUR),
        ("#D55E00", coloured("#d55e00"), SizeSource.COLOUR),
        ("rgb(213, 94, 0)", coloured("#d55e00"), SizeSource.COLOUR),
        ("red", coloured("#ff0000"), SizeSource.COLOUR),
        ("#f00", coloured("#ff0000"), SizeSource.COLOUR),
        ("layer  7", line(layer="Layer 7"), SizeSource.LAYER),
        ("Smock-M", line(), SizeSource.FILE),
        ("2t", line(layer="Size 2T"), SizeSource.AUTO),
    ],
)
def test_the_job_file_names_the_sizes_of_a_drawing(
    key: str, one: DrawnLine, sizes: SizeSource
) -> None:
    settings = FindingSettings(
        sizes=sizes, size_names=(("no such", "X"), (key, "Medium"))
    )

    assert size_of(one, drawing(one, name="smock-M.svg"), settings) == "Medium"


NAMES_LIKE = FindingSettings(
    names_like=parse_name_pattern(r"(?P<piece>.+?)[-_](?P<size>\d+|[SML])(?:-cut)?")
)


def like(
    *lines: DrawnLine,
    name: str = "a.svg",
    texts: tuple[str, ...] = (),
    settings: FindingSettings = NAMES_LIKE,
) -> Title:
    return title_of(lines, drawing(*lines, name=name), settings, texts=texts)


@pytest.mark.parametrize(
    "one",
    [
        line(label="front-M"),
        line(id="front_M"),
        line(layer="FRONT-m"),
        line(groups=("All", "front-M-cut", "lines")),
        drawn(rectangle(100, 50), names=("some title", "front-M")),
    ],
)
def test_names_that_are_like_the_pattern_give_piece_and_size(one: DrawnLine) -> None:
    said = like(one)

    assert (said.name.lower(), (said.size or "").upper()) == ("front", "M")
    assert size_of(one, drawing(one), NAMES_LIKE) == said.size


def test_a_text_or_the_file_may_be_like_the_pattern() -> None:
    one = line(label="outline")

    assert like(one, texts=("cut 2", "back-10")) == Title("back", "10")
    assert like(one, name="drawings/sleeve-12.svg") == Title("sleeve", "12")
    assert like(one, texts=("back-10",), name="sleeve-12.svg") == Title("back", "10")
    assert like(one, name="sleeve.svg") == Title("outline", None)


def test_the_name_of_the_line_comes_before_those_around_it() -> None:
    one = line(label="cuff-S", layer="All", groups=("All", "sleeve-M"))

    assert like(one, name="smock-L.svg") == Title("cuff", "S")


def test_match_in_the_job_file_comes_before_the_pattern_and_keeps_its_size() -> None:
    settings = replace(NAMES_LIKE, names=(("Bib", parse_selector("label:front*")),))

    assert like(line(label="front-M"), settings=settings) == Title("Bib", "M")


def test_a_size_of_the_pattern_is_renamed_too() -> None:
    settings = replace(NAMES_LIKE, size_names=(("m", "Medium"),))

    assert like(line(label="front-M"), settings=settings) == Title("front", "Medium")


def test_the_label_of_one_of_several_lines_is_not_like_the_pattern() -> None:
    joined = (side("a", label="neck-1"), side("b", label="hem-2"))

    assert like(*joined) == Title("front", None)


@pytest.mark.parametrize(
    ("label", "name", "size"),
    [
        ("Size M", NOTHING, "M"),
        ("front, size 10", "front", "10"),
        ("front size 2XL", "front", "2XL"),
        ("Front (size 10/12)", "Front", "10/12"),
        ("full size front", "full size front", None),
        ("oversize M", "oversize M", None),
        ("size chart", NOTHING, None),
        ("front M", "front M", None),
    ],
)
def test_a_label_may_end_with_the_size(label: str, name: str, size: str | None) -> None:
    assert title(line(label=label)) == Title(name, size)


def test_any_name_that_the_drawing_offers_may_say_the_size() -> None:
    one = drawn(rectangle(100, 50), label="bib", names=("bib", "bib-1", "Size 4"))

    assert title(one) == Title("bib", "4")


def test_the_size_of_the_layer_comes_before_that_of_the_label() -> None:
    assert title(line(label="front size 4", layer="Size 6")).size == "6"
