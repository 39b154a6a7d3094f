"""Writing tables and copying files: whole or not at all, never over other work."""

from collections.abc import Callable, Mapping
from pathlib import Path

from edgefinder.errors import OutputError
from edgefinder.files import bytes_there, make_folder, read_bytes, write_all


def write_tables(
    folder: Path, tables: Mapping[str, str], *, force: bool
) -> tuple[Path, ...]:
    """Write one file per table.

    Parameters
    ----------
    folder : Path
        Made if it is not there.
    tables : mapping of str to str
        Text by file name.
    force : bool
        Write over files whose first line is not that of the table.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    OutputError
        If a file of another make is in the way, or one cannot be written; then none
        is written.
    """
    files = {folder / name: text.encode("utf-8") for name, text in tables.items()}
    _refuse(
        files,
        lambda there, data: not force and not there.startswith(data.splitlines()[0]),
        "is there already and is not a table of edgefinder; choose another folder or "
        "pass --force",
    )
    make_folder(folder)
    write_all(files)
    return tuple(files)


def copy_files(source: Path, folder: Path) -> tuple[Path, ...]:
    """Copy the files of a folder into another one.

    Raises
    ------
    OutputError
        If a file there differs from the one to be copied; then none is written.
    """
    copies = {
        folder / path.name: read_bytes(path)
        for path in sorted(source.iterdir())
        if path.is_file()
    }
    _refuse(
        copies,
        lambda there, data: there != data,
        "is there already and has been changed; choose another folder",
    )
    make_folder(folder)
    write_all(copies)
    return tuple(copies)


def _refuse(
    files: Mapping[Path, bytes],
    is_foreign: Callable[[bytes, bytes], bool],
    message: str,
) -> None:
    """Refuse to write if something is in the way, with one line for each."""
    mistakes: list[str] = []
    for path, data in files.items():
        try:
            there = bytes_there(path)
        except OutputError as error:
            mistakes += error.messages
            continue
        if there is not None and is_foreign(there, data):
            mistakes.append(f"{path}: {message}")
    if mistakes:
        raise OutputError(*mistakes)
