"""Facts of runs put into words by a template, the program's own or a person's."""

from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path
from typing import Final

from jinja2 import StrictUndefined, TemplateError, TemplateSyntaxError
from jinja2.sandbox import SandboxedEnvironment

from edgefinder.errors import SettingsError, one_line
from edgefinder.files import read_bytes
from edgefinder.reports.instructions.run_facts import RunFacts
from edgefinder.reports.layout import paragraph

MOST_TEMPLATE_BYTES: Final = 2**18
"""A template is written by hand."""


def default_template() -> str:
    """Return the program's own template."""
    folder = files("edgefinder.reports.instructions") / "templates"
    return (folder / "run.txt").read_text("utf-8")


def read_template(path: Path) -> str:
    """Read a person's own template.

    Raises
    ------
    DrawingError, SettingsError
        If it cannot be read, or is not text.
    """
    try:
        return read_bytes(path, limit=MOST_TEMPLATE_BYTES).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SettingsError(
            f"{path}: is not text in UTF-8; save the template as plain text"
        ) from None


def instructions_text(
    runs: Sequence[RunFacts],
    cautions: Sequence[str],
    template: str | None = None,
    name: str = "the template",
) -> str:
    """Write the runs of a pattern in words, wrapped at 80 columns.

    Parameters
    ----------
    runs : sequence of RunFacts
    cautions : sequence of str
    template : str or None
        In the language of Jinja templates, with ``runs`` and ``cautions``; it can
        reach nothing else. None for the program's own.
    name : str
        Of the template, for messages.

    Returns
    -------
    str

    Raises
    ------
    SettingsError
        If the template cannot be followed.
    """
    # Plain text: nothing in it could be markup.
    environment = SandboxedEnvironment(
        autoescape=False,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    try:
        made = environment.from_string(
            default_template() if template is None else template
        )
        text = made.render(runs=runs, cautions=cautions)
    except TemplateSyntaxError as error:
        raise SettingsError(f"{name}: line {error.lineno}: {error.message}") from error
    except (TemplateError, TypeError, ValueError, ArithmeticError) as error:
        raise SettingsError(
            f"{name}: cannot be followed: {one_line(str(error))}"
        ) from error
    lines: list[str] = []
    for line in text.splitlines():
        lines += paragraph(line) or [""]
    return "\n".join([*lines, ""])
