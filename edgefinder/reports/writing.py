"""Writing tables and copying files: whole or not at all, never over other work."""

from codecs import BOM_UTF8
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from edgefinder.errors import OutputError
from edgefinder.files import (
    bytes_there,
    make_folder,
    read_bytes,
    write_all,
    write_bytes,
)


def write_tables(
    folder: Path, tables: Mapping[str, str], *, force: bool, bom: bool = False
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
    bom : bool
        Begin every file with a byte order mark.

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
    encoding = "utf-8-sig" if bom else "utf-8"
    files = {folder / name: text.encode(encoding) for name, text in tables.items()}
    _refuse(
        files,
        lambda there, data: not force and not _begins_like(there, data),
        "is there already and is not a table of edgefinder; choose another folder or "
        "pass --force",
    )
    make_folder(folder)
    write_all(files)
    return tuple(files)


def _begins_like(there: bytes, data: bytes) -> bool:
    """Whether a file has the first line of another, with or without a mark before."""
    first = data.removeprefix(BOM_UTF8).splitlines()[0]
    return there.removeprefix(BOM_UTF8).startswith(first)


def check_ending(path: Path, what: str, endings: Sequence[str]) -> None:
    """Refuse a file name whose ending promises something else than is written.

    Parameters
    ----------
    path : Path
    what : str
        What is written, ``a picture``.
    endings : sequence of str
        In small letters, the usual one first.

    Raises
    ------
    OutputError
        If the file would not open by its name.
    """
    if path.suffix.lower() not in endings:
        raise OutputError(
            f'{path}: {what} is not written as "{path.suffix}"; '
            f'name a file that ends in "{endings[0]}"'
        )


def write_report(
    path: Path, text: str, mark: str, sources: Sequence[Path], *, force: bool
) -> None:
    """Write one report.

    Parameters
    ----------
    path : Path
    text : str
    mark : str
        A part of the text by which a report of this kind is known.
    sources : sequence of Path
        What it was made from; that is never written over.
    force : bool
        Write over a file without the mark.

    Raises
    ------
    OutputError
        If a source or a file of another make is in the way, or it cannot be written.
    """
    wanted = mark.encode("utf-8")
    write_copy(
        path,
        text.encode("utf-8"),
        lambda there: wanted in there,
        sources,
        force=force,
    )


def write_copy(
    path: Path,
    data: bytes,
    is_own: Callable[[bytes], bool],
    sources: Sequence[Path],
    *,
    force: bool,
) -> None:
    """Write the bytes of one file; see `write_report`.

    ``is_own`` says of what stands there whether it is of the same make.
    """
    if any(_is_same(path, source) for source in sources):
        raise OutputError(
            f"{path}: is what is read here and is not written over; name another file"
        )
    _refuse(
        {path: data},
        lambda there, _: not force and not is_own(there),
        "is there already and was not written by this command; name another file or "
        "pass --force",
    )
    write_bytes(path, data)


def _is_same(path: Path, source: Path) -> bool:
    try:
        return path.samefile(source)
    except OSError:  # one of them is not there
        return False


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
