"""What stands on the sheet, section by section, before it is HTML."""

from dataclasses import dataclass

from markupsafe import Markup

from edgefinder import __version__
from edgefinder.classifier.job import Grain
from edgefinder.findings import Finding, grouped
from edgefinder.reports.buying_text import bought_lines, cost_lines
from edgefinder.reports.cloth_text import begin_lines
from edgefinder.reports.cutting_chart import cutting_chart
from edgefinder.reports.cutting_steps import CuttingSteps, cutting_steps
from edgefinder.reports.fabric_text import packets_lines, rule_lines, ruling_lines
from edgefinder.reports.order_words import order_sentences
from edgefinder.reports.picture.pens import run_letter
from edgefinder.reports.picture.release_picture import (
    piece_pictures,
    scale_of_largest,
)
from edgefinder.reports.release_rows import (
    cloth_sentences,
    cover_words,
    order_words,
    run_names,
    size_title,
    size_words,
    tape_words,
    total_words,
)
from edgefinder.reports.sheet.passages import (
    cloth_passage,
    one_cut_passages,
    sentence,
    there_passages,
)
from edgefinder.reports.sheet.run_sample import run_sample
from edgefinder.reports.sheet.settings import settings_tables
from edgefinder.reports.sheet.tables import (
    PLACE_HEAD,
    Passage,
    PlaceRow,
    Table,
    cover_table,
    edges_tables,
    methods_table,
    place_rows,
    runs_table,
    widths_table,
)
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import RunRow, SizeSchedule, TapeRow
from edgefinder.schedule.telling import Tell, one_by_one, silent
from edgefinder.units import Unit
from edgefinder.yardage.as_cut import as_cut_plan


@dataclass(frozen=True, slots=True)
class RunKey:
    """A run in the key: its line, its letter, and its edges in sewing order."""

    sample: Markup
    letter: str
    name: str
    order: str


@dataclass(frozen=True, slots=True)
class PieceSection:
    """A piece of one size.

    Parameters
    ----------
    name : str
    picture : Markup
        An ``svg`` element.
    edges : Table or None
        Its bound edges.
    places : tuple of int
        Numbers of the places to watch on it.
    """

    name: str
    picture: Markup
    edges: Table | None
    places: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class TapeSection:
    """A tape of one size.

    Parameters
    ----------
    name : str
    words : tuple of str
        What is cut in all, packets, lines to rule.
    methods, widths : Table
    not_possible : tuple of str
    there : tuple of Passage
        What a piece of cloth or scraps that are there come to.
    chart : Markup or None
        Of the way of cutting that takes least fabric.
    steps : CuttingSteps or None
        Of the same.
    """

    name: str
    words: tuple[str, ...]
    methods: Table
    widths: Table
    not_possible: tuple[str, ...]
    there: tuple[Passage, ...]
    chart: Markup | None
    steps: CuttingSteps | None


@dataclass(frozen=True, slots=True)
class SizeSection:
    """One size; ``key`` begins its ids."""

    key: str
    title: str
    words: str
    runs: Table
    run_keys: tuple[RunKey, ...]
    pieces: tuple[PieceSection, ...]
    places: tuple[PlaceRow, ...]
    tapes: tuple[TapeSection, ...]
    one_cut: tuple[Passage, ...]


@dataclass(frozen=True, slots=True)
class SheetContent:
    """The whole sheet."""

    name: str
    version: str
    drawings: tuple[str, ...]
    about: tuple[str, ...]
    cover: Table
    cover_words: str
    cloth: Passage
    findings: tuple[Finding, ...]
    sizes: tuple[SizeSection, ...]
    place_head: tuple[str, ...]
    cautions: tuple[str, ...]
    settings: tuple[Table, ...]


def sheet_content(release: Release, tell: Tell = silent) -> SheetContent:
    """Collect what stands on the sheet of a release.

    Parameters
    ----------
    release : Release
    tell : Tell
        Told of every size.

    Returns
    -------
    SheetContent
    """
    job = release.job
    tapes = {row.tape.name: row.tape for size in release.sizes for row in size.tapes}
    scale = scale_of_largest(release)
    return SheetContent(
        name=job.name,
        version=__version__,
        drawings=tuple(path.name for path in job.drawings),
        about=tuple(
            sentence(said)
            for said in (
                *(tape_words(tape, job.unit) for tape in tapes.values()),
                *cloth_sentences([tape.cloth for tape in tapes.values()]),
            )
        ),
        cover=cover_table(release),
        cover_words=sentence(cover_words(release)),
        cloth=cloth_passage(release),
        findings=grouped(release.findings),
        sizes=tuple(
            _size(release, size, f"s{number}", scale)
            for number, size in enumerate(
                one_by_one(release.sizes, "drawing size", tell), start=1
            )
        ),
        place_head=PLACE_HEAD,
        cautions=release.cautions,
        settings=settings_tables(job),
    )


def _size(release: Release, size: SizeSchedule, key: str, scale: float) -> SizeSection:
    unit = release.job.unit
    names = run_names(release.sizes)
    edges = edges_tables(size, unit)
    pieces = tuple(
        PieceSection(
            picture.piece,
            Markup(picture.svg),  # noqa: S704 - escaped where it was drawn
            edges.get(picture.piece),
            picture.places,
        )
        for picture in piece_pictures(release, size, f"{key}-piece", scale)
    )
    return SizeSection(
        key=key,
        title=size_title(size.size),
        words=size_words(size.size),
        runs=runs_table(size, unit),
        run_keys=tuple(_run_key(names.index(row.run.name), row) for row in size.runs),
        pieces=pieces,
        places=tuple(place_rows(size, unit)),
        tapes=tuple(
            _tape(row, size.size, unit, f"{key}-tape-{number}")
            for number, row in enumerate(size.tapes, start=1)
        ),
        one_cut=one_cut_passages(size, unit),
    )


def _run_key(index: int, row: RunRow) -> RunKey:
    return RunKey(run_sample(index), run_letter(index), row.run.name, order_words(row))


def _tape(row: TapeRow, size: str, unit: Unit, key: str) -> TapeSection:
    plan, name = as_cut_plan(row.plan, unit), row.tape.name
    words = [f"In all {total_words(row, unit)}."]
    if row.packets is not None and row.tape.packet_length is not None:
        words.append(_joined(packets_lines(row.packets, row.tape.packet_length, unit)))
    best = plan.least_waste
    if best is not None:
        words += [_joined(ruling_lines(best, unit)), *order_sentences(best, unit)]
        words += _if_any(bought_lines(best.bought, unit))
        words += _if_any(cost_lines(plan.cuttings, plan.need))
    if plan.need.grain is Grain.BIAS:  # the rule is one of bias tape
        words.append(_joined(rule_lines(plan, unit)))
    words += _if_any(begin_lines(row, unit))
    least = row.plan.least_cloth
    chart = steps = None
    if least is not None:
        drawn = cutting_chart(least, unit, name=name, prefix=f"{key}-chart")
        chart = Markup(drawn)  # noqa: S704 - escaped where it was drawn
        steps = cutting_steps(least, unit, name=name)
    return TapeSection(
        name=name,
        words=tuple(words),
        methods=methods_table(plan, name, size, unit),
        widths=widths_table(row, size, unit),
        not_possible=tuple(
            f"{other.method}: not possible: {other.reason}"
            for other in plan.not_possible
        ),
        there=there_passages(row, size, unit),
        chart=chart,
        steps=steps,
    )


def _if_any(lines: list[str]) -> list[str]:
    return [_joined(lines)] if lines else []


def _joined(lines: list[str]) -> str:
    """Put the lines of a wrapped sentence together again."""
    return sentence(" ".join(line.strip() for line in lines))
