"""The sheet written as HTML: one file, no script, nothing fetched."""

import base64
import hashlib
from importlib.resources import files
from typing import Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from edgefinder.reports.sheet.content import SheetContent, sheet_content
from edgefinder.schedule.release import Release
from edgefinder.schedule.telling import Tell, silent

MARK: Final = '<meta name="generator" content="edgefinder '
"""By which a sheet is known again."""


def sheet_html(release: Release, tell: Tell = silent) -> str:
    """Write the schedule of a release as one HTML page.

    Parameters
    ----------
    release : Release
    tell : Tell
        Told of every size.

    Returns
    -------
    str
        The same for the same release. Every text is escaped by the template engine;
        the page's own policy allows its one style sheet, known by its SHA-256, and
        nothing else (Content Security Policy Level 3, W3C, section 6.1).
    """
    return content_html(sheet_content(release, tell))


def content_html(content: SheetContent) -> str:
    """Write what stands on the sheet as HTML; see `sheet_html`."""
    style = _style()
    template = _environment().get_template("sheet.html")
    return template.render(
        sheet=content,
        # A file of the package: no text of the person.
        style=Markup(style),  # noqa: S704
        style_hash=_hash(style),
    )


def _style() -> str:
    path = files("edgefinder.reports.sheet") / "templates" / "sheet.css"
    return path.read_text("utf-8")


def _hash(text: str) -> str:
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return base64.b64encode(digest).decode("ascii")


def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("edgefinder.reports.sheet"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
