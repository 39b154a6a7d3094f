"""Printing results and findings."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from edgefinder.findings import Finding


def print_text(text: str) -> None:
    """Print a result on standard output."""
    click.echo(text, nl=False)


def print_findings(findings: "Sequence[Finding]") -> None:
    """Print findings on standard error, unless --quiet asked for warnings only."""
    from edgefinder.findings import Severity
    from edgefinder.reports.layout import findings_lines

    context = click.get_current_context().find_root()
    quiet = bool(context.params.get("quiet"))
    shown = [f for f in findings if not quiet or f.severity is Severity.WARNING]
    for line in findings_lines(shown):
        click.echo(line, err=True)
