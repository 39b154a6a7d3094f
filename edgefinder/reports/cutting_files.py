"""Cutting charts and their steps, as files."""

import re
from dataclasses import replace
from typing import Final

from edgefinder.reports.cutting_chart import cutting_chart
from edgefinder.reports.cutting_steps import cutting_steps, steps_text
from edgefinder.reports.laid_chart import (
    one_cut_chart,
    scrap_chart,
    scrap_title,
    taken_scraps,
)
from edgefinder.reports.laid_steps import one_cut_steps, scraps_steps
from edgefinder.reports.release_rows import size_words
from edgefinder.schedule.fabric_answer import FabricAnswer
from edgefinder.schedule.release import Release
from edgefinder.units import Unit
from edgefinder.yardage.cutting import Cutting, Need
from edgefinder.yardage.scraps import ScrapCover
from edgefinder.yardage.strip_rows import OneCut

LONGEST_STEM: Final = 80
"""Letters of a file's name: a tape or a size may have a name without end."""


def chart_files(
    cutting: Cutting, unit: Unit, stem: str, *, name: str = ""
) -> dict[str, str]:
    """Return the text of a chart and of its steps by file name.

    Parameters
    ----------
    cutting : Cutting
    unit : Unit
        That figures are written in.
    stem : str
        Of the two file names.
    name : str
        Of the tape.

    Returns
    -------
    dict of str to str
        ``stem.svg`` and ``stem.txt``.
    """
    return {
        f"{stem}.svg": cutting_chart(cutting, unit, name=name),
        f"{stem}.txt": steps_text(cutting_steps(cutting, unit, name=name)),
    }


def answer_charts(found: FabricAnswer) -> dict[str, str]:
    """Return the charts of what was typed: one for every way of cutting.

    Returns
    -------
    dict of str to str
        ``tube-from-a-square.svg`` and ``tube-from-a-square.txt``, and so on.
    """
    unit = found.query.unit
    cuttings: tuple[Cutting, ...] = ()
    if found.plan is not None:
        cuttings = found.plan.cuttings
    elif found.rectangle is not None:
        cuttings = found.rectangle.cuttings
        if found.query.is_promise:  # nobody asked for what the rule promises
            cuttings = tuple(
                replace(c, need=replace(c.need, length=c.yield_length))
                for c in cuttings
            )
    files: dict[str, str] = {}
    for cutting in cuttings:
        files |= chart_files(cutting, unit, file_stem(str(cutting.method)))
    seam = found.query.fabric.strip_seam
    for one in found.tapes:
        for cut in one.sizes.sizes:
            if isinstance(cut.result, OneCut):
                stem = file_stem(f"{cut.size} one cut {one.grain}")
                files |= one_cut_files(cut.result, seam, unit, stem)
    if found.scraps is not None and found.query.need is not None:
        files |= scrap_files(found.scraps, found.query.need, unit)
    return files


def one_cut_files(cut: OneCut, seam: float, unit: Unit, stem: str) -> dict[str, str]:
    """Return the chart and the steps of several tapes in one cut.

    Parameters
    ----------
    cut : OneCut
    seam : float
        Millimetres of seam allowance at each join.
    unit : Unit
    stem : str
        Of the two file names.
    """
    return {
        f"{stem}.svg": one_cut_chart(cut, unit),
        f"{stem}.txt": steps_text(one_cut_steps(cut, seam, unit)),
    }


def scrap_files(cover: ScrapCover, need: Need, unit: Unit) -> dict[str, str]:
    """Return a chart for every scrap that is taken, and the steps for all of them."""
    files = {"scraps.txt": steps_text(scraps_steps(cover, need, unit))}
    for tape, strips in taken_scraps(cover):
        stem = _free(file_stem(scrap_title(tape)), files)
        files[f"{stem}.svg"] = scrap_chart(tape, strips, unit)
    return files


def release_charts(release: Release) -> dict[str, str]:
    """Return the charts of a release: one for every tape of every size.

    Beside them stands one for all tapes of a size that are cut together, and where the
    job has a piece of cloth or scraps, one for the piece and one for each scrap taken.

    Notes
    -----
    It shows the way that buys least cloth, which is the one that the back cover counts:
    whoever sews a size cuts that size, so a chart of the largest alone would be wrong
    for all others.
    """
    files: dict[str, str] = {}
    unit, seam = release.job.unit, release.job.fabric.strip_seam
    for size in release.sizes:
        for row in size.tapes:
            best = row.plan.least_cloth
            if best is None:
                continue
            stem = _free(file_stem(f"{size.size} {row.tape.name}"), files)
            name = f"{row.tape.name}, {size_words(size.size)}"
            files |= chart_files(best, unit, stem, name=name)
            if row.rectangle is not None and row.rectangle.cuttings:
                own = _free(file_stem(f"{size.size} {row.tape.name} from piece"), files)
                files |= chart_files(row.rectangle.cuttings[0], unit, own, name=name)
            if row.scraps is not None and row.scraps.taken:
                before = file_stem(f"{size.size} {row.tape.name}")
                for key, text in scrap_files(row.scraps, row.plan.need, unit).items():
                    files[f"{before}-{key}"] = text
        for cut in size.cuts:
            if isinstance(cut.together, OneCut):
                stem = _free(file_stem(f"{size.size} one cut {cut.grain}"), files)
                files |= one_cut_files(cut.together, seam, unit, stem)
    return files


def file_stem(name: str) -> str:
    """Make a file name of a name that may come from a drawing.

    Examples
    --------
    >>> file_stem("Tube from a square")
    'tube-from-a-square'
    """
    plain = re.sub(r"[^\w]+", "-", name.casefold()).strip("-_")
    return plain[:LONGEST_STEM] or "tape"


def _free(stem: str, files: dict[str, str]) -> str:
    """Give a number to a name that would be there twice."""
    tried, number = stem, 1
    while f"{tried}.svg" in files:
        number += 1
        tried = f"{stem}-{number}"
    return tried
