"""Reading and writing whole files, safely.

Nothing here uses the network, follows a link inside a drawing, or leaves half a
file behind.
"""

import errno
import os
import secrets
import stat
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from edgefinder.errors import DrawingError, OutputError

MAX_DRAWING_BYTES: Final = 256 * 2**20
"""Chosen so that a drawing ten times larger than any pattern met still reads, and
a hostile one ends before memory does."""

WRITING_S: Final = 5.0
"""Seconds that writing a job file can take: it is a megabyte at most, on a slow share.
Larger: after a crash others wait longer; smaller: two could write at once."""


_FORBIDDEN: Final = frozenset({errno.EACCES, errno.EPERM, errno.EROFS})


def read_bytes(
    path: Path,
    *,
    limit: int = MAX_DRAWING_BYTES,
    first: int = -1,
    if_empty: str = "export the drawing again",
) -> bytes:
    """Read a regular file whole, or its beginning.

    Parameters
    ----------
    path : Path
    limit : int
        Largest size in bytes.
    first : int
        Only so many bytes; all of them if negative.
    if_empty : str
        How an empty file is mended.

    Returns
    -------
    bytes

    Raises
    ------
    DrawingError
        If the file is missing, a folder, a device or pipe (which could hang the
        reader), unreadable, empty, or larger than the limit.
    """
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise DrawingError(f"{path}: is a folder; name a file in it")
        if not stat.S_ISREG(mode):
            raise DrawingError(f"{path}: is not a regular file; save it to disk first")
        size = path.stat().st_size
        if size > limit:
            raise DrawingError(
                f"{path}: has {size} bytes, more than the {limit} that are read; "
                "export the pattern pieces alone"
            )
        with path.open("rb") as file:
            data = file.read(first)
    except FileNotFoundError:
        near = _neighbours(path)
        raise DrawingError(f"{path}: there is no such file{near}") from None
    except OSError as error:
        raise DrawingError(f"{path}: cannot be read: {error.strerror}") from error
    except ValueError as error:  # a null character in the name
        raise DrawingError(f"{path}: is not a file name") from error
    if not data:
        raise DrawingError(f"{path}: is empty; {if_empty}")
    return data


def write_text(path: Path, text: str) -> bool:
    """Write a file whole or not at all, through a temporary file beside it.

    Parameters
    ----------
    path : Path
        Replaced if it is there; a link is followed, the mode is kept.
    text : str

    Returns
    -------
    bool
        Whether the file changed: equal bytes are not written again.

    Raises
    ------
    OutputError
        If the folder is missing or cannot be written.
    """
    return write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, data: bytes) -> bool:
    """Write bytes whole or not at all; see `write_text`."""
    return bool(write_all({path: data}))


def write_all(contents: Mapping[Path, bytes]) -> tuple[Path, ...]:
    """Write several files, or none of them if one cannot be written.

    Every file is written beside its place before the first one is moved there: what
    can fail, for want of room or of permission, fails before anything is replaced.

    Parameters
    ----------
    contents : mapping of Path to bytes
        As for `write_text`.

    Returns
    -------
    tuple of Path
        The files that changed.

    Raises
    ------
    OutputError
        If one cannot be written.
    """
    waiting: dict[Path, Path] = {}
    try:
        for path, data in contents.items():
            temporary = _write_beside(path, data)
            if temporary is not None:
                waiting[path] = temporary
        for path, temporary in waiting.items():
            _move(temporary, path)
    finally:
        for temporary in waiting.values():
            temporary.unlink(missing_ok=True)
    return tuple(waiting)


def _write_beside(path: Path, data: bytes) -> Path | None:
    """Write a temporary file beside a place; None if it holds these bytes already."""
    try:
        target = path.resolve()
        if target.is_file() and target.read_bytes() == data:
            return None
        mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else _new_mode()
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=".edgefinder-")
        temporary = Path(name)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
                stream.flush()
                os.fsync(stream.fileno())
            temporary.chmod(mode)
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise
    except OSError as error:
        raise _unwritable(path, error) from error
    return temporary


def _move(temporary: Path, path: Path) -> None:
    try:
        temporary.replace(path.resolve())
    except OSError as error:
        raise _unwritable(path, error) from error


def _unwritable(path: Path, error: OSError) -> OutputError:
    mend = "; name a place where you may write" if error.errno in _FORBIDDEN else ""
    return OutputError(f"{path}: cannot be written: {error.strerror}{mend}")


def bytes_there(path: Path) -> bytes | None:
    """Read what stands where a file is to be written; None if nothing is seen there.

    Raises
    ------
    OutputError
        If it is a folder, a device or a pipe, or cannot be read.
    """
    try:
        mode = path.stat().st_mode
    except OSError:
        return None
    if not stat.S_ISREG(mode):
        raise OutputError(f"{path}: is there already and is not a file; move it")
    try:
        return path.read_bytes()
    except OSError as error:
        raise OutputError(f"{path}: cannot be read: {error.strerror}") from error


def write_new(path: Path, text: str) -> None:
    """Write a text file that must not be there yet; see `write_new_bytes`."""
    write_new_bytes(path, text.encode("utf-8"))


def write_new_bytes(path: Path, data: bytes) -> None:
    """Write a file that must not be there yet, whole or not at all.

    Only if the computer stops at that moment an empty file may stay.

    Raises
    ------
    OutputError
        If it is there, or cannot be written.
    """
    try:
        # Opening for creation settles it even if two programs try at once.
        with path.open("x"):
            pass
    except FileExistsError:
        raise OutputError(
            f"{path}: is there already and is not written over; name another file"
        ) from None
    except OSError as error:
        raise _unwritable(path, error) from error
    try:
        write_bytes(path, data)
    except BaseException:
        path.unlink(missing_ok=True)
        raise


@contextmanager
def alone_with(path: Path) -> Iterator[None]:
    """Keep other runs of this program from writing a file at the same moment.

    A small file beside it says that somebody is writing. One that stands for longer
    than `WRITING_S` was left behind by a crash and does not count.

    Parameters
    ----------
    path : Path

    Raises
    ------
    OutputError
        If somebody else goes on writing, or nothing can be written there.
    """
    target = path.resolve()
    sign, own = target.with_name(f".{target.name}.writing"), secrets.token_hex(8)
    started = time.monotonic()
    others, seen = _read_sign(sign), started
    while not _put_up(sign, own, path):
        now = time.monotonic()
        if now - started > 2 * WRITING_S:
            raise OutputError(f"{path}: another program is writing it; try again")
        there = _read_sign(sign)
        if there != others:
            others, seen = there, now
        elif now - seen > WRITING_S:
            _take_down(sign, others)
        time.sleep(0.01)
    try:
        yield
    finally:
        _take_down(sign, own)


def _put_up(sign: Path, own: str, path: Path) -> bool:
    try:
        with sign.open("x", encoding="ascii") as file:
            file.write(own)
    except FileExistsError:
        return False
    except OSError as error:
        raise _unwritable(path, error) from error
    return True


def _read_sign(sign: Path) -> str | None:
    try:
        return sign.read_text("ascii", "replace")
    except OSError:
        return None  # taken down meanwhile


def _take_down(sign: Path, text: str | None) -> None:
    """Remove a sign, unless somebody else has put up another one meanwhile."""
    if _read_sign(sign) == text:
        with suppress(OSError):
            sign.unlink()


def make_folder(path: Path) -> None:
    """Make a folder and those around it, if they are not there.

    Raises
    ------
    OutputError
        If that is not allowed, or a file of that name is in the way.
    """
    try:
        path.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise OutputError(f"{path}: is a file; name a folder") from None
    except OSError as error:
        raise OutputError(f"{path}: cannot be made: {error.strerror}") from error


def _new_mode() -> int:
    # The mask can only be read by setting it.
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _neighbours(path: Path) -> str:
    from difflib import get_close_matches  # noqa: PLC0415 - only on the way out

    try:
        names = [entry.name for entry in path.parent.iterdir()]
    except OSError:
        return ""
    if path.name in names:
        return "; it is a link to a file that is gone"
    near = get_close_matches(path.name, names, n=1)
    return f'; did you mean "{near[0]}"?' if near else ""
