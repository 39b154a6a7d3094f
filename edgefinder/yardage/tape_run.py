"""Where a tape goes, and the places on its way where no join may lie."""

import math
from dataclasses import dataclass
from typing import Final

from edgefinder.errors import SettingsError
from edgefinder.units import MAX_LENGTH_MM

MOST_ROUNDS: Final = 10
"""Loose ends longer than this many times round a closed run are a slip of the unit."""


@dataclass(frozen=True, slots=True)
class TapeRun:
    """Where a tape goes, and where its joins may not lie.

    Parameters
    ----------
    length : float
        Millimetres of tape from the start of the run to its end.
    lead, tail : float
        Millimetres of tape before the start and after the end: turned under, caught in
        a seam, or left loose at a closed run. A join in them counts as lying where
        the tape lies.
    is_closed : bool
    avoid : tuple of (float, float)
        A position along the run and how near to it no join may lie, in millimetres.

    Raises
    ------
    SettingsError
        With one line for each figure that cannot be right.
    """

    length: float
    lead: float = 0.0
    tail: float = 0.0
    is_closed: bool = False
    avoid: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        mistakes = []
        if not 0.0 < self.length <= MAX_LENGTH_MM:
            mistakes.append(f"the run takes {self.length:g} mm; give more than 0")
        mistakes += [
            f"the tape {name} the run is {value:g} mm long; give 0 mm or more"
            for name, value in (("before", self.lead), ("after", self.tail))
            if not 0.0 <= value <= MAX_LENGTH_MM
        ]
        if self.is_closed and self.lead + self.tail > MOST_ROUNDS * self.length:
            mistakes.append(
                f"the tape before and after the run goes round it more than "
                f"{MOST_ROUNDS} times; give shorter ends"
            )
        for position, within in self.avoid:
            if not 0.0 <= position <= self.length:
                mistakes.append(
                    f"no join near {position:g} mm: the run goes from 0 mm to "
                    f"{self.length:g} mm"
                )
            if not 0.0 <= within <= MAX_LENGTH_MM:
                mistakes.append(f"no join within {within:g} mm; give 0 mm or more")
        if mistakes:
            raise SettingsError(*mistakes)

    @property
    def tape(self) -> float:
        """Millimetres of tape that it takes."""
        return math.fsum((self.lead, self.length, self.tail))
