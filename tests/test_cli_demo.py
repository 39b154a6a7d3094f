"""``edgefinder demo`` as it is typed."""

from pathlib import Path

import pytest
from command_line import APRON, DEMO, contents, refused, run, start


def test_the_demo_prints_the_schedule_of_the_copied_job(tmp_path: Path) -> None:
    folder = tmp_path / "demo"

    said = run("demo", folder)

    assert said.exit_code == 0
    assert said.out == run("schedule", APRON).out
    assert said.out == run("schedule", folder / "orchard-apron.toml").out


def test_the_demo_says_where_the_pattern_is_and_what_to_try(tmp_path: Path) -> None:
    folder = tmp_path / "demo"

    last = run("demo", folder).err.splitlines()[-1]

    assert last == (
        f"the pattern is in {folder}; try: edgefinder schedule "
        f"{folder / 'puddle-smock.toml'}"
    )
    command = last.split("try: edgefinder ")[1].split()
    assert run(*command).exit_code == 0


def test_the_copies_are_those_of_the_package(tmp_path: Path) -> None:
    run("demo", tmp_path / "demo")

    assert contents(tmp_path / "demo") == contents(DEMO)


def test_without_a_name_the_folder_lies_where_one_stands(tmp_path: Path) -> None:
    ended = start("demo", folder=tmp_path)

    assert ended.returncode == 0
    assert contents(tmp_path / "edgefinder-demo") == contents(DEMO)


def test_the_demo_runs_again_over_its_own_files(tmp_path: Path) -> None:
    first = run("demo", tmp_path)

    assert run("demo", tmp_path) == first


def test_files_beside_the_demo_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")

    assert run("demo", tmp_path).exit_code == 0

    assert (tmp_path / "mine.txt").read_text(encoding="utf-8") == "mine"


def test_a_changed_file_is_not_written_over_and_none_is_copied(tmp_path: Path) -> None:
    run("demo", tmp_path)
    changed = tmp_path / "orchard-apron.toml"
    changed.write_text(changed.read_text("utf-8") + "# mine\n", encoding="utf-8")
    (tmp_path / "puddle-smock.svg").unlink()
    before = contents(tmp_path)

    errors = refused("demo", tmp_path)

    assert errors == [
        f"{changed}: is there already and has been changed; choose another folder"
    ]
    assert contents(tmp_path) == before


def test_every_file_in_the_way_is_said(tmp_path: Path) -> None:
    (tmp_path / "orchard-apron.svg").mkdir()
    (tmp_path / "puddle-smock.dxf").write_bytes(b"")
    before = contents(tmp_path)

    errors = refused("demo", tmp_path)

    assert [error.split(": ")[0] for error in errors] == [
        str(tmp_path / "orchard-apron.svg"),
        str(tmp_path / "puddle-smock.dxf"),
    ]
    assert contents(tmp_path) == before


@pytest.mark.parametrize("where", ["taken", "taken/demo", "x" * 300])
def test_a_folder_that_cannot_be_made_is_one_line(tmp_path: Path, where: str) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    before = contents(tmp_path)

    errors = refused("demo", tmp_path / where)

    assert len(errors) == 1
    told = {"taken": "is a file; name a folder"}.get(where, "cannot be made: ")
    assert errors[0].startswith(f"{tmp_path / where}: {told}")
    assert contents(tmp_path) == before


def test_quiet_leaves_only_the_schedule(tmp_path: Path) -> None:
    said = run("-q", "demo", tmp_path)

    assert (said.exit_code, said.err) == (0, "")
    assert said.out.startswith("Orchard apron\n")
