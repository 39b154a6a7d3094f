"""A small front on expat: elements with line numbers, and no surprises.

A tag that arrives in pieces is gone through again with every piece, so that the pieces
are large and how long a tag may be is limited. Nothing is ever loaded from elsewhere.
Short internal entities stay, because drawing programs write them for namespaces; all
others are refused, and so are depth and numbers of elements beyond any drawing.
"""

import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final
from xml.parsers import expat

from edgefinder.errors import DrawingError
from edgefinder.files import MAX_DRAWING_BYTES
from edgefinder.importers.svg.encoding import for_expat
from edgefinder.importers.svg.lifted import MARK, Lifted, lift
from edgefinder.importers.svg.prefixes import (
    SEPARATOR,
    SVG_NAMESPACE,
    XLINK_NAMESPACE,
    Prefixes,
)

XLINK_HREF: Final = f"{{{XLINK_NAMESPACE}}}href"

MAX_DEPTH: Final = 200
"""Elements inside one another, copies by ``use`` included. Drawings stay below 30;
more would end in the interpreter's own limit, without a line number."""
MAX_ELEMENTS: Final = 250_000
"""Chosen so that the table of elements stays below half a gigabyte."""
MAX_TOKEN_BYTES: Final = 2**25
"""One tag or comment: a path of four million numbers, or an embedded picture of 24
megabytes."""
MAX_ENTITIES: Final = 1000
"""Drawing programs write about 20."""
MAX_ENTITY_TEXT: Final = 2**24
"""Characters that all entities of a text may stand for together."""
MAX_ENTITY_CHARACTERS: Final = 256
"""Longer than any namespace; short enough that entities cannot swell a file."""

_TEXT_TAGS: Final = frozenset(
    {"text", "tspan", "textPath", "a", "title", "desc", "style"}
)
_UNBOUND_PREFIX: Final = expat.errors.codes[expat.errors.XML_ERROR_UNBOUND_PREFIX]
_PIECE: Final = 2**20
"""As the interpreter would cut a text for expat."""
_GZIP: Final = b"\x1f\x8b"
_GZIP_WINDOW: Final = 31
"""The window argument with which zlib expects a gzip header."""


@dataclass(frozen=True, slots=True, eq=False)
class Element:
    """One SVG element; elements of other namespaces are not kept.

    Parameters
    ----------
    tag : str
        Local name.
    attributes : mapping of str to str
        By local name, or ``{namespace}name`` where it has a namespace.
    content : tuple of Element or str
        Children in order; text is kept only where it can matter.
    line : int
        Where it begins in the file, from 1.
    """

    tag: str
    attributes: Mapping[str, str]
    content: tuple["Element | str", ...]
    line: int

    @property
    def children(self) -> Iterator["Element"]:
        """The child elements, in order."""
        return (child for child in self.content if isinstance(child, Element))

    @property
    def text(self) -> str:
        """The text that stands directly in it."""
        return "".join(part for part in self.content if isinstance(part, str))


@dataclass(frozen=True, slots=True, eq=False)
class Document:
    """The root of a file and what stands around it.

    Parameters
    ----------
    root : Element
    has_namespace : bool
        Whether the root names the SVG namespace.
    outside_sheets : int
        Style sheets that the file takes from elsewhere; they are not loaded.
    unbound : mapping of str to int
        Prefixes of names that are not declared, each with the line of the first.
    """

    root: Element
    has_namespace: bool
    outside_sheets: int
    unbound: Mapping[str, int]


def parse_document(data: bytes, name: str) -> Document:
    """Read an SVG text, plain or compressed with gzip.

    Parameters
    ----------
    data : bytes
        In any encoding, with or without a byte order mark.
    name : str
        File name, for messages.

    Returns
    -------
    Document

    Raises
    ------
    DrawingError
        If it is not XML, not SVG, cut off, or beyond the limits above.
    """
    text = _unpacked(data, name) if data.startswith(_GZIP) else data
    try:
        text, encoding = for_expat(text)
    except (LookupError, UnicodeError) as error:
        raise DrawingError(
            f"{name}: line 1: has an encoding that cannot be read ({error}); "
            "save the drawing as UTF-8"
        ) from error
    lifted = lift(text)
    builder = _Builder(name, lifted, encoding)
    try:
        try:
            builder.feed()
        except expat.ExpatError as error:
            if error.code != _UNBOUND_PREFIX:
                raise
            builder.forget()
            builder = _BuilderByPrefix(name, lifted, encoding)
            builder.feed()
    except expat.ExpatError as error:
        reason = expat.ErrorString(error.code)
        raise _malformed(name, error.lineno, reason) from error
    (root,) = builder.roots  # XML has exactly one, and another one was refused
    return Document(
        root, builder.has_namespace, builder.outside_sheets, builder.unbound
    )


def _malformed(name: str, line: int, reason: str) -> DrawingError:
    return DrawingError(
        f"{name}: line {line}: is not well-formed XML ({reason}); "
        "save the drawing again as plain SVG"
    )


def _unpacked(data: bytes, name: str) -> bytes:
    stream = zlib.decompressobj(_GZIP_WINDOW)
    try:
        text = stream.decompress(data, MAX_DRAWING_BYTES + 1)
    except zlib.error as error:
        raise DrawingError(
            f"{name}: is a damaged compressed file; save the drawing as plain SVG"
        ) from error
    if len(text) > MAX_DRAWING_BYTES:
        raise DrawingError(
            f"{name}: unpacks to more than the {MAX_DRAWING_BYTES} bytes that are "
            "read; export the pattern pieces alone"
        )
    if not stream.eof:
        raise DrawingError(
            f"{name}: is cut off; copy it again, or save the drawing as plain SVG"
        )
    return text


@dataclass(slots=True, eq=False)
class _Open:
    """An element whose end has not been met yet."""

    tag: str
    attributes: dict[str, str]
    line: int
    content: list[Element | str] = field(default_factory=list)


class _Builder:
    """Takes the events of one file."""

    def __init__(
        self,
        name: str,
        lifted: Lifted,
        encoding: str | None,
        separator: str | None = SEPARATOR,
    ) -> None:
        self.roots: list[Element] = []
        self.has_namespace = True
        self.outside_sheets = 0
        self.unbound: Mapping[str, int] = MappingProxyType({})
        self._name = name
        self._parser = self._listening(expat.ParserCreate(encoding, separator))
        self._text = lifted.text
        self._restored = lifted.restored
        self._references = 0
        self._entities = 0
        self._open: list[_Open] = []
        self._foreign_depth = 0
        self._elements = 0

    def feed(self) -> None:
        """Read the text, piece by piece if it is long."""
        if len(self._text) <= MAX_TOKEN_BYTES:
            self._parser.Parse(self._text, True)
            return
        view = memoryview(self._text)
        for start in range(0, len(view), _PIECE):
            piece = view[start : start + _PIECE]
            self._parser.Parse(piece, False)
            pending = start + len(piece) - self._parser.CurrentByteIndex
            if pending > MAX_TOKEN_BYTES:
                raise self._refused(
                    f"has a tag or a comment of more than {MAX_TOKEN_BYTES} bytes"
                )
        self._parser.Parse(b"", True)

    def forget(self) -> None:
        """Let go of what was read: it waits for its parser, and that for it."""
        self._open.clear()
        self.roots.clear()

    def _listening(self, parser: expat.XMLParserType) -> expat.XMLParserType:
        parser.buffer_text = True
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        parser.CharacterDataHandler = self.characters
        parser.ProcessingInstructionHandler = self.instruction
        parser.EntityDeclHandler = self.entity
        parser.SkippedEntityHandler = self.skipped_entity
        return parser

    def start(self, name: str, attributes: dict[str, str]) -> None:
        namespace, _, tag = name.rpartition(SEPARATOR)
        self._elements += 1
        if self._elements > MAX_ELEMENTS:
            raise self._refused(f"has more than {MAX_ELEMENTS} elements")
        if len(self._open) + self._foreign_depth >= MAX_DEPTH:
            raise self._refused(f"has more than {MAX_DEPTH} elements in one another")
        if not self._open and not self._foreign_depth:
            self._check_root(namespace, tag)
        expected = SVG_NAMESPACE if self.has_namespace else ""
        if self._foreign_depth or namespace not in {expected, SVG_NAMESPACE}:
            self._foreign_depth += 1
            return
        attributes = {
            f"{{{key}" if SEPARATOR in key else key: (
                self._restored(value) if MARK in value else value
            )
            for key, value in attributes.items()
        }
        self._open.append(_Open(tag, attributes, self._parser.CurrentLineNumber))

    def end(self, name: str) -> None:  # noqa: ARG002 - expat calls it so
        if self._foreign_depth:
            self._foreign_depth -= 1
            return
        done = self._open.pop()
        element = Element(done.tag, done.attributes, tuple(done.content), done.line)
        if self._open:
            self._open[-1].content.append(element)
        else:
            self.roots.append(element)

    def characters(self, text: str) -> None:
        if self._open and not self._foreign_depth and self._open[-1].tag in _TEXT_TAGS:
            self._open[-1].content.append(self._restored(text))

    def instruction(self, target: str, _data: str) -> None:
        self.outside_sheets += target == "xml-stylesheet"

    def entity(
        self,
        entity_name: str,
        is_parameter: bool,
        value: str | None,
        _base: str | None,
        _system_id: str | None,
        _public_id: str | None,
        _notation: str | None,
    ) -> None:
        if is_parameter or value is None:
            raise self._refused(f'takes the entity "{entity_name}" from elsewhere')
        if not self._entities:
            self._references = self._text.count(b"&")
        self._entities += 1
        if self._entities > MAX_ENTITIES:
            raise self._refused(f"declares more than {MAX_ENTITIES} entities")
        if self._references * len(value) > MAX_ENTITY_TEXT:
            raise self._refused(
                f'declares the entity "{entity_name}", which would make a text of more '
                f"than {MAX_ENTITY_TEXT} characters of {self._references} references"
            )
        if len(value) > MAX_ENTITY_CHARACTERS or any(sign in value for sign in "&<%"):
            raise self._refused(
                f'declares the entity "{entity_name}", which is nested or longer than '
                f"{MAX_ENTITY_CHARACTERS} characters"
            )

    def skipped_entity(self, entity_name: str, _is_parameter: bool) -> None:
        raise self._refused(f'uses the entity "{entity_name}", which is not declared')

    def _check_root(self, namespace: str, tag: str) -> None:
        if tag != "svg" or namespace not in {"", SVG_NAMESPACE}:
            raise DrawingError(
                f"{self._name}: line {self._parser.CurrentLineNumber}: is a <{tag}> "
                "document, not an SVG drawing; export the pattern as SVG or DXF"
            )
        self.has_namespace = namespace == SVG_NAMESPACE

    def _refused(self, what: str) -> DrawingError:
        return DrawingError(
            f"{self._name}: line {self._parser.CurrentLineNumber}: {what}; "
            "save the pattern pieces alone as plain SVG"
        )


class _BuilderByPrefix(_Builder):
    """Takes the events of a file in which not every prefix is declared."""

    def __init__(self, name: str, lifted: Lifted, encoding: str | None) -> None:
        super().__init__(name, lifted, encoding, separator=None)
        self._prefixes = Prefixes()
        self.unbound = self._prefixes.unbound

    def start(self, name: str, attributes: dict[str, str]) -> None:
        line = self._parser.CurrentLineNumber
        try:
            expanded = self._prefixes.start(name, attributes, line)
        except ValueError as error:
            raise _malformed(self._name, line, str(error)) from error
        super().start(*expanded)

    def end(self, name: str) -> None:
        self._prefixes.end()
        super().end(name)
