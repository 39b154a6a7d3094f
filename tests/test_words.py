"""Runs in words, by the built-in template and by one's own."""

from pathlib import Path

import pytest
from command_line import APRON, SMOCK, assert_fits, assert_printable, refused, run
from sheet_cases import HOSTILE, hostile_release, made, outline, run_of

from edgefinder.reports.amounts import to_cut
from edgefinder.reports.instructions.instructions_text import (
    default_template,
    instructions_text,
)
from edgefinder.reports.instructions.run_facts import run_facts
from edgefinder.schedule.release import release_from_file
from edgefinder.units import Unit

RECTANGLE = outline("M 100 400 L 400 400 L 400 200 L 100 200 Z", "bib")


def words(*options: str | Path) -> str:
    said = run("words", *options)
    assert said.exit_code == 0, said.err
    return said.out


def flat(text: str) -> str:
    return " ".join(text.split())


def test_every_run_says_its_tape_its_lengths_and_its_pieces_in_order() -> None:
    release = release_from_file(APRON)
    text = flat(words(APRON))

    for i, row in enumerate(release.sizes[0].runs):
        lengths = ", ".join(
            f"size {size.size} {to_cut(size.runs[i].tape_length.total, Unit.INCH)}"
            for size in release.sizes
        )
        assert f"Cut to length: {lengths}." in text
        assert row.run.name in text
    assert "Bind in this order: back 6, back 7, back 1." in text
    assert "At the outside corner after back 6: fold a mitre." in text
    assert "At the inside corner after pocket 3: fold a mitre." in text
    assert "Start: caught in a seam. End: turned under. Turn 3/8 in under." in text
    assert "front 4, inside curve (size S): stretch the tape round it" in text
    assert "back 1, outside curve (size S, M, L, XL): shape the tape with" in text
    assert "in size S it will not lie quite flat at this width" in text


def test_a_closed_run_is_joined_and_has_no_ends() -> None:
    text = flat(words(SMOCK, "--run", "armholes"))

    assert "Leave 7.5 cm of tape loose at the start and at the finish." in text
    assert "Join the ends with a diagonal seam" in text
    assert "Start:" not in text
    assert "Sew it 2 times" in text


def test_a_run_without_ties_says_nothing_of_the_ties_of_another() -> None:
    text = flat(words(SMOCK, "--run", "armholes"))

    assert "Caution: rotary cutter" in text
    assert "ties" not in text
    whole = flat(words(SMOCK))
    assert 'run "neck" ends in ties on children' in whole
    assert "you sell" not in whole
    assert "wearer" not in whole


def test_ties_say_how_long_they_are_and_what_the_rules_on_cords_are() -> None:
    text = flat(words(SMOCK, "--run", "neck"))

    assert "Each tie is 30.0 cm long." in text
    assert 'Caution: run "neck" ends in ties on children\'s clothing' in text


def test_both_units_stand_side_by_side_on_request() -> None:
    assert "0.6 cm (1/4 in) finished" in flat(words(SMOCK, "--both-units"))
    assert "(" not in flat(words(APRON)).split("Cut to length")[0]
    assert "3/8 in (0.95 cm) finished" in flat(words(APRON, "--both-units"))


def test_only_the_runs_and_sizes_that_are_asked_for() -> None:
    text = words(APRON, "--run", "front neck", "--size", "M", "--size", "L")

    assert text.startswith("front neck\n----------\n")
    assert "armholes" not in text
    assert "Cut to length: size M 12 1/2 in, size L 13 in." in flat(text)


def test_lines_fit_the_page() -> None:
    for job in (APRON, SMOCK):
        assert_fits(words(job, "--both-units"))


def test_a_clipped_corner_is_clipped_and_not_mitred(tmp_path: Path) -> None:
    body = outline("M 100 400 L 400 400 L 400 200 L 250 320 L 100 200 Z", "bib")
    more = 'inside_corners = "clip and pull straight"\n'
    numbers = ("bib 3", "bib 4")
    release = made(tmp_path, body, run_of("v", *numbers, more=more))

    text = flat(instructions_text(run_facts(release), ()))

    assert "At the inside corner after bib 3: clip the cloth" in text
    assert "fold a mitre" not in text


def test_a_run_that_is_not_there_is_named_with_the_nearest() -> None:
    assert refused("words", APRON, "--run", "armhole") == [
        '--run: there is no run "armhole"; did you mean "armholes"?'
    ]


def test_a_pattern_without_sizes_is_told_without_them(tmp_path: Path) -> None:
    release = made(tmp_path, RECTANGLE, run_of("top", "bib 1"))

    text = flat(instructions_text(run_facts(release), ()))

    assert "Cut to length: 320 mm." in text
    assert "size" not in text


# Templates


def test_the_built_in_template_is_printed_and_gives_the_same_words(
    tmp_path: Path,
) -> None:
    own = tmp_path / "run.txt"
    own.write_text(run("words", "--show-template").out, "utf-8")

    assert own.read_text("utf-8") == default_template()
    assert words(APRON, "--template", own) == words(APRON)


def test_a_template_of_ones_own_says_what_it_likes(tmp_path: Path) -> None:
    own = tmp_path / "run.txt"
    own.write_text(
        "{% for run in runs %}\n* {{ run.name }}: {{ run.lengths[0].tape }}\n"
        "{% endfor %}\n",
        "utf-8",
    )

    assert words(APRON, "--template", own, "--size", "S").splitlines() == [
        "* front neck: 11 7/8 in",
        "* armholes: 18 7/8 in",
        "* front hem: 36 1/4 in",
        "* back edges: 54 3/4 in",
        "* pocket opening: 11 in",
    ]


@pytest.mark.parametrize(
    ("template", "message"),
    [
        ("one\n{% for run in %}", "line 2: "),
        ("{{ run.nmae }}", "'run' is undefined"),
        ("{% for run in runs %}{{ run.nmae }}{% endfor %}", "has no attribute 'nmae'"),
        ("{{ runs.__class__.__mro__ }}", "unsafe"),
        ("{{ 1 / 0 }}", "division by zero"),
        ("{% include 'x.txt' %}", "no loader"),
        ("{% for i in range(10 ** 9) %}{% endfor %}", "too big"),
    ],
)
def test_a_template_that_cannot_be_followed_is_told_in_one_line(
    tmp_path: Path, template: str, message: str
) -> None:
    own = tmp_path / "run.txt"
    own.write_text(template, "utf-8")

    (error,) = refused("words", APRON, "--template", own)

    assert error.startswith(f"{own}: ")
    assert message in error


def test_a_template_that_is_no_text_or_not_there_is_told(tmp_path: Path) -> None:
    own = tmp_path / "run.txt"
    assert "there is no such file" in refused("words", APRON, "--template", own)[0]

    own.write_bytes(b"\xff\xfe\xfa")
    assert "is not text in UTF-8" in refused("words", APRON, "--template", own)[0]


def test_hostile_names_are_not_taken_for_templates(tmp_path: Path) -> None:
    release = hostile_release(tmp_path)

    text = instructions_text(run_facts(release), release.cautions)

    assert_printable(text)
    assert HOSTILE[2] in flat(text)
    assert HOSTILE[5] in flat(text)
