"""What a job file says, read and checked but not yet compared with a drawing."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Final

from edgefinder.classifier.fields import KeyPath, Word
from edgefinder.classifier.key_lines import key_lines
from edgefinder.classifier.price_words import Price
from edgefinder.classifier.width_words import ClothWidth
from edgefinder.pattern.settings import FindingSettings
from edgefinder.units import Unit

HANDLING_TAIL_MM: Final = 75.0
"""Left loose at start and finish of a closed run (common practice, 3 to 4 in)."""
TURNED_UNDER_MM: Final = 10.0
"""Folded under at each end that is turned under (common practice, 3/8 in)."""
MOST_STRETCH_PERCENT: Final = 41.4
"""A net of threads cannot stretch beyond sqrt 2 - 1 on the true bias."""
MOST_EASE_PERCENT: Final = 40.0
"""Beyond it a strip is gathered, whatever its cloth."""


class Finish(StrEnum):
    """What happens to an edge."""

    BOUND = "bound"
    SEAM = "seam"
    FOLD = "fold"
    HEM = "hem"
    FACING = "facing"
    RAW = "raw"


class Grain(StrEnum):
    """How strips are cut."""

    BIAS = "bias"
    CROSSWISE = "crosswise"
    LENGTHWISE = "lengthwise"


class TapeFold(StrEnum):
    """How a strip is folded before it is sewn on."""

    SINGLE = "single fold"
    DOUBLE = "double fold"
    DOUBLE_LAYER = "double layer"
    FLAT = "flat"
    FACING = "bias facing"


class End(StrEnum):
    """How the end of an open run is finished."""

    TURNED_UNDER = "turned under"
    IN_SEAM = "caught in a seam"
    TIES = "ties"


class Join(StrEnum):
    """How the two ends of a closed run are cut before they are joined."""

    SQUARE = "square ends"
    ON_GRAIN = "ends on the grain"


class InsideCorner(StrEnum):
    """How tape is taken round an inside corner."""

    MITRE = "mitre"
    CLIP = "clip and pull straight"


class Wearer(StrEnum):
    """Who wears it: ties on children's clothing have rules."""

    CHILD = "child"
    ADULT = "adult"
    NOT_WORN = "not worn"


class Origin(StrEnum):
    """Where a setting comes from; what stands first takes the place of the others."""

    JOB_FILE = "job file"
    OWN_LIST = "own list"
    CLOTH_CLASS = "cloth class"


@dataclass(frozen=True, slots=True)
class ClothSettings:
    """A person's own swatch test; fractions by grain-independent name."""

    name: str
    stretch_ok: float
    stretch_limit: float
    ease_ok: float
    ease_limit: float
    origin: Origin = Origin.JOB_FILE


@dataclass(frozen=True, slots=True)
class FoldTool:
    """A tool that a strip is drawn through to fold it.

    Parameters
    ----------
    name : str
        Its size as it was written, ``18 mm``.
    size : float
        Width of the single-folded tape that comes out of it, in millimetres.
    origin : Origin
    """

    name: str
    size: float
    origin: Origin


@dataclass(frozen=True, slots=True)
class FabricSettings:
    """The cloth that the tape is cut from; lengths in millimetres.

    Parameters
    ----------
    cloth : str
    usable_width : float
        Between the selvages, where no `cloth_width` is given.
    strip_seam : float
    buy_step : float
    shortest_strip : float
    cloth_width : float or None
        From edge to edge, as it is bought.
    selvage : float
        Lost on each side of it.
    shrinkage_lengthwise, shrinkage_crosswise, contingency : float
        Fractions.
    squaring_up : float
        Of the length, for cutting both ends on a thread.
    one_way : bool
        No strip may be turned end for end.
    same_slant : bool
        All joins slant the same way.
    widths : tuple of ClothWidth
        That a table compares.
    usual_widths : bool
        Whether it compares those that shops sell most.
    price : Price or None
    rectangle : (float, float) or None
        Across and along, of a piece of cloth that is there.
    scrap_sizes : tuple of (str, float, float)
        Scraps as they were written, across and along.
    scrap_drawing : str
        Name of a file in which scraps are drawn; empty where there is none.
    scrap_grain : float or None
        Of the drawn lengthwise grain, in degrees clockwise from upright; None: as the
        drawing says.
    """

    cloth: str
    usable_width: float
    strip_seam: float
    buy_step: float
    shortest_strip: float
    cloth_width: float | None = None
    selvage: float = 0.0
    shrinkage_lengthwise: float = 0.0
    shrinkage_crosswise: float = 0.0
    squaring_up: float = 0.0
    contingency: float = 0.0
    one_way: bool = False
    same_slant: bool = False
    widths: tuple[ClothWidth, ...] = ()
    usual_widths: bool = False
    price: Price | None = None
    rectangle: tuple[float, float] | None = None
    scrap_sizes: tuple[tuple[str, float, float], ...] = ()
    scrap_drawing: str = ""
    scrap_grain: float | None = None


@dataclass(frozen=True, slots=True)
class TapeSettings:
    """One kind of tape; lengths in millimetres.

    Parameters
    ----------
    name : str
    finished_width : float
    fold : TapeFold
    grain : Grain
    cloth : str
        Empty for that of the fabric.
    turn_of_cloth : float or None
        None: worked out from the thickness of the layers.
    seam : float or None
        The strip's own seam allowance; None: the usual one of its fold.
    thickness, edge_thickness : float or None
        Of one layer of the tape, and of all layers that it goes round; None: that of
        its class, and one layer.
    cut_width : float or None
        None: worked out.
    packet_length : float or None
        For ready-made tape.
    """

    name: str
    finished_width: float
    fold: TapeFold
    grain: Grain
    cloth: str
    turn_of_cloth: float | None
    seam: float | None
    thickness: float | None
    edge_thickness: float | None
    cut_width: float | None
    packet_length: float | None


@dataclass(frozen=True, slots=True)
class EdgeRule:
    """What is said to happen to edges of a piece."""

    word: Word
    finish: Finish


@dataclass(frozen=True, slots=True)
class AsDrawn:
    """The edges of a piece as they were when a job file numbered them.

    Parameters
    ----------
    size : str
    rows : tuple of tuple of float
        As `edgefinder.classifier.matching.edge_traits.traits_from_rows` reads them.
    """

    size: str
    rows: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class SameEdge:
    """What a person says an edge is in a size where it cannot be told.

    Parameters
    ----------
    edge : int
        Its number in the job file.
    size : str
    numbers : tuple of int
        Of the edge as that size is drawn; several where corners divide it there.
    """

    edge: int
    size: str
    numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PieceSettings:
    """What is said about a piece in every size.

    Parameters
    ----------
    name : str
    cut : int or None
    fold_edge : Word or None
    rules : tuple of EdgeRule
    allowances : tuple of (Word, float)
        Millimetres.
    seam_allowance : float or None
        Of its seams and faced edges, in millimetres, in place of the whole pattern's.
    edge_names, marks : tuple of (str, str)
        A person's own names for edges and places, and what they stand for.
    tape : str
        Of its bound edges that are in no run; empty where nothing is said.
    as_drawn : AsDrawn or None
    same_edges : tuple of SameEdge
    """

    name: str
    cut: int | None = None
    fold_edge: Word | None = None
    rules: tuple[EdgeRule, ...] = ()
    allowances: tuple[tuple[Word, float], ...] = ()
    seam_allowance: float | None = None
    edge_names: tuple[tuple[str, str], ...] = ()
    marks: tuple[tuple[str, str], ...] = ()
    tape: str = ""
    as_drawn: AsDrawn | None = None
    same_edges: tuple[SameEdge, ...] = ()


@dataclass(frozen=True, slots=True)
class RunSettings:
    """One continuous pass of tape; lengths in millimetres.

    No join of strips may lie nearer than `avoid_joins_within` to a place of
    `avoid_joins_at`: a distance along the run, ``mitres``, or a mark of a piece.
    `is_open_by_word` is true where it is written that the run is not closed.
    """

    name: str
    tape: str
    edges: tuple[Word, ...]
    is_closed: bool
    start: End
    end: End
    turned_under: float
    tie_length: float
    handling_tail: float
    join: Join
    inside_corners: InsideCorner
    times: int
    avoid_joins_at: tuple[str, ...] = ()
    avoid_joins_within: float = 0.0
    is_open_by_word: bool = False


@dataclass(frozen=True, slots=True)
class Job:
    """A whole job file.

    Parameters
    ----------
    path : Path
        Of the job file; drawings are found beside it.
    name : str
        The pattern's name.
    unit : Unit
        That reports are printed in.
    drawings : tuple of Path
    unit_mm : float or None
        Millimetres per drawing unit, where the drawing does not say.
    seam_allowance : float
        Included in the drawing, in millimetres; 0 where sewing lines are drawn.
    wearer : Wearer
    finding : FindingSettings
    fabric : FabricSettings
    cloths, tapes, pieces, runs : tuple
    allowances : tuple of (Finish, float)
        Millimetres of edges of a finish, in place of the usual ones.
    fold_tools : tuple of FoldTool
        That the person has; empty where nothing is said.
    text : str
        Of the file.
    """

    path: Path
    name: str
    unit: Unit
    drawings: tuple[Path, ...]
    unit_mm: float | None
    seam_allowance: float
    wearer: Wearer
    finding: FindingSettings
    fabric: FabricSettings
    cloths: tuple[ClothSettings, ...]
    tapes: tuple[TapeSettings, ...]
    pieces: tuple[PieceSettings, ...]
    runs: tuple[RunSettings, ...]
    allowances: tuple[tuple[Finish, float], ...] = ()
    fold_tools: tuple[FoldTool, ...] = ()
    text: str = ""

    def line_of(self, key: KeyPath) -> int | None:
        """Return the line on which a key stands; None where it cannot be told."""
        return key_lines(self.text).nearest(key)
