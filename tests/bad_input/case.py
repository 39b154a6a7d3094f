"""One broken or hostile drawing, and what must come of it."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

READS = "reads"
"""Instead of words of a message: it is read, perhaps with findings."""


@dataclass(frozen=True)
class Case:
    """A drawing that somebody may meet.

    Parameters
    ----------
    name : str
    make : callable
        Gets a folder, writes there, and returns the path to read.
    says : str
        A regular expression in the one line that must be said, or `READS`.
    is_heavy : bool
        Whether it is meant to use up time or memory.
    """

    name: str
    make: Callable[[Path], Path]
    says: str
    is_heavy: bool = False


def writing(name: str, data: bytes | Callable[[], bytes]) -> Callable[[Path], Path]:
    """Return a maker of a file with some bytes, which may be made when it is run."""

    def make(folder: Path) -> Path:
        path = folder / name
        path.write_bytes(data if isinstance(data, bytes) else data())
        return path

    return make
