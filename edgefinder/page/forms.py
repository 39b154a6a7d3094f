"""What can be filled in on a page: the keys of a job file, as they are declared."""

import re
from collections.abc import Mapping, Sequence
from enum import StrEnum
from itertools import chain
from types import MappingProxyType
from typing import Any, Final

from edgefinder.binding.cloth import CLOTH_CLASSES
from edgefinder.classifier.cloth_settings import CLOTH_KEYS
from edgefinder.classifier.fabric_settings import FABRIC_KEYS
from edgefinder.classifier.job import Job
from edgefinder.classifier.job_settings import TOP_KEYS
from edgefinder.classifier.keys import Key, Kind
from edgefinder.classifier.piece_settings import PIECE_KEYS
from edgefinder.classifier.run_settings import RUN_KEYS
from edgefinder.classifier.tape_settings import TAPE_KEYS
from edgefinder.units import Unit, format_length

Data = dict[str, Any]

OF_PIECE: Final = ("cut", "seam_allowance", "tape")
"""What a form says of a piece; its edges are pointed at."""

SHOWN: Final[Mapping[str, Sequence[Key]]] = MappingProxyType(
    {
        "": TOP_KEYS,
        "fabric": FABRIC_KEYS,
        "tapes": TAPE_KEYS,
        "cloths": CLOTH_KEYS,
        "runs": RUN_KEYS,
        "pieces": [key for key in PIECE_KEYS if key.name in OF_PIECE],
    }
)
"""The tables that a page has forms for."""

BY_HAND: Final = frozenset({Kind.TABLE, Kind.TABLES, Kind.EDGE, Kind.EDGES})
"""Kinds that are set by pointing, or in the file."""

_MARKDOWN: Final = re.compile(r"\[([^\]]+)\]\([^)]+\)|`\"?([^`\"]+)\"?`")


def label(key: str) -> str:
    """Return what a field of a key is called."""
    return key.replace("_", " ").removesuffix(" percent")


_KEY_WORD: Final = re.compile(r"\b[a-z]+(?:_[a-z]+)+\b")
_LABELS: Final[Mapping[str, str]] = MappingProxyType(
    {
        **{key.name: label(key.name) for key in chain(*SHOWN.values(), PIECE_KEYS)},
        "edge_names": "name",
    }
)


def form_data() -> dict[str, list[Data]]:
    """Return the fields of every form: the same for every job file."""
    return {
        kind: [_field(key) for key in keys if key.kind not in BY_HAND]
        for kind, keys in SHOWN.items()
    }


def in_labels(message: str) -> str:
    """Write a mistake with the labels of the fields in the place of the keys."""
    return _KEY_WORD.sub(lambda said: _LABELS.get(said[0], said[0]), message)


def cloth_names(job: Job) -> list[str]:
    """Return the cloths that a tape may be cut from, the person's own ones first."""
    own = [cloth.name for cloth in job.cloths]
    return list(dict.fromkeys([*own, *(cloth.name for cloth in CLOTH_CLASSES)]))


def _field(key: Key) -> Data:
    return {
        "key": key.name,
        "label": label(key.name),
        "kind": str(key.kind),
        "meaning": _meaning(key),
        "unit": "%" if key.name.endswith("_percent") else "",
        "default": _default(key),
        "required": key.required,
        "choices": _choices(key),
    }


def _meaning(key: Key) -> str:
    said = _plain(key.meaning)
    return said.replace("true for", "yes for", 1) if key.kind is Kind.TRUTH else said


def _choices(key: Key) -> list[str]:
    if key.kind is not Kind.CHOICE or not isinstance(key.default, StrEnum):
        return []
    return [str(one) for one in type(key.default)]


def _default(key: Key) -> str:
    """Say what is taken where a key is not written."""
    value = key.default
    if value is None:
        return _plain(key.otherwise)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if key.kind is not Kind.LENGTH:
        return str(value)
    if key.unit == Unit.INCH:
        return format_length(value, Unit.INCH, denominator=16)
    return f"{value:g} mm"


def _plain(markdown: str) -> str:
    """Take links and marks out of a text of the reference."""
    return _MARKDOWN.sub(lambda said: said[1] or said[2], markdown)
