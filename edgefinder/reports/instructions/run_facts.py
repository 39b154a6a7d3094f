"""What a template may say of a run: words and figures over all sizes."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from edgefinder.classifier.job import End, InsideCorner, Join, RunSettings
from edgefinder.classifier.sizes import ONE_SIZE
from edgefinder.curvature.advice import PlaceReport
from edgefinder.curvature.verdict import Verdict
from edgefinder.errors import SettingsError, did_you_mean
from edgefinder.reports.amounts import length, to_cut, width
from edgefinder.reports.place_text import edge_name, place_edge, place_side
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import RunRow
from edgefinder.units import Unit


@dataclass(frozen=True, slots=True)
class SizeLength:
    """How long the tape of a run is cut in one size."""

    size: str
    tape: str


@dataclass(frozen=True, slots=True)
class SizePlace:
    """How far along the drawn edge the sharpest point of a place is in one size."""

    size: str
    along: str


@dataclass(frozen=True, slots=True)
class CurveFacts:
    """A place where the tape wants help, in all sizes that have it.

    Parameters
    ----------
    edge : str
        As a job file names it.
    side : str
        ``inside`` or ``outside``.
    lies : str
        The verdict; the worst of all sizes.
    sizes : tuple of str
    tight_sizes : tuple of str
        Those in which the tape does not lie flat even with steam.
    where : tuple of SizePlace
    """

    edge: str
    side: str
    lies: str
    sizes: tuple[str, ...]
    tight_sizes: tuple[str, ...]
    where: tuple[SizePlace, ...]


@dataclass(frozen=True, slots=True)
class CornerFacts:
    """A corner that the tape turns.

    Parameters
    ----------
    after : str
        The edge that ends there.
    side : str
        ``inside`` or ``outside``.
    is_clipped : bool
        Whether the cloth is clipped and pulled straight; else a mitre is folded.
    """

    after: str
    side: str
    is_clipped: bool


@dataclass(frozen=True, slots=True)
class RunFacts:
    """A run over all sizes.

    Parameters
    ----------
    name, tape, fold, grain, cloth : str
    finished_width, cut_width : str
    times : int
        How often it is sewn in one garment.
    is_closed : bool
    start, end : str
        How the ends are finished; empty for a closed run.
    turned_under, tie_length, handling_tail : str
    is_joined_on_grain : bool
        Whether the ends of a closed run are cut on the grain before they are joined.
    edges : tuple of str
        In sewing order.
    lengths : tuple of SizeLength
        Of one pass.
    is_one_size : bool
        Whether the pattern names no size.
    curves : tuple of CurveFacts
    corners : tuple of CornerFacts
        In sewing order.
    """

    name: str
    tape: str
    fold: str
    grain: str
    cloth: str
    finished_width: str
    cut_width: str
    times: int
    is_closed: bool
    start: str
    end: str
    turned_under: str
    tie_length: str
    handling_tail: str
    is_joined_on_grain: bool
    edges: tuple[str, ...]
    lengths: tuple[SizeLength, ...]
    is_one_size: bool
    curves: tuple[CurveFacts, ...]
    corners: tuple[CornerFacts, ...]


class Figures:
    """Writes lengths in the unit of the pattern, or in both."""

    def __init__(self, unit: Unit, *, both: bool) -> None:
        other = Unit.CENTIMETRE if unit is Unit.INCH else Unit.INCH
        self._units = (unit, other) if both else (unit,)

    def length(self, value: float) -> str:
        """Write a measured length."""
        return self._written([length(value, unit) for unit in self._units])

    def to_cut(self, value: float) -> str:
        """Write a length to cut, rounded up."""
        return self._written([to_cut(value, unit) for unit in self._units])

    def width(self, value: float) -> str:
        """Write the width of a tape or strip."""
        return self._written([width(value, unit) for unit in self._units])

    @staticmethod
    def _written(texts: Sequence[str]) -> str:
        first, *others = texts
        return " ".join([first, *(f"({other})" for other in others)])


def run_facts(
    release: Release, names: Sequence[str] = (), *, both_units: bool = False
) -> tuple[RunFacts, ...]:
    """Collect the facts of the runs of a release.

    Parameters
    ----------
    release : Release
    names : sequence of str
        Of the runs that are wanted; all if empty.
    both_units : bool
        Write inches and centimetres.

    Returns
    -------
    tuple of RunFacts

    Raises
    ------
    SettingsError
        If a run is not there.
    """
    known = list(dict.fromkeys(r.run.name for s in release.sizes for r in s.runs))
    missing = [name for name in names if name not in known]
    if missing:
        raise SettingsError(
            *(
                f'--run: there is no run "{name}"{did_you_mean(name, known)}'
                for name in missing
            )
        )
    figures = Figures(release.job.unit, both=both_units)
    return tuple(
        _facts([*_rows(release, name)], figures)
        for name in known
        if not names or name in names
    )


def _rows(release: Release, name: str) -> list[tuple[str, RunRow]]:
    return [
        (size.size, row)
        for size in release.sizes
        for row in size.runs
        if row.run.name == name
    ]


def _facts(rows: Sequence[tuple[str, RunRow]], figures: Figures) -> RunFacts:
    first = rows[0][1]
    settings, tape = first.run.settings, first.run.tape
    return RunFacts(
        name=settings.name,
        tape=tape.name,
        fold=str(tape.fold),
        grain=str(tape.grain),
        cloth=tape.cloth.name,
        finished_width=figures.width(tape.finished_width),
        cut_width=figures.width(tape.cut_width),
        times=settings.times,
        is_closed=settings.is_closed,
        start="" if settings.is_closed else str(settings.start),
        end="" if settings.is_closed else str(settings.end),
        turned_under=_if(End.TURNED_UNDER, settings, settings.turned_under, figures),
        tie_length=_if(End.TIES, settings, settings.tie_length, figures),
        handling_tail=figures.length(settings.handling_tail)
        if settings.is_closed
        else "",
        is_joined_on_grain=settings.is_closed and settings.join is Join.ON_GRAIN,
        edges=tuple(edge_name(edge) for edge in first.run.edges),
        lengths=tuple(
            SizeLength(size, figures.to_cut(row.tape_length.total))
            for size, row in rows
        ),
        is_one_size=[size for size, _ in rows] == [ONE_SIZE],
        curves=_curves(rows, figures),
        corners=tuple(
            CornerFacts(
                after=edge_name(corner.edge),
                side="inside" if corner.turn < 0 else "outside",
                is_clipped=corner.turn < 0
                and settings.inside_corners is InsideCorner.CLIP,
            )
            for corner, _ in first.judged.mitres
        ),
    )


def _if(end: End, settings: RunSettings, value: float, figures: Figures) -> str:
    """Write a length that only one way of finishing an end has."""
    has_it = not settings.is_closed and end in {settings.start, settings.end}
    return figures.length(value) if has_it else ""


_BY_TROUBLE: Final = (Verdict.STEAM, Verdict.TOO_TIGHT, Verdict.MITRE)


def _curves(
    rows: Sequence[tuple[str, RunRow]], figures: Figures
) -> tuple[CurveFacts, ...]:
    """Put together the places of all sizes that lie on one edge and curve alike."""
    found: dict[tuple[str, str], list[tuple[str, PlaceReport]]] = {}
    for size, row in rows:
        for report in row.judged.places:
            key = (place_edge(report), place_side(report))
            found.setdefault(key, []).append((size, report))
    return tuple(
        CurveFacts(
            edge=edge,
            side=side,
            lies=str(max((r.place.verdict for _, r in same), key=_BY_TROUBLE.index)),
            sizes=tuple(dict.fromkeys(size for size, _ in same)),
            tight_sizes=tuple(
                dict.fromkeys(
                    size for size, r in same if r.place.verdict is Verdict.TOO_TIGHT
                )
            ),
            where=tuple(
                SizePlace(size, figures.length(report.place.at))
                for size, report in same
            ),
        )
        for (edge, side), same in found.items()
    )
