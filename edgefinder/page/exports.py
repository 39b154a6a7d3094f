"""What a page hands out as files: made by the same code as the commands make them."""

import io
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from edgefinder.errors import SettingsError
from edgefinder.schedule.release import Release

EARLIEST: Final = (1980, 1, 1, 0, 0, 0)
"""The time of every file in an archive: the same release gives the same bytes."""


@dataclass(frozen=True, slots=True)
class HandedOut:
    """A file for the person.

    Parameters
    ----------
    name : str
        Its ending; it is called like the job file.
    kind : str
        Its media type.
    data : bytes
    """

    name: str
    kind: str
    data: bytes


def hand_out(release: Release, kind: str) -> HandedOut:
    """Make a file of a release.

    Parameters
    ----------
    release : Release
    kind : str
        One of `KINDS`.

    Returns
    -------
    HandedOut

    Raises
    ------
    SettingsError
        If there is no such kind.
    """
    make = KINDS.get(kind)
    if make is None:
        raise SettingsError(f'there is no file "{kind}"; known: {", ".join(KINDS)}')
    return make(release)


# Each loads what it needs: nobody waits for a PDF at the start of the page.


def _html(release: Release) -> HandedOut:
    from edgefinder.reports.sheet.page import sheet_html  # noqa: PLC0415

    return HandedOut(".html", "text/html", sheet_html(release).encode("utf-8"))


def _pdf(release: Release) -> HandedOut:
    from edgefinder.reports.pdf.document import sheet_pdf  # noqa: PLC0415
    from edgefinder.reports.pdf.paper import usual_paper  # noqa: PLC0415

    data = sheet_pdf(release, usual_paper(release.job.unit))
    return HandedOut(".pdf", "application/pdf", data)


def _xlsx(release: Release) -> HandedOut:
    from edgefinder.reports.tables.workbook import workbook  # noqa: PLC0415

    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    return HandedOut(".xlsx", kind, workbook(release))


def _csv(release: Release) -> HandedOut:
    from edgefinder.reports.csv_tables import csv_files  # noqa: PLC0415

    return _archive("-tables.zip", csv_files(release))


def _charts(release: Release) -> HandedOut:
    from edgefinder.reports.cutting_files import release_charts  # noqa: PLC0415

    return _archive("-charts.zip", release_charts(release))


def _archive(name: str, files: Mapping[str, str]) -> HandedOut:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for file, text in files.items():
            archive.writestr(zipfile.ZipInfo(file, EARLIEST), text.encode("utf-8"))
    return HandedOut(name, "application/zip", held.getvalue())


KINDS: Final[Mapping[str, Callable[[Release], HandedOut]]] = MappingProxyType(
    {"html": _html, "pdf": _pdf, "xlsx": _xlsx, "csv": _csv, "charts": _charts}
)
