"""Writing tables and copying files: whole or not at all, never over other work."""

from collections.abc import Mapping
from pathlib import Path

from edgefinder.errors import OutputError
from edgefinder.files import make_folder, read_bytes, write_bytes, write_text


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
        If a file of another make is in the way; then none is written.
    """
    paths = {folder / name: text for name, text in tables.items()}
    if not force:
        in_the_way = [p for p, text in paths.items() if not _is_ours(p, text)]
        if in_the_way:
            raise OutputError(
                *(
                    f"{path}: is there already and is not a table of edgefinder; "
                    "choose another folder or pass --force"
                    for path in in_the_way
                )
            )
    make_folder(folder)
    for path, text in paths.items():
        write_text(path, text)
    return tuple(paths)


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
    changed = [
        path for path, data in copies.items() if path.exists() and _differs(path, data)
    ]
    if changed:
        raise OutputError(
            *(
                f"{path}: is there already and has been changed; choose another folder"
                for path in changed
            )
        )
    make_folder(folder)
    for path, data in copies.items():
        write_bytes(path, data)
    return tuple(copies)


def _is_ours(path: Path, text: str) -> bool:
    if not path.exists():
        return True
    first = text.splitlines()[0].encode()
    return path.is_file() and path.read_bytes().startswith(first)


def _differs(path: Path, data: bytes) -> bool:
    return not path.is_file() or path.read_bytes() != data
