"""What a customer needs to know, as Markdown tables for a web page."""

import re
from collections.abc import Sequence
from typing import Final

from edgefinder.errors import one_line
from edgefinder.reports.amounts import to_cut
from edgefinder.reports.release_rows import (
    COVER_HEAD,
    cloth_sentences,
    cover_row,
    cover_words,
    run_names,
    tape_words,
)
from edgefinder.schedule.cautions import sewing_cautions
from edgefinder.schedule.release import Release
from edgefinder.schedule.size_rows import RunRow
from edgefinder.units import Unit

MARK: Final = "<!-- edgefinder schedule -->"
"""Last line of the text, by which it is known again; web pages do not show it."""

_SPECIAL: Final = re.compile(
    r"[\\`*_\[\]<>#|~&!]"  # emphasis, code, links, HTML, entities, cells
    r"|(?<=[a-zA-Z]):(?=//)|(?<=[wW]{3})\.|@"  # what is made a link without marks
    r"|^[-+=:]|(?<=^\d)[.)]"  # what begins a list or a rule
)
"""What may have a meaning in Markdown where it stands (CommonMark 0.31.2, section 2.4:
any ASCII punctuation may be escaped; GitHub Flavored Markdown 0.29, section 6.9)."""


def markdown(release: Release) -> str:
    """Write the table for the back cover, and the tape of every run, as Markdown.

    Parameters
    ----------
    release : Release

    Returns
    -------
    str
        Tables as GitHub Flavored Markdown has them (spec 0.29, section 4.10). Names
        are escaped: none of them is markup.
    """
    job = release.job
    rows = [
        cover_row(size, row, job.unit) for size in release.sizes for row in size.tapes
    ]
    tapes = {row.tape.name: row.tape for size in release.sizes for row in size.tapes}
    said = [tape_words(tape, job.unit) for tape in tapes.values()]
    cautions = sewing_cautions(job, run_names(release.sizes))
    said += cloth_sentences([tape.cloth for tape in tapes.values()])
    return "\n".join(
        [
            f"## {escaped(job.name)}: binding",
            "",
            *table(COVER_HEAD, rows, names=2),
            "",
            escaped(cover_words(release)),
            "",
            *(f"- {escaped(one)}" for one in said),
            "",
            "### Tape to cut for each run",
            "",
            *_runs(release),
            "",
            *(f"- {escaped(caution)}" for caution in cautions),
            "",
            MARK,
            "",
        ]
    )


def _runs(release: Release) -> list[str]:
    """Write one row for every run, a column for every size."""
    rows = []
    for name in run_names(release.sizes):
        found = [
            next((row for row in size.runs if row.run.name == name), None)
            for size in release.sizes
        ]
        rows.append((name, *(_tape(row, release.job.unit) for row in found)))
    return table(("run", *(size.size for size in release.sizes)), rows, names=1)


def _tape(row: RunRow | None, unit: Unit) -> str:
    """Write the tape of one pass, and how many there are."""
    if row is None:
        return "-"
    times = row.run.settings.times
    length = to_cut(row.tape_length.total, unit)
    return length if times == 1 else f"{times} x {length}"


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], *, names: int
) -> list[str]:
    """Write a table; the first columns are names, the others figures to the right."""
    rule = ["---" if i < names else "---:" for i in range(len(head))]
    return [
        _row([escaped(cell) for cell in head]),
        _row(rule),
        *(_row([escaped(cell) for cell in row]) for row in rows),
    ]


def escaped(text: str) -> str:
    """Write a text so that nothing in it is markup."""
    return _SPECIAL.sub(r"\\\g<0>", " ".join(one_line(text).split()))


def _row(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"
