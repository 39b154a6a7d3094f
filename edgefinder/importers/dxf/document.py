"""The bytes of a DXF to the library's document, with what had to be mended."""

import io
import logging
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from ezdxf import recover
from ezdxf.document import Drawing as Document
from ezdxf.lldxf.tagger import ascii_tags_loader
from ezdxf.lldxf.types import DXFTag

from edgefinder.errors import DrawingError, one_line
from edgefinder.findings import Finding, note, warning
from edgefinder.importers.dxf.binary import tags_of_binary
from edgefinder.importers.dxf.encoding import encoding_of
from edgefinder.importers.dxf.lifting import NOTHING, Bulk, split
from edgefinder.importers.dxf.loose import mark_of
from edgefinder.importers.dxf.repair import with_subclasses
from edgefinder.importers.dxf.sniff import Form

LEAST_BYTES: Final = 256 * 2**10
"""A smaller text is given to the library whole: that takes a moment only."""

MOST_BYTES: Final = 64 * 2**20
"""Without what is read in bulk. Larger: the library takes minutes, and more
than 2 GB. A pattern of fifty pieces in twenty sizes has a tenth of it."""

MOST_MENDED_BYTES: Final = 16 * 2**20
"""The library's rescue of damaged files takes as long again as reading them."""

MOST_EXAMPLES: Final = 3
"""Repairs told one by one; a broken export has thousands alike."""

LONGEST_REASON: Final = 160
"""Characters of a message of the library that are shown."""


class _Listener(logging.Handler):
    """Keeps what the library would write to the screen."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(record.getMessage())


def load_document(
    path: Path, data: bytes, form: Form
) -> tuple[Document, Bulk, tuple[Finding, ...]]:
    """Read a DXF with the library, and repair it if it cannot be read as it is.

    Parameters
    ----------
    path : Path
        For messages; it is not read again.
    data : bytes
    form : Form

    Returns
    -------
    Document
    Bulk
        What is not in the document.
    tuple of Finding
        One if something was repaired, with the first repairs.

    Raises
    ------
    DrawingError
        If the library cannot make a document of it.
    """
    encoding, named = encoding_of(data, binary=form is Form.BINARY)
    said = () if encoding == named else (_other_encoding(path, encoding, named),)
    if form is Form.TEXT and len(data) >= LEAST_BYTES:
        read = _read_split(path, data, encoding)
        if read is not None:
            return *read[:2], (*said, *read[2])
    _refuse_too_much(path, data)
    cut: list[str] = []
    document, remarks = _read_or_mend(path, data, form, encoding, cut)
    ends = tuple(_cut_short(path, where) for where in cut[:1])
    return document, NOTHING, (*said, *ends, *_repairs(path, remarks))


def _read_split(
    path: Path, data: bytes, encoding: str
) -> tuple[Document, Bulk, tuple[Finding, ...]] | None:
    """Read a text without what is read in bulk, if all is well with it."""
    try:
        parts = split(data)
    except DrawingError as error:
        raise DrawingError(f"{path}: {error}") from error
    if parts is None:
        return None
    _refuse_too_much(path, parts.text)
    with listening() as remarks:
        try:
            document = _read(_tags_of_text(parts.text, encoding))
        except Exception:  # as below; the whole text says what it is
            return None
    return document, parts.bulk, _repairs(path, remarks)


def _refuse_too_much(path: Path, data: bytes) -> None:
    if len(data) > MOST_BYTES:
        raise DrawingError(
            f"{path}: has {len(data)} bytes beside plain lines and polylines, more "
            f"than the {MOST_BYTES} that are read; export the pattern pieces alone"
        )


def _read_or_mend(
    path: Path, data: bytes, form: Form, encoding: str, cut: list[str]
) -> tuple[Document, list[str]]:
    """Read a file as it is, else with marks filled in, else by the library's rescue."""
    reason = ""
    for mending in (False, True):
        if mending and "subclass" not in reason:
            break
        with listening() as remarks:
            tags = (
                tags_of_binary(data, encoding, cut)
                if form is Form.BINARY
                else _tags_of_text(data, encoding)
            )
            if mending:
                tags = with_subclasses(tags, remarks, has_version=b"$ACADVER" in data)
            # Damaged files raise nearly anything: structure, key, value, struct and
            # Unicode errors, RecursionError, AttributeError. They all mean the same.
            try:
                return _read(tags), remarks
            except Exception as error:
                reason = reason or _reason(error)
    # The library has no rescue for binary files, and takes long for large ones.
    if form is Form.BINARY or len(data) > MOST_MENDED_BYTES:
        raise DrawingError(_unreadable(path, reason))
    try:
        with listening() as remarks:
            document, auditor = recover.read(io.BytesIO(data))
            _touch(document)
    except Exception as error:
        raise DrawingError(_unreadable(path, reason)) from error
    mended = [entry.message for entry in (*auditor.errors, *auditor.fixes)]
    return document, [reason, *mended, *remarks]


@contextmanager
def listening() -> Iterator[list[str]]:
    """Keep the library's log off the screen and collect its warnings."""
    logger, listener = logging.getLogger("ezdxf"), _Listener()
    propagate = logger.propagate
    logger.addHandler(listener)
    logger.propagate = False
    try:
        yield listener.messages
    finally:
        logger.removeHandler(listener)
        logger.propagate = propagate


def _read(tags: Iterator[DXFTag]) -> Document:
    document = Document.load(tags)
    _touch(document)
    return document


def _touch(document: Document) -> None:
    """Ask for what is read later; the library raises if it is lost."""
    document.modelspace()
    paper_space_count(document, NOTHING)


def _tags_of_text(data: bytes, encoding: str) -> Iterator[DXFTag]:
    with io.TextIOWrapper(io.BytesIO(data), encoding, "surrogateescape") as stream:
        yield from ascii_tags_loader(stream)


def _cut_short(path: Path, where: str) -> Finding:
    return warning(
        "truncated",
        path.name,
        f"the file has no end mark (EOF): it is damaged or was cut short at {where}; "
        "check that every piece is there, or export it again",
    )


def _other_encoding(path: Path, encoding: str, named: str) -> Finding:
    return note(
        "text-encoding",
        path.name,
        f"its names and texts were read as {encoding}, which they look like; "
        f"by its header they would be {named}",
    )


def _repairs(path: Path, messages: Sequence[str]) -> tuple[Finding, ...]:
    if not messages:
        return ()
    different = list(dict.fromkeys(messages))
    shown = "; ".join(one_line(message) for message in different[:MOST_EXAMPLES])
    more = len(different) - MOST_EXAMPLES
    rest = f"; and {more} more" if more > 0 else ""
    return (
        warning(
            "repaired",
            path.name,
            f"the file is damaged and was read as far as it could be mended: "
            f"{shown}{rest}; check that every piece is there",
        ),
    )


def _unreadable(path: Path, reason: str) -> str:
    return (
        f"{path}: is a DXF that cannot be read: {reason}; open it in a drawing "
        "program and export it again"
    )


def _reason(error: Exception) -> str:
    text = " ".join(str(error).split()) or type(error).__name__
    if isinstance(error, KeyError | IndexError | AttributeError | TypeError):
        text = f"a part is missing ({text})"
    return text if len(text) <= LONGEST_REASON else f"{text[:LONGEST_REASON]}..."


def paper_space_count(document: Document, bulk: Bulk) -> int:
    """Count what is drawn on the sheets of a drawing, their windows left out."""
    return sum(
        1 if (mark := mark_of(entity)) is None else bulk.count(mark)
        for layout in document.layouts
        if not layout.is_modelspace
        for entity in layout
        if entity.dxftype() != "VIEWPORT"
    )
