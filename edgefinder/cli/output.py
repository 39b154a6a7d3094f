"""Printing results, notes and findings."""

import errno
import os
import sys
from collections.abc import Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

import click

from edgefinder.errors import OutputError, one_line

if TYPE_CHECKING:
    from edgefinder.findings import Finding
    from edgefinder.schedule.tag_edits import Edited


COLOURS: Final = MappingProxyType(
    {"error": "red", "internal error": "red", "warning": "magenta"}
)
"""Of the first words of what is said on standard error. A note has none."""


def print_text(text: str) -> None:
    """Print a result on standard output.

    Raises
    ------
    OutputError
        If it cannot be written. A reader that has gone away, as in ``| head``, is
        left to click.
    """
    # A terminal or a file may know fewer signs than the names in a drawing.
    encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
    known = text.encode(encoding, "replace").decode(encoding)
    try:
        click.echo(known, nl=False)
    except OSError as error:
        if error.errno == errno.EPIPE:
            raise
        _drop_the_rest()
        raise OutputError(f"the output cannot be written: {error.strerror}") from error


def print_said(line: str) -> None:
    """Say something on standard error; its first word may have a colour.

    click leaves colours out where no terminal is written to. The word itself says
    what the colour says.
    """
    kind, colon, rest = line.partition(":")
    shown = click.style(kind, fg=COLOURS[kind]) if kind in COLOURS else kind
    click.echo(f"{shown}{colon}{rest}", err=True)


def print_note(text: str) -> None:
    """Say on standard error what was done, unless --quiet is given."""
    if not _is_quiet():
        click.echo(one_line(text), err=True)


def print_findings(findings: "Sequence[Finding]") -> None:
    """Print findings on standard error, unless --quiet asked for warnings only."""
    from edgefinder.findings import Severity
    from edgefinder.reports.layout import findings_lines

    quiet = _is_quiet()
    shown = [f for f in findings if not quiet or f.severity is Severity.WARNING]
    for line in findings_lines(shown):
        print_said(line)


def print_edited(edited: "Edited", *, dry_run: bool) -> None:
    """Write a changed job file, or show the change as a unified diff."""
    if dry_run and edited.after != edited.before:
        from edgefinder.classifier.editing.text_diff import unified_diff

        print_text(unified_diff(str(edited.path), edited.before, edited.after))
    else:
        save_edited(edited)
    print_findings(edited.findings)


def save_edited(edited: "Edited") -> None:
    """Write a changed job file and say so."""
    if edited.after == edited.before:
        print_note(f"{edited.path}: nothing to change")
        return
    from edgefinder.schedule.tag_edits import write_edited

    write_edited(edited)
    print_note(f"wrote {edited.path}")


def _is_quiet() -> bool:
    return bool(click.get_current_context().find_root().params.get("quiet"))


def _drop_the_rest() -> None:
    """Keep the interpreter from writing once more, at its end, what was not taken."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)
