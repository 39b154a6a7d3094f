"""The scraps that somebody has: typed as sizes, and drawn in a file."""

import math
from dataclasses import dataclass
from pathlib import Path

from edgefinder.classifier.job import FabricSettings
from edgefinder.errors import DrawingError, SettingsError
from edgefinder.findings import Finding
from edgefinder.importers.formats import read_drawing
from edgefinder.yardage.scraps import Scrap, scrap_rectangle


@dataclass(frozen=True, slots=True)
class ScrapsThere:
    """Scraps, and what was unusual about their drawing."""

    scraps: tuple[Scrap, ...]
    findings: tuple[Finding, ...] = ()


def scraps_there(
    fabric: FabricSettings, folder: Path, unit_mm: float | None = None
) -> ScrapsThere:
    """Read all scraps that are named.

    Parameters
    ----------
    fabric : FabricSettings
    folder : Path
        In which the drawing is found.
    unit_mm : float or None
        Millimetres per drawing unit; None takes what the file says.

    Raises
    ------
    SettingsError
        With one line for every mistake in them.
    """
    found: list[Scrap] = []
    findings: tuple[Finding, ...] = ()
    mistakes: list[str] = []
    for number, (text, *size) in enumerate(fabric.scrap_sizes, start=1):
        try:
            found.append(scrap_rectangle(f"{number} ({text})", *size))
        except SettingsError as error:
            mistakes += error.messages
    if fabric.scrap_drawing:
        # Loaded here because typed sizes, which are most, need not wait for it.
        from edgefinder.yardage.drawn_scraps import drawn_scraps  # noqa: PLC0415

        turned = None
        if fabric.scrap_grain is not None:
            turned = math.radians(90.0 - fabric.scrap_grain)
        try:
            reading = read_drawing(folder / fabric.scrap_drawing, unit_mm=unit_mm)
            found += drawn_scraps(reading.drawing, turned)
            findings = reading.findings
        except (DrawingError, SettingsError) as error:
            mistakes += error.messages
    if mistakes:
        raise SettingsError(*mistakes)
    return ScrapsThere(tuple(found), findings)
