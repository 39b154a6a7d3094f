"""A job file held against its drawings: the same for a command and for the page."""

from pathlib import Path

import pytest
from test_page_changes import HEAD, SQUARES

from edgefinder.classifier.own_list import NOTHING
from edgefinder.errors import EdgefinderError
from edgefinder.memory import Memory
from edgefinder.schedule.draft import Draft, work_out
from edgefinder.schedule.release import release_from_file

RUN = '\n[[runs]]\nname = "top"\ntape = "main"\nedges = ["front 2"]\n'


def drafted(folder: Path, text: str, drawing: str | None = SQUARES) -> Draft:
    """Work a job file out as the page does."""
    if drawing is not None:
        (folder / "p.svg").write_text(drawing, "utf-8")
    (folder / "p.toml").write_text(text, "utf-8")
    return work_out(folder / "p.toml", text, NOTHING, Memory())


def told(folder: Path, text: str, drawing: str | None = SQUARES) -> list[str]:
    """Return what a command tells; the page tells the same mistakes."""
    draft = drafted(folder, text, drawing)
    try:
        release_from_file(folder / "p.toml")
    except EdgefinderError as error:
        found = list(error.messages)
    else:
        found = []
    missing = draft.missing if draft.read and draft.read.pieces else ()
    assert found == [*draft.mistakes, *missing]
    assert (draft.release is None) == bool(found)
    place = f"{folder / 'p.toml'}: "
    return [line.removeprefix(place) for line in found]


EMPTY = "is empty"
MISSING = "is missing; write a text in quotes"
NO_EDGE_9 = 'runs "top": edges: "front 9": "front" has no edge 9; it has edges 1 to 4'
NO_PIECE_X = (
    'runs "top": edges: ""x" 2": there is no piece ""x""; known: "front" and "back"'
)
NOTHING_BOUND = (
    "no edge is bound: put bound edges into a run, with the tape that they are sewn "
    "with"
)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (HEAD + RUN, []),
        (
            HEAD + RUN.replace('"top"', '""').replace('"main"', '""'),
            [f"runs number 1: name: {EMPTY}", f"runs number 1: tape: {EMPTY}"],
        ),
        # what else is wrong with a run is told when it has a name
        (
            HEAD + RUN.replace('"top"', '""').replace("front 2", "front 9"),
            [f"runs number 1: name: {EMPTY}"],
        ),
        (
            HEAD + RUN.replace('"main"', '""').replace("front 2", "front 9"),
            [
                f'runs "top": tape: {EMPTY}',
                NO_EDGE_9,
            ],
        ),
        # the tape without a name may be the one that is meant
        (
            HEAD.replace('name = "main" ', "") + RUN,
            [f"tapes number 1: name: {MISSING}"],
        ),
        (
            HEAD + 'cloth = "mine"\n[[cloths]]\nstretch_limit_percent = 9\n' + RUN,
            [f"cloths number 1: name: {MISSING}"],
        ),
        (HEAD + '[fabric]\ncloth = " "\n' + RUN, [f"fabric: cloth: {EMPTY}"]),
        (HEAD + 'cloth = ""\n' + RUN, [f'tapes "main": cloth: {EMPTY}']),
        (
            HEAD + '[[pieces]]\nmatch = "id:a"\nhem = [9]\n' + RUN,
            [f"pieces number 1: name: {MISSING}"],
        ),
        (
            HEAD + '[[pieces]]\nname = ""\ntape = "x"\nbound = [1]\n',
            [f"pieces number 1: name: {EMPTY}"],
        ),
        # quotation marks are part of a name
        (
            HEAD + RUN.replace('"front 2"', "'\"x\" 2'"),
            [NO_PIECE_X],
        ),
        # no drawing is named: no rule can be held against one
        (
            RUN + HEAD[HEAD.index("[[tapes]]") :] + '[[pieces]]\nname = "front"\n',
            ["drawings: is missing; write a list of texts"],
        ),
        # nothing is wrong, and something is missing
        (
            HEAD,
            [NOTHING_BOUND],
        ),
    ],
)
def test_a_command_and_the_page_tell_the_same_mistakes_and_each_once(
    tmp_path: Path, text: str, expected: list[str]
) -> None:
    assert told(tmp_path, text) == expected


def test_a_folder_with_an_empty_pair_of_quotation_marks_hides_no_mistake(
    tmp_path: Path,
) -> None:
    folder = tmp_path / 'x "" y'
    folder.mkdir()
    (line,) = told(folder, HEAD + RUN.replace("front 2", "front 9"))
    assert '"front" has no edge 9' in line


def test_mistakes_of_drawings_tapes_and_edges_stand_together(tmp_path: Path) -> None:
    text = HEAD + RUN.replace('"main"', '"wide"').replace("front 2", "front 9")
    tape, edge = told(tmp_path, text)
    assert tape == 'runs "top": tape: there is no tape "wide"; known: "main"'
    assert "no edge 9" in edge

    (tmp_path / "p.svg").unlink()
    drawing, tape = told(tmp_path, text, drawing=None)
    assert "p.svg: there is no such file" in drawing
    assert 'there is no tape "wide"' in tape


@pytest.mark.parametrize("unseen", ["\u200d", "\u202e"])
def test_a_piece_whose_drawn_name_holds_an_unseen_sign_can_be_named(
    tmp_path: Path, unseen: str
) -> None:
    name = f"front{unseen}yoke"
    drawing = SQUARES.replace("<title>front<", f"<title>{name}<")
    text = HEAD + RUN.replace("front 2", f"{name} 2")
    text += f'avoid_joins_at = ["{name} 2 at 50 %"]\navoid_joins_within = "1 cm"\n'
    text += f'[[pieces]]\nname = "{name}"\nhem = [3]\n'
    assert told(tmp_path, text, drawing) == []


def test_a_place_on_a_piece_is_found_whatever_the_case_of_its_name(
    tmp_path: Path,
) -> None:
    """In capitals the name has a letter more."""
    drawing = SQUARES.replace("<title>front<", "<title>Straße<")
    text = HEAD + RUN.replace("front", "STRASSE")
    text += 'avoid_joins_at = ["STRASSE 2 at 50 %"]\navoid_joins_within = "1 cm"\n'
    assert told(tmp_path, text, drawing) == []
