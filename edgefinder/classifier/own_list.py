"""A person's own list of cloths and fold tools, which counts for every job."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from edgefinder.classifier.cloth_settings import cloth_settings, fold_tools
from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import ClothSettings, FoldTool, Job, Origin
from edgefinder.classifier.job_file import MAX_JOB_BYTES, text_of, toml_data
from edgefinder.errors import SettingsError
from edgefinder.files import read_bytes

LIST_NAME: Final = "cloths.toml"

FIRST_LINES: Final = """\
# Cloths that I have tested, for all job files; a job file's own come first.
# fold_tools = ["12 mm", "18 mm"]      # the tools that I have
"""
"""What a new list begins with."""


@dataclass(frozen=True, slots=True)
class OwnList:
    """What a person's own list says.

    Parameters
    ----------
    cloths : tuple of ClothSettings
    fold_tools : tuple of FoldTool
    """

    cloths: tuple[ClothSettings, ...] = ()
    fold_tools: tuple[FoldTool, ...] = ()


NOTHING: Final = OwnList()


def read_own_list(path: Path) -> OwnList:
    """Read a person's own list; a file that is not there or empty says nothing.

    Raises
    ------
    DrawingError
        If the file cannot be read.
    SettingsError
        With one line for every mistake in it.
    """
    try:
        size = path.stat().st_size
    except (FileNotFoundError, NotADirectoryError):
        return NOTHING
    except (OSError, ValueError):  # said by the reader below
        size = 1
    if size == 0:
        return NOTHING
    return list_of_text(path, text_of(path, read_bytes(path, limit=MAX_JOB_BYTES)))


def list_of_text(path: Path, text: str) -> OwnList:
    """Read the text of a person's own list; see `read_own_list`."""
    mistakes: list[str] = []
    data = toml_data(path, text, "a list of cloths")
    fields = Fields(data, f"{path}: ", mistakes)
    own = OwnList(
        tuple(
            cloth_settings(table, Origin.OWN_LIST) for table in fields.tables("cloths")
        ),
        fold_tools(fields, Origin.OWN_LIST),
    )
    fields.close()
    if mistakes:
        raise SettingsError(*dict.fromkeys(mistakes))
    return own


def with_own_list(job: Job, own: OwnList) -> Job:
    """Return a job that knows a person's own list; what it says itself comes first."""
    return replace(
        job,
        cloths=(*job.cloths, *own.cloths),
        fold_tools=job.fold_tools or own.fold_tools,
    )
