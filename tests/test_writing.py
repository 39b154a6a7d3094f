from pathlib import Path

import pytest

from edgefinder.errors import OutputError
from edgefinder.reports.writing import copy_files, write_tables

TABLES = {"runs.csv": "size,name\r\nM,neck\r\n", "tapes.csv": "size,tape\r\n"}


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_tables_are_written_byte_for_byte_into_a_new_folder(tmp_path: Path) -> None:
    folder = tmp_path / "out" / "tables"

    written = write_tables(folder, TABLES, force=False)

    assert written == (folder / "runs.csv", folder / "tapes.csv")
    assert contents(folder) == {k: v.encode() for k, v in TABLES.items()}


def test_tables_of_an_earlier_schedule_are_written_over(tmp_path: Path) -> None:
    write_tables(tmp_path, TABLES, force=False)
    newer = TABLES | {"runs.csv": "size,name\r\nM,neck\r\nL,neck\r\n"}

    write_tables(tmp_path, newer, force=False)

    assert contents(tmp_path)["runs.csv"] == newer["runs.csv"].encode()


def test_a_file_of_another_make_is_in_the_way_and_nothing_is_written(
    tmp_path: Path,
) -> None:
    (tmp_path / "tapes.csv").write_text("my own notes", encoding="utf-8")

    with pytest.raises(OutputError) as told:
        write_tables(tmp_path, TABLES, force=False)

    (message,) = told.value.messages
    assert message.startswith(f"{tmp_path / 'tapes.csv'}: is there already")
    assert "--force" in message
    assert contents(tmp_path) == {"tapes.csv": b"my own notes"}


def test_every_file_in_the_way_is_named(tmp_path: Path) -> None:
    for name in TABLES:
        (tmp_path / name).write_text("mine", encoding="utf-8")

    with pytest.raises(OutputError) as told:
        write_tables(tmp_path, TABLES, force=False)

    assert len(told.value.messages) == 2


def test_force_writes_over_a_file_of_another_make(tmp_path: Path) -> None:
    (tmp_path / "tapes.csv").write_text("my own notes", encoding="utf-8")

    write_tables(tmp_path, TABLES, force=True)

    assert contents(tmp_path)["tapes.csv"] == TABLES["tapes.csv"].encode()


def test_a_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "tables").write_text("a file", encoding="utf-8")

    with pytest.raises(OutputError, match="tables: is a file; name a folder"):
        write_tables(tmp_path / "tables", TABLES, force=False)


@pytest.mark.parametrize("force", [False, True])
def test_a_folder_of_the_name_of_a_table_is_refused(
    tmp_path: Path, force: bool
) -> None:
    (tmp_path / "runs.csv").mkdir()

    with pytest.raises(OutputError, match=r"runs\.csv: is there already"):
        write_tables(tmp_path, TABLES, force=force)

    assert not (tmp_path / "tapes.csv").exists()


def test_the_files_of_a_folder_are_copied_and_folders_in_it_are_not(
    tmp_path: Path,
) -> None:
    source = tmp_path / "source"
    (source / "inner").mkdir(parents=True)
    (source / "b.svg").write_bytes(b"\x00drawing")
    (source / "a.toml").write_bytes(b"job")

    copied = copy_files(source, tmp_path / "copy")

    assert [path.name for path in copied] == ["a.toml", "b.svg"]
    assert contents(tmp_path / "copy") == {"a.toml": b"job", "b.svg": b"\x00drawing"}


def test_copying_twice_changes_nothing(tmp_path: Path) -> None:
    source = tmp_path / "source"
    source.mkdir()
    (source / "a.toml").write_bytes(b"job")

    copy_files(source, tmp_path / "copy")
    copy_files(source, tmp_path / "copy")

    assert contents(tmp_path / "copy") == {"a.toml": b"job"}


def test_a_copy_that_somebody_changed_is_not_written_over(tmp_path: Path) -> None:
    source, copy = tmp_path / "source", tmp_path / "copy"
    source.mkdir()
    copy.mkdir()
    (source / "a.toml").write_bytes(b"job")
    (source / "b.svg").write_bytes(b"drawing")
    (copy / "b.svg").write_bytes(b"my drawing")

    with pytest.raises(OutputError, match=r"b\.svg: is there already and has been"):
        copy_files(source, copy)

    assert contents(copy) == {"b.svg": b"my drawing"}
