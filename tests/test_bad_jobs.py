"""Job files that cannot be right: one line for each mistake, and nothing else.

Every command ends with exit code 2, says what it found on standard error, prints
nothing on standard output and leaves the folder as it was.
"""

from pathlib import Path

import pytest
from command_line import TAPE, job, rectangle, sheet, unchanged

JOB_COMMANDS = ("edges", "curves", "schedule")


def mistakes(folder: Path, text: str) -> list[str]:
    """Run all commands on a job file, and return what the schedule says of it."""
    sheet(folder, rectangle("pocket"))
    path = job(folder, text)
    errors = unchanged(folder, "schedule", path)
    assert unchanged(folder, "curves", path) == errors
    assert all(error.startswith(f"{path}: ") for error in errors)
    return [error.removeprefix(f"{path}: ") for error in errors]


def one_run(edges: str = '"pocket 1"', more: str = "") -> str:
    """Return a run of the tape "main"."""
    return f'{TAPE}[[runs]]\nname = "top"\ntape = "main"\nedges = [{edges}]\n{more}\n'


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ('colour = "red"\n' + one_run(), "colour: ", "unknown key"),
        ('nam = "x"\n' + one_run(), "nam: ", 'did you mean "name"?'),
        ("seam_allowance = 10\n" + one_run(), "seam_allowance: ", '"10 mm"'),
        ('unit = "ell"\n' + one_run(), "unit: ", '"mm"'),
        (one_run() + TAPE, "tapes: ", 'two are called "main"'),
        (TAPE, "", "no edge is bound"),
        ('[fabric]\ncloth = "cottn"\n' + one_run(), "fabric: cloth: ", "cotton"),
        (one_run() + '[[pieces]]\nname = "hat"\n', 'pieces "hat": ', '"pocket"'),
        (
            one_run() + '[[pieces]]\nname = "pocket"\nhem = [1]\n',
            'pieces "pocket": edge 1 of "pocket" is bound by line 9, ',
            'and hem by line 13, pieces "pocket": hem: "1"; take one out',
        ),
        (
            one_run() + '[[pieces]]\nname = "pocket"\nfold_edge = 7\n',
            'pieces "pocket": fold_edge: ',
            "no edge 7",
        ),
    ],
)
def test_a_mistake_in_a_job_file_is_one_line_with_its_place(
    tmp_path: Path, text: str, place: str, words: str
) -> None:
    (error,) = mistakes(tmp_path, text)

    assert error.startswith(place)
    assert words in error


@pytest.mark.parametrize(
    ("edges", "words"),
    [
        ('"pocket 9"', "edges 1 to 4"),
        ('"pocket 0"', "edges 1 to 4"),
        ('"pockt 1"', 'did you mean "pocket"?'),
        ('"pocket"', 'write "pocket 2" or "pocket all"'),
        ('"pockt"', 'write a piece and a number, like "front 2"'),
        ("1", '1 names no piece; write it like "front 1"'),
        ('"pocket 1", "pocket 3"', "do not meet"),
    ],
)
def test_an_edge_that_is_not_there_or_not_met_is_one_line(
    tmp_path: Path, edges: str, words: str
) -> None:
    (error,) = mistakes(tmp_path, one_run(edges))

    assert error.startswith('runs "top": edges: ')
    assert words in error


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        ("tiems = 2", 'did you mean "times"?'),
        ("times = 0", "between 1 and"),
        ("times = true", "whole number"),
        ('end = "tied"', 'did you mean "ties"?'),
        ("closed = true", "does not meet"),
        ("turned_under = 10", '"10 mm"'),
    ],
)
def test_a_setting_of_a_run_that_cannot_be_followed_is_one_line(
    tmp_path: Path, setting: str, words: str
) -> None:
    (error,) = mistakes(tmp_path, one_run(more=setting))

    assert error.startswith(f'runs "top": {setting.split(maxsplit=1)[0]}: ')
    assert words in error


def test_ties_without_a_length_are_one_line(tmp_path: Path) -> None:
    (error,) = mistakes(tmp_path, one_run(more='end = "ties"'))

    assert error.startswith('runs "top": tie_length: is missing')


def test_a_tape_that_is_not_there_gets_a_suggestion(tmp_path: Path) -> None:
    text = one_run().replace('tape = "main"', 'tape = "man"')

    (error,) = mistakes(tmp_path, text)

    assert error.startswith('runs "top": tape: ')
    assert 'did you mean "main"?' in error


@pytest.mark.parametrize(
    ("width", "words"),
    [
        ("9", '"9 mm" or "9 in"'),
        ("9.5", '"9.5 mm" or "9.5 in"'),
        ('"9"', '"9 in", "9 mm" or "9 cm"'),
        ('"9 px"', '"px"; use mm, cm, m, in, ft or yd'),
        ('"0 mm"', '"0 mm" must be more than nothing'),
        ('"-9 mm"', "is not a length"),
        ("nan", "unit in quotes"),
        ("true", "unit in quotes"),
        ("[]", "unit in quotes"),
    ],
)
def test_a_width_without_unit_or_sense_is_one_line(
    tmp_path: Path, width: str, words: str
) -> None:
    (error,) = mistakes(tmp_path, one_run().replace('"9 mm"', width))

    assert error.startswith('tapes "main": finished_width: ')
    assert words in error


def test_several_mistakes_of_a_job_file_are_said_together(tmp_path: Path) -> None:
    text = f"""
seam_allowance = 10
colour = "red"
{TAPE}
fold = "tripple"
[[runs]]
name = "top"
tape = "main"
edges = []
times = 0
"""
    places = (
        "colour: ",
        'runs "top": edges: ',
        'runs "top": times: ',
        "seam_allowance: ",
        'tapes "main": fold: ',
    )

    errors = sorted(mistakes(tmp_path, text))

    assert len(errors) == len(places)
    for error, place in zip(errors, places, strict=True):
        assert error.startswith(place)


def test_several_mistakes_against_the_drawing_are_said_together(
    tmp_path: Path,
) -> None:
    text = one_run('"pocket 9", "hat 1"') + '[[pieces]]\nname = "shoe"\n'

    errors = mistakes(tmp_path, text)

    assert len(errors) == 3


@pytest.mark.parametrize(
    "text",
    [
        "drawings = [",
        "drawings",
        "a = 1\na = 2",
        "a = " + "[" * 5000 + "]" * 5000,
        "a.b = 1\na = 2",
        'name = "\\x"',
        "a = 1979-13-01",
    ],
    ids=["cut", "word", "twice", "deep", "clash", "escape", "date"],
)
def test_a_text_that_is_no_toml_is_one_line(tmp_path: Path, text: str) -> None:
    path = tmp_path / "apron.toml"
    path.write_text(text, encoding="utf-8")

    for command in JOB_COMMANDS:
        (error,) = unchanged(tmp_path, command, path)
        assert error.startswith(f"{path}: ")


@pytest.mark.parametrize(
    "drawings",
    [
        "",
        "drawings = []",
        'drawings = [""]',
        'drawings = ["no.svg"]',
        'drawings = ["."]',
        'drawings = ["a\\u0000b.svg"]',
        'drawings = ["a\\u001b[2J.svg"]',
        "drawings = 3",
        'drawings = ["apron.toml"]',
        f'drawings = ["{"x" * 300}.svg"]',
    ],
)
def test_a_drawing_that_is_not_named_or_not_there_is_said(
    tmp_path: Path, drawings: str
) -> None:
    path = tmp_path / "apron.toml"
    path.write_text(f"{drawings}\n{one_run()}", encoding="utf-8")

    for command in JOB_COMMANDS:
        assert len(unchanged(tmp_path, command, path)) == 1


def test_the_mistakes_of_all_drawings_are_said_together(tmp_path: Path) -> None:
    path = tmp_path / "apron.toml"
    path.write_text('drawings = ["a.svg", "b.dxf"]\n' + one_run(), encoding="utf-8")

    errors = unchanged(tmp_path, "schedule", path)

    assert [error.split(": ")[0] for error in errors] == [
        str(tmp_path / "a.svg"),
        str(tmp_path / "b.dxf"),
    ]


@pytest.mark.parametrize(
    ("unit", "words"), [("0.01 mm", "under 2 cm"), ("20 mm", "over 3 m")]
)
def test_a_job_of_an_impossible_scale_is_an_error(
    tmp_path: Path, unit: str, words: str
) -> None:
    sheet(tmp_path, rectangle("pocket"))
    path = job(tmp_path, f'drawing_unit = "{unit}"\n{one_run()}')

    for command in JOB_COMMANDS:
        (error,) = unchanged(tmp_path, command, path)
        assert words in error


def test_escapes_in_a_job_file_do_not_reach_the_terminal_raw(tmp_path: Path) -> None:
    name = r'"top\u001b[31m\nerror: forged"'
    text = one_run('"pocket 9"').replace('"top"', name)

    errors = mistakes(tmp_path, text)

    assert len(errors) == 1
