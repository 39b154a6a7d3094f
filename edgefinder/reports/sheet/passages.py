"""What the sheet says of cloth: sentences with their tables."""

from edgefinder.reports import scraps_text
from edgefinder.reports.buying_text import PREPARATION_HEAD, preparation_rows
from edgefinder.reports.cloth_text import (
    COVER_TITLE,
    cover_cloth_words,
    one_cut_title,
    one_cut_words,
    several_tapes,
    width_labels,
    width_rows,
)
from edgefinder.reports.rectangle_text import (
    NO_TAPE,
    rectangle_about,
    rectangle_table,
    tube_words,
)
from edgefinder.reports.release_rows import size_words
from edgefinder.reports.scraps_text import scrap_rows, scraps_about, scraps_result
from edgefinder.reports.sheet.tables import Passage, Table
from edgefinder.reports.tapes_text import strips_rows
from edgefinder.schedule.fabric_need import preparation_of
from edgefinder.schedule.one_cuts import GrainCut
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import SizeSchedule, TapeRow
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Need
from edgefinder.yardage.from_rectangle import FromRectangle
from edgefinder.yardage.scraps import ScrapCover
from edgefinder.yardage.strip_rows import OneCut


def sentence(text: str) -> str:
    """Write words that begin small and end without a point as a sentence."""
    return f"{text[:1].upper()}{text[1:]}."


def cloth_passage(release: Release) -> Passage:
    """Return what the back cover says of cloth, and what is allowed for."""
    unit = release.job.unit
    preparation = preparation_rows(preparation_of(release.job.fabric), unit)
    # Where a figure comes from is words: here it follows the name.
    head, *rows = (
        (row[0], row[-1], *row[1:-1]) for row in (PREPARATION_HEAD, *preparation)
    )
    tables = [Table("Allowances for the cloth", head, tuple(rows), names=2)]
    labels = width_labels(release)
    if labels:
        head = ("size", "tape", *labels)
        caption = "Fabric to buy by the width of the cloth"
        tables.append(Table(caption, head, width_rows(release), names=2))
    words = tuple(map(sentence, cover_cloth_words(release)))
    return Passage(COVER_TITLE, words, tuple(tables))


def one_cut_passages(size: SizeSchedule, unit: Unit) -> tuple[Passage, ...]:
    """Return the tapes of a size that are cut from one cloth in one cut."""
    return tuple(_one_cut(cut, size.size, unit) for cut in several_tapes(size.cuts))


def _one_cut(cut: GrainCut, size: str, unit: Unit) -> Passage:
    title = f"{one_cut_title(cut)}, {size_words(size)}"
    tables: tuple[Table, ...] = ()
    if isinstance(cut.together, OneCut):
        rows = strips_rows(cut.together, unit)
        caption = f"Strips of {title[:1].lower()}{title[1:]}"
        tables = (Table(caption, ("tape", "strips", "cut width"), rows, names=2),)
    words = tuple(map(sentence, one_cut_words(cut, unit)))
    return Passage(title, words, tables)


def there_passages(row: TapeRow, size: str, unit: Unit) -> tuple[Passage, ...]:
    """Return what a piece of cloth or scraps that are there come to for a tape."""
    tape = f"tape {row.tape.name}, {size_words(size)}"
    passages = []
    if row.rectangle is not None:
        passages.append(_rectangle(row.rectangle, tape, unit))
    if row.scraps is not None:
        passages.append(_scraps(row.scraps, row.plan.need, tape, unit))
    return tuple(passages)


def _rectangle(found: FromRectangle, tape: str, unit: Unit) -> Passage:
    title = f"From the piece of cloth that is there, {tape}"
    words = [rectangle_about(found, unit, is_promise=False)]
    tables: tuple[Table, ...] = ()
    if found.cuttings:
        head, rows = rectangle_table(found, unit, is_promise=False)
        tables = (Table(f"Ways to cut that piece, {tape}", head, rows),)
    else:
        words.append(NO_TAPE)
    words += tube_words(found, unit, is_promise=False)
    return Passage(title, tuple(map(sentence, words)), tables)


def _scraps(cover: ScrapCover, need: Need, tape: str, unit: Unit) -> Passage:
    words = scraps_about(cover, need, unit), scraps_result(cover, unit)
    table = Table(f"Scraps, {tape}", scraps_text.HEAD, scrap_rows(cover, unit))
    title = f"From the scraps that are there, {tape}"
    return Passage(title, tuple(map(sentence, words)), (table,))
