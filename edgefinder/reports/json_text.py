"""Records as JSON text."""

import json
from collections.abc import Mapping, Sequence

from edgefinder import __version__
from edgefinder.findings import Finding
from edgefinder.reports.records import findings_records

SCHEMA_VERSION = 1
"""Raised when a key changes its meaning or goes; a new key does not raise it."""


def to_json(
    schema: str, record: Mapping[str, object], findings: Sequence[Finding]
) -> str:
    """Write a record with its schema and findings at the top.

    Parameters
    ----------
    schema : str
        Name of the kind of result: ``"lines"``, ``"schedule"``.
    record : mapping
    findings : sequence of Finding

    Returns
    -------
    str
        One JSON object, ASCII, ending in a line feed: a name from a drawing cannot
        send control characters to a terminal.
    """
    whole = {
        "schema": {"name": f"edgefinder.{schema}", "version": SCHEMA_VERSION},
        "tool": "edgefinder",
        "version": __version__,
        "units": {"length": "mm", "area": "mm2", "angle": "deg"},
        "findings": findings_records(findings),
        **record,
    }
    return json.dumps(whole, indent=2, allow_nan=False) + "\n"
