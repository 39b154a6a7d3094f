"""Reading what a job file says about a run."""

from typing import Final

from edgefinder.classifier.fields import Fields
from edgefinder.classifier.job import (
    HANDLING_TAIL_MM,
    TURNED_UNDER_MM,
    End,
    InsideCorner,
    Join,
    RunSettings,
)
from edgefinder.classifier.keys import Key, Kind
from edgefinder.classifier.piece_settings import MOST_COPIES

RUN_KEYS: Final = (
    Key("name", Kind.TEXT, "of the run, in every report", required=True),
    Key("tape", Kind.TEXT, "the `name` of a tape", required=True),
    Key("edges", Kind.EDGES, "in the order in which they are sewn", required=True),
    Key(
        "closed",
        Kind.TRUTH,
        "true for a loop, which has no `start` and no `end`; false says that a run "
        "once round a piece is none, which is asked about where nothing is written",
    ),
    Key(
        "start",
        Kind.CHOICE,
        "how its first end is finished",
        default=End.TURNED_UNDER,
    ),
    Key("end", Kind.CHOICE, "the same of its last end", default=End.TURNED_UNDER),
    Key(
        "turned_under",
        Kind.LENGTH,
        "folded under at each end that is turned under, and at the end of each tie",
        default=TURNED_UNDER_MM,
        unit="mm",
    ),
    Key(
        "tie_length",
        Kind.LENGTH,
        "of one tie, from the edge of the cloth",
        otherwise="none: required with ties",
    ),
    Key(
        "handling_tail",
        Kind.LENGTH,
        "of a loop: left loose at start and finish, so that the ends can be joined "
        "flat",
        default=HANDLING_TAIL_MM,
        unit="mm",
    ),
    Key("join", Kind.CHOICE, "how the ends of a loop are cut", default=Join.SQUARE),
    Key(
        "inside_corners",
        Kind.CHOICE,
        "how tape is taken round them",
        default=InsideCorner.MITRE,
    ),
    Key(
        "times",
        Kind.COUNT,
        "how often it is sewn in one garment",
        default=1,
        most=MOST_COPIES,
    ),
    Key(
        "avoid_joins_at",
        Kind.TEXTS,
        "near which [no join of strips](fabric.md#joins-where-you-want-them) may lie: "
        '`"mitres"`, `"30 cm"` from the start, or a piece and a [mark](#marks), '
        '`"front notch 1"`',
    ),
    Key(
        "avoid_joins_within",
        Kind.LENGTH,
        "how near",
        otherwise="none: required with `avoid_joins_at`",
        positive=True,
    ),
)
"""Of ``[[runs]]``."""


def run_settings(fields: Fields) -> RunSettings:
    """Read one of the ``[[runs]]``; its mistakes are kept in the fields."""
    fields.expect(RUN_KEYS)
    edges = []
    for word in fields.words("edges"):
        if word.text.isdecimal():
            message = f'{word.text} names no piece; write it like "front {word.text}"'
            fields.mistake("edges", message)
        else:
            edges.append(word)
    is_closed = fields.truth("closed")
    run = RunSettings(
        name=fields.text("name"),
        tape=fields.text("tape"),
        edges=tuple(edges),
        is_closed=is_closed,
        start=fields.choice("start", End),
        end=fields.choice("end", End),
        turned_under=fields.length("turned_under") or 0.0,
        tie_length=fields.length("tie_length") or 0.0,
        handling_tail=fields.length("handling_tail") or 0.0,
        join=fields.choice("join", Join),
        inside_corners=fields.choice("inside_corners", InsideCorner),
        times=fields.count("times") or 1,
        avoid_joins_at=fields.texts("avoid_joins_at"),
        avoid_joins_within=fields.length("avoid_joins_within") or 0.0,
        is_open_by_word=fields.has("closed") and not is_closed,
    )
    avoids = ("avoid_joins_at", "avoid_joins_within")
    for key, other in (avoids, avoids[::-1]):
        if fields.has(key) and not fields.has(other):
            fields.mistake(other, f"is missing; {key} says nothing without it")
    if run.is_closed and (fields.has("start") or fields.has("end")):
        fields.mistake("closed", "a closed run has no start and no end; take one out")
    if End.TIES in {run.start, run.end} and run.tie_length == 0:
        fields.mistake("tie_length", 'is missing; write how long a tie is, "30 cm"')
    fields.close()
    return run
