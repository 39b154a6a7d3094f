"""The files that ``edgefinder schedule`` writes, one kind at a time."""

from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from edgefinder.cli.output import print_note
from edgefinder.cli.progress import progress

if TYPE_CHECKING:
    from edgefinder.schedule.release import Release

PAPERS: Final = ("a4", "letter")
"""Those of `edgefinder.reports.pdf.paper.Paper`, not loaded for a help page."""

_PDF_LIBRARIES: Final = frozenset({"reportlab", "PIL"})


_ENDINGS: Final = MappingProxyType(
    {
        "html": ("a page of HTML", (".html", ".htm")),
        "pdf": ("a PDF", (".pdf",)),
        "xlsx": ("a workbook", (".xlsx",)),
        "markdown": ("Markdown", (".md", ".markdown", ".txt")),
    }
)
"""What each kind of file is called, and how its name may end."""


def check_file(kind: str, path: Path) -> None:
    """Refuse a file whose name promises another kind; see `write_file`.

    Raises
    ------
    OutputError
        If the file would not open by its name.
    """
    from edgefinder.reports.writing import check_ending

    check_ending(path, *_ENDINGS[kind])


def write_charts(release: "Release", folder: Path, *, force: bool) -> None:
    """Write a cutting chart and its steps for every tape and size."""
    from edgefinder.reports.cutting_files import release_charts
    from edgefinder.reports.writing import write_tables

    for path in write_tables(folder, release_charts(release), force=force):
        print_note(f"wrote {path}")


def write_csv(release: "Release", folder: Path, *, force: bool, bom: bool) -> None:
    """Write one CSV file per table."""
    from edgefinder.reports.csv_tables import csv_files
    from edgefinder.reports.writing import write_tables

    for path in write_tables(folder, csv_files(release), force=force, bom=bom):
        print_note(f"wrote {path}")


def write_file(
    release: "Release", kind: str, path: Path, paper: str | None, *, force: bool
) -> None:
    """Write all in one file.

    Parameters
    ----------
    release : Release
    kind : str
        ``html``, ``pdf``, ``xlsx`` or ``markdown``.
    path : Path
    paper : str or None
        Of a PDF; None for what is usual.
    force : bool
        Write over a file of another make.

    Raises
    ------
    OutputError
        If the file cannot be written, or something else stands there.
    """
    if kind == "html":
        _write_page(release, path, force=force)
    elif kind == "pdf":
        _write_pdf(release, path, paper, force=force)
    elif kind == "xlsx":
        _write_book(release, path, force=force)
    else:
        _write_markdown(release, path, force=force)
    print_note(f"wrote {path}")


def _write_page(release: "Release", path: Path, *, force: bool) -> None:
    """Write the sheet as HTML."""
    from edgefinder.reports.sheet.page import MARK, sheet_html
    from edgefinder.reports.writing import write_report

    with progress() as tell:
        html = sheet_html(release, tell)
    write_report(path, html, MARK, _sources(release), force=force)


def _write_pdf(
    release: "Release", path: Path, paper: str | None, *, force: bool
) -> None:
    """Write the sheet as PDF, on the paper that is usual where nothing is said."""
    from edgefinder.errors import OutputError
    from edgefinder.reports.writing import write_copy

    try:
        from edgefinder.reports.pdf.document import is_own_pdf, sheet_pdf
        from edgefinder.reports.pdf.paper import Paper, usual_paper
    except ModuleNotFoundError as error:
        if (error.name or "").partition(".")[0] not in _PDF_LIBRARIES:
            raise
        raise OutputError(
            f"{path}: a PDF needs the library reportlab, which is not installed; "
            "type: pip install reportlab"
        ) from error
    chosen = usual_paper(release.job.unit) if paper is None else Paper(paper)
    with progress() as tell:
        data = sheet_pdf(release, chosen, tell)
    write_copy(path, data, is_own_pdf, _sources(release), force=force)


def _write_book(release: "Release", path: Path, *, force: bool) -> None:
    """Write the tables as one workbook."""
    from edgefinder.reports.tables.workbook import is_own_workbook, workbook
    from edgefinder.reports.writing import write_copy

    data = workbook(release)
    write_copy(path, data, is_own_workbook, _sources(release), force=force)


def _write_markdown(release: "Release", path: Path, *, force: bool) -> None:
    """Write the tables that a customer needs."""
    from edgefinder.reports.tables import markdown
    from edgefinder.reports.writing import write_report

    text = markdown.markdown(release)
    write_report(path, text, markdown.MARK, _sources(release), force=force)


def _sources(release: "Release") -> tuple[Path, ...]:
    """Return what a release was made from: that is never written over."""
    from edgefinder.schedule.sources import source_files

    return (release.job.path, *source_files(release.job))
