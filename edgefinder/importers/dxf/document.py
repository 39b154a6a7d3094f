"""The bytes of a DXF to the library's document, with what had to be mended."""

import io
import logging
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from ezdxf import recover
from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import dxf_stream_info
from ezdxf.lldxf.tagger import binary_tags_loader

from edgefinder.errors import DrawingError, one_line
from edgefinder.findings import Finding, warning
from edgefinder.importers.dxf.sniff import Form
from edgefinder.importers.dxf.vertices import Table, lift_vertices

LEAST_BYTES: Final = 256 * 2**10
"""A smaller text is given to the library whole: that takes a moment only."""

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
) -> tuple[Document, Table | None, tuple[Finding, ...]]:
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
    Table or None
        Vertices of its polylines, where they are not in the document.
    tuple of Finding
        One if something was repaired, with the first repairs.

    Raises
    ------
    DrawingError
        If the library cannot make a document of it.
    """
    if form is Form.TEXT and len(data) >= LEAST_BYTES:
        lifted = _read_lifted(path, data)
        if lifted is not None:
            return lifted
    with listening() as remarks:
        try:
            return _read(data, form), None, _repairs(path, remarks)
        # Damaged files raise nearly anything: structure, key, value, struct and Unicode
        # errors, RecursionError, AttributeError. All of them mean the same here.
        except Exception as error:
            if form is Form.BINARY:
                raise DrawingError(_unreadable(path, error)) from error
            reason = error
        try:
            document, auditor = recover.read(io.BytesIO(data))
            document.modelspace()  # raises if it is lost
        except Exception as error:
            raise DrawingError(_unreadable(path, reason)) from error
    mended = [entry.message for entry in (*auditor.errors, *auditor.fixes)]
    return document, None, _repairs(path, [_reason(reason), *mended, *remarks])


def _read_lifted(
    path: Path, data: bytes
) -> tuple[Document, Table, tuple[Finding, ...]] | None:
    """Read a text without the vertices of its polylines, if all is well with it."""
    lifted = lift_vertices(data)
    if lifted is None:
        return None
    with listening() as remarks:
        try:
            return _read(lifted.text, Form.TEXT), lifted.table, _repairs(path, remarks)
        except Exception:  # as in `load_document`; the whole text says what it is
            return None


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


def _read(data: bytes, form: Form) -> Document:
    document = _parsed(data, form)
    document.modelspace()  # raises if it is lost
    return document


def _parsed(data: bytes, form: Form) -> Document:
    if form is Form.BINARY:
        return Document.load(binary_tags_loader(data))
    with io.TextIOWrapper(io.BytesIO(data), "utf-8", "ignore") as head:
        encoding = dxf_stream_info(head).encoding
    with io.TextIOWrapper(io.BytesIO(data), encoding, "surrogateescape") as stream:
        return Document.read(stream)


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


def _unreadable(path: Path, error: Exception) -> str:
    return (
        f"{path}: is a DXF that cannot be read: {_reason(error)}; open it in a drawing "
        "program and export it again"
    )


def _reason(error: Exception) -> str:
    text = " ".join(str(error).split()) or type(error).__name__
    if isinstance(error, KeyError | IndexError | AttributeError | TypeError):
        text = f"a part is missing ({text})"
    return text if len(text) <= LONGEST_REASON else f"{text[:LONGEST_REASON]}..."


def paper_space_count(document: Document) -> int:
    """Count what is drawn on the sheets of a drawing, their windows left out."""
    return sum(
        entity.dxftype() != "VIEWPORT"
        for layout in document.layouts
        if not layout.is_modelspace
        for entity in layout
    )
