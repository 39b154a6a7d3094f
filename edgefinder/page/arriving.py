"""Drawings that are dropped on a page: kept beside the job file, never over another."""

from pathlib import Path
from typing import Final

from edgefinder.classifier.job_file import DRAWING_ENDINGS
from edgefinder.errors import OutputError, SettingsError, one_line
from edgefinder.files import bytes_there, write_new_bytes

LONGEST_NAME: Final = 120


def keep_drawing(folder: Path, name: str, data: bytes) -> tuple[Path, bool]:
    """Keep a drawing in a folder.

    Parameters
    ----------
    folder : Path
    name : str
        As the browser gives it: untrusted.
    data : bytes

    Returns
    -------
    Path
        Where it lies.
    bool
        Whether it is new: a file that is there with the same bytes is the drawing.

    Raises
    ------
    SettingsError
        If the name is not that of a drawing, or it is empty.
    OutputError
        If another file of that name is there, or it cannot be written.
    """
    plain = Path(one_line(name).replace("\\", "/")).name.strip()
    if Path(plain).suffix.lower() not in DRAWING_ENDINGS or len(plain) > LONGEST_NAME:
        raise SettingsError(
            f'"{plain[:LONGEST_NAME]}" is not a drawing: its name must end in .svg, '
            ".svgz or .dxf"
        )
    if not data:
        raise SettingsError(f'"{plain}" is empty; export the drawing again')
    path = folder / plain
    there = bytes_there(path)
    if there == data:
        return path, False
    if there is not None:
        raise OutputError(
            f"{plain}: another file of that name lies beside the job file and is not "
            "written over; save the new drawing there yourself and it is read anew, "
            "or give it another name"
        )
    write_new_bytes(path, data)
    return path, True
