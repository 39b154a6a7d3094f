"""What the tables of a job file may say: their keys, as their readers declare them.

A reader takes kinds, defaults and bounds from the declaration, and so does the
reference in ``docs/job-file.md``: what is documented is what is read.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Kind(StrEnum):
    """What a value is."""

    TEXT = "text"
    TEXTS = "list of texts"
    SELECTORS = "list of selectors"
    EDGE = "edge"
    EDGES = "list of edges"
    COUNT = "whole number"
    NUMBER = "number"
    TRUTH = "true or false"
    LENGTH = "length"
    LENGTHS = "list of lengths"
    CHOICE = "choice"
    TABLE = "table"
    TABLES = "list of tables"


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a table.

    Parameters
    ----------
    name : str
    kind : Kind
    meaning : str
        For the reference, in Markdown; what follows from the other values is added
        to it there.
    default : str, float, bool, StrEnum or None
        Taken where the key is not written; a length in millimetres, a choice as a
        member of its type. None: nothing is taken, or `otherwise` says what.
    unit : str
        That a length is documented in, or that a number is given in.
    otherwise : str
        What takes the place of a default, in words.
    required : bool
    most : float or None
        Largest number.
    positive : bool
        Whether a length of nothing, or the number 0, is a mistake.
    in_doubt : float or None
        Number that takes the place of a mistake, so that it does not make other
        values wrong; None: the default.
    wanted : str
        What to write where it is missing, if its kind does not say it well.
    notes : tuple of (str, str)
        Choices and what is to be said of them.
    """

    name: str
    kind: Kind
    meaning: str
    default: Any = None
    unit: str = ""
    otherwise: str = ""
    required: bool = False
    most: float | None = None
    positive: bool = False
    in_doubt: float | None = None
    wanted: str = ""
    notes: tuple[tuple[str, str], ...] = ()
