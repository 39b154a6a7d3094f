"""Where along its tapes a run wants no joins, and where a loop then begins.

Places are distances along the bound edges in sewing order. On the tape they lie further
on by what has been fed and by the mitres passed; what is fed is shared out evenly.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from edgefinder.binding.runs import BoundEdge, RunCorner
from edgefinder.classifier.edges_meant import own_words
from edgefinder.classifier.job import End, Job
from edgefinder.classifier.mark_places import mark_places
from edgefinder.classifier.mark_words import parse_mark_word
from edgefinder.classifier.sizes import name_key
from edgefinder.classifier.tags import TaggedPiece, TaggedSize
from edgefinder.curvature.judgement import RunJudgement
from edgefinder.errors import EdgefinderError, SettingsError, did_you_mean, one_line
from edgefinder.geometry.measured import points_at_lengths
from edgefinder.geometry.nearest import nearest_stations
from edgefinder.units import parse_length
from edgefinder.yardage.tape_length import TapeLength
from edgefinder.yardage.tape_run import TapeRun

MITRES: Final = "mitres"
"""Written for every corner of the run that is mitred."""
ON_EDGE_MM: Final = 0.01
"""A mark further from an edge is not on it; above the rounding of a drawing."""


@dataclass(frozen=True, slots=True, eq=False)
class Pass:
    """One pass of a run, along the whole tape that it is cut from.

    Parameters
    ----------
    judged : RunJudgement
    tape : TapeLength
    places : tuple of float
        Millimetres along the bound edges near to which no join may lie.
    """

    judged: RunJudgement
    tape: TapeLength
    places: tuple[float, ...]

    @property
    def along(self) -> float:
        """Millimetres of tape along the edges."""
        return math.fsum((self.tape.edge, self.tape.feed, self.tape.mitres))

    @property
    def lead(self) -> float:
        """Millimetres of tape before the run begins."""
        settings = self.judged.run.settings
        if settings.is_closed:
            return 0.5 * (self.tape.total - self.along)
        turned = self.tape.ends
        if settings.start is settings.end:
            return 0.5 * (turned + self.tape.ties)
        in_seam = turned - settings.turned_under
        own = in_seam if settings.start is End.IN_SEAM else settings.turned_under
        return own + (self.tape.ties if settings.start is End.TIES else 0.0)

    def on_tape(self, place: float) -> float:
        """Return where on the tape, from the start of the run, a place is."""
        run = self.judged.run
        before = math.fsum(
            extra
            for corner, extra in self.judged.mitres
            if corner_place(self.judged, corner) < place
        )
        share = place / run.length if run.length > 0.0 else 0.0
        return min(self.along, place + share * self.tape.feed + before)


@dataclass(frozen=True, slots=True)
class Begin:
    """Where something of a run begins.

    Parameters
    ----------
    run : str
    at : float
        Millimetres along the run, for a loop whose closing join has to lie elsewhere;
        along the joined tape, for the tape of one pass.
    """

    run: str
    at: float


@dataclass(frozen=True, slots=True)
class TapeWay:
    """The way of a whole tape through all runs that are cut from it.

    Parameters
    ----------
    run : TapeRun or None
        None where no place is to be avoided.
    begins : tuple of Begin
        Of loops that begin elsewhere than they would.
    loop : str
        Name of the run where the tape is that of a single loop, whose beginning is
        found together with the order of strips; else empty.
    passes : tuple of Begin
        Where the tape of each pass begins, in the order in which they are cut off.
    """

    run: TapeRun | None
    begins: tuple[Begin, ...] = ()
    loop: str = ""
    passes: tuple[Begin, ...] = ()


def tape_way(passes: Sequence[Pass]) -> TapeWay:
    """Put the passes of a tape one after the other.

    Raises
    ------
    SettingsError
        If no place is left on a loop for its closing join.
    """
    if not any(one.places for one in passes):
        return TapeWay(None)
    if len(passes) == 1 and passes[0].judged.run.settings.is_closed:
        (only,) = passes
        within = only.judged.run.settings.avoid_joins_within
        tail = only.tape.total - only.along - only.lead
        avoid = tuple((only.on_tape(place), within) for place in only.places)
        run = TapeRun(only.along, only.lead, tail, is_closed=True, avoid=avoid)
        name = only.judged.run.name
        return TapeWay(run, loop=name, passes=(Begin(name, 0.0),))
    at = 0.0
    places: list[tuple[float, float]] = []
    begins: list[Begin] = []
    cut_off: list[Begin] = []
    for one in passes:
        cut_off.append(Begin(one.judged.run.name, at))
        settings = one.judged.run.settings
        within = settings.avoid_joins_within
        on_tape = [one.on_tape(place) for place in one.places]
        start = _start(one, on_tape, within) if settings.is_closed else 0.0
        if start > 0.0:
            begins.append(Begin(one.judged.run.name, start))
            on_tape = [(place - start) % one.along for place in on_tape]
        places += [(at + one.lead + place, within) for place in on_tape]
        at += one.tape.total
    found = tuple(dict.fromkeys(begins))
    run = TapeRun(at, avoid=tuple(places))
    return TapeWay(run, found, passes=tuple(cut_off))


def _start(one: Pass, places: Sequence[float], within: float) -> float:
    """Begin a loop at its start, or at the first place behind one that is avoided."""
    ends = sorted((place + within) % one.along for place in places)
    for start in (0.0, *ends):
        apart = [abs(start - place) for place in places]
        nearest = min((min(d, one.along - d) for d in apart), default=math.inf)
        if nearest >= within * (1.0 - 1e-9):
            return start
    name = one.judged.run.name
    raise SettingsError(
        f'runs "{name}": avoid_joins_within: no place is left for the join that closes '
        "the run; write less"
    )


def avoided_places(
    judged: RunJudgement, size: TaggedSize, sizes: Sequence[TaggedSize], job: Job
) -> tuple[float, ...]:
    """Find the places of a run near to which no join may lie.

    Returns
    -------
    tuple of float
        Millimetres along the bound edges, in sewing order.

    Raises
    ------
    SettingsError
        With one line for every word that means no place on the run.
    """
    found: list[float] = []
    mistakes: list[str] = []
    settings = judged.run.settings
    for text in settings.avoid_joins_at:
        try:
            found += _places(text, judged, size, sizes)
        except EdgefinderError as error:
            place = f'{job.path}: runs "{settings.name}": avoid_joins_at'
            mistakes += [f"{place}: {line}" for line in error.messages]
    if mistakes:
        raise SettingsError(*mistakes)
    return tuple(_apart(found))


def _places(
    text: str, judged: RunJudgement, size: TaggedSize, sizes: Sequence[TaggedSize]
) -> list[float]:
    plain = " ".join(text.split())
    if plain.casefold() in {MITRES, "mitre"}:
        return [corner_place(judged, corner) for corner, _ in judged.mitres]
    piece = _piece_in(plain, size)
    if piece is not None:
        of_name = len(name_key(piece.piece.name).split())
        mark = " ".join(one_line(text).split()[of_name:])
        return _at_mark(mark, piece, judged, size, sizes)
    try:
        at = parse_length(plain)
    except SettingsError:
        names = [tagged.piece.name for tagged in size.pieces]
        raise SettingsError(
            f'"{text}" is no place on the run; write "mitres", a distance from its '
            f'start like "45 cm", or a piece and a mark, like "front notch 1"'
            f"{did_you_mean(plain, names)}"
        ) from None
    if at > judged.run.length:
        raise SettingsError(
            f'"{text}" lies beyond the run, which is {judged.run.length:.0f} mm long '
            f"in size {size.size}"
        )
    return [at]


def _piece_in(text: str, size: TaggedSize) -> TaggedPiece | None:
    """Return the piece whose name a text begins with; the longest name counts."""
    said = name_key(text)
    fitting = [
        tagged
        for tagged in size.pieces
        if said.startswith(name_key(tagged.piece.name) + " ")
    ]
    return max(fitting, key=lambda tagged: len(tagged.piece.name), default=None)


def _at_mark(
    mark: str,
    tagged: TaggedPiece,
    judged: RunJudgement,
    size: TaggedSize,
    sizes: Sequence[TaggedSize],
) -> list[float]:
    """Find a mark of a piece on the run; on a mirrored half it is there once more."""
    words = own_words(tagged.settings)
    word = parse_mark_word(mark, words.marks)
    name = tagged.piece.name
    same = {
        one.size: piece.piece
        for one in sizes
        for piece in one.pieces
        if piece.piece.name == name
    }
    places = mark_places(word, list(same.values()), words.marks, words.numbers)
    place = places[list(same).index(size.size)]
    edge = tagged.piece.edges[place.number - 1]
    point = points_at_lengths(edge.path, np.array([place.s]))
    found: list[float] = []
    before = 0.0
    for bound, is_back in _sewn(judged, size):
        if bound.finished.piece.name == name:
            stations, apart = nearest_stations(bound.finished.edge.path, point)
            if apart[0] <= ON_EDGE_MM:
                along = _finished_at(bound, float(stations[0]))
                length = bound.finished.length
                found += [before + (length - s if is_back else s) for s in along]
        before += bound.finished.length
    if not found:
        raise SettingsError(
            f'"{mark}" of "{name}" lies on no edge of the run (size {size.size})'
        )
    return _apart(found)


def _sewn(judged: RunJudgement, size: TaggedSize) -> list[tuple[BoundEdge, bool]]:
    """Return the edges in sewing order, each with whether it is sewn backwards."""
    run = judged.run
    groups = next(one.groups for one in size.runs if one.settings.name == run.name)
    against = [group.is_against for group in groups for _ in group.copies]
    return [
        (edge, edge.runs_back is not is_against)
        for edge, is_against in zip(run.edges, against, strict=True)
    ]


def _finished_at(bound: BoundEdge, drawn: float) -> list[float]:
    """Return where along a finished edge a place of the drawn one lies.

    What an allowance has taken off lies at the end that is next to it.
    """
    finished = bound.finished
    stations, gaps = finished.stations, finished.drawn - drawn
    found = []
    for i in range(len(stations) - 1):
        a, b = float(gaps[i]), float(gaps[i + 1])
        if min(a, b) <= 0.0 <= max(a, b):
            share = 0.0 if a == b else a / (a - b)
            found.append(float(stations[i] + share * (stations[i + 1] - stations[i])))
    if not found:
        found = [float(stations[int(np.argmin(np.abs(gaps)))])]
    return _apart(found)


def _apart(places: Sequence[float]) -> list[float]:
    """Leave out places that are there already."""
    kept: list[float] = []
    for place in sorted(places):
        if not kept or place - kept[-1] > ON_EDGE_MM:
            kept.append(place)
    return kept


def corner_place(judged: RunJudgement, corner: RunCorner) -> float:
    """Return how far along a run, in sewing order, one of its corners lies."""
    run = judged.run
    before = 0.0
    for edge in run.edges:
        length = edge.finished.length
        if (
            edge.finished is corner.edge.finished
            and edge.mirrored is corner.edge.mirrored
        ):
            on_drawn = length - corner.at if corner.edge.runs_back else corner.at
            break
        before += length
    else:
        raise ValueError("the corner is on no edge of the run")
    is_back = run.is_against is not corner.edge.runs_back
    return before + (length - on_drawn if is_back else on_drawn)
