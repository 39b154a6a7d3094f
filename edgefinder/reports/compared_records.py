"""What is compared of two patterns, taken out of their records.

The record of a job that was worked out now and one that was stored months ago come
through the same door, so that a schedule never differs from its own stored copy.
"""

from dataclasses import dataclass

from edgefinder.curvature.verdict import Verdict
from edgefinder.reports.record_fields import RecordFields


@dataclass(frozen=True, slots=True)
class ComparedEdge:
    """An edge of a piece; lengths in millimetres.

    Parameters
    ----------
    number : int
        Its place in the piece.
    label : str
        What the job file calls it: a name, a number, or a part of one; the number
        where the record does not say.
    length : float
        As drawn.
    finish, allowance, bound_length
        None where only pieces are known; ``bound_length`` also where it is not bound.
    """

    number: int
    label: str
    length: float
    finish: str | None = None
    allowance: float | None = None
    bound_length: float | None = None


@dataclass(frozen=True, slots=True)
class ComparedPiece:
    """A piece in one size; ``cut`` is None where only pieces are known."""

    name: str
    perimeter: float
    cut: int | None
    edges: tuple[ComparedEdge, ...]


@dataclass(frozen=True, slots=True)
class ComparedBound:
    """An edge in its run, and its bound length in millimetres."""

    piece: str
    edge: str
    mirrored: bool
    length: float


@dataclass(frozen=True, slots=True)
class ComparedRun:
    """A run in one size; lengths in millimetres."""

    name: str
    tape: str
    is_closed: bool
    times: int
    length: float
    tape_to_cut: float
    edges: tuple[ComparedBound, ...]


@dataclass(frozen=True, slots=True)
class ComparedPlace:
    """A place where the tape of a run does not lie flat."""

    run: str
    piece: str
    edge: str
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class ComparedTape:
    """A tape in one size; lengths in millimetres."""

    name: str
    finished_width: float
    cut_width: float
    fold: str
    grain: str
    cloth: str
    total: float


@dataclass(frozen=True, slots=True)
class ComparedFabric:
    """The cloth for a tape in one size; lengths in millimetres.

    Parameters
    ----------
    tape : str
    usable_width, strip_seam : float
    least_waste, least_cloth : float or None
        To buy by the way that wastes least, and by the way that takes least; None
        where no way is possible.
    packets : int or None
        Of ready-made tape.
    """

    tape: str
    usable_width: float
    strip_seam: float
    least_waste: float | None
    least_cloth: float | None
    packets: int | None


@dataclass(frozen=True, slots=True)
class ComparedSize:
    """One size of a pattern."""

    name: str
    pieces: tuple[ComparedPiece, ...] = ()
    runs: tuple[ComparedRun, ...] = ()
    places: tuple[ComparedPlace, ...] = ()
    tapes: tuple[ComparedTape, ...] = ()
    fabric: tuple[ComparedFabric, ...] = ()


@dataclass(frozen=True, slots=True)
class ComparedPattern:
    """One side of a comparison.

    Parameters
    ----------
    sizes : tuple of ComparedSize
    is_schedule : bool
        Whether there are runs, tapes and fabric, or pieces and edges only.
    """

    sizes: tuple[ComparedSize, ...]
    is_schedule: bool


def compared_pattern(
    record: object, file: str, *, is_schedule: bool
) -> ComparedPattern:
    """Take what is compared out of a record.

    Parameters
    ----------
    record : object
        As `release_record` makes it, or a JSON parser; where only pieces are known,
        ``sizes`` with the pieces of each as `pieces_records` makes them.
    file : str
        Name of the file that it came from, for messages.
    is_schedule : bool

    Returns
    -------
    ComparedPattern

    Raises
    ------
    SettingsError
        If the record is not of this shape.
    """
    whole = RecordFields(record, file, "")
    read = _size if is_schedule else _pieces_of_size
    sizes = tuple(read(fields) for fields in whole.parts("sizes"))
    if not any(size.pieces for size in sizes):
        raise whole.mistake("sizes", "holds no piece")
    return ComparedPattern(sizes, is_schedule)


def _pieces_of_size(fields: RecordFields) -> ComparedSize:
    pieces = tuple(
        ComparedPiece(
            name=piece.text("name"),
            perimeter=piece.number("perimeter_mm"),
            cut=None,
            edges=tuple(
                ComparedEdge(
                    edge.count("number"), _label(edge), edge.number("length_mm")
                )
                for edge in piece.parts("edges")
            ),
        )
        for piece in fields.parts("pieces")
    )
    return ComparedSize(fields.text("size"), pieces)


def _size(fields: RecordFields) -> ComparedSize:
    return ComparedSize(
        name=fields.text("size"),
        pieces=tuple(_piece(piece) for piece in fields.parts("pieces")),
        runs=tuple(_run(run) for run in fields.parts("runs")),
        places=tuple(_place(place) for place in fields.parts("places")),
        tapes=tuple(_tape(tape) for tape in fields.parts("tapes")),
        fabric=tuple(_fabric(fabric) for fabric in fields.parts("fabric")),
    )


def _piece(fields: RecordFields) -> ComparedPiece:
    return ComparedPiece(
        name=fields.text("name"),
        perimeter=fields.number("perimeter_mm"),
        cut=fields.count("cut"),
        edges=tuple(
            ComparedEdge(
                number=edge.count("number"),
                label=_label(edge),
                length=edge.number("length_mm"),
                finish=edge.text("finish"),
                allowance=edge.number("allowance_mm"),
                bound_length=edge.number_or_none("bound_length_mm"),
            )
            for edge in fields.parts("edges")
        ),
    )


def _label(edge: RecordFields) -> str:
    return edge.edge("edge" if edge.has("edge") else "number")


def _run(fields: RecordFields) -> ComparedRun:
    return ComparedRun(
        name=fields.text("name"),
        tape=fields.text("tape"),
        is_closed=fields.flag("closed"),
        times=fields.count("times"),
        length=fields.number("length_mm"),
        tape_to_cut=fields.number("tape_to_cut_mm"),
        edges=tuple(
            ComparedBound(
                piece=edge.text("piece"),
                edge=edge.edge("edge"),
                mirrored=edge.flag("mirrored"),
                length=edge.number("bound_mm"),
            )
            for edge in fields.parts("edges")
        ),
    )


def _place(fields: RecordFields) -> ComparedPlace:
    return ComparedPlace(
        run=fields.text("run"),
        piece=fields.text("piece"),
        edge=fields.edge("edge"),
        verdict=fields.choice("verdict", Verdict),
    )


def _tape(fields: RecordFields) -> ComparedTape:
    return ComparedTape(
        name=fields.text("name"),
        finished_width=fields.number("finished_width_mm"),
        cut_width=fields.number("cut_width_mm"),
        fold=fields.text("fold"),
        grain=fields.text("grain"),
        cloth=fields.text("cloth"),
        total=fields.number("total_mm"),
    )


def _fabric(fields: RecordFields) -> ComparedFabric:
    buys = [
        (method.text("method"), method.number("buy_mm"))
        for method in fields.parts("methods")
    ]
    best = fields.text("least_waste") if fields.has("least_waste") else None
    if best is not None and best not in dict(buys):
        raise fields.mistake("least_waste", "names a method that is not there")
    packets = fields.part("packets") if fields.has("packets") else None
    return ComparedFabric(
        tape=fields.text("tape"),
        usable_width=fields.number("usable_width_mm"),
        strip_seam=fields.number("strip_seam_mm"),
        least_waste=None if best is None else dict(buys)[best],
        least_cloth=min((buy for _, buy in buys), default=None),
        packets=None if packets is None else packets.count("count"),
    )
