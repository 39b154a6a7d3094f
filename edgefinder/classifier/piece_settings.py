"""Reading what a job file says about a piece."""

import re
from collections.abc import Callable, Sequence
from typing import Final

from edgefinder.classifier.edge_words import (
    ByNumber,
    is_free_name,
    parse_edge_word,
    words_within,
)
from edgefinder.classifier.fields import Fields, Word
from edgefinder.classifier.job import (
    AsDrawn,
    EdgeRule,
    Finish,
    PieceSettings,
    SameEdge,
)
from edgefinder.classifier.keys import Key, Kind
from edgefinder.classifier.mark_words import is_free_mark_name, parse_mark_word
from edgefinder.classifier.matching.edge_traits import traits_from_rows
from edgefinder.classifier.sizes import name_key
from edgefinder.errors import SettingsError

MOST_COPIES: Final = 1000
"""Of a piece or a run in one garment; more is a slip of the finger."""

LISTED: Final = (Finish.BOUND, Finish.SEAM, Finish.HEM, Finish.FACING, Finish.RAW)
"""Finishes that a piece lists edges of; the fold has a key of its own."""

PIECE_KEYS: Final = (
    Key(
        "name",
        Kind.TEXT,
        "of the piece, as `edgefinder edges` prints it; or a new one, with `match`",
        required=True,
    ),
    Key(
        "match",
        Kind.SELECTORS,
        "the pieces whose outline these choose are called `name`",
    ),
    Key(
        "cut",
        Kind.COUNT,
        "how many are cut for one garment; 2 for a mirrored pair. A pattern "
        "interchange file says it itself",
        otherwise="one",
        most=MOST_COPIES,
    ),
    Key("fold_edge", Kind.EDGE, "the edge that lies on the fold of the cloth"),
    Key(
        "bound",
        Kind.EDGES,
        "edges that are bound; one that is in no run makes a run of its own",
    ),
    Key(
        "seam",
        Kind.EDGES,
        "edges that are sewn to another one; so is every edge of which nothing is said",
    ),
    Key("hem", Kind.EDGES, "edges that are hemmed"),
    Key("facing", Kind.EDGES, "edges that are faced"),
    Key("raw", Kind.EDGES, "edges that nothing is done to"),
    Key(
        "tape",
        Kind.TEXT,
        "the tape of bound edges that are in no run",
        otherwise="none: the only tape",
    ),
    Key(
        "seam_allowance",
        Kind.LENGTH,
        "of the seams and faced edges of this piece",
        otherwise="none: that of the file",
    ),
    Key(
        "allowances",
        Kind.TABLE,
        '`{ 2 = "10 mm" }`: what is taken off edge 2, in place of the usual',
    ),
    Key(
        "edge_names",
        Kind.TABLE,
        "your own names for edges: `{ neck = 6, side = 3 }`",
    ),
    Key(
        "marks",
        Kind.TABLE,
        'your own names for [places](#marks): `{ "side point" = "notch 1" }`',
    ),
    Key(
        "same_edges",
        Kind.TABLE,
        'which edge is meant in a size where it cannot be told: `{ "3 in L" = 4 }`, '
        "edge 3 is the one that is number 4 as size L is drawn; `[4, 5]` where corners "
        "divide it there",
    ),
    Key(
        "as_drawn",
        Kind.TABLE,
        "the edges as they were when they were numbered; `edgefinder new` and "
        "`edgefinder tag` write it",
    ),
)
"""Of ``[[pieces]]``."""


def piece_settings(fields: Fields) -> PieceSettings:
    """Read a table ``[[pieces]]``; its mistakes are kept in the fields."""
    fields.expect(PIECE_KEYS)
    marks = _marks(fields.table("marks"))
    own_marks = [name for name, _ in marks]
    names = _names(fields.table("edge_names"), own_marks)
    own_names = [name for name, _ in names]

    def means_edges(key: str, word: Word) -> bool:
        try:
            read = parse_edge_word(word.text, own_names, own_marks)
        except SettingsError as error:
            fields.mistake(key, str(error))
            return False
        if ByNumber(0) in words_within(read):
            fields.mistake(key, f'"{word.text}": edges are numbered from 1')
            return False
        return True

    rules = [
        EdgeRule(word, finish)
        for finish in LISTED
        for word in fields.words(str(finish))
        if means_edges(finish, word)
    ]
    fold = fields.word("fold_edge")
    table = fields.table("allowances")
    allowances = [
        (Word(key, (*table.path, key)), table.length(key, 0.0) or 0.0)
        for key in table.free_keys()
    ]
    allowances = [one for one in allowances if means_edges("allowances", one[0])]
    fields.texts("match")  # read with the drawing's settings
    piece = PieceSettings(
        name=fields.text("name"),
        cut=fields.count("cut"),
        fold_edge=fold if fold and means_edges("fold_edge", fold) else None,
        rules=tuple(rules),
        allowances=tuple(allowances),
        seam_allowance=fields.length("seam_allowance"),
        edge_names=names,
        marks=marks,
        tape=fields.text("tape", ""),
        as_drawn=_as_drawn(fields),
        same_edges=_same_edges(fields.table("same_edges")),
    )
    fields.close()
    return piece


SAME_EDGE: Final = re.compile(r"(?P<edge>[1-9][0-9]{0,5})\s+in\s+(?P<size>.+)")


def _same_edges(table: Fields) -> tuple[SameEdge, ...]:
    found: dict[tuple[int, str], SameEdge] = {}
    for key in table.free_keys():
        said = SAME_EDGE.fullmatch(" ".join(key.split()))
        numbers = table.counts(key)
        if said is None:
            table.mistake(key, 'write an edge and a size, like "3 in L"')
            continue
        edge, size = int(said["edge"]), said["size"]
        if (edge, size) in found:
            table.mistake(key, f'edge {edge} in size "{size}" is written twice')
        elif numbers:
            found[edge, size] = SameEdge(edge, size, numbers)
    return tuple(found.values())


def _names(fields: Fields, marks: Sequence[str]) -> tuple[tuple[str, str], ...]:
    found = []
    for name in _own_names(fields, is_free_name):
        word = fields.word(name)
        if word is None:
            continue
        try:
            parse_edge_word(word.text, (), marks)
        except SettingsError as error:
            fields.mistake(name, str(error))
            continue
        found.append((name, word.text))
    return tuple(found)


def _marks(fields: Fields) -> tuple[tuple[str, str], ...]:
    found = []
    for name in _own_names(fields, is_free_mark_name):
        text = fields.text(name)
        mark = fields.parsed(name, text, parse_mark_word) if text else None
        if mark is not None:
            found.append((name, text))
    return tuple(found)


def _own_names(fields: Fields, is_free: Callable[[str], bool]) -> list[str]:
    """Return the keys that a person may use as names, and complain of the others."""
    free: dict[str, str] = {}
    for name in fields.free_keys():
        plain = name_key(name)
        if not is_free(name):
            fields.mistake(name, _why_not_free(plain))
        elif plain in free:
            fields.mistake(name, f'is the same name as "{free[plain]}"')
        else:
            free[plain] = name
    return list(free.values())


def _why_not_free(name: str) -> str:
    why = ""
    if name.isdecimal():
        why = ": a number alone is no name"
    elif "," in name or ":" in name:
        why = ": a name has no comma and no colon"
    return f"means something already{why}; write another name"


def _as_drawn(fields: Fields) -> AsDrawn | None:
    table = fields.table("as_drawn")
    if not fields.has("as_drawn"):
        return None
    size = table.text("size")
    rows = table.rows("edges")
    table.close()
    try:
        traits_from_rows(rows)
    except ValueError as error:
        table.mistake(
            "edges",
            f'{error}; take the whole table out, and "edgefinder '
            'tag --refresh" writes it anew',
        )
        return None
    return AsDrawn(size, rows) if size else None
